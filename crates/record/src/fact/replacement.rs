//! Facts that prepare the replacement: circuits as surveyed, answers to the list of surprises, the layout chosen.

use super::equipment::{CabinetDescribed, ConductorDescribed, HalfWidthDescribed};
use crate::text::{AsText, Textual};
use model::breaker::{LoadClass, Protection};
use model::replacement::{Carry, Found, HeldFor, PanelEnd};
use model::{Leg, PanelId, Slot, Space};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// A circuit as it was surveyed. What was not looked at is left out.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct CircuitSurveyed {
    /// First space of its breaker.
    pub slot: AsText<Slot>,
    /// Number or name on its tag.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub name: String,
    /// Poles that it needs.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub poles: Option<u8>,
    /// Rating that it needs in the new panel, amperes.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub rating_a: Option<f64>,
    /// What it feeds.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub feeds: String,
    /// In which room.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub room: String,
    /// Rough class of the load.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub class: Option<AsText<LoadClass>>,
    /// Its conductor.
    #[serde(default, skip_serializing_if = "ConductorDescribed::is_blank")]
    pub conductor: ConductorDescribed,
    /// Is it half of a multiwire circuit?
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub multiwire: Option<bool>,
    /// Space of the pole that shares its neutral.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub partner: Option<AsText<Space>>,
    /// Does it use the neutral?
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub uses_neutral: Option<bool>,
    /// Does its cable bring an equipment ground?
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub grounded: Option<bool>,
    /// Protection that it has now.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub protection: Option<AsText<Protection>>,
    /// Protection that it gets with the new panel.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub protection_after: Option<AsText<Protection>>,
    /// Does it run for three hours or more?
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub continuous: Option<bool>,
    /// Is it a motor?
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub motor: Option<bool>,
    /// Circuits of one group stay next to each other.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub together: String,
    /// Remarks.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub words: String,
}

impl CircuitSurveyed {
    /// A survey of the circuit in this slot that knows nothing yet.
    pub fn blank(slot: Slot) -> Self {
        CircuitSurveyed {
            slot: AsText(slot),
            name: String::new(),
            poles: None,
            rating_a: None,
            feeds: String::new(),
            room: String::new(),
            class: None,
            conductor: ConductorDescribed::default(),
            multiwire: None,
            partner: None,
            uses_neutral: None,
            grounded: None,
            protection: None,
            protection_after: None,
            continuous: None,
            motor: None,
            together: String::new(),
            words: String::new(),
        }
    }

    pub(super) fn subject(&self) -> String {
        self.slot.0.write()
    }
}

/// An answer to a question of the list of surprises.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct SurpriseAnswered {
    /// Id of the question.
    pub question: String,
    /// The answer.
    pub answer: AsText<Found>,
    /// First space of the circuit it is about; left out: the whole job.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub slot: Option<AsText<Slot>>,
    /// How the price carries it while it is not known; left out: as the list proposes.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub carry: Option<AsText<Carry>>,
    /// Hours of all people that it took beyond the plan.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub hours: Option<f64>,
    /// Parts and others that it took, whole US dollars.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub cost_usd: Option<u32>,
    /// Was it on the bill?
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub charged: Option<bool>,
    /// What was seen.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub words: String,
}

impl SurpriseAnswered {
    pub(super) fn subject(&self) -> String {
        match &self.slot {
            Some(slot) => format!("{} {}", slot.0, self.question),
            None => self.question.clone(),
        }
    }
}

/// Where one breaker goes. Exactly one of `circuit` and `new` is given.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct SeatChosen {
    /// A circuit of the old panel, by the first space of its breaker.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub circuit: Option<AsText<Slot>>,
    /// A new circuit, by the name under which it is planned.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub new: Option<String>,
    /// Its spaces in the new panel, in the order of the poles.
    pub to: Vec<AsText<Space>>,
    /// Decided by a person and not to be moved?
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    pub locked: bool,
}

/// Spaces held free.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct SpacesHeld {
    /// Which.
    pub spaces: Vec<AsText<Space>>,
    /// For what.
    pub held_for: AsText<HeldFor>,
}

/// The layout that was chosen for a new panel.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct LayoutChosen {
    /// The old panel whose circuits move.
    pub panel: AsText<PanelId>,
    /// Spaces of the new panel.
    pub spaces: u16,
    /// One or two columns.
    pub columns: u8,
    /// Leg of the first row.
    pub first_leg: AsText<Leg>,
    /// Where the bus is fed.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub fed_at: Option<AsText<PanelEnd>>,
    /// Where half-width breakers may go.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub half_width: Option<HalfWidthDescribed>,
    /// Rating of the bus, amperes.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub bus_rating_a: Option<f64>,
    /// Rating of the main breaker, amperes.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub main_a: Option<f64>,
    /// Largest sum of the ratings on one stab, amperes.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub stab_limit_a: Option<f64>,
    /// Its cabinet.
    #[serde(default)]
    pub cabinet: CabinetDescribed,
    /// Where each circuit goes.
    pub seats: Vec<SeatChosen>,
    /// Spaces held free.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub held: Vec<SpacesHeld>,
    /// The aim under which it was made.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub aim: String,
    /// Why this one.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub words: String,
}

impl LayoutChosen {
    pub(super) fn subject(&self) -> String {
        self.panel.0.write()
    }
}
