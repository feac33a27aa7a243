//! The guide and the schema in `docs/` are those of the program, and what the guide shows can be read.

use super::{TODAY, told};
use std::path::PathBuf;

fn docs(name: &str) -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("../../docs").join(name)
}

/// Compares a file with what it should be, or writes it where `UPDATE_DOCS` is set.
fn kept(name: &str, made: &str) {
    let path = docs(name);
    if std::env::var_os("UPDATE_DOCS").is_some() {
        std::fs::write(&path, made).expect("the folder docs");
    }
    let kept = std::fs::read_to_string(&path).unwrap_or_default();
    assert!(kept == made, "docs/{name} is stale: run `UPDATE_DOCS=1 cargo test -p record`");
}

#[test]
fn the_schema_is_that_of_the_program() {
    let mut made = serde_json::to_string_pretty(&record::schema()).expect("plain JSON");
    made.push('\n');
    kept("job-file.schema.json", &made);
}

/// Puts `made` between two marks.
fn between(text: &str, begin: &str, end: &str, made: &str) -> String {
    let from = text.find(begin).expect("the first mark");
    let from = from + text[from..].find('\n').expect("the end of its line") + 1;
    let to = text.find(end).expect("the second mark");
    format!("{}{made}{}", &text[..from], &text[to..])
}

#[test]
fn the_tables_of_the_guide_are_those_of_the_program() {
    let text = std::fs::read_to_string(docs("job-file.md")).expect("the guide");
    let text = between(&text, "<!-- keys", "<!-- end of keys", &record::guide::key_tables());
    let text = between(&text, "<!-- codes", "<!-- end of codes", &record::guide::code_table());
    kept("job-file.md", &text);
}

/// Code blocks with these words behind the backticks.
fn blocks(text: &str, words: &str) -> Vec<String> {
    let fence = format!("```{words}\n");
    text.split(&fence).skip(1).map(|rest| rest.split("```").next().unwrap_or_default().to_owned()).collect()
}

#[test]
fn whole_files_of_the_guide_read_without_a_word() {
    let text = std::fs::read_to_string(docs("job-file.md")).expect("the guide");
    let files: Vec<String> =
        ["toml file", "json file"].iter().flat_map(|words| blocks(&text, words)).collect();
    assert_eq!(files.len(), 3);
    for file in files {
        assert_eq!(told(&file), "", "{file}");
        assert!(record::read_job("job", &file, TODAY).job.is_some());
    }
}

#[test]
fn parts_of_the_guide_fit_its_smallest_file() {
    let text = std::fs::read_to_string(docs("job-file.md")).expect("the guide");
    let mut whole = blocks(&text, "toml file")[0].replace("opened", "exposure = \"proven-dead\"\nopened");
    let parts = blocks(&text, "toml part");
    assert_eq!(parts.len(), 8);
    for part in parts {
        whole.push_str(&part);
        assert_eq!(told(&whole), "", "{whole}");
    }
}
