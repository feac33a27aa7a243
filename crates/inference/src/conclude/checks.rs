//! The next best safe check: expected information about the joints' conditions per minute, at the exposure the
//! record says was reached. Nothing here asks for a breaker to be pulled.

use super::load_checks::LOAD_AND_READ;
use super::{Posterior, interval};
use crate::problem::{LoadLaw, Mode, Obs, ResKind};
use crate::run::{Run, in_stretches};
use model::advice::CheckAdvice;
use model::assessment::JointFinding;
use model::breaker::Handle;
use model::evidence::Observed;
use model::job::Exposure;
use model::joint::JointId;
use model::place::Place;
use model::{Slot, Space};
use std::cmp::Ordering;
use std::collections::BTreeSet;

/// Checks listed.
const N_CHECKS: usize = 5;
/// Checks that every face of the program shows.
const N_SHOWN: usize = 4;
/// A check that tells less is not listed, bits.
const LEAST_BITS: f64 = 0.004;
/// A reading that is wrong with this probability is worth taking again.
const DOUBTED: f64 = 0.1;
/// Part of the square of its own spread by which a reading is smoothed beside its error.
const SMOOTHED: f64 = 0.06;

/// A check that could be made and what it would read at each looked-at draw.
pub(super) struct Candidate {
    pub(super) advice: CheckAdvice,
    pub(super) reads: Vec<f64>,
    pub(super) sigma: f64,
    pub(super) unit: &'static str,
    /// Joints it may tell about.
    pub(super) about: Vec<usize>,
}

/// Millivolts from one place to another at each looked-at draw, their error, and the joints between.
pub(super) struct Lost {
    pub(super) reads: Vec<f64>,
    pub(super) sigma: f64,
    pub(super) joints: Vec<usize>,
}

/// What there is already of a reading.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Taken {
    Not,
    /// Once or more, and each time it may well be wrong.
    Doubted,
    Stands,
}

impl Taken {
    pub(super) const fn words(self) -> &'static str {
        match self {
            Taken::Doubted => " What was read there may be wrong: take it again with care.",
            Taken::Not | Taken::Stands => "",
        }
    }
}

