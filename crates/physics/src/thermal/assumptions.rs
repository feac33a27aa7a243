//! What the thermal network of a panel assumes, as data with standing, and the knobs that inference may turn.

use model::Standing;

/// One assumed value.
#[derive(Debug, Clone, PartialEq)]
pub struct Assumption {
    /// What it is.
    pub name: &'static str,
    /// Value.
    pub value: f64,
    /// Unit.
    pub unit: &'static str,
    /// Where it comes from.
    pub source: &'static str,
    /// How far it was checked.
    pub standing: Standing,
}

macro_rules! assumptions {
    ($($(#[$doc:meta])* $constant:ident = $value:expr, $unit:literal, $name:literal, $standing:ident, $source:literal;)+) => {
        $($(#[$doc])* pub(super) const $constant: f64 = $value;)+
        /// Every assumed value of the thermal network, for the papers.
        pub static ASSUMPTIONS: &[Assumption] = &[$(Assumption {
            name: $name, value: $value, unit: $unit, source: $source, standing: Standing::$standing,
        },)+];
    };
}

assumptions! {
    FACE_AREA_M2 = 1.5e-3, "m²", "face of a full-width pole showing through the dead front", Judgement,
        "25 mm by 60 mm as measured on ordinary one-inch poles";
    FACE_HEIGHT_M = 0.06, "m", "height of that face", Judgement, "as the area";
    BODY_AREA_M2 = 5.0e-3, "m²", "other surface of a pole that sheds heat to cabinet air", Judgement,
        "with the face it gives about 0.1 W/K a breaker, the value behind a body time constant near 20 min";
    BODY_HEIGHT_M = 0.07, "m", "height of that surface", Judgement, "depth of an ordinary pole";
    PLASTIC_EMISSIVITY = 0.92, "–", "emissivity of breaker cases", FromMemory, "phenolic and thermoset cases 0.90 to 0.95";
    BODY_FACE_W_K = 0.09, "W/K", "path from the current-carrying parts to the face", Judgement,
        "1.75e-3 m² of 5 mm plastic at 0.25 W/(m·K)";
    NEIGHBOUR_W_K = 0.10, "W/K", "path between poles one above the other", Judgement,
        "two 2 mm walls and a 0.3 mm gap over 60 mm by 70 mm, less the parts that do not touch";
    JAW_BODY_W_K = 0.10, "W/K", "path from jaw to the inside of a 20 A pole", Judgement,
        "copper strap of about 3 mm² over 30 mm and plastic beside it";
    TERMINAL_BODY_W_K = 0.12, "W/K", "path from the load terminal to the inside of a 20 A pole", Judgement,
        "as the jaw, shorter";
    CONTACT_W_K = 0.10, "W/K", "path from jaw to finger beside the contact spots", Judgement,
        "air gap over 1 cm² and a sound contact by the Wiedemann-Franz law";
    NECK_W_K = 0.25, "W/K", "neck between stab finger and bus bar", Judgement, "2 to 10 K/W, taken near 4 K/W";
    BAR_AREA_M2 = 8.1e-5, "m²", "cross-section of a bus bar", Judgement, "1/8 in by 1 in";
    ROW_PITCH_M = 0.0254, "m", "distance from row to row", CommonPractice, "one inch a pole";
    BAR_FILM_AREA_M2 = 1.2e-3, "m²", "surface of bus bar a row that sheds heat to cabinet air", Judgement,
        "both sides of a 1 in bar, half of it covered";
    BAR_EMISSIVITY = 0.2, "–", "emissivity of an aged plated bar", FromMemory, "aluminium heavily oxidised 0.2 to 0.31";
    LUG_BUS_W_K = 0.8, "W/K", "path from a line lug to its bus bar", Judgement, "short bar of the bus section";
    WIRE_FILM_W_M2_K = 11.0, "W/(m²·K)", "film coefficient of a branch wire in cabinet air", FromMemory,
        "combined film coefficient of small painted or plastic parts indoors, 8 to 12";
    COPPER_W_M_K = 390.0, "W/(m·K)", "conductivity of copper", Published, "ETP copper, CRC tables";
    ALUMINIUM_W_M_K = 215.0, "W/(m·K)", "conductivity of bus aluminium", FromMemory, "alloys 6101 and 6063, 210 to 218";
    COPPER_OHM_M = 1.90e-8, "Ω·m", "resistivity of copper wire at 45 °C", Derived,
        "1.7241e-8 at 20 °C (100 % IACS) with 3.93e-3 /K";
    ALUMINIUM_OHM_M = 3.11e-8, "Ω·m", "resistivity of aluminium wire at 45 °C", Derived,
        "2.826e-8 at 20 °C (61 % IACS) with 4.03e-3 /K";
    BUS_ALUMINIUM_OHM_M = 3.4e-8, "Ω·m", "resistivity of bus aluminium at 45 °C", Derived, "55 to 57 % IACS at 20 °C";
    ELECTRONICS_W = 0.8, "W", "own heat of arc-fault or ground-fault electronics", Judgement, "such breakers run warm without load";
    CABINET_K = 0.607, "K/W^0.804", "constant of the enclosure law at 1 m² of effective surface", FromMemory,
        "IEC TR 60890, k = 0.607·Ae^-0.744 fits its table within 1.5 %";
    CABINET_EXPONENT = -0.744, "–", "exponent of the effective surface in that law", FromMemory, "as above";
}

/// Multipliers on groups of assumed values; 1 leaves them as they are. Inference treats them as unknown.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Knobs {
    /// On the area of every breaker surface.
    pub film: f64,
    /// On what the cabinet sheds at a given rise.
    pub cabinet: f64,
    /// On the paths inside and between breakers.
    pub path: f64,
    /// On the path from jaw over finger to the bus bar.
    pub neck: f64,
}

impl Default for Knobs {
    fn default() -> Self {
        Knobs { film: 1.0, cabinet: 1.0, path: 1.0, neck: 1.0 }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_assumption_has_a_source() {
        for assumption in ASSUMPTIONS {
            assert!(!assumption.source.is_empty() && assumption.value.is_finite(), "{}", assumption.name);
        }
    }
}
