//! A reading that is told to a draw.

use super::drop::Redrawn;
use crate::problem::{Lag, Mode, Offset, Problem};
use crate::rng::Stream;
use crate::sampler::Draw;

/// Logarithm of how likely a reading is where this is predicted.
pub(super) fn log_density(p: &Problem, idx: usize, predicted: f64) -> f64 {
    libm::log(p.obs[idx].density(predicted, &p.errors).max(1e-300))
}

/// What changes in a draw with a reading: offsets and predictions. What is not known yet is no number.
pub(super) struct Seen {
    pub(super) offsets: Vec<f64>,
    pub(super) predicted: Vec<f64>,
    /// What was drawn anew for a drop.
    pub(super) redrawn: Option<Redrawn>,
}

/// An offset that a draw does not know yet.
struct Fresh {
    offset: usize,
    weight: f64,
    sd: f64,
}

impl Problem {
    /// Predicts a reading at a draw; gives the logarithm of how likely it is. Offsets that come with it are drawn as it has them,
    /// were its error normal (Matheron's rule), and the weight puts that right.
    pub(super) fn add_reading(&self, idx: usize, draw: &Draw, seen: &mut Seen, stream: &mut Stream) -> f64 {
        let obs = &self.obs[idx];
        let mut fresh = Vec::new();
        for &(offset, weight) in &obs.offsets {
            if seen.offsets[offset].is_nan() {
                let Offset { mean, sd, tail, .. } = self.offsets[offset];
                // Which of its two widths it has is drawn first.
                let sd = sd * tail.map_or(1.0, |tail| tail.width(stream.uniform()));
                seen.offsets[offset] = mean + sd * stream.normal();
                fresh.push(Fresh { offset, weight, sd });
            }
        }
        let by_offsets = |seen: &Seen| -> f64 {
            obs.offsets.iter().map(|&(offset, weight)| weight * seen.offsets[offset]).sum()
        };
        let rest = self.without_offsets(idx, draw);
        seen.predicted[idx] = rest + by_offsets(seen);
        let spread: f64 = fresh.iter().map(|fresh| fresh.weight * fresh.sd * fresh.weight * fresh.sd).sum();
        if spread <= 0.0 || obs.censored.is_some() {
            return log_density(self, idx, seen.predicted[idx]);
        }
        let error = obs.sigma * obs.sigma;
        let means: f64 = fresh
            .iter()
            .map(|fresh| fresh.weight * (seen.offsets[fresh.offset] - self.offsets[fresh.offset].mean))
            .sum();
        let expected = seen.predicted[idx] - means;
        let pull = (obs.value - seen.predicted[idx] - obs.sigma * stream.normal()) / (spread + error);
        for Fresh { offset, weight, sd } in fresh {
            seen.offsets[offset] += weight * sd * sd * pull;
        }
        seen.predicted[idx] = rest + by_offsets(seen);
        log_density(self, idx, seen.predicted[idx]) - log_normal(obs.value - seen.predicted[idx], error)
            + log_normal(obs.value - expected, spread + error)
    }

    /// Prediction of a reading by the straight lines, without its offsets.
    pub(super) fn without_offsets(&self, idx: usize, draw: &Draw) -> f64 {
        let obs = &self.obs[idx];
        let of_loads: f64 = obs.load_weights.iter().map(|&(load, weight)| weight * draw.loads[load]).sum();
        let of_networks = match obs.mode {
            Mode::Thermal => self.line_at(idx, draw),
            Mode::Electrical => {
                let voltage = |&(res, _): &(usize, f64)| self.per_ohm(idx, res, draw) * draw.ohm[res];
                obs.weights.iter().map(voltage).sum()
            }
            Mode::CurrentSum => 0.0,
        };
        obs.constant + of_loads + of_networks
    }

    /// Rise above the room by the straight line of a thermal reading, K.
    fn line_at(&self, idx: usize, draw: &Draw) -> f64 {
        let Some(spot) = &self.obs[idx].thermal else { return 0.0 };
        let (line, knobs) = (&self.linear[idx], &draw.knobs[self.views[spot.view].panel]);
        let of_knobs: f64 = knobs.iter().zip(&line.intercept[1..]).map(|(knob, change)| knob * change).sum();
        let of_heats: f64 =
            (0..line.slope.len()).map(|res| self.per_ohm(idx, res, draw) * draw.ohm[res]).sum();
        line.intercept[0] + of_knobs + line.bent_k(knobs) + of_heats
    }

    /// How a reading goes with a resistance at a draw: V or K per Ω, the stretches of the history by their parts.
    pub(super) fn per_ohm(&self, idx: usize, res: usize, draw: &Draw) -> f64 {
        let obs = &self.obs[idx];
        match (&obs.thermal, obs.mode) {
            (Some(spot), Mode::Thermal) => {
                let (line, knobs) = (&self.linear[idx], &draw.knobs[self.views[spot.view].panel]);
                let slope = &line.slope[res];
                if slope[0] == 0.0 {
                    return 0.0;
                }
                let turned: f64 = knobs.iter().zip(&slope[1..]).map(|(knob, change)| knob * change).sum();
                let part = |lag: &Lag| {
                    let current = self.current(lag.state, res, &draw.loads);
                    lag.share[res] * current * current
                };
                let slope = (slope[0] + turned).max(0.1 * slope[0]) * self.answers_more(idx, res, draw);
                slope * line.lags.iter().map(part).sum::<f64>()
            }
            (_, Mode::Electrical) => {
                let Some(&(_, weight)) = obs.weights.iter().find(|&&(at, _)| at == res) else { return 0.0 };
                let clamped = obs.own_current.iter().find(|&&(at, _)| at == res);
                weight
                    * clamped
                        .map_or_else(|| self.current(obs.state, res, &draw.loads), |&(_, current)| current)
            }
            _ => 0.0,
        }
    }
}

/// Logarithm of a normal density, but for its constant.
fn log_normal(away: f64, variance: f64) -> f64 {
    -0.5 * (away * away / variance + libm::log(variance))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::sampler::Chain;
    use crate::{JudgeOptions, Priors, testjob};

    /// A reading told to a draw is predicted as the chain predicts it.
    #[test]
    fn a_told_reading_is_predicted_as_by_the_chain() {
        let mut job = testjob::eight_spaces();
        testjob::observe(&mut job, testjob::drop(8, 7, 60.0, "evening"));
        let options = JudgeOptions { seed: 1, n_sweeps: 20, n_chains: 2, ..JudgeOptions::default() };
        let problem = Problem::new(&job, Priors::built_in().expect("built-in files"), options);
        let draws = Chain::new(&problem, 3, 0).run(5, 20);
        assert!(problem.obs.iter().any(|obs| obs.mode == Mode::Thermal));
        for draw in &draws.0 {
            for idx in 0..problem.obs.len() {
                let (offsets, predicted) = (draw.offsets.clone(), draw.predicted.clone());
                let mut again = Seen { offsets, predicted, redrawn: None };
                again.predicted[idx] = f64::NAN;
                let log = problem.add_reading(idx, draw, &mut again, &mut Stream::new(1, 1));
                assert!((again.predicted[idx] - draw.predicted[idx]).abs() < 1e-6, "{idx}");
                assert!((log - log_density(&problem, idx, draw.predicted[idx])).abs() < 1e-6, "{idx}");
            }
        }
    }
}
