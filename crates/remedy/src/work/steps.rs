//! Steps of the work and visits from outside.

use crate::dice::Three;
use model::advice::ChoiceKind;
use serde::Deserialize;

const TEXT: &str = include_str!("../../data/steps.toml");

/// Of what a step's minutes are.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Per {
    /// The job.
    #[default]
    Job,
    /// Each circuit.
    Circuit,
    /// Each circuit that is moved.
    Moved,
    /// Each splice.
    Splice,
}

/// When a step is done.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum When {
    /// On the day.
    #[default]
    Day,
    /// On a day before: it costs hours, and is not in the plan of the day.
    Before,
}

/// A step.
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Step {
    /// Name, never changed.
    pub id: String,
    /// What is done.
    pub words: String,
    /// Minutes, of one of `per`.
    pub minutes: Three,
    /// Of what.
    #[serde(default)]
    pub per: Per,
    /// People it takes.
    pub people: u32,
    /// Steps that must be done first, as far as the option has them.
    #[serde(default)]
    pub after: Vec<String>,
    /// The visit that it waits for.
    #[serde(default)]
    pub visit: Option<String>,
    /// Is the house without power?
    #[serde(default)]
    pub dark: bool,
    /// Has the house its power back after it?
    #[serde(default)]
    pub back: bool,
    /// When it is done.
    #[serde(default)]
    pub when: When,
    /// Options that have it.
    #[serde(deserialize_with = "super::options")]
    pub options: Vec<ChoiceKind>,
    /// Where the figures come from.
    pub source: String,
    /// Why it waits for what it waits for, where that is not plain.
    #[serde(default)]
    pub after_source: String,
}

/// How somebody from outside comes.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum VisitKind {
    /// At some time within a window.
    Booked,
    /// After a wait, once called.
    Called,
}

/// A visit as the data has it, until one is booked.
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct VisitText {
    /// Name.
    pub id: String,
    /// Who comes.
    pub words: String,
    /// How.
    pub kind: VisitKind,
    /// Start of the window, `08:00`.
    #[serde(default)]
    pub from: Option<String>,
    /// End of the window.
    #[serde(default)]
    pub to: Option<String>,
    /// Until when they wait for a crew that is not ready.
    #[serde(default)]
    pub until: Option<String>,
    /// Minutes of waiting once called.
    #[serde(default)]
    pub wait: Option<Three>,
    /// Not later than.
    #[serde(default)]
    pub latest: Option<String>,
    /// Minutes of a window that is booked ahead, where somebody who is called can be booked, too.
    #[serde(default)]
    pub ahead: Option<f64>,
    /// Why so.
    #[serde(default)]
    pub ahead_source: String,
    /// Chance that nobody comes.
    pub no_show: f64,
    /// Where the figures come from.
    pub source: String,
}

/// All steps and visits.
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Steps {
    /// Factor on all minutes of a day.
    pub pace: Three,
    /// Why so.
    pub pace_source: String,
    /// Person-hours of waiting that a price holds where outsiders come.
    pub waiting_hours: Three,
    /// Why so.
    pub waiting_source: String,
    /// In an order in which none waits for a later one.
    #[serde(rename = "step")]
    pub steps: Vec<Step>,
    /// Who comes from outside.
    #[serde(rename = "visit")]
    pub visits: Vec<VisitText>,
}

impl Steps {
    /// The steps of an option, in order.
    pub fn of(&self, option: ChoiceKind) -> impl Iterator<Item = &Step> {
        self.steps.iter().filter(move |step| step.options.contains(&option))
    }

    /// The step with a name.
    pub fn step(&self, id: &str) -> Option<&Step> {
        self.steps.iter().find(|step| step.id == id)
    }
}

/// The data.
pub fn steps() -> Steps {
    toml::from_str(TEXT).expect("data/steps.toml is read in a test")
}
