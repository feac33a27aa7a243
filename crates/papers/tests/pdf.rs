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

/// Both papers of a job are there in under a second once the fonts are loaded (in a build with optimisation).
#[test]
fn both_papers_come_quickly() {
    let fonts = Fonts::embedded();
    for (name, (job, assessment)) in [("split-bus", fixtures::split_bus()), ("sound", fixtures::sound_42())] {
        let start = std::time::Instant::now();
        owner_letter(&job, &assessment).pdf(&fonts).unwrap();
        let letter = start.elapsed();
        technical_record(&job, &assessment).pdf(&fonts).unwrap();
        let both = start.elapsed();
        println!("{name}: letter {letter:.0?}, both {both:.0?}");
        let most = if cfg!(debug_assertions) { 60.0 } else { 1.0 };
        assert!(both.as_secs_f64() < most, "{name}: {both:?}");
    }
}