impl Posterior<'_> {
    pub(crate) fn next_checks(
        &self,
        joints: &[JointFinding],
        wrong: &[f64],
        run: &impl Run,
    ) -> Vec<CheckAdvice> {
        let mut candidates = Vec::new();
        if let Some(state) = self.p.states.len().checked_sub(1) {
            for (panel_idx, panel) in self.p.job.installation.panels.iter().enumerate() {
                for breaker in panel.breakers.iter().filter(|breaker| breaker.handle == Handle::On) {
                    for &space in &breaker.spaces {
                        let slot = Slot::new(panel.id.clone(), space);
                        candidates.extend(self.face_check(panel_idx, state, &slot, wrong));
                        candidates.extend(self.clamp_check(state, &slot));
                        candidates.extend(self.drop_check(state, &slot, wrong));
                        candidates.extend(self.terminal_checks(panel_idx, state, &slot, wrong));
                    }
                }
                candidates.extend(self.trunk_checks(panel_idx, state, wrong));
            }
            candidates.extend(self.load_checks(joints, run));
        }
        let reached = self.p.job.exposure;
        // With everything proven dead nothing carries current, so nothing electrical can be read.
        candidates
            .retain(|candidate| candidate.advice.exposure <= reached && reached != Exposure::ProvenDead);
        let mut scored: Vec<(CheckAdvice, Option<usize>)> = in_stretches(run, &candidates, |part| {
            part.iter().map(|candidate| self.score(candidate, joints)).collect()
        });
        merge_poles(&mut scored);
        scored.retain(|(advice, _)| LEAST_BITS <= advice.gain_bits);
        scored.sort_by(|(a, _), (b, _)| by_bits_a_minute(a, b));
        // What one drop from a lug tells of the feeder, each of them tells: the best one stands for all.
        let mut told = BTreeSet::new();
        scored.retain(|(advice, of)| of.is_none_or(|res| told.insert((advice.kind.clone(), res))));
        let mut advised: Vec<CheckAdvice> = scored.into_iter().map(|(advice, _)| advice).collect();
        advised.extend(self.first_look(joints));
        advised.extend(self.leg_check());
        advised.sort_by(by_bits_a_minute);
        if self.legs_unread() {
            // Whatever it tells: an open neutral is a danger to what is plugged in, and to who switches on a load.
            advised.sort_by_key(|advice| advice.kind != "leg-voltages");
        }
        with_again(&mut advised, self.again_checks(joints, wrong));
        advised.truncate(N_CHECKS);
        advised
    }

    pub(super) fn carries(&self, state: usize, slot: &Slot) -> bool {
        let Some(res) = self.p.find(&ResKind::Pole(slot.clone())) else { return false };
        self.p.carry[state][res].iter().any(|&(load, _)| self.p.loads[load].law != LoadLaw::Zero)
    }

    pub(super) fn about(&self, slot: &Slot) -> Vec<usize> {
        let mut about: Vec<usize> = [JointId::Stab(slot.clone()), JointId::Terminal(slot.clone())]
            .into_iter()
            .filter_map(|id| self.p.find(&ResKind::Joint(id)))
            .collect();
        let finger = about.first().and_then(|&res| self.p.finger_of[res]);
        if let Some(finger) = finger {
            about.extend((0..self.p.n_conditioned).filter(|&res| self.p.finger_of[res] == Some(finger)));
        }
        about.sort_unstable();
        about.dedup();
        about
    }

    fn face_check(&self, panel: usize, state: usize, slot: &Slot, wrong: &[f64]) -> Option<Candidate> {
        let place = Place::Face(slot.clone());
        let is_of_face = |idx: usize, obs: &Obs| {
            obs.mode == Mode::Thermal
                && obs.censored.is_none()
                && self.p.place_of_obs(idx).as_ref() == Some(&place)
        };
        let again = self.taken(wrong, is_of_face);
        if again == Taken::Stands || !self.carries(state, slot) {
            return None;
        }
        let node = self.p.thermals[panel].networks[0].node_of(&place)?;
        let (reads, sigma) =
            self.temperatures(panel, state, node, self.p.priors.instrument.infrared_noise_k)?;
        let advice = CheckAdvice {
            what: format!(
                "Read the face of breaker {} by infrared from straight ahead, with \"{}\" running.{}",
                slot.space,
                self.p.states[state].name,
                again.words()
            ),
            kind: "face-temperature".into(),
            places: vec![place],
            joints: Vec::new(),
            exposure: Exposure::CoverOn,
            who: "anyone trained to use the instrument".into(),
            minutes: 1.0,
            gain_bits: 0.0,
            expects: Vec::new(),
            cautions: vec!["The dead front can stay on for this: leave it on, or put it back.".into()],
        };
        Some(Candidate { advice, reads, sigma, unit: "°C", about: self.about(slot) })
    }

    /// What an instrument with this noise would read of a node at each looked-at draw, °C, and its error, K.
    pub(super) fn temperatures(
        &self,
        panel: usize,
        state: usize,
        node: usize,
        noise_k: f64,
    ) -> Option<(Vec<f64>, f64)> {
        let view = self.p.views.iter().position(|view| view.panel == panel && view.state == state)?;
        let reads: Vec<f64> = self
            .exact
            .temperature_k
            .iter()
            .map(|views| views[view].get(node).map_or(f64::NAN, |temperature_k| temperature_k - 273.15))
            .collect();
        let error_k = face_error_k(&reads, noise_k);
        Some((reads, error_k))
    }

    fn clamp_check(&self, state: usize, slot: &Slot) -> Option<Candidate> {
        let res = self.p.find(&ResKind::Pole(slot.clone()))?;
        let [(load, _)] = self.p.carry[state][res].as_slice() else { return None };
        if !matches!(self.p.loads[*load].law, LoadLaw::Unknown { .. })
            || self.p.loads[*load].slots.first() != Some(slot)
        {
            return None;
        }
        let reads: Vec<f64> = self.exact.picked.iter().map(|&at| self.draws[at].loads[*load]).collect();
        let sigma = self.p.priors.instrument.clamp_error_a(interval(reads.clone()).median);
        let advice = CheckAdvice {
            what: format!(
                "Clamp the branch conductor of space {} with \"{}\" running.",
                slot.space, self.p.states[state].name
            ),
            kind: "clamp".into(),
            places: vec![Place::Wire(slot.clone())],
            joints: Vec::new(),
            exposure: Exposure::CoverOff,
            who: "qualified person with protective gear".into(),
            minutes: 1.5,
            gain_bits: 0.0,
            expects: Vec::new(),
            cautions: vec!["Live parts are open. Do not move conductors; do not pull the breaker.".into()],
        };
        Some(Candidate { advice, reads, sigma, unit: "A", about: self.about(slot) })
    }

    fn drop_check(&self, state: usize, slot: &Slot, wrong: &[f64]) -> Option<Candidate> {
        let stab = self.p.find(&ResKind::Joint(JointId::Stab(slot.clone())))?;
        let place = Place::Load(slot.clone());
        let is_of_pole = |source: usize| match &self.p.job.observations[source].what {
            Observed::Drop(reading) => reading.to == place || reading.from == place,
            _ => false,
        };
        let again = match self.taken(wrong, |_, obs| is_of_pole(obs.source)) {
            // On record, but of no use: another one would not be either.
            Taken::Not if (0..self.p.job.observations.len()).any(is_of_pole) => Taken::Stands,
            again => again,
        };
        if again == Taken::Stands || !self.carries(state, slot) {
            return None;
        }
        let (tap, words) = self.tap_for(state, slot)?;
        // From the lug there is more on the way than stab and pole: a main breaker, what feeds the section.
        let Lost { reads, sigma, joints } = self.lost(state, &tap, &place)?;
        let about = if joints.contains(&stab) { joints } else { vec![stab] };
        let advice = CheckAdvice {
            what: format!(
                "Under \"{}\", read the millivolts from {words} to the load terminal of space {}, with its current clamped \
                 at the same time.{}",
                self.p.states[state].name,
                slot.space,
                again.words()
            ),
            kind: "drop".into(),
            places: vec![tap, place],
            joints: Vec::new(),
            exposure: Exposure::CoverOff,
            who: "qualified person with protective gear and category III leads".into(),
            minutes: 4.0,
            gain_bits: 0.0,
            expects: Vec::new(),
            cautions: vec![
                "Probe screw heads only. Both ends are live at line voltage to ground.".into(),
                "Do not pull the breaker: the reading needs none pulled.".into(),
            ],
        };
        Some(Candidate { advice, reads, sigma, unit: "mV", about })
    }

    /// What would be read from one place to another.
    pub(super) fn lost(&self, state: usize, from: &Place, to: &Place) -> Option<Lost> {
        let (from, to) = (self.p.path_to(from)?.through, self.p.path_to(to)?.through);
        let lost_mv = |at: &usize| {
            let draw = self.draws[*at];
            let lost = |through: &[usize]| -> f64 {
                through.iter().map(|&res| self.p.current(state, res, &draw.loads) * draw.ohm[res]).sum()
            };
            1e3 * (lost(&to) - lost(&from)).abs()
        };
        let reads: Vec<f64> = self.exact.picked.iter().map(lost_mv).collect();
        let instrument = &self.p.priors.instrument;
        let sigma = instrument.drop_mv + instrument.bar_mv + 0.02 * interval(reads.clone()).median;
        let is_joint = |&&res: &&usize| res < self.p.joints.len() && !from.contains(&res);
        Some(Lost { reads, sigma, joints: to.iter().filter(is_joint).copied().collect() })
    }

    /// Were readings like these taken, and can one of them be relied on?
    pub(super) fn taken(&self, wrong: &[f64], is_one: impl Fn(usize, &Obs) -> bool) -> Taken {
        let readings = self.p.obs.iter().enumerate().zip(wrong);
        let doubts: Vec<f64> =
            readings.filter(|((idx, obs), _)| is_one(*idx, obs)).map(|(_, &wrong)| wrong).collect();
        match doubts.as_slice() {
            [] => Taken::Not,
            all if all.iter().all(|&wrong| DOUBTED <= wrong) => Taken::Doubted,
            _ => Taken::Stands,
        }
    }

    /// A voltage tap on the bus: an unloaded breaker of the same section and leg, else the lug.
    fn tap_for(&self, state: usize, slot: &Slot) -> Option<(Place, String)> {
        let panel = self.p.job.installation.panel(&slot.panel)?;
        let leg = panel.leg_of(slot.space);
        let section = panel.section_of(slot.space)?;
        let row = panel.row_of(slot.space);
        let mut taps: Vec<Space> = panel
            .breakers
            .iter()
            .filter(|breaker| breaker.handle == Handle::On)
            .flat_map(|breaker| breaker.spaces.iter().copied())
            .filter(|&space| {
                space != slot.space && panel.leg_of(space) == leg && section.holds_row(panel.row_of(space))
            })
            .filter(|&space| !self.carries(state, &Slot::new(panel.id.clone(), space)))
            .collect();
        taps.sort_by_key(|&space| panel.row_of(space).abs_diff(row));
        if let Some(&space) = taps.first() {
            let words =
                format!("the load terminal of the unloaded breaker in space {space} (a tap on the same bus)");
            return Some((Place::Load(Slot::new(panel.id.clone(), space)), words));
        }
        Some((Place::Lug(panel.id.clone(), leg), format!("line lug {leg}")))
    }

    /// What a candidate is expected to tell, and the joint that it tells most of.
    pub(super) fn score(
        &self,
        candidate: &Candidate,
        joints: &[JointFinding],
    ) -> (CheckAdvice, Option<usize>) {
        let Candidate { advice, reads, unit, about, .. } = candidate;
        let mut advice = advice.clone();
        let mut best = (0.0, None);
        let Some(seen) = Seen::of(reads, &self.exact.weight, candidate.sigma) else { return (advice, None) };
        for &res in about {
            // At each draw's own resistance: averaged over it, the probability would not go with what is read.
            let burnt: Vec<f64> = self.exact.picked.iter().map(|&at| self.draws[at].at_ohm[res][2]).collect();
            let gain = seen.tells_bits(&burnt);
            advice.gain_bits += gain;
            if best.0 < gain {
                best = (gain, Some((res, burnt)));
            }
        }
        let of = best.1.as_ref().map(|&(res, _)| res);
        if let (_, Some((res, burnt))) = best {
            let id = &joints[res].joint.id;
            let rival = |name: String, weights: &dyn Fn(f64) -> f64| {
                let values = weighted(reads, &burnt, weights);
                (!values.is_empty()).then(|| {
                    let span = interval(values);
                    (name, format!("about {:.0} {unit} ({:.0} to {:.0})", span.median, span.low, span.high))
                })
            };
            advice.expects.extend(rival(format!("{id} is burnt"), &|p| p));
            advice.expects.extend(rival(format!("{id} is not"), &|p| 1.0 - p));
        }
        advice.joints =
            about.iter().filter_map(|&res| self.p.joints.get(res)).map(|joint| joint.id.clone()).collect();
        (advice, of)
    }
}

