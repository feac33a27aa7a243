//! Straight lines laid through the full networks' answers where the draws lie.
//!
//! The tangent at the mean of the draws is right there and bends away from the networks the further off a draw is. A line laid
//! through the answers at a sample of draws by least squares (statistical linearisation) is nearer to them all over the sample, so the draws that follow it need less correction afterwards.

use super::fit::{Scale, least_squares};
use super::{ExactNetworks, Linear, N_KNOBS, Problem, View};
use crate::rng::Stream;
use crate::run::{Run, in_stretches};
use crate::sampler::Draw;

/// Terms: one, the tangent's rise, the panel's heat, each knob, each knob times the rise, and the knobs' squares and products.
const N_TERMS: usize = 3 + 2 * N_KNOBS + N_KNOBS * (N_KNOBS + 1) / 2;
/// Fewer draws than this leave the tangent as it is.
const LEAST_DRAWS: usize = 2 * N_TERMS;
/// Pull of each standardised term towards none.
const RIDGE: f64 = 0.01;
/// Stream of the random source for the knobs.
const KNOBS_STREAM: u64 = 2_000;

/// Where the terms of the knobs begin.
const ALONE: usize = 3;
const WITH_RISE: usize = ALONE + N_KNOBS;
const PRODUCTS: usize = WITH_RISE + N_KNOBS;

/// Squares and products of the knobs, in the order of their terms.
fn products() -> impl Iterator<Item = (usize, usize)> {
    (0..N_KNOBS).flat_map(|a| (0..=a).map(move |b| (a, b)))
}

/// What is known of a draw in one view.
struct Answer {
    /// Heat of each resistance, the history mixed by mean parts, W.
    heats: Vec<f64>,
    panel_heat_w: f64,
    knobs: [f64; N_KNOBS],
    /// Rise of each node above the room, K; empty where the networks have no steady state.
    rise_k: Vec<f64>,
}

impl Problem {
    /// Turns the tangents into lines through the full networks' answers at these draws. Few draws hold few values of the knobs;
    /// so the knobs are drawn anew from their prior.
    pub(crate) fn straighten(&mut self, draws: &[Draw], run: &impl Run) {
        if draws.len() < LEAST_DRAWS {
            return;
        }
        let mut stream = Stream::new(self.options.seed, KNOBS_STREAM);
        let mut drawn = || -> Vec<[f64; N_KNOBS]> {
            self.thermals
                .iter()
                .map(|_| self.knob_sd.map(|sd| sd * stream.normal().clamp(-2.5, 2.5)))
                .collect()
        };
        let draws: Vec<Draw> = draws.iter().map(|draw| Draw { knobs: drawn(), ..draw.clone() }).collect();
        let asked: Vec<usize> = (0..self.obs.len()).filter(|&idx| self.is_in_networks(idx)).collect();
        let view_of = |idx: usize| self.obs[idx].thermal.as_ref().map(|spot| spot.view);
        let views: Vec<usize> = (0..self.views.len())
            .filter(|view| asked.iter().any(|&idx| view_of(idx) == Some(*view)))
            .collect();
        let answers = in_stretches(run, &draws, |part| {
            let mut networks = ExactNetworks::new(self);
            let all = |draw| views.iter().map(|&view| self.answer(&mut networks, view, draw)).collect();
            part.iter().map(all).collect::<Vec<Vec<Answer>>>()
        });
        let lines = in_stretches(run, &asked, |part| {
            let line = |&idx: &usize| {
                let view = view_of(idx)?;
                let nth = views.iter().position(|&at| at == view)?;
                let of_view: Vec<&Answer> = answers.iter().map(|of_draw| &of_draw[nth]).collect();
                self.laid(idx, view, &of_view)
            };
            part.iter().map(line).collect()
        });
        for (idx, line) in asked.into_iter().zip(lines) {
            if let Some(line) = line {
                self.linear[idx] = line;
            }
        }
    }

