//! Places at which a reading by itself makes something urgent, whatever joints are suspect.

use crate::condition;
use crate::situation::Situation;
use crate::words;
use model::advice::Urgency;
use model::id::Slot;
use model::place::Place;

/// A place that a rule which fired points at.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Pressing {
    pub(crate) urgency: Urgency,
    pub(crate) place: Place,
}

impl Pressing {
    /// The pole whose handle takes its current away; a lug has none.
    pub(crate) fn slot(&self) -> Option<&Slot> {
        self.place.slot()
    }

    /// Is it a screw joint: a lug, a load terminal, the neutral bar?
    pub(crate) fn is_screwed(&self) -> bool {
        !self.place.is_outside()
    }
}

/// All of them, by the rules of the policy that fired, those of a month or sooner.
pub(crate) fn places(situation: &Situation<'_>) -> Vec<Pressing> {
    let rules = situation.policy.rules.iter().filter(|rule| rule.urgency <= Urgency::ThisMonth);
    let fired = rules.filter(|rule| rule.when.iter().all(|condition| condition.holds(situation).is_some()));
    let mut all: Vec<Pressing> = Vec::new();
    for rule in fired {
        for place in rule.when.iter().filter_map(|condition| condition.place(situation)) {
            let known = all.iter().any(|other| other.place == place && other.urgency <= rule.urgency);
            if !known {
                all.push(Pressing { urgency: rule.urgency, place });
            }
        }
    }
    all
}

/// Why the supply presses, by the most urgent rule that fired over a voltage or over a complaint that points before the panel.
pub(crate) fn supply(situation: &Situation<'_>) -> Option<String> {
    let mut rules = situation.policy.rules.iter().filter(|rule| rule.urgency <= Urgency::ThisMonth);
    rules.find_map(|rule| {
        rule.when.iter().find(|condition| condition.is_of_supply())?;
        condition::figures(&rule.when, situation)
    })
}

/// Their places, for a sentence.
pub(crate) fn named(situation: &Situation<'_>, all: &[Pressing]) -> String {
    let mut named: Vec<String> = Vec::new();
    for pressing in all {
        let label = words::place_label(&situation.job.installation, &pressing.place);
        if !named.contains(&label) {
            named.push(label);
        }
    }
    words::listed(&named)
}
