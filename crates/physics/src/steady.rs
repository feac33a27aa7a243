//! How long to wait for steady heat, and what to make of a reading taken earlier.

use crate::between::Between;
use crate::range::{OutOfRange, within};
use model::{Cite, Standing};

/// Bodies with a thermal time constant of their own.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Body {
    /// Touching spots of a joint.
    Spot,
    /// Bimetal of a breaker of 15 to 50 A.
    Bimetal,
    /// Breaker body and face.
    BreakerBody,
    /// Bus and lugs.
    Bus,
    /// Air and steel of the cabinet.
    Enclosure,
}

/// Source of the time constants.
pub fn cite() -> Cite {
    Cite::new(
        "",
        "breaker body from 125 J/K and 0.1 W/K, spot from a²/κ; the others from memory",
        Standing::Judgement,
    )
}

/// Time constant of a body, s, as an interval.
///
/// ```text
/// τ = C/G
/// ```
///
/// | symbol | here   | meaning        | unit |
/// |--------|--------|----------------|------|
/// | C      | –      | heat capacity  | J/K  |
/// | G      | –      | conductance to the surroundings | W/K |
/// | τ      | returned | time constant | s   |
///
/// - **Source:** [`cite`].
/// - **Valid:** orders of magnitude; a body in a panel has several time constants.
/// - **Checked:** no published check was found.
pub const fn time_constant_s(body: Body) -> Between<f64> {
    match body {
        Body::Spot => Between::new(1e-5, 1e-3),
        Body::Bimetal => Between::new(60.0, 600.0),
        Body::BreakerBody => Between::new(900.0, 1800.0),
        Body::Bus => Between::new(600.0, 1800.0),
        Body::Enclosure => Between::new(1800.0, 5400.0),
    }
}

/// Minutes to hold a load before a face is read: three time constants of a breaker body of 20 min, 95 %.
pub const HOLD_MIN: f64 = 60.0;

/// Share of the final rise that is there after a time.
///
/// ```text
/// θ(t)/θ_∞ = 1 − e^(−t/τ)
/// ```
///
/// | symbol | here    | meaning        | unit |
/// |--------|---------|----------------|------|
/// | t      | `t_s`   | time since the load came on | s |
/// | τ      | `tau_s` | time constant  | s    |
///
/// - **Source:** first-order thermal body.
/// - **Valid:** constant load from cold.
/// - **Checked:** `tests/reference/tests/physics/steady.rs`.
pub fn share_reached(t_s: f64, tau_s: f64) -> Result<f64, OutOfRange> {
    let t = within("time", t_s, "s", (0.0, 1e7), "days")?;
    let tau = within("time constant", tau_s, "s", (1e-6, 1e5), "parts of panels")?;
    Ok(-libm::expm1(-t / tau))
}

/// Final rise from one early reading, over an interval of time constants, K.
///
/// ```text
/// θ_∞ = θ(t)/(1 − e^(−t/τ))
/// ```
///
/// | symbol | here     | meaning                     | unit |
/// |--------|----------|-----------------------------|------|
/// | θ(t)   | `rise_k` | rise at the reading         | K    |
/// | t      | `t_s`    | time since the load came on | s    |
/// | τ      | `tau_s`  | time constants, low to high | s    |
///
/// - **Source:** first-order thermal body.
/// - **Valid:** constant load from cold; t at least half of the largest time constant, or the correction is over
///   2.5 times and is refused.
/// - **Checked:** `tests/reference/tests/physics/steady.rs`.
pub fn final_rise_k(rise_k: f64, t_s: f64, tau_s: Between<f64>) -> Result<Between<f64>, OutOfRange> {
    let rise = within("rise", rise_k, "K", (0.0, 1000.0), "solid parts of a panel")?;
    let whose = "half a time constant; earlier, wait";
    let t = within("time under load", t_s, "s", (0.5 * tau_s.high, 1e7), whose)?;
    Ok(Between::spanning(rise / share_reached(t, tau_s.low)?, rise / share_reached(t, tau_s.high)?))
}

/// Why three readings give no final value.
#[derive(Debug, Clone, Copy, PartialEq, thiserror::Error)]
pub enum ThreeReadingsError {
    /// The steps do not shrink.
    #[error(
        "steps of {first_k} K and then {second_k} K do not shrink in one direction: no final value can be told \
         from them"
    )]
    NotSettling {
        /// First step, K.
        first_k: f64,
        /// Second step, K.
        second_k: f64,
    },
    /// Steps too close to each other.
    #[error(
        "the second step is {share} of the first; above {} the final value hangs on the noise",
        LARGEST_STEP_RATIO
    )]
    TooEarly {
        /// Second step over the first.
        share: f64,
    },
}

/// Largest ratio of the second step to the first that is still extrapolated (spacing of a fifth of τ).
pub const LARGEST_STEP_RATIO: f64 = 0.82;

/// Final value from three readings at equal spacing.
///
/// ```text
/// θ_∞ = (θ2² − θ1·θ3)/(2θ2 − θ1 − θ3)
/// ```
///
/// | symbol      | here | meaning                              | unit |
/// |-------------|------|--------------------------------------|------|
/// | θ1, θ2, θ3  | `readings_k` | readings, earliest first, equal times apart | K or °C |
///
/// - **Source:** geometric extrapolation of a first-order body; holds for any origin of the scale.
/// - **Valid:** steps of one sign that shrink to at most 0.82 of the one before.
/// - **Checked:** `tests/reference/tests/physics/steady.rs`.
pub fn final_from_three(readings_k: [f64; 3]) -> Result<f64, ThreeReadingsError> {
    let [one, two, three] = readings_k;
    let (first_k, second_k) = (two - one, three - two);
    let share = second_k / first_k;
    if !(0.0..1.0).contains(&share) {
        return Err(ThreeReadingsError::NotSettling { first_k, second_k });
    }
    if LARGEST_STEP_RATIO < share {
        return Err(ThreeReadingsError::TooEarly { share });
    }
    // The printed form loses digits on an absolute scale; measured from the last reading it is the same.
    Ok(three + second_k * share / (1.0 - share))
}
