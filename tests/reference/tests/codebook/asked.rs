//! What each edition asks, case by case, against the table of `worked/ask.md`.
#![allow(clippy::panic, reason = "a bad example must stop the run")]

use codebook::ask::{
    Answer, Area, Finding, MultiwireCircuit, NewCircuit, Outdoor, Situation, Subject, ThreeWireCircuit,
    ThreeWireNeutral, Work, ask,
};
use codebook::{Book, Edition};
use std::path::Path;

fn base(work: Work) -> Situation {
    Situation { work, n_dwellings: Some(1), is_service: Some(true), ..Situation::default() }
}

fn circuit(area: Area, amps: u32, is_120_v: bool, receptacles: bool) -> Vec<NewCircuit> {
    vec![NewCircuit { name: "new circuit".to_owned(), area: Some(area), amps, is_120_v, receptacles }]
}

/// The situation of a case and where its finding is: subject, and a word of the title where there are several.
fn case(name: &str) -> (Situation, Subject, &'static str) {
    let moved = |extension_ft, adds_outlets| Situation { extension_ft, adds_outlets, ..base(Work::Relocate) };
    let mains = |work, n| Situation { n_disconnects: Some(n), in_one_enclosure: Some(true), ..base(work) };
    let new = |area, amps, is_120_v| Situation {
        new_circuits: circuit(area, amps, is_120_v, true),
        ..base(Work::None)
    };
    let wired =
        |area, amps| Situation { new_circuits: circuit(area, amps, false, false), ..base(Work::None) };
    let range = |neutral| Situation {
        outdoor: Some(Outdoor::ServiceDisconnect),
        three_wire: vec![ThreeWireCircuit { name: "range".to_owned(), neutral: Some(neutral), metal: None }],
        ..base(Work::ReplaceInPlace)
    };
    match name {
        "six mains in one enclosure, kept" => (mains(Work::None, 6), Subject::DisconnectCount, ""),
        "six mains in one enclosure, replaced" => {
            (mains(Work::ReplaceInPlace, 6), Subject::DisconnectCount, "")
        }
        "seven mains" => (mains(Work::None, 7), Subject::DisconnectCount, ""),
        "service panel replaced, nothing outdoors" => (
            Situation { outdoor: Some(Outdoor::Nothing), ..base(Work::ReplaceInPlace) },
            Subject::OutdoorDisconnect,
            "",
        ),
        "service panel replaced, meter disconnect outdoors" => (
            Situation { outdoor: Some(Outdoor::Emergency), ..base(Work::ReplaceInPlace) },
            Subject::OutdoorDisconnect,
            "",
        ),
        "only the meter socket replaced" => (base(Work::MeterOrEntrance), Subject::OutdoorDisconnect, ""),
        "surge at a replaced service panel" => (base(Work::ReplaceInPlace), Subject::Surge, ""),
        "arc-fault, replaced in place" => (base(Work::ReplaceInPlace), Subject::ArcExisting, ""),
        "arc-fault, relocated, 5 ft, no outlets" => (moved(Some(5.0), Some(false)), Subject::ArcExisting, ""),
        "arc-fault, relocated, 7 ft, no outlets" => (moved(Some(7.0), Some(false)), Subject::ArcExisting, ""),
        "arc-fault, relocated, 5 ft, outlets added" => {
            (moved(Some(5.0), Some(true)), Subject::ArcExisting, "")
        }
        "arc-fault, relocated, length unknown" => (moved(None, Some(false)), Subject::ArcExisting, ""),
        "arc-fault, new bedroom circuit" => (new(Area::Living, 15, true), Subject::ArcNew, ""),
        "arc-fault, new kitchen circuit" => (new(Area::Kitchen, 20, true), Subject::ArcNew, ""),
        "ground-fault by the panel change alone" => {
            (base(Work::ReplaceInPlace), Subject::GroundFault, "existing")
        }
        "ground-fault, new outdoor outlet of 50 A" => {
            (wired(Area::Outdoors, 50), Subject::GroundFault, "new")
        }
        "ground-fault, new outdoor outlet of 60 A" => {
            (wired(Area::Outdoors, 60), Subject::GroundFault, "new")
        }
        "ground-fault, new bathroom receptacles" => {
            (new(Area::Bathroom, 20, true), Subject::GroundFault, "new")
        }
        "ground-fault, new laundry receptacles" => {
            (new(Area::Laundry, 20, true), Subject::GroundFault, "new")
        }
        "ground-fault, new kitchen receptacle, no counter" => {
            (new(Area::Kitchen, 20, true), Subject::GroundFault, "new")
        }
        "ground-fault, new finished basement receptacles" => {
            (new(Area::FinishedBasement, 15, true), Subject::GroundFault, "new")
        }
        "ground-fault, new 50 A garage receptacle" => {
            (new(Area::Garage, 50, false), Subject::GroundFault, "new")
        }
        "ground-fault, new range circuit" => {
            (new(Area::CookingOrDryer, 50, false), Subject::GroundFault, "new")
        }
        "panel in a bathroom, replaced in place" => {
            (Situation { in_bathroom: Some(true), ..base(Work::ReplaceInPlace) }, Subject::Place, "bathroom")
        }
        "handle at 80 in" => {
            (Situation { highest_handle_in: Some(80.0), ..base(Work::None) }, Subject::HandleHeight, "")
        }
        "working space 36 × 30 × 70 in, 200 A" => (
            Situation {
                space_depth_in: Some(36.0),
                space_width_in: Some(30.0),
                space_height_in: Some(70.0),
                rating_a: Some(200.0),
                ..base(Work::ReplaceInPlace)
            },
            Subject::WorkingSpace,
            "",
        ),
        "two neutrals under one terminal" => {
            (Situation { neutrals_at_terminal: Some(2), ..base(Work::None) }, Subject::NeutralTerminal, "")
        }
        "split bus kept" => (Situation { split_bus: Some(true), ..base(Work::None) }, Subject::SplitBus, ""),
        "split bus replaced" => {
            (Situation { split_bus: Some(true), ..base(Work::ReplaceInPlace) }, Subject::SplitBus, "")
        }
        "interior in an old cabinet, 12 kA, not evaluated" => (
            Situation {
                fault_most_a: Some(12_000.0),
                interior_evaluated: Some(false),
                ..base(Work::Interior)
            },
            Subject::Interior,
            "",
        ),
        "bare range neutral in service cable, panel becomes a sub-panel" => {
            (range(ThreeWireNeutral::BareInServiceCable), Subject::ThreeWire, "")
        }
        "insulated range neutral, panel becomes a sub-panel" => {
            (range(ThreeWireNeutral::Insulated), Subject::ThreeWire, "")
        }
        "multiwire circuit without common disconnect" => (
            Situation {
                multiwire: vec![MultiwireCircuit {
                    name: "kitchen".to_owned(),
                    opens_together: Some(false),
                    on_different_legs: Some(true),
                }],
                ..base(Work::None)
            },
            Subject::Multiwire,
            "",
        ),
        "one rod, 30 Ω" => (
            Situation { n_rods: Some(1), rod_ohm: Some(30.0), ..base(Work::None) },
            Subject::Electrodes,
            "rods",
        ),
        "one rod, 25 Ω" => (
            Situation { n_rods: Some(1), rod_ohm: Some(25.0), ..base(Work::None) },
            Subject::Electrodes,
            "rods",
        ),
        other => panic!("no case `{other}`"),
    }
}