    /// Do the full networks answer for an observation? A pole whose own heat is left out has no node of its own there.
    pub(crate) fn is_in_networks(&self, idx: usize) -> bool {
        self.obs[idx].thermal.as_ref().is_some_and(|spot| spot.without.is_none())
    }

    fn answer(&self, networks: &mut ExactNetworks, view: usize, draw: &Draw) -> Answer {
        let View { panel, state } = self.views[view];
        let room_c = draw.offsets[self.states[state].room_offset];
        let knobs = draw.knobs[panel];
        let solution = self.exact(networks, view, draw);
        let rise_k = solution.map_or_else(Vec::new, |solution| {
            solution.temperature_k.iter().map(|node_k| node_k - 273.15 - room_c).collect()
        });
        let heats = self.mixed_heats(view, &draw.ohm, &draw.loads);
        Answer { panel_heat_w: self.heat_inside(panel, &heats), heats, knobs, rise_k }
    }

    /// The line of one observation; `None` where the tangent serves better.
    fn laid(&self, idx: usize, view: usize, answers: &[&Answer]) -> Option<Linear> {
        let spot = self.obs[idx].thermal.as_ref()?;
        let tangents: Vec<f64> =
            answers.iter().map(|answer| self.steady_k(idx, &answer.heats, &answer.knobs)).collect();
        let full = |answer: &Answer| answer.rise_k.get(spot.node).copied().unwrap_or(f64::NAN);
        let differences: Vec<f64> =
            answers.iter().zip(&tangents).map(|(answer, tangent)| full(answer) - tangent).collect();
        let rise = Scale::of(&tangents);
        let heat = Scale::of(&answers.iter().map(|answer| answer.panel_heat_w).collect::<Vec<f64>>());
        let terms = answers.iter().zip(&tangents).map(|(answer, &tangent)| {
            let mut terms = [0.0; N_TERMS];
            terms[..3].copy_from_slice(&[1.0, rise.at(tangent), heat.at(answer.panel_heat_w)]);
            let knobs = self.in_spreads(&answer.knobs);
            for (knob, value) in knobs.into_iter().enumerate() {
                terms[ALONE + knob] = value;
                terms[WITH_RISE + knob] = value * terms[1];
            }
            for (at, (a, b)) in products().enumerate() {
                terms[PRODUCTS + at] = knobs[a] * knobs[b];
            }
            terms
        });
        let found = least_squares::<N_TERMS>(terms, &differences, RIDGE)?;
        let (of_rise, of_heat) = (found[1] / rise.spread, found[2] / heat.spread);
        // A heater stays one.
        if of_rise <= -0.5 {
            return None;
        }
        let shares = &self.thermals[self.views[view].panel].shares;
        let mut line = self.linear[idx].clone();
        let plain = line.intercept[0];
        line.intercept[0] =
            plain * (1.0 + of_rise) + found[0] - of_rise * rise.middle - of_heat * heat.middle;
        for (knob, sd) in self.knob_sd.iter().enumerate() {
            let (alone, with_rise) = (found[ALONE + knob] / sd, found[WITH_RISE + knob] / sd / rise.spread);
            line.intercept[knob + 1] =
                line.intercept[knob + 1] * (1.0 + of_rise) + alone + with_rise * (plain - rise.middle);
            for slope in &mut line.slope {
                slope[knob + 1] = slope[knob + 1] * (1.0 + of_rise) + with_rise * slope[0];
            }
        }
        for (at, (a, b)) in products().enumerate() {
            line.bent[a][b] = found[PRODUCTS + at] / (self.knob_sd[a] * self.knob_sd[b]);
        }
        for (slope, shares) in line.slope.iter_mut().zip(shares) {
            let more = if shares.is_empty() { 0.0 } else { of_heat };
            slope[0] = (slope[0] * (1.0 + of_rise) + more).max(0.0);
        }
        Some(line)
    }

