//! Papers as PDF. With `PAPERS_OUT=folder` the papers are also written there, for a look at them.
#![cfg(feature = "pdf")]

mod fixtures;

use papers::{Fonts, owner_letter, technical_record};

#[test]
fn papers_of_all_kinds_of_panel_print() {
    let fonts = Fonts::embedded();
    for (name, (job, assessment)) in [
        ("split-bus", fixtures::split_bus()),
        ("sound", fixtures::sound_42()),
        ("one-column", fixtures::one_column()),
        ("three-phase", fixtures::three_phase()),
    ] {
        let letter =
            owner_letter(&job, &assessment).pdf(&fonts).unwrap_or_else(|error| panic!("{name}: {error}"));
        assert!(letter.starts_with(b"%PDF-"), "{name}");
        assert_eq!(fixtures::pages(&letter), 2, "{name}");
        fixtures::keep(&format!("{name}-letter"), &letter);
        let record = technical_record(&job, &assessment);
        let record = record.pdf(&fonts).unwrap_or_else(|error| panic!("{name}: {error}"));
        fixtures::keep(&format!("{name}-record"), &record);
    }
}

#[test]
fn equal_papers_give_equal_bytes() {
    let (job, assessment) = fixtures::split_bus();
    let first = owner_letter(&job, &assessment).pdf(&Fonts::embedded()).unwrap();
    let (job, assessment) = fixtures::split_bus();
    let again = owner_letter(&job, &assessment).pdf(&Fonts::embedded()).unwrap();
    assert!(first == again, "two runs over equal input differ");
    let mut later = owner_letter(&job, &assessment);
    later.head.push('.');
    assert!(first != later.pdf(&Fonts::embedded()).unwrap(), "other input gives other bytes");
}

/// Both papers of a job are there in under a second once the fonts are loaded; asked of optimised builds
/// only.
#[cfg(not(debug_assertions))]
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
        assert!(both.as_secs_f64() < 1.0, "{name}: {both:?}");
    }
}
