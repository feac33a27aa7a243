//! No test file may lie here unrun, and the list of checks must name every check.

use std::collections::BTreeSet;
use std::fs;
use std::path::{Path, PathBuf};

fn package() -> &'static Path {
    Path::new(env!("CARGO_MANIFEST_DIR"))
}

fn rust_files(folder: &Path, found: &mut Vec<PathBuf>) {
    for entry in fs::read_dir(folder).expect("the folder of the tests is there") {
        let path = entry.expect("its entries can be read").path();
        if path.is_dir() {
            rust_files(&path, found);
        } else if path.extension().is_some_and(|extension| extension == "rs") {
            found.push(path);
        }
    }
}

/// Source: our own rule: a file that no `mod` line names is compiled by nobody.
#[test]
fn verif_every_test_file_is_reached() {
    let mut files = vec![];
    let root = package().join("tests");
    rust_files(&root, &mut files);
    for file in &files {
        let name = file.file_stem().and_then(|stem| stem.to_str()).expect("names are plain");
        if name == "main" && file.parent() == Some(&root) {
            continue;
        }
        let folder = file.parent().expect("it lies in a folder");
        let (module, owners) = if name == "mod" {
            let module = folder.file_name().and_then(|part| part.to_str()).expect("names are plain");
            let above = folder.parent().expect("it lies in the package");
            (module, [above.join("main.rs"), above.join("mod.rs")])
        } else {
            (name, [folder.join("main.rs"), folder.join("mod.rs")])
        };
        let line = format!("mod {module};");
        let named =
            owners.iter().any(|owner| fs::read_to_string(owner).is_ok_and(|text| text.contains(&line)));
        assert!(named, "{} is compiled by nobody: no `{line}` beside it", file.display());
    }
}

/// Source: our own rule: the list in `README.md` is the same as the tests.
#[test]
fn verif_the_list_names_every_check_and_no_other() {
    let mut files = vec![];
    rust_files(&package().join("tests"), &mut files);
    let mut checks = BTreeSet::new();
    for file in &files {
        let text = fs::read_to_string(file).expect("a test file can be read");
        for line in text.lines() {
            if let Some(rest) = line.trim_start().strip_prefix("fn ") {
                let name: String =
                    rest.chars().take_while(|letter| letter.is_alphanumeric() || *letter == '_').collect();
                if name.starts_with("val_") || name.starts_with("verif_") {
                    checks.insert(name);
                }
            }
        }
    }
    let readme = fs::read_to_string(package().join("README.md")).expect("the list of checks is there");
    let listed: BTreeSet<String> = readme
        .split('`')
        .skip(1)
        .step_by(2)
        .filter(|word| (word.starts_with("val_") || word.starts_with("verif_")) && 6 < word.len())
        .map(str::to_owned)
        .collect();
    let missing: Vec<&String> = checks.difference(&listed).collect();
    let stale: Vec<&String> = listed.difference(&checks).collect();
    assert!(
        missing.is_empty() && stale.is_empty(),
        "README.md: missing {missing:?}, without a test {stale:?}"
    );
}
