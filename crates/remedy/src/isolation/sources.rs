//! Every other source that must be ruled out.

use model::breaker::LoadClass;
use model::id::Slot;
use model::installation::Installation;
use model::isolation::SourceQuestion;

/// What is looked for, how, and words by which a recorded source is known. Common practice, no source.
const USUAL: [(&str, &str, &[&str]); 6] = [
    ("a second meter", "Look for another socket or an off-peak meter, inside and out.", &["meter"]),
    (
        "a generator",
        "Look for an inlet, a transfer switch or a cord with two plugs; ask the owner.",
        &["generator", "inlet", "transfer"],
    ),
    ("solar", "Look at the roof and for an inverter; ask where it connects.", &["solar", "pv", "inverter"]),
    (
        "a battery",
        "Look for a wall unit, a backup supply or an alarm panel with a supply of its own.",
        &["batter", "ups"],
    ),
    (
        "a feed from a neighbour or an outbuilding",
        "Ask, and follow every cable that leaves the house.",
        &["neighbour", "neighbor", "garage", "barn", "outbuilding"],
    ),
    (
        "feedback through a 240 V load or a shared neutral",
        "With one leg lost, loads feed back; test every conductor, also those that should be dead.",
        &["feedback", "backfeed", "shared neutral"],
    ),
];

/// The questions, with what the record says.
pub(crate) fn questions(installation: &Installation) -> Vec<SourceQuestion> {
    let recorded = &installation.service.other_sources;
    let is_named = |entry: &str, words: &[&str]| {
        let lower = entry.to_lowercase();
        words.iter().any(|word| lower.contains(word))
    };
    let mut questions: Vec<SourceQuestion> = USUAL
        .iter()
        .map(|(source, look, words)| SourceQuestion {
            source: (*source).to_owned(),
            look: (*look).to_owned(),
            recorded: recorded.iter().find(|entry| is_named(entry, words)).cloned(),
            through: None,
        })
        .collect();
    let unnamed = recorded.iter().filter(|entry| !USUAL.iter().any(|(.., words)| is_named(entry, words)));
    questions.extend(unnamed.map(|entry| SourceQuestion {
        source: entry.clone(),
        look: "It is in the record: find out where it connects.".to_owned(),
        recorded: Some(entry.clone()),
        through: None,
    }));
    for (panel, breaker) in installation.breakers() {
        if breaker.circuit.as_ref().and_then(|circuit| circuit.class) == Some(LoadClass::Source) {
            questions.push(SourceQuestion {
                source: breaker.feeds_label().to_owned(),
                look: "It feeds back through a breaker of the panel: shut it down at its own switch, and prove it.".to_owned(),
                recorded: Some(breaker.feeds_label().to_owned()),
                through: Some(Slot::new(panel.id.clone(), breaker.spaces[0])),
            });
        }
    }
    questions
}
