//! Jobs that nobody should write: nothing panics, nothing is read as markup, two pages stay two pages.

mod fixtures;

use fixtures::{main_panel, split_bus};
#[cfg(feature = "pdf")]
use model::advice::{Choice, ChoiceKind, Standing};
use model::assessment::{Assessment, Interval};
#[cfg(feature = "pdf")]
use model::assessment::{Class, Statement};
use model::breaker::Breaker;
use model::evidence::Observed;
use model::id::{PanelId, SectionId, Slot, Space};
use model::job::Job;
use model::panel::Feed;
use model::quantity::{Current, Temperature};
use papers::{Audience, owner_letter, panel_svg, technical_record};
use proptest::prelude::*;

const NASTY: [&str; 12] = [
    "#eval(\"1\")",
    "] #panic() [",
    "\\",
    "$ x^2 $",
    "🔥👩‍👩‍👧 heat",
    "مرحبا بالعالم",
    "</text></svg><script>alert(1)</script>",
    "a\u{0}b\u{7}c\u{202E}gnp",
    "{place} {n} {{",
    "*bold* _it_ `raw` <label> @ref // gone? /* gone? */",
    "Pneumonoultramicroscopicsilicovolcanoconiosis",
    "\u{FFFE}\u{FFFF}\u{FEFF}",
];

/// Puts a text into every place that holds words.
fn with_text(text: &str) -> (Job, Assessment) {
    with_texts(&[text])
}

/// Puts texts in turn into all places that hold words.
fn with_texts(texts: &[&str]) -> (Job, Assessment) {
    let (mut job, mut assessment) = split_bus();
    let mut texts = texts.iter().cycle().map(|&text| text.to_owned());
    let mut put = |place: &mut String| place.clone_from(&texts.next().unwrap_or_default());
    for place in [&mut job.id, &mut job.place, &mut job.town, &mut job.owner] {
        put(place);
    }
    put(&mut job.complaints[0].words);
    for panel in &mut job.installation.panels {
        put(&mut panel.place);
        for breaker in &mut panel.breakers {
            if let Some(circuit) = &mut breaker.circuit {
                put(&mut circuit.feeds);
            }
        }
    }
    for state in &mut job.load_states {
        put(&mut state.name);
        put(&mut state.words);
    }
    for observation in &mut job.observations {
        match &mut observation.what {
            Observed::Sign(sign) => put(&mut sign.words),
            Observed::Touch(touch) => put(&mut touch.state),
            Observed::Temperature(reading) => put(&mut reading.state),
            _ => {}
        }
    }
    for statement in &mut assessment.statements {
        put(&mut statement.text);
    }
    for option in &mut assessment.options {
        put(&mut option.title);
        put(&mut option.consequences);
    }
    for finding in &mut assessment.joints {
        for reason in &mut finding.reasons {
            put(&mut reason.text);
        }
    }
    for note in &mut assessment.notes {
        put(&mut note.subject);
        put(&mut note.text);
    }
    put(&mut assessment.verdict.summary);
    put(&mut assessment.model_version);
    (job, assessment)
}

#[test]
fn drawings_stay_well_formed() {
    for text in NASTY {
        let (job, assessment) = with_text(text);
        for audience in [Audience::Owner, Audience::Technician] {
            let svg = panel_svg(&job, Some(&assessment), &main_panel(), audience);
            well_formed(&svg);
            assert!(!svg.contains("<script"), "{text}");
        }
    }
    let (job, _) = split_bus();
    well_formed(&panel_svg(&job, None, &PanelId::new("<&\" nowhere"), Audience::Owner));
}

/// Every element is closed in order, no bare ampersand, no control character.
fn well_formed(svg: &str) {
    let mut open: Vec<&str> = Vec::new();
    let mut rest = svg;
    while let Some(start) = rest.find('<') {
        let end = start + rest[start..].find('>').expect("a tag ends");
        let tag = &rest[start + 1..end];
        if let Some(name) = tag.strip_prefix('/') {
            assert_eq!(open.pop(), Some(name));
        } else if !tag.ends_with('/') {
            open.push(tag.split(' ').next().unwrap_or(tag));
        }
        rest = &rest[end + 1..];
    }
    assert!(open.is_empty(), "{open:?}");
    for part in svg.split('&').skip(1) {
        assert!(
            ["amp;", "lt;", "gt;", "quot;", "#39;"].iter().any(|entity| part.starts_with(entity)),
            "{part}"
        );
    }
    assert!(svg.chars().all(|mark| !mark.is_control() || mark == '\n'));
}

#[test]
fn labels_stay_in_their_cells() {
    let (job, assessment) = with_text("Pneumonoultramicroscopicsilicovolcanoconiosis receptacles");
    let svg = panel_svg(&job, Some(&assessment), &main_panel(), Audience::Owner);
    let label = svg.lines().find(|line| line.contains(">Pneumo")).expect("a label is drawn");
    assert!(label.contains('…'), "{label}");
}

#[test]
fn numbers_that_are_none_are_said_to_be_none() {
    let (job, mut assessment) = split_bus();
    let nan = Interval { low: f64::NAN, median: f64::NAN, high: f64::INFINITY };
    for finding in &mut assessment.joints {
        finding.probability.burnt = f64::NAN;
        finding.resistance_mohm = nan;
        finding.heat_rated_w = nan;
    }
    for option in &mut assessment.options {
        option.price_usd = Some((f64::NAN, f64::NEG_INFINITY));
        option.hours_off = Some((f64::NAN, 1e300));
    }
    let text = owner_letter(&job, &assessment).text() + &technical_record(&job, &assessment).text();
    assert!(!text.contains("NaN") && !text.contains("inf "));
}