fn letter(finding: &Finding) -> &'static str {
    match finding.answer {
        Answer::Required { .. } => "R",
        Answer::NotRequired => "N",
        Answer::DependsOn(_) => "D",
        Answer::InspectorsCall => "I",
        Answer::Refused(_) => "X",
    }
}

/// Source: `worked/ask.md`, one source a row; exact.
#[test]
fn val_what_each_edition_asks() {
    let book = Book::built_in();
    let text = std::fs::read_to_string(Path::new(env!("CARGO_MANIFEST_DIR")).join("worked/ask.md"))
        .expect("it is there");
    let mut n_rows = 0;
    let mut wrong = vec![];
    for line in text.lines().filter(|line| line.starts_with("| ") && !line.starts_with("| case")) {
        let cells: Vec<&str> = line.trim_matches('|').split('|').map(str::trim).collect();
        assert!(cells.len() == 9 && !cells[8].is_empty(), "{line}");
        let (situation, subject, word) = case(cells[0]);
        for (edition, want) in Edition::ALL.into_iter().zip(&cells[1..8]) {
            let findings = ask(&book.edition(edition), &situation);
            let found =
                findings.iter().find(|finding| finding.subject == subject && finding.title.contains(word));
            let found = found.unwrap_or_else(|| panic!("no finding for {}", cells[0]));
            if letter(found) != *want {
                wrong.push(format!(
                    "{} under {edition}: want {want}, got {} ({})",
                    cells[0],
                    letter(found),
                    found.text
                ));
            }
            // Whatever is answered carries its citation, and what is refused says what to confirm.
            assert!(matches!(found.answer, Answer::Refused(_)) || found.cite.is_some());
            assert!(!found.text.is_empty());
        }
        n_rows += 1;
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
    assert_eq!(n_rows, 35);
}

/// Source: our own rule: with nothing known nothing is guessed: every finding that needs a fact asks for it.
#[test]
fn verif_nothing_known_asks() {
    let book = Book::built_in();
    let findings =
        ask(&book.edition(Edition::Y2023), &Situation { work: Work::ReplaceInPlace, ..Situation::default() });
    let n_asked = findings.iter().filter(|finding| matches!(finding.answer, Answer::DependsOn(_))).count();
    assert!(14 <= n_asked, "{n_asked} of {}", findings.len());
    for finding in &findings {
        assert_ne!(finding.answer, Answer::InspectorsCall, "{}: nothing is known yet", finding.title);
    }
}

/// Source: our own rule: a record that shows the fault is not met, one that shows the remedy is, and silence is neither.
#[test]
fn verif_met_not_met_and_not_told() {
    let book = Book::built_in();
    let law = book.edition(Edition::Y2023);
    let met = |situation: Situation, subject: Subject| {
        let findings = ask(&law, &situation);
        match findings.iter().find(|finding| finding.subject == subject).map(|finding| finding.answer.clone())
        {
            Some(Answer::Required { met }) => met,
            other => panic!("{other:?}"),
        }
    };
    let base = || base(Work::ReplaceInPlace);
    for (surge, want) in [(None, None), (Some(true), Some(true)), (Some(false), Some(false))] {
        assert_eq!(met(Situation { surge, ..base() }, Subject::Surge), want);
    }
    for (directory, want) in [(None, None), (Some(true), Some(true)), (Some(false), Some(false))] {
        assert_eq!(met(Situation { directory, ..base() }, Subject::Directory), want);
    }
    assert_eq!(met(Situation { n_disconnects: Some(7), ..base() }, Subject::DisconnectCount), Some(false));
    assert_eq!(
        met(Situation { outdoor: Some(Outdoor::Nothing), ..base() }, Subject::OutdoorDisconnect),
        Some(false)
    );
    assert_eq!(
        met(Situation { outdoor: Some(Outdoor::Emergency), ..base() }, Subject::OutdoorDisconnect),
        None
    );
}
