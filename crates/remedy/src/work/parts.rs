//! Parts beside panel and breakers, and items that are seen differently from place to place.

use crate::dice::Three;
use model::advice::ChoiceKind;
use serde::Deserialize;

const TEXT: &str = include_str!("../../data/materials.toml");

/// Of what a part is counted.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Basis {
    /// The job.
    Job,
    /// Each circuit.
    Circuit,
    /// Each splice.
    Splice,
    /// Each multiwire pair on two breakers.
    Multiwire,
    /// Each space that stays open.
    FreeSpace,
    /// Each foot of the service.
    ServiceFoot,
    /// Each plain breaker of one pole, 15 or 20 A.
    #[serde(rename = "plain-120")]
    Plain120,
}

/// A part.
#[derive(Debug, Clone, PartialEq, Eq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Part {
    /// Name; the same in the price book.
    pub id: String,
    /// What it must be.
    pub words: String,
    /// How many of one `per`.
    pub count: u32,
    /// Of what.
    pub per: Basis,
    /// Options that need it.
    #[serde(deserialize_with = "super::options")]
    pub options: Vec<ChoiceKind>,
}

/// An item that is contested.
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Contested {
    /// Name.
    pub id: String,
    /// What it is.
    pub words: String,
    /// The point of the code book that may answer it, by its word.
    pub subject: String,
    /// The part whose place it takes.
    #[serde(default)]
    pub instead_of: Option<String>,
    /// The part that it needs.
    pub part: String,
    /// How many of one `per`.
    pub count: u32,
    /// Of what.
    pub per: Basis,
    /// Person-hours of the job.
    pub hours: Three,
    /// The step at which they fall.
    pub step: String,
    /// Options that may have it.
    #[serde(deserialize_with = "super::options")]
    pub options: Vec<ChoiceKind>,
    /// Where the figures come from.
    pub source: String,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct File {
    part: Vec<Part>,
    contested: Vec<Contested>,
}

fn file() -> File {
    toml::from_str(TEXT).expect("data/materials.toml is read in a test")
}

/// The parts.
pub fn parts() -> Vec<Part> {
    file().part
}

/// The contested items.
pub fn contested() -> Vec<Contested> {
    file().contested
}