/// A panel that contradicts itself in every way the types allow.
fn twisted(
    n_spaces: u16,
    n_columns: u8,
    first: u16,
    last: u16,
    spaces: Vec<u16>,
    feed: u16,
) -> (Job, Assessment) {
    let (mut job, assessment) = split_bus();
    let panel = &mut job.installation.panels[0];
    panel.n_spaces = n_spaces;
    panel.n_columns = n_columns;
    panel.sections[0].first_row = first;
    panel.sections[0].last_row = last;
    panel.sections[1].feed = Feed::Breaker { slot: Slot::new(main_panel(), Space::whole(feed)) };
    let mut again = panel.sections[0].clone();
    again.id = SectionId::new("again");
    panel.sections.push(again);
    let model: Breaker = panel.breakers[0].clone();
    panel.breakers.push(Breaker {
        spaces: spaces.into_iter().map(Space::whole).collect(),
        rating: Current::from_a(f64::MAX),
        ..model
    });
    job.load_states[0].room = Some(Temperature::from_c(f64::NAN));
    (job, assessment)
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(24))]

    #[test]
    fn no_panel_panics(
        n_spaces in prop_oneof![0u16..60, Just(u16::MAX)],
        n_columns in prop_oneof![0u8..4, Just(u8::MAX)],
        first in prop_oneof![0u16..30, Just(u16::MAX)],
        last in prop_oneof![0u16..30, Just(u16::MAX)],
        spaces in prop::collection::vec(prop_oneof![0u16..60, Just(u16::MAX)], 0..4),
        feed in prop_oneof![0u16..60, Just(u16::MAX)],
    ) {
        let (job, assessment) = twisted(n_spaces, n_columns, first, last, spaces, feed);
        for audience in [Audience::Owner, Audience::Technician] {
            well_formed(&panel_svg(&job, Some(&assessment), &main_panel(), audience));
        }
        owner_letter(&job, &assessment).text();
        technical_record(&job, &assessment).text();
    }

    #[test]
    fn no_text_panics(text in "\\PC{0,80}|[\u{0}-\u{ff}]{0,40}") {
        let (job, assessment) = with_text(&text);
        well_formed(&panel_svg(&job, Some(&assessment), &main_panel(), Audience::Owner));
        owner_letter(&job, &assessment).text();
    }
}

/// A job with as much of everything as somebody could write.
#[cfg(feature = "pdf")]
fn overfull() -> (Job, Assessment) {
    let (job, mut assessment) = split_bus();
    let long = "The face of this breaker was much warmer than the faces of its neighbours at the same load. ";
    for class in [Class::Seen, Class::Measured, Class::Inferred, Class::Unknown] {
        for _ in 0..30 {
            assessment.statements.push(Statement { class, text: long.repeat(4), facts: Vec::new() });
        }
    }
    let model = assessment.options[0].clone();
    assessment.options = [
        ChoiceKind::LeaveAndWatch,
        ChoiceKind::MakeSafe,
        ChoiceKind::CallUtility,
        ChoiceKind::CorrectLoad,
        ChoiceKind::MoveCircuit,
        ChoiceKind::RemakeJoint,
        ChoiceKind::ReplaceInterior,
        ChoiceKind::ReplacePanel,
        ChoiceKind::ReplaceService,
    ]
    .map(|kind| Choice {
        kind,
        title: long.to_owned(),
        standing: Standing::Conditional,
        consequences: long.repeat(6),
        reasons_for: vec![long.repeat(3); 5],
        price_usd: Some((1000.0, 123_456.0)),
        hours_off: Some((2.0, 48.0)),
        ..model.clone()
    })
    .to_vec();
    assessment.verdict.would_change = vec![long.repeat(3); 12];
    for finding in &mut assessment.joints {
        finding.probability.burnt = 0.9;
        finding.probability.sound = 0.05;
    }
    (job, assessment)
}

#[cfg(feature = "pdf")]
mod pdf {
    use super::*;
    use papers::Fonts;

    #[test]
    fn nasty_text_prints_as_it_stands() {
        let fonts = Fonts::embedded();
        let (job, assessment) = with_texts(&NASTY);
        for paper in [owner_letter(&job, &assessment), technical_record(&job, &assessment)] {
            let bytes = paper.pdf(&fonts).unwrap_or_else(|error| panic!("{error}"));
            fixtures::keep(&format!("nasty-{}", paper.file_name), &bytes);
        }
    }

    #[test]
    fn a_letter_has_two_pages_whatever_the_job() {
        let fonts = Fonts::embedded();
        let long_word = "W".repeat(4000);
        for (job, assessment) in [overfull(), with_text(&long_word)] {
            let letter = owner_letter(&job, &assessment);
            let bytes = letter.pdf(&fonts).unwrap_or_else(|error| panic!("{error}"));
            fixtures::keep(&format!("full-{}", letter.text().len()), &bytes);
            assert_eq!(fixtures::pages(&bytes), 2);
        }
    }
}
