//! Thermographic action classes.

use physics::severity::{ActionClass, Basis, severity};

/// A18. Source: ANSI/NETA MTS thermographic survey table as printed on a public page.
#[test]
fn val_12_k_between_like_parts_is_probable() {
    let found = severity(Basis::Similar, 12.0).expect("in range");
    assert_eq!(found.class.words(), "probable deficiency; repair as time permits");
    assert!(found.notes.is_empty());
}

/// Source: every band of that table, at its ends as printed.
#[test]
fn val_every_band_of_the_table() {
    use ActionClass::*;
    let similar = [(1.0, Possible), (3.0, Possible), (4.0, Probable), (15.0, Probable), (16.0, Major)];
    let air = [
        (1.0, Possible),
        (10.0, Possible),
        (11.0, Probable),
        (20.0, Probable),
        (21.0, Monitor),
        (40.0, Monitor),
        (41.0, Major),
    ];
    for (basis, rows) in [(Basis::Similar, similar.as_slice()), (Basis::Air, air.as_slice())] {
        for (delta, class) in rows {
            let found = severity(basis, *delta).expect("in range");
            assert_eq!((found.class, found.notes.len()), (*class, 0), "{basis:?} {delta}");
        }
    }
}

/// Source: the table leaves 3–4, 10–11 and 20–21 K open; the higher band is taken and said so.
#[test]
fn verif_gaps_go_up_with_a_note() {
    for (basis, delta, class) in [
        (Basis::Similar, 3.5, ActionClass::Probable),
        (Basis::Air, 10.4, ActionClass::Probable),
        (Basis::Air, 20.01, ActionClass::Monitor),
    ] {
        let found = severity(basis, delta).expect("in range");
        assert_eq!((found.class, found.notes.len()), (class, 1), "{basis:?} {delta}");
    }
    let just = severity(Basis::Similar, 15.2).expect("in range");
    assert_eq!((just.class, just.notes.len()), (ActionClass::Major, 0), "above 15 is defined");
}