/// Error of a temperature, K: the instrument's noise, and what the network does not know of a rise.
pub(super) fn face_error_k(reads: &[f64], noise_k: f64) -> f64 {
    let finite: Vec<f64> = reads.iter().copied().filter(|read| read.is_finite()).collect();
    let rise_k = 0.1 * (interval(finite).median - 20.0).max(5.0);
    libm::sqrt(noise_k * noise_k + rise_k * rise_k)
}

/// Puts readings that are to be taken again after the best check, where they would not be shown by their bits.
fn with_again(advised: &mut Vec<CheckAdvice>, mut again: Vec<CheckAdvice>) {
    let is_same = |a: &CheckAdvice, b: &CheckAdvice| a.kind == b.kind && a.places == b.places;
    again.retain(|one| !advised.iter().take(N_SHOWN).any(|listed| is_same(listed, one)));
    advised.retain(|listed| !again.iter().any(|one| is_same(listed, one)));
    let place = advised.len().min(1);
    advised.splice(place..place, again);
}

/// The poles of one breaker are run and read together: their candidates, one after the other and of the same words, are one check.
fn merge_poles(scored: &mut Vec<(CheckAdvice, Option<usize>)>) {
    scored.dedup_by(|(later, later_of), (first, of)| {
        if first.kind != LOAD_AND_READ || first.what != later.what {
            return false;
        }
        if first.gain_bits < later.gain_bits {
            std::mem::swap(&mut first.expects, &mut later.expects);
            *of = *later_of;
        }
        first.gain_bits += later.gain_bits;
        let new: Vec<JointId> =
            later.joints.iter().filter(|joint| !first.joints.contains(joint)).cloned().collect();
        first.joints.extend(new);
        true
    });
}

