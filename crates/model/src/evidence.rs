//! What was seen, felt and measured.

use crate::id::{FactId, PanelId, Slot};
use crate::place::Place;
use crate::quantity::{Current, Temperature, Voltage};
use crate::system::Leg;
use jiff::civil::DateTime;

/// One observation with its origin.
#[derive(Debug, Clone, PartialEq)]
pub struct Observation {
    /// The fact that holds it.
    pub fact: FactId,
    /// When.
    pub at: DateTime,
    /// Who, by role or initials.
    pub by: Option<String>,
    /// What was observed.
    pub what: Observed,
}

/// Kinds of observation.
#[derive(Debug, Clone, PartialEq)]
pub enum Observed {
    /// An infrared spot or a contact probe.
    Temperature(TemperatureReading),
    /// A hand on a plastic breaker face.
    Touch(TouchReading),
    /// A clamp reading.
    Current(CurrentReading),
    /// A voltage between two places, or of a leg to neutral.
    Voltage(VoltageReading),
    /// A millivolt drop between two places of one conductor path.
    Drop(DropReading),
    /// A breaker opened by itself.
    Trip(TripEvent),
    /// A sign was looked for and found, or looked for and not found.
    Sign(SignReading),
}

/// How a temperature was taken.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum TemperatureMethod {
    /// Infrared spot or camera.
    Infrared,
    /// Contact probe.
    Contact,
}

/// What the infrared spot looked at.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Surface {
    /// Plastic, insulation, paint or tape: emissivity near 0.95.
    Matte,
    /// Bare metal: an infrared reading of it is refused.
    BareMetal,
}

/// A temperature at a place.
#[derive(Debug, Clone, PartialEq)]
pub struct TemperatureReading {
    /// Where.
    pub place: Place,
    /// As displayed.
    pub value: Temperature,
    /// How.
    pub method: TemperatureMethod,
    /// What the spot looked at.
    pub surface: Surface,
    /// Emissivity set on the instrument, if not 0.95.
    pub emissivity: Option<f64>,
    /// Reflected temperature set on the instrument or judged.
    pub reflected: Option<Temperature>,
    /// Instrument, by the shop's own name; readings of one instrument share its bias.
    pub instrument: Option<String>,
    /// Load state by name.
    pub state: String,
}

/// What a bare hand on a plastic face felt in the first one to three seconds.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Feel {
    /// Not warm.
    NotWarm,
    /// Warm, comfortable to hold.
    Warm,
    /// Hot, can be held several seconds.
    Hot,
    /// Pain soon, pulled away.
    Pain,
    /// Instant withdrawal.
    Withdrawn,
}

/// A touch.
#[derive(Debug, Clone, PartialEq)]
pub struct TouchReading {
    /// Face of which pole.
    pub slot: Slot,
    /// What was felt.
    pub feel: Feel,
    /// Anything that voids the mapping: glove, callus, cold hands, wet skin, less than a second.
    pub void: bool,
    /// Load state by name.
    pub state: String,
}

/// Where a clamp was put.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum ClampPlace {
    /// Around the branch conductor of a pole.
    Pole(Slot),
    /// Around the service conductor of a leg of a panel.
    Line(PanelId, Leg),
    /// Around the service neutral of a panel.
    Neutral(PanelId),
    /// Around the electrode conductor of a panel.
    Electrode(PanelId),
}

/// A clamp reading.
#[derive(Debug, Clone, PartialEq)]
pub struct CurrentReading {
    /// Where.
    pub place: ClampPlace,
    /// As displayed.
    pub value: Current,
    /// Instrument, by the shop's own name.
    pub instrument: Option<String>,
    /// Load state by name.
    pub state: String,
}

/// A voltage between two places.
#[derive(Debug, Clone, PartialEq)]
pub struct VoltageReading {
    /// From.
    pub from: Place,
    /// To.
    pub to: Place,
    /// As displayed.
    pub value: Voltage,
    /// Instrument, by the shop's own name.
    pub instrument: Option<String>,
    /// Load state by name.
    pub state: String,
}

impl VoltageReading {
    /// The panel and the leg whose whole voltage to neutral was read, at the lug or before it, whichever way round.
    #[must_use]
    pub fn whole_leg(&self) -> Option<(&PanelId, Leg)> {
        let is_neutral = |place: &Place| {
            matches!(place, Place::NeutralLine(_) | Place::NeutralLug(_) | Place::NeutralBar(_))
        };
        match (hot_of(&self.from), hot_of(&self.to)) {
            (leg, None) if is_neutral(&self.to) => leg,
            (None, leg) if is_neutral(&self.from) => leg,
            _ => None,
        }
    }

    /// Was it read from one leg of a panel to another one?
    #[must_use]
    pub fn is_leg_to_leg(&self) -> bool {
        let legs = (hot_of(&self.from), hot_of(&self.to));
        matches!(legs, (Some((from, one)), Some((to, other))) if from == to && one != other)
    }
}

fn hot_of(place: &Place) -> Option<(&PanelId, Leg)> {
    match place {
        Place::Line(panel, leg) | Place::Lug(panel, leg) => Some((panel, *leg)),
        _ => None,
    }
}

