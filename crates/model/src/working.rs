//! The working behind a figure: formula, inputs, result, source.

use crate::cite::Cite;

/// One named input of a formula.
#[derive(Debug, Clone, PartialEq)]
pub struct Input {
    /// Symbol as in the formula.
    pub symbol: String,
    /// What it is.
    pub meaning: String,
    /// Value as printed, with unit.
    pub value: String,
    /// Where the value comes from.
    pub from: String,
}

/// How a figure came about; any figure on a paper can be opened into one of these.
#[derive(Debug, Clone, PartialEq)]
pub struct Working {
    /// What is computed, for example `heat in the joint now`.
    pub title: String,
    /// The joint or place it is about.
    pub subject: String,
    /// Formula as printed in the source.
    pub formula: String,
    /// Inputs.
    pub inputs: Vec<Input>,
    /// Result as printed, with unit.
    pub result: String,
    /// Where the formula holds.
    pub validity: String,
    /// Source of the formula.
    pub cite: Cite,
}
