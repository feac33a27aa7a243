//! Places where a probe, a spot or a hand can be.

use crate::id::{PanelId, Slot};
use crate::system::Leg;
use std::fmt;

/// A named place. `Display` gives the text used in files, for example `main/face:5` or `main/lug:A`.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Place {
    /// Face of a breaker at a pole, beside its handle. Plastic.
    Face(Slot),
    /// Load terminal screw of a pole, or the insulation within an inch of it.
    Load(Slot),
    /// The conductor just behind the load terminal, beyond the joint.
    Wire(Slot),
    /// Line lug of a leg.
    Lug(PanelId, Leg),
    /// Service conductor just before the line lug.
    Line(PanelId, Leg),
    /// Neutral lug.
    NeutralLug(PanelId),
    /// Service neutral conductor just before its lug.
    NeutralLine(PanelId),
    /// Neutral bar.
    NeutralBar(PanelId),
    /// Neutral conductor of the circuit in this slot, just before its terminal.
    NeutralWire(Slot),
    /// Cover of the panel, away from any breaker.
    Cover(PanelId),
    /// A receptacle or the load end of the circuit in this slot.
    Receptacle(Slot),
    /// Earth: electrode conductor or another reference that is not the neutral.
    Earth(PanelId),
}

impl Place {
    /// The panel it belongs to.
    pub fn panel(&self) -> &PanelId {
        match self {
            Place::Face(slot)
            | Place::Load(slot)
            | Place::Wire(slot)
            | Place::NeutralWire(slot)
            | Place::Receptacle(slot) => &slot.panel,
            Place::Lug(panel, _)
            | Place::Line(panel, _)
            | Place::NeutralLug(panel)
            | Place::NeutralLine(panel)
            | Place::NeutralBar(panel)
            | Place::Cover(panel)
            | Place::Earth(panel) => panel,
        }
    }

    /// The slot, for places of a pole or circuit.
    pub fn slot(&self) -> Option<&Slot> {
        match self {
            Place::Face(slot)
            | Place::Load(slot)
            | Place::Wire(slot)
            | Place::NeutralWire(slot)
            | Place::Receptacle(slot) => Some(slot),
            _ => None,
        }
    }

    /// Can it be reached with the dead front on?
    pub const fn is_outside(&self) -> bool {
        matches!(self, Place::Face(_) | Place::Cover(_) | Place::Receptacle(_))
    }
}

impl fmt::Display for Place {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let panel = self.panel();
        match self {
            Place::Face(slot) => write!(f, "{panel}/face:{}", slot.space),
            Place::Load(slot) => write!(f, "{panel}/load:{}", slot.space),
            Place::Wire(slot) => write!(f, "{panel}/wire:{}", slot.space),
            Place::NeutralWire(slot) => write!(f, "{panel}/neutral-wire:{}", slot.space),
            Place::Receptacle(slot) => write!(f, "{panel}/receptacle:{}", slot.space),
            Place::Lug(_, leg) => write!(f, "{panel}/lug:{leg}"),
            Place::Line(_, leg) => write!(f, "{panel}/line:{leg}"),
            Place::NeutralLug(_) => write!(f, "{panel}/neutral-lug"),
            Place::NeutralLine(_) => write!(f, "{panel}/neutral-line"),
            Place::NeutralBar(_) => write!(f, "{panel}/neutral-bar"),
            Place::Cover(_) => write!(f, "{panel}/cover"),
            Place::Earth(_) => write!(f, "{panel}/earth"),
        }
    }
}