    /// Rise above the room that the straight line of a thermal observation tells of these steady heats, K.
    pub(crate) fn steady_k(&self, idx: usize, heats: &[f64], knobs: &[f64; N_KNOBS]) -> f64 {
        let line = &self.linear[idx];
        let turned = |of: &[f64; N_KNOBS + 1]| -> f64 {
            knobs.iter().zip(&of[1..]).map(|(knob, change)| knob * change).sum()
        };
        let from_heat: f64 = line
            .slope
            .iter()
            .zip(heats)
            .map(|(slope, watts)| (slope[0] + turned(slope)).max(0.1 * slope[0]) * watts)
            .sum();
        line.intercept[0] + turned(&line.intercept) + line.bent_k(knobs) + from_heat
    }

    /// Knobs in their prior spreads.
    pub(crate) fn in_spreads(&self, knobs: &[f64; N_KNOBS]) -> [f64; N_KNOBS] {
        let mut turned = *knobs;
        turned.iter_mut().zip(&self.knob_sd).for_each(|(knob, sd)| *knob /= sd);
        turned
    }

    /// Heat that the resistances inside a panel give off, W.
    pub(crate) fn heat_inside(&self, panel: usize, heats: &[f64]) -> f64 {
        let shares = &self.thermals[panel].shares;
        heats.iter().zip(shares).filter(|(_, shares)| !shares.is_empty()).map(|(watts, _)| watts).sum()
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::sampler::Chain;
    use crate::{JudgeOptions, OneThread, Priors, testjob};

    /// Draws of each sample: so many that chance hardly matters.
    const N_DRAWS: usize = 240;

    /// Root mean square of what the lines are off the full networks at draws with knobs from their prior, K.
    fn off_k(p: &Problem, draws: &[Draw]) -> f64 {
        let mut networks = ExactNetworks::new(p);
        let (mut squares, mut n) = (0.0, 0.0);
        for draw in draws {
            for view in 0..p.views.len() {
                let answer = p.answer(&mut networks, view, draw);
                let here = |idx: &usize| p.obs[*idx].thermal.as_ref().is_some_and(|spot| spot.view == view);
                for idx in (0..p.obs.len()).filter(here).filter(|&idx| p.is_in_networks(idx)) {
                    let node = p.obs[idx].thermal.as_ref().map_or(0, |spot| spot.node);
                    let off = p.steady_k(idx, &answer.heats, &answer.knobs) - answer.rise_k[node];
                    squares += off * off;
                    n += 1.0;
                }
            }
        }
        libm::sqrt(squares / n)
    }

    /// At other draws than those they were laid through, and other knobs. One pair of chains alone tells little: of
    /// twelve pairs the lines were off by 0.42 to 0.85 of what the tangents were, by 0.61 together.
    #[test]
    fn lines_through_the_draws_are_nearer_than_tangents() {
        let options = JudgeOptions { seed: 1, n_sweeps: 20, n_chains: 2, ..JudgeOptions::default() };
        let priors = Priors::built_in().expect("built-in files");
        let plain = Problem::new(&testjob::eight_spaces(), priors, options);
        let (mut tangents, mut lines) = (Vec::new(), Vec::new());
        for pair in 0..6 {
            let mut problem = plain.clone();
            let draws = Chain::new(&problem, 3 + 2 * pair, 0).run(60, N_DRAWS);
            let (ohm, loads) = draws.means();
            problem.linearise(&ohm, &loads);
            let others = Chain::new(&problem, 4 + 2 * pair, 0).run(60, N_DRAWS);
            tangents.push(off_k(&problem, &others.0));
            problem.straighten(&draws.0, &OneThread);
            lines.push(off_k(&problem, &others.0));
        }
        let together = |off: &[f64]| libm::sqrt(off.iter().map(|k| k * k).sum::<f64>() / off.len() as f64);
        let (tangents, lines) = (together(&tangents), together(&lines));
        assert!(lines < 0.75 * tangents && lines < 0.2, "{lines} K against {tangents} K");
    }
}
