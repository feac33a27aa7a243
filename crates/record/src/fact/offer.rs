//! Facts of price and day: quotes, the booked day, steps ticked, parts used.

use crate::text::AsText;
use jiff::civil::Date;
use model::offer::Clock;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// A quote was given.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct QuoteGiven {
    /// What was offered.
    pub option: String,
    /// Contested items that are in it.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub with: Vec<String>,
    /// Lower end of the range, US dollars.
    pub low_usd: u32,
    /// Middle.
    pub usual_usd: u32,
    /// Upper end.
    pub high_usd: u32,
    /// Last day on which it holds.
    #[schemars(with = "String")]
    pub valid_until: Date,
    /// The price book it was made from.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub book: String,
    /// What else was said.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub words: String,
}

impl QuoteGiven {
    pub(super) fn subject(&self) -> String {
        self.option.clone()
    }
}

/// The day was booked.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct OutageBooked {
    /// What is done.
    pub option: String,
    /// The day.
    #[schemars(with = "String")]
    pub date: Date,
    /// Day on which the utility was asked for it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    #[schemars(with = "Option<String>")]
    pub asked: Option<Date>,
    /// Start of the crew.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub start: Option<AsText<Clock>>,
    /// People.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub crew: Option<u8>,
    /// Start of the window of the cut.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub cut_from: Option<AsText<Clock>>,
    /// End of it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub cut_to: Option<AsText<Clock>>,
    /// Start of the window of the inspector.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub inspector_from: Option<AsText<Clock>>,
    /// End of it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub inspector_to: Option<AsText<Clock>>,
    /// Start of the window in which the supply is given back.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub reconnect_from: Option<AsText<Clock>>,
    /// End of it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub reconnect_to: Option<AsText<Clock>>,
    /// Latest time at which the supply is given back.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub reconnect_by: Option<AsText<Clock>>,
    /// Steps done before the day.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub done: Vec<String>,
    /// Who said so.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub told: String,
}

impl OutageBooked {
    pub(super) fn subject(&self) -> String {
        self.date.to_string()
    }
}

/// A step was begun or done.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct StepTicked {
    /// The step.
    pub step: String,
    /// Done, or only begun.
    pub done: bool,
    /// People at it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub people: Option<u8>,
    /// What held it up.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub words: String,
}

impl StepTicked {
    pub(super) fn subject(&self) -> String {
        self.step.clone()
    }
}

/// Parts were used.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct PartUsed {
    /// The part.
    pub part: String,
    /// How many.
    pub count: u32,
    /// Why more or fewer.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub words: String,
}

impl PartUsed {
    pub(super) fn subject(&self) -> String {
        self.part.clone()
    }
}
