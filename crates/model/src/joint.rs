//! Joints: the places where two conductors meet and that are judged.

use crate::breaker::LoadClass;
use crate::id::{PanelId, SectionId, Slot};
use crate::installation::Installation;
use crate::panel::Feed;
use crate::system::Leg;
use std::fmt;

/// Kinds of joint.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum JointKind {
    /// Clip of a breaker pole on its stab.
    Stab,
    /// Service conductor in a line lug.
    Lug,
    /// Branch conductor under the load terminal of a breaker pole.
    Terminal,
    /// Neutral conductor in its lug or terminal.
    Neutral,
    /// Connection that carries a whole section: main breaker to bus, or feeder to section.
    Feeder,
}

impl JointKind {
    /// The word used in files and on papers.
    pub const fn word(self) -> &'static str {
        match self {
            JointKind::Stab => "stab",
            JointKind::Lug => "lug",
            JointKind::Terminal => "terminal",
            JointKind::Neutral => "neutral",
            JointKind::Feeder => "feeder",
        }
    }
}

/// Identity of a joint; `Display` gives the text used in files, for example `main:stab:5`.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum JointId {
    /// Clip on stab of the pole in this slot.
    Stab(Slot),
    /// Line lug of a leg.
    Lug(PanelId, Leg),
    /// Load terminal of the pole in this slot.
    Terminal(Slot),
    /// Neutral lug of the panel.
    NeutralLug(PanelId),
    /// Neutral terminal of the circuit whose first pole is in this slot.
    NeutralTerminal(Slot),
    /// Feeder connection of a section on a leg.
    Feeder(PanelId, SectionId, Leg),
}

impl JointId {
    /// The kind.
    pub const fn kind(&self) -> JointKind {
        match self {
            JointId::Stab(_) => JointKind::Stab,
            JointId::Lug(..) => JointKind::Lug,
            JointId::Terminal(_) => JointKind::Terminal,
            JointId::NeutralLug(_) | JointId::NeutralTerminal(_) => JointKind::Neutral,
            JointId::Feeder(..) => JointKind::Feeder,
        }
    }

    /// The panel it is in.
    pub fn panel(&self) -> &PanelId {
        match self {
            JointId::Stab(slot) | JointId::Terminal(slot) | JointId::NeutralTerminal(slot) => &slot.panel,
            JointId::Lug(panel, _) | JointId::NeutralLug(panel) | JointId::Feeder(panel, ..) => panel,
        }
    }

    /// The slot, for joints of a pole or circuit.
    pub fn slot(&self) -> Option<&Slot> {
        match self {
            JointId::Stab(slot) | JointId::Terminal(slot) | JointId::NeutralTerminal(slot) => Some(slot),
            _ => None,
        }
    }
}

impl fmt::Display for JointId {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            JointId::Stab(slot) => write!(f, "{}:stab:{}", slot.panel, slot.space),
            JointId::Lug(panel, leg) => write!(f, "{panel}:lug:{leg}"),
            JointId::Terminal(slot) => write!(f, "{}:terminal:{}", slot.panel, slot.space),
            JointId::NeutralLug(panel) => write!(f, "{panel}:neutral:lug"),
            JointId::NeutralTerminal(slot) => write!(f, "{}:neutral:{}", slot.panel, slot.space),
            JointId::Feeder(panel, section, leg) => write!(f, "{panel}:feeder:{section}:{leg}"),
        }
    }
}

/// A joint with what is needed to talk about it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Joint {
    /// Identity.
    pub id: JointId,
    /// Pole number, from 1, for stabs and terminals.
    pub pole: Option<u8>,
    /// Leg, for joints of an ungrounded conductor.
    pub leg: Option<Leg>,
}

/// All joints of an installation, in a fixed order: per panel lugs, feeders, then per breaker and pole stab and
/// terminal and the circuit's neutral terminal, then the panel's neutral lug.
///
/// A section main has no load terminal of its own here: its load side is the section's feeder joint. A switched
/// or spare breaker has a stab but no terminal.
pub fn joints(installation: &Installation) -> Vec<Joint> {
    let mut all = Vec::new();
    for panel in &installation.panels {
        let legs = panel.system.legs();
        for section in &panel.sections {
            let service = matches!(section.feed, Feed::ServiceLugs | Feed::MainBreaker { .. });
            if service {
                for &leg in legs {
                    all.push(Joint { id: JointId::Lug(panel.id.clone(), leg), pole: None, leg: Some(leg) });
                }
            }
            if !matches!(section.feed, Feed::ServiceLugs) {
                for &leg in legs {
                    let id = JointId::Feeder(panel.id.clone(), section.id.clone(), leg);
                    all.push(Joint { id, pole: None, leg: Some(leg) });
                }
            }
        }
        for breaker in &panel.breakers {
            let first = Slot::new(panel.id.clone(), breaker.spaces[0]);
            let feeds_section = installation.sections_fed_by(&first).next().is_some();
            let spare =
                breaker.circuit.as_ref().is_none_or(|circuit| circuit.class == Some(LoadClass::Spare));
            for (idx, &space) in breaker.spaces.iter().enumerate() {
                let slot = Slot::new(panel.id.clone(), space);
                let (pole, leg) = (Some(idx as u8 + 1), Some(panel.leg_of(space)));
                all.push(Joint { id: JointId::Stab(slot.clone()), pole, leg });
                if !feeds_section && !spare {
                    all.push(Joint { id: JointId::Terminal(slot), pole, leg });
                }
            }
            let neutral = breaker
                .circuit
                .as_ref()
                .is_some_and(|circuit| circuit.uses_neutral.unwrap_or(breaker.n_poles() == 1));
            if !feeds_section && !spare && neutral {
                all.push(Joint { id: JointId::NeutralTerminal(first), pole: None, leg: None });
            }
        }
        all.push(Joint { id: JointId::NeutralLug(panel.id.clone()), pole: None, leg: None });
    }
    all
}