fn by_bits_a_minute(a: &CheckAdvice, b: &CheckAdvice) -> Ordering {
    (b.gain_bits / b.minutes).total_cmp(&(a.gain_bits / a.minutes))
}

fn weighted(reads: &[f64], burnt: &[f64], weight: &dyn Fn(f64) -> f64) -> Vec<f64> {
    // Each reading is repeated in proportion to its weight, in tenths of the largest.
    let most = burnt.iter().map(|&p| weight(p)).fold(0.0, f64::max);
    if most < 1e-4 {
        return Vec::new();
    }
    reads
        .iter()
        .zip(burnt)
        .filter(|(read, _)| read.is_finite())
        .flat_map(|(&read, &p)| std::iter::repeat_n(read, (10.0 * weight(p) / most) as usize))
        .collect()
}

pub(super) fn entropy_bits(p: f64) -> f64 {
    let part = |p: f64| if p <= 0.0 { 0.0 } else { -p * libm::log2(p) };
    part(p) + part(1.0 - p)
}

/// What a reading could show, from what it would read at each draw: smoothed by its error and by a part of its own spread.
struct Seen {
    /// Draws that have a reading, and their weights.
    finite: Vec<(usize, f64)>,
    /// For each value that could be shown, the weight of each of these draws.
    shown: Vec<Vec<f64>>,
}

