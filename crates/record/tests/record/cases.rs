//! One file a problem code in `cases/`: the file must show its code, and what is printed is a snapshot that a
//! person has read.

use super::{TODAY, told};
use std::collections::BTreeSet;
use std::path::{Path, PathBuf};

fn files() -> Vec<PathBuf> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/record/cases");
    let mut files: Vec<PathBuf> = std::fs::read_dir(folder)
        .expect("the folder of cases")
        .map(|entry| entry.expect("a case").path())
        .filter(|path| path.extension().is_some_and(|extension| extension == "toml"))
        .collect();
    files.sort();
    files
}

fn stem(path: &Path) -> String {
    path.file_stem().expect("a name").to_string_lossy().into_owned()
}

#[test]
fn every_case_tells_its_problem() {
    let mut shown_codes: BTreeSet<&str> = BTreeSet::new();
    for path in files() {
        let (code, text) = (stem(&path), std::fs::read_to_string(&path).expect("a case"));
        let reading = record::read_job("job.toml", &text, TODAY);
        let codes: BTreeSet<&str> = reading.problems.iter().map(|problem| problem.code).collect();
        assert!(codes.contains(code.as_str()), "{code}: only {codes:?}\n{}", told(&text));
        shown_codes.extend(&codes);
        let has_error = reading.problems.iter().any(record::Problem::is_error);
        assert_eq!(reading.job.is_some(), !has_error, "{code}");
        assert_eq!(reading.facts.is_empty(), has_error, "{code}");
        let shown: String = told(&text).chars().take(6_000).collect();
        insta::with_settings!({ prepend_module_to_snapshot => false, omit_expression => true }, {
            insta::assert_snapshot!(code, shown);
        });
    }
    let listed: BTreeSet<&str> = record::CODES.iter().map(|(code, ..)| *code).collect();
    assert_eq!(listed.len(), record::CODES.len(), "a code is listed twice");
    // A file without `[job]` lacks a key; that no fact opens the job can only be so of facts from elsewhere.
    shown_codes.insert("no-job");
    assert_eq!(listed, shown_codes, "codes listed, and codes with a case");
}

#[test]
fn severities_are_as_listed() {
    for path in files() {
        let text = std::fs::read_to_string(&path).expect("a case");
        for problem in record::read_job("job.toml", &text, TODAY).problems {
            let listed = record::CODES.iter().find(|(code, ..)| *code == problem.code);
            assert_eq!(listed.map(|(_, severity, _)| *severity), Some(problem.severity), "{}", problem.code);
        }
    }
}
