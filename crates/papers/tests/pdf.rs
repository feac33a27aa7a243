//! Papers as PDF.
#![cfg(feature = "pdf")]

mod fixtures;

use papers::{Fonts, Paper, owner_letter, technical_record};

fn all() -> Vec<(&'static str, Paper)> {
    let mut all = Vec::new();
    for (name, (job, assessment)) in [
        ("split-bus", fixtures::split_bus()),
        ("sound", fixtures::sound_42()),
        ("one-column", fixtures::one_column()),
        ("three-phase", fixtures::three_phase()),
    ] {
        all.push((name, owner_letter(&job, &assessment)));
        all.push((name, technical_record(&job, &assessment)));
    }
    all
}

#[test]
fn papers_print_and_equal_papers_give_equal_bytes() {
    let fonts = Fonts::embedded();
    for (name, paper) in all() {
        let first = paper.pdf(&fonts).unwrap_or_else(|error| panic!("{name}: {error}"));
        assert!(first.starts_with(b"%PDF-"), "{name}");
        assert_eq!(first, paper.pdf(&fonts).unwrap(), "{name}");
        if let Ok(folder) = std::env::var("PAPERS_OUT") {
            std::fs::write(format!("{folder}/{name}-{}.pdf", paper.file_name), &first).unwrap();
        }
    }
}