/// A millivolt drop along a conductor path under load.
#[derive(Debug, Clone, PartialEq)]
pub struct DropReading {
    /// Nearer the source.
    pub from: Place,
    /// Nearer the load.
    pub to: Place,
    /// As displayed, load-off reading already subtracted if one was taken.
    pub value: Voltage,
    /// Current in the path at that moment, where it was clamped together with the drop.
    pub current: Option<Current>,
    /// Instrument, by the shop's own name.
    pub instrument: Option<String>,
    /// Load state by name.
    pub state: String,
}

/// A breaker opened by itself.
#[derive(Debug, Clone, PartialEq)]
pub struct TripEvent {
    /// Any pole of the breaker.
    pub slot: Slot,
    /// Current before it opened, where known.
    pub current: Option<Current>,
    /// How long that current had flowed, minutes.
    pub after_min: Option<f64>,
    /// Load state by name, where it happened in one.
    pub state: Option<String>,
}

/// Signs that can be looked for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Sign {
    /// Blue, brown or black discoloration, soot or melting at a stab, lug or terminal.
    Discoloration,
    /// Melted or browned breaker case.
    MeltedCase,
    /// Fishy or acrid smell.
    Smell,
    /// Gritty, stiff or mushy handle; no clean snap.
    RoughHandle,
    /// Buzz, sizzle or crackle under load.
    Buzz,
    /// Flicker.
    Flicker,
    /// Opens with little or no load.
    TripsWithoutLoad,
    /// Will not reset.
    WillNotReset,
    /// Rust, white powder, water trail.
    Moisture,
    /// Cover discoloured or paint bubbled.
    CoverDiscoloured,
    /// Pitted or notched stab seen with the breaker off (proven dead).
    PittedStab,
    /// Insulation baked back or browned at the terminal.
    BakedInsulation,
}

impl Sign {
    /// All signs, in the order of the papers.
    pub const ALL: [Sign; 12] = [
        Sign::Discoloration,
        Sign::MeltedCase,
        Sign::PittedStab,
        Sign::BakedInsulation,
        Sign::Smell,
        Sign::Buzz,
        Sign::Flicker,
        Sign::RoughHandle,
        Sign::TripsWithoutLoad,
        Sign::WillNotReset,
        Sign::Moisture,
        Sign::CoverDiscoloured,
    ];

    /// The word used in files.
    pub const fn word(self) -> &'static str {
        match self {
            Sign::Discoloration => "discoloration",
            Sign::MeltedCase => "melted-case",
            Sign::Smell => "smell",
            Sign::RoughHandle => "rough-handle",
            Sign::Buzz => "buzz",
            Sign::Flicker => "flicker",
            Sign::TripsWithoutLoad => "trips-without-load",
            Sign::WillNotReset => "will-not-reset",
            Sign::Moisture => "moisture",
            Sign::CoverDiscoloured => "cover-discoloured",
            Sign::PittedStab => "pitted-stab",
            Sign::BakedInsulation => "baked-insulation",
        }
    }
}

/// Where a sign was looked for.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum SignScope {
    /// At one pole (its stab, breaker and terminal together, unless the sign names the part).
    Slot(Slot),
    /// At a line lug.
    Lug(PanelId, Leg),
    /// At the neutral lug or bar.
    Neutral(PanelId),
    /// Everything fed by one leg.
    Leg(PanelId, Leg),
    /// The whole panel or house.
    Panel(PanelId),
}

/// A sign, looked for.
#[derive(Debug, Clone, PartialEq)]
pub struct SignReading {
    /// Which.
    pub sign: Sign,
    /// Where.
    pub scope: SignScope,
    /// Found, or looked for and not found.
    pub present: bool,
    /// What was seen, in words.
    pub words: String,
    /// Fact of a photo that shows it.
    pub photo: Option<FactId>,
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_whole_leg_is_read_to_neutral_either_way_round() {
        let panel = || PanelId::new("main");
        let (lug, other) = (Place::Lug(panel(), Leg::A), Place::Line(panel(), Leg::B));
        let bar = Place::NeutralBar(panel());
        let reading = |from: &Place, to: &Place| VoltageReading {
            from: from.clone(),
            to: to.clone(),
            value: Voltage::from_v(120.0),
            instrument: None,
            state: String::new(),
        };
        assert_eq!(reading(&lug, &bar).whole_leg(), Some((&panel(), Leg::A)));
        assert_eq!(reading(&bar, &other).whole_leg(), Some((&panel(), Leg::B)));
        for (from, to) in [(&lug, &other), (&lug, &Place::Earth(panel())), (&bar, &bar)] {
            assert_eq!(reading(from, to).whole_leg(), None);
        }
        assert!(reading(&lug, &other).is_leg_to_leg() && reading(&other, &lug).is_leg_to_leg());
        assert!(!reading(&lug, &bar).is_leg_to_leg() && !reading(&lug, &lug).is_leg_to_leg());
        let elsewhere = Place::Lug(PanelId::new("sub"), Leg::B);
        assert!(!reading(&lug, &elsewhere).is_leg_to_leg());
    }
}
