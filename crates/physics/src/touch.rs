//! From what a bare hand felt on a breaker's face to an interval of the face's temperature.

use crate::range::{OutOfRange, within};
use model::evidence::{Feel, TouchReading};
use model::{Cite, Standing, Temperature};

/// What the hand touched.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Touched {
    /// Plastic: the face of a breaker.
    Plastic,
    /// Metal trim or cover.
    Metal,
}

/// Low, middle and high heat penetration coefficient, J/(m²·K·√s).
type Effusivity = (f64, f64, f64);

/// Of skin.
const SKIN: Effusivity = (1000.0, 1200.0, 1500.0);
/// Skin before contact, °C: 32 to 34.
const SKIN_C: f64 = 33.0;
/// Of phenolic and thermoset cases.
const PLASTIC: Effusivity = (600.0, 700.0, 900.0);
/// Of steel, and of aluminium and copper at the upper end.
const METAL: Effusivity = (13_000.0, 24_000.0, 37_000.0);

/// Receptors fire: hot, °C (Stoll & Greene 1959).
const HOT_C: f64 = 43.2;
/// Pain, °C (Hardy 1953: 45.7 ± 1.7).
const PAIN_C: f64 = 45.7;
/// Instant withdrawal, °C.
const WITHDRAWAL_C: f64 = 50.0;
/// Below it nothing feels warm, °C.
const WARM_C: f64 = 34.0;

/// Why a touch says nothing.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
pub enum TouchError {
    /// Glove, callus, cold or wet hand, or too short.
    #[error("a glove, callus, cold or wet hand, or less than a second of contact: the touch says nothing")]
    Void,
}

/// Source of the sensation thresholds and of the heat penetration coefficients.
pub fn cite() -> Cite {
    Cite::new(
        "Hardy 1953, Stoll & Greene 1959, Defrin 2006 as tabulated in a review (PMC8300848, table 4)",
        "thresholds of skin; heat penetration coefficients from memory of materials tables",
        Standing::Derived,
    )
}

/// Temperature of a surface that brings the skin to a contact temperature.
///
/// ```text
/// T_m = T_i + (b_s/b_m)(T_i − T_s)
/// ```
///
/// | symbol | here        | meaning                                        | unit         |
/// |--------|-------------|------------------------------------------------|--------------|
/// | T_i    | `contact`   | temperature where skin and surface meet        | °C           |
/// | T_s    | `skin`      | skin before contact                            | °C           |
/// | b_s    | `b_skin`    | heat penetration coefficient √(kρc) of skin    | J/(m²·K·√s)  |
/// | b_m    | `b_surface` | the same of the surface                        | J/(m²·K·√s)  |
/// | T_m    | returned    | temperature of the surface                     | °C           |
///
/// - **Source:** contact of two half-spaces, textbook; review of skin data PMC8300848.
/// - **Valid:** the first 1 to 3 s on a thick body; later the skin warms towards the surface.
/// - **Checked:** `tests/reference/tests/physics/touch.rs`.
pub fn surface_temperature(
    contact: Temperature,
    skin: Temperature,
    b_skin: f64,
    b_surface: f64,
) -> Result<Temperature, OutOfRange> {
    let t_s = within("skin", skin.c(), "°C", (20.0, 40.0), "living skin")?;
    let t_i = within("contact temperature", contact.c(), "°C", (t_s, 80.0), "from skin to a burn")?;
    let b_s = within("b of skin", b_skin, "J/(m²·K·√s)", (800.0, 2000.0), "skin, 1000 to 1500")?;
    let b_m = within("b of surface", b_surface, "J/(m²·K·√s)", (100.0, 40_000.0), "foam to copper")?;
    Ok(Temperature::from_c(t_i + b_s / b_m * (t_i - t_s)))
}

/// Temperatures of a face that a sensation allows.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct FaceInterval {
    /// Not below, if bounded.
    pub low: Option<Temperature>,
    /// With middle values of skin and surface, where the sensation has a threshold of its own.
    pub centre: Option<Temperature>,
    /// Not above, if bounded.
    pub high: Option<Temperature>,
}

fn threshold(contact_c: f64, surface: Effusivity) -> (f64, f64, f64) {
    let at = |b_s: f64, b_m: f64| contact_c + b_s / b_m * (contact_c - SKIN_C);
    (at(SKIN.0, surface.2), at(SKIN.1, surface.1), at(SKIN.2, surface.0))
}

/// Interval of a face's temperature from what a bare hand felt.
///
/// ```text
/// T_m = T_i + (b_s/b_m)(T_i − T_s) at T_i = 43.2 (hot), 45.7 (pain), 50 °C (withdrawal)
/// ```
///
/// | symbol | here      | meaning                                   | unit |
/// |--------|-----------|-------------------------------------------|------|
/// | T_i    | of `feel` | skin temperature at which it is felt      | °C   |
/// | b_s/b_m | of `touched` | skin 1000–1500, plastic 600–900, metal 13 000–37 000 | – |
///
/// - **Source:** [`cite`].
/// - **Valid:** bare dry hand, first 1 to 3 s. In a long hold every threshold slides down to 43–45 °C. "Too hot to
///   hold" on plastic covers about 60 to 80 °C, which a sound, fully loaded breaker may reach: never a verdict.
/// - **Checked:** `tests/reference/tests/physics/touch.rs`.
pub fn interval_for(feel: Feel, touched: Touched) -> FaceInterval {
    let surface = match touched {
        Touched::Plastic => PLASTIC,
        Touched::Metal => METAL,
    };
    let c = |value: f64| Some(Temperature::from_c(value));
    let from =
        |(low, centre, high): (f64, f64, f64)| FaceInterval { low: c(low), centre: c(centre), high: c(high) };
    match feel {
        Feel::NotWarm => FaceInterval { low: None, centre: None, high: c(WARM_C) },
        Feel::Warm => FaceInterval { low: c(WARM_C), centre: None, high: c(threshold(HOT_C, surface).0) },
        Feel::Hot => from(threshold(HOT_C, surface)),
        Feel::Pain => from(threshold(PAIN_C, surface)),
        Feel::Withdrawn => FaceInterval { high: None, ..from(threshold(WITHDRAWAL_C, surface)) },
    }
}

/// Interval of a breaker face's temperature from a recorded touch; refused where the touch is void.
///
/// ```text
/// as interval_for, plastic
/// ```
///
/// | symbol | here      | meaning   | unit |
/// |--------|-----------|-----------|------|
/// | –      | `reading` | the touch | –    |
///
/// - **Source:** [`cite`].
/// - **Valid:** as [`interval_for`].
/// - **Checked:** `tests/reference/tests/physics/touch.rs`.
pub fn face_interval(reading: &TouchReading) -> Result<FaceInterval, TouchError> {
    if reading.void { Err(TouchError::Void) } else { Ok(interval_for(reading.feel, Touched::Plastic)) }
}