impl Seen {
    /// `None` where too few draws have a reading.
    fn of(reads: &[f64], weight: &[f64], sigma: f64) -> Option<Seen> {
        let has_one = |at: &usize| reads[*at].is_finite();
        let finite: Vec<(usize, f64)> = (0..reads.len()).filter(has_one).map(|at| (at, weight[at])).collect();
        let total: f64 = finite.iter().map(|&(_, weight)| weight).sum();
        if finite.len() < 10 || total <= 0.0 {
            return None;
        }
        let n = finite.len() as f64;
        let mean = finite.iter().map(|&(at, _)| reads[at]).sum::<f64>() / n;
        let square = |&(at, _): &(usize, f64)| (reads[at] - mean) * (reads[at] - mean);
        let spread = finite.iter().map(square).sum::<f64>() / n;
        let sigma = libm::sqrt(sigma * sigma + SMOOTHED * spread);
        let low = finite.iter().map(|&(at, _)| reads[at]).fold(f64::INFINITY, f64::min) - 3.0 * sigma;
        let high = finite.iter().map(|&(at, _)| reads[at]).fold(f64::NEG_INFINITY, f64::max) + 3.0 * sigma;
        let n_points = (((high - low) / (0.5 * sigma)) as usize).clamp(20, 160);
        let step = (high - low) / n_points as f64;
        let shown = (0..n_points)
            .map(|point| {
                let value = low + (point as f64 + 0.5) * step;
                let here = |&(at, weight): &(usize, f64)| {
                    let z = (value - reads[at]) / sigma;
                    if z.abs() < 5.0 { weight * libm::exp(-0.5 * z * z) } else { 0.0 }
                };
                finite.iter().map(here).collect()
            })
            .collect();
        Some(Seen { finite, shown })
    }

    /// Mutual information between the reading and a joint being burnt, bits. What draws paired wrongly would seem to tell is
    /// taken off: a finite sample always seems to tell something.
    fn tells_bits(&self, burnt: &[f64]) -> f64 {
        let shuffled = [3, 2]
            .map(|part| {
                let mut moved = burnt.to_vec();
                moved.rotate_left(burnt.len() / part);
                self.raw_bits(&moved)
            })
            .iter()
            .sum::<f64>()
            / 2.0;
        (self.raw_bits(burnt) - shuffled).max(0.0)
    }

    fn raw_bits(&self, burnt: &[f64]) -> f64 {
        let total: f64 = self.finite.iter().map(|&(_, weight)| weight).sum();
        let prior = self.finite.iter().map(|&(at, weight)| burnt[at] * weight).sum::<f64>() / total;
        let (mut left, mut mass) = (0.0, 0.0);
        for shown in &self.shown {
            let (mut density, mut of_burnt) = (0.0, 0.0);
            for (&(at, _), here) in self.finite.iter().zip(shown) {
                density += here;
                of_burnt += burnt[at] * here;
            }
            if 0.0 < density {
                left += density * entropy_bits((of_burnt / density).min(1.0));
                mass += density;
            }
        }
        if mass <= 0.0 { 0.0 } else { (entropy_bits(prior) - left / mass).max(0.0) }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_reading_that_decides_is_worth_the_whole_uncertainty() {
        let reads: Vec<f64> = (0..100).map(|idx| if idx < 50 { 20.0 } else { 60.0 }).collect();
        let burnt: Vec<f64> = (0..100).map(|idx| if idx < 50 { 0.0 } else { 1.0 }).collect();
        let weight = vec![0.01; 100];
        let bits = |reads: &[f64]| Seen::of(reads, &weight, 1.0).expect("enough draws").raw_bits(&burnt);
        assert!((bits(&reads) - 1.0).abs() < 0.01, "{}", bits(&reads));
        assert!(bits(&[40.0; 100]) < 1e-6);
    }

    #[test]
    fn a_reading_without_bearing_seems_to_tell_nothing() {
        let mut stream = crate::rng::Stream::new(5, 0);
        let reads: Vec<f64> = (0..160).map(|_| 8.0 * stream.uniform()).collect();
        let burnt: Vec<f64> = (0..160).map(|_| if stream.uniform() < 0.5 { 0.0 } else { 1.0 }).collect();
        let weight = vec![1.0 / 160.0; 160];
        assert!(Seen::of(&reads, &weight, 0.05).expect("enough draws").tells_bits(&burnt) < 0.05);
    }
}
