//! What a household needs on the day, and who is told when, as data.

use serde::Deserialize;

const TEXT: &str = include_str!("../../data/outage-words.toml");

/// A need of the household.
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Need {
    /// Name: `medical`, `food`, `heat`, `other`.
    pub id: String,
    /// What is asked.
    pub ask: String,
    /// What is advised.
    pub advice: String,
    /// What is to be done where nobody asked.
    pub unknown: String,
    /// From so many hours without power on.
    pub from_hours: f64,
    /// Where it comes from.
    pub source: String,
}

/// Who is told.
#[derive(Debug, Clone, PartialEq, Eq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Tell {
    /// At which step: `day-before`, a step of the day, or `late`.
    pub at: String,
    /// Who.
    pub who: String,
    /// What, with places.
    pub say: String,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct File {
    need: Vec<Need>,
    tell: Vec<Tell>,
}

fn file() -> File {
    toml::from_str(TEXT).expect("data/outage-words.toml is read in a test")
}

/// The needs.
pub fn needs() -> Vec<Need> {
    file().need
}

/// Who is told when.
pub fn tells() -> Vec<Tell> {
    file().tell
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::work::steps;

    #[test]
    fn everybody_is_told_at_a_step_that_there_is() {
        let steps = steps();
        for tell in tells() {
            assert!(tell.at == "late" || steps.step(&tell.at).is_some(), "{}", tell.at);
            let places = tell.say.matches('{').count();
            let known = ["{start}", "{back}"];
            assert_eq!(places, known.iter().map(|place| tell.say.matches(place).count()).sum::<usize>());
        }
        let ids: Vec<String> = needs().into_iter().map(|need| need.id).collect();
        assert_eq!(ids, ["medical", "food", "heat", "other"]);
        assert!(needs().iter().all(|need| !need.source.is_empty()));
    }
}
