//! Is the voltage of the supply itself out of range?
//!
//! A failing path throws the legs apart. Where both are high, or both low, it is what the supply gives. Range: 110 to 127 V leg to
//! neutral, 220 to 254 V leg to leg (ANSI C84.1, service voltage, Range B; value from memory).

use super::Problem;
use super::dead_leg::DEAD_V;
use crate::rng::normal_below;
use model::Leg;
use model::evidence::VoltageReading;

const LEAST_V: f64 = 110.0;
const MOST_V: f64 = 127.0;

/// A state in which the supply was out of range.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct OffVoltage {
    /// Probability that it was so.
    pub(crate) chance: f64,
    /// The readings and what they are, in words.
    pub(crate) words: String,
}

impl Problem {
    /// The state whose voltages are likeliest out of range, on both legs in the same direction; `None` where nothing was read
    /// that tells of both.
    pub(crate) fn off_voltage(&self) -> Option<OffVoltage> {
        let states = self.states.iter().filter_map(|state| self.off_voltage_in(&state.name));
        states.max_by(|one, other| one.chance.total_cmp(&other.chance))
    }

    fn off_voltage_in(&self, state: &str) -> Option<OffVoltage> {
        let readings: Vec<&VoltageReading> =
            self.job.voltages_in(state).filter(|reading| self.fed(reading.from.panel()).is_none()).collect();
        let volts = |reading: &&VoltageReading| reading.value.v().abs();
        let of_leg = |leg: Leg| {
            let read = readings.iter().rfind(|reading| reading.whole_leg().is_some_and(|(_, on)| on == leg));
            read.map(volts)
        };
        let across = readings.iter().rfind(|reading| reading.is_leg_to_leg()).map(volts);
        let (low, high, words) = match (of_leg(Leg::A), of_leg(Leg::B), across) {
            (Some(a), Some(b), _) => (a.min(b), a.max(b), format!("{a:.1} and {b:.1} V leg to neutral")),
            (None, None, Some(across)) => (0.5 * across, 0.5 * across, format!("{across:.1} V leg to leg")),
            _ => return None,
        };
        if low < DEAD_V {
            return None;
        }
        let error = libm::hypot(self.priors.instrument.volt_v, self.priors.instrument.drift_v);
        let chance = normal_below((LEAST_V - high) / error).max(normal_below((low - MOST_V) / error));
        Some(OffVoltage { chance, words: format!("{words} in \"{state}\": out of range on both legs alike") })
    }
}
