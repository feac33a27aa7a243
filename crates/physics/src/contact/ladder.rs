//! What the voltage across one joint says about its metal, step by step.

use model::{Cite, Standing, Voltage};

/// Steps of the ladder, lowest first.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Step {
    /// Nothing remarkable.
    Normal,
    /// More than a sound joint shows, below any softening.
    Raised,
    /// Tin softens, aluminium and copper begin to.
    TinSoftens,
    /// Tin melts.
    TinMelts,
    /// Above the melting of tin, below that of aluminium.
    TinGone,
    /// Aluminium melts.
    AluminiumMelts,
    /// Copper melts.
    CopperMelts,
    /// Film, glow or arc; no metallic contact.
    NotMetallic,
}

impl Step {
    /// A phrase for the papers.
    pub const fn phrase(self) -> &'static str {
        match self {
            Step::Normal => "normal",
            Step::Raised => "raised; no metal softens yet",
            Step::TinSoftens => "tin softens at the touching spots",
            Step::TinMelts => "tin melts at the touching spots",
            Step::TinGone => "tin has melted at the touching spots; aluminium has not",
            Step::AluminiumMelts => "aluminium melts at the touching spots",
            Step::CopperMelts => "copper melts at the touching spots",
            Step::NotMetallic => "no metal-to-metal contact: film, glow or arc",
        }
    }
}

/// Step of a steady joint voltage, rms, solid metal subtracted.
///
/// ```text
/// < 3 mV | < 50 | < 90 | < 130 | < 200 | < 300 | < 450 mV | above
/// ```
///
/// | symbol | here  | meaning              | unit |
/// |--------|-------|----------------------|------|
/// | –      | `rms` | voltage of one joint | V    |
///
/// - **Source:** derived from Holm's relation at a body of 300 K, rms to peak; the 3 mV are a judgement.
/// - **Valid:** one joint, steady voltage. `None` for a negative or non-finite voltage.
/// - **Checked:** `tests/reference/tests/physics/contact.rs`.
pub fn step(rms: Voltage) -> Option<Step> {
    let mv = rms.mv();
    if !mv.is_finite() || mv < 0.0 {
        return None;
    }
    Some(match mv {
        mv if mv < 3.0 => Step::Normal,
        mv if mv < 50.0 => Step::Raised,
        mv if mv < 90.0 => Step::TinSoftens,
        mv if mv <= 130.0 => Step::TinMelts,
        mv if mv < 200.0 => Step::TinGone,
        mv if mv < 300.0 => Step::AluminiumMelts,
        mv if mv < 450.0 => Step::CopperMelts,
        _ => Step::NotMetallic,
    })
}

/// Source of the ladder.
pub fn cite() -> Cite {
    Cite::new("voltage–temperature relation of metallic contacts (Holm)", "body at 300 K", Standing::Derived)
}
