//! When a joint heats itself out of hand: by its temperature coefficient, and by growth of its resistance.

use crate::between::Between;
use crate::range::{OutOfRange, positive, within};
use model::{Cite, Current, Resistance, Standing, Voltage};

/// Why a steady rise cannot be given.
#[derive(Debug, Clone, Copy, PartialEq, thiserror::Error)]
pub enum RunawayError {
    /// No steady state exists.
    #[error(
        "at {current_a} A there is no steady temperature: runaway begins at {critical_a} A for this joint"
    )]
    Runaway {
        /// Current, A.
        current_a: f64,
        /// Critical current, A.
        critical_a: f64,
    },
    /// Outside a range.
    #[error(transparent)]
    Range(#[from] OutOfRange),
}

fn checked(conductance_w_k: f64, alpha_per_k: f64, cold: Resistance) -> Result<(f64, f64, f64), OutOfRange> {
    Ok((
        within("heat conductance", conductance_w_k, "W/K", (1e-4, 100.0), "joints of panels")?,
        within("temperature coefficient", alpha_per_k, "1/K", (1e-5, 1e-2), "metals")?,
        positive("cold resistance", cold.ohm(), "Ω")?,
    ))
}

/// Current above which a joint of linear resistance has no steady temperature.
///
/// ```text
/// I_c = √[G/(α R0)]
/// ```
///
/// | symbol | here              | meaning                              | unit |
/// |--------|-------------------|--------------------------------------|------|
/// | G      | `conductance_w_k` | heat conductance from joint to surroundings | W/K |
/// | α      | `alpha_per_k`     | temperature coefficient of resistance | 1/K |
/// | R0     | `cold`            | resistance at the surroundings' temperature | Ω |
///
/// - **Source:** derived from the heat balance G θ = I² R0 (1 + α θ).
/// - **Valid:** linear G and α. At residential currents I_c is far above any load, so the temperature
///   coefficient alone does not make a joint run away; lasting growth of its resistance does.
/// - **Checked:** `tests/reference/tests/physics/runaway.rs`.
pub fn critical_current(
    conductance_w_k: f64,
    alpha_per_k: f64,
    cold: Resistance,
) -> Result<Current, OutOfRange> {
    let (g, alpha, r0) = checked(conductance_w_k, alpha_per_k, cold)?;
    Ok(Current::from_a((g / (alpha * r0)).sqrt()))
}

/// Steady rise of a joint with its temperature coefficient, K.
///
/// ```text
/// θ = I² R0/(G − α I² R0)
/// ```
///
/// | symbol | here              | meaning                              | unit |
/// |--------|-------------------|--------------------------------------|------|
/// | I      | `current`         | current, rms                         | A    |
/// | R0, G, α | as in [`critical_current`] |                           |      |
/// | θ      | returned          | rise over the surroundings           | K    |
///
/// - **Source:** derived, as [`critical_current`].
/// - **Valid:** below the critical current; at and above it the call is refused.
/// - **Checked:** `tests/reference/tests/physics/runaway.rs`.
pub fn steady_rise_k(
    conductance_w_k: f64,
    alpha_per_k: f64,
    cold: Resistance,
    current: Current,
) -> Result<f64, RunawayError> {
    let (g, alpha, r0) = checked(conductance_w_k, alpha_per_k, cold)?;
    let i = within("current", current.a(), "A", (0.0, 1e5), "panels")?;
    let critical_a = critical_current(conductance_w_k, alpha_per_k, cold)?.a();
    if critical_a <= i {
        return Err(RunawayError::Runaway { current_a: i, critical_a });
    }
    Ok(i * i * r0 / (g - alpha * i * i * r0))
}

/// Change of joint voltage since new at which tin-plated power contacts became unstable.
pub const ONSET_CHANGE_MV: Between<f64> = Between::new(10.0, 30.0);

/// Mean of those changes, mV.
pub const ONSET_CHANGE_MEAN_MV: f64 = 28.0;

/// Source of the onset.
pub fn onset_cite() -> Cite {
    Cite::new(
        "public note on connector degradation, after Malucci & Ruffino, current rating of power connectors by a \
         voltage-drop criterion",
        "small tin-plated power contacts; statistical, not for a single contact",
        Standing::Published,
    )
}

/// Growth of resistance, at a current, that amounts to the onset of instability.
///
/// ```text
/// ΔR = ΔV_onset/I
/// ```
///
/// | symbol   | here      | meaning                                   | unit |
/// |----------|-----------|-------------------------------------------|------|
/// | ΔV_onset | [`ONSET_CHANGE_MV`] | change of joint voltage since new | mV  |
/// | I        | `current` | current at which the joint is used        | A    |
///
/// - **Source:** [`onset_cite`]; the division is ours.
/// - **Valid:** measured on small tin-plated contacts; carrying it over to stabs and lugs is a judgement.
/// - **Checked:** `tests/reference/tests/physics/runaway.rs`.
pub fn onset_growth(current: Current) -> Result<Between<Resistance>, OutOfRange> {
    let i = within("current", current.a(), "A", (0.5, 2000.0), "panels; below, the readings are noise")?;
    Ok(ONSET_CHANGE_MV.map(|mv| Resistance::from_mohm(mv / i)))
}

/// What a change of joint voltage between two visits at equal current says.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Growth {
    /// No growth above the instrument's noise.
    None,
    /// Growth, below the onset of instability.
    Growing,
    /// Within the band where tin-plated contacts became unstable.
    OnsetBand,
    /// Above that band.
    Unstable,
}

/// Classifies the change of a joint's voltage between two visits at equal current.
///
/// ```text
/// ΔV ≤ noise | < 10 mV | ≤ 30 mV | above
/// ```
///
/// | symbol | here       | meaning                                       | unit |
/// |--------|------------|-----------------------------------------------|------|
/// | ΔV     | `later` − `first` | change of joint voltage, solid metal subtracted | mV |
/// | noise  | `noise`    | smallest change the instrument can tell       | mV   |
///
/// - **Source:** [`onset_cite`].
/// - **Valid:** same probes, same points, same current, steady.
/// - **Checked:** unit tests beside it.
pub fn growth(first: Voltage, later: Voltage, noise: Voltage) -> Growth {
    let change_mv = later.mv() - first.mv();
    if change_mv <= noise.mv() {
        Growth::None
    } else if change_mv < ONSET_CHANGE_MV.low {
        Growth::Growing
    } else if change_mv <= ONSET_CHANGE_MV.high {
        Growth::OnsetBand
    } else {
        Growth::Unstable
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn bands_of_growth() {
        let at = |mv| growth(Voltage::from_mv(5.0), Voltage::from_mv(mv), Voltage::from_mv(0.5));
        assert_eq!([at(4.0), at(5.4), at(9.0), at(16.0), at(40.0)], {
            use Growth::*;
            [None, None, Growing, OnsetBand, Unstable]
        });
    }

    #[test]
    fn rise_grows_without_bound_towards_the_critical_current() {
        let cold = Resistance::from_mohm(5.0);
        let critical = critical_current(0.1, 4e-3, cold).unwrap().a();
        let near = steady_rise_k(0.1, 4e-3, cold, Current::from_a(0.999 * critical)).unwrap();
        let half = steady_rise_k(0.1, 4e-3, cold, Current::from_a(0.5 * critical)).unwrap();
        assert!(300.0 * half < near);
        let beyond = steady_rise_k(0.1, 4e-3, cold, Current::from_a(critical * 1.0001));
        assert!(matches!(beyond, Err(RunawayError::Runaway { .. })));
    }
}
