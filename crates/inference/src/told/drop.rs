//! A drop in millivolts that is told to a draw: the joint and the pole under it are drawn anew.
//!
//! A drop ties a joint to within a hundredth, and hardly a draw happens to lie there: as they stand, few would keep their weight.
//! So what a draw has for the joint, for the pole in series with it and for that pole's own offset is integrated out of its
//! weight, the condition of the joint and all else held: the weight is how likely the drop is by the rest of the draw. Then joint,
//! pole and offset are drawn as the drop has them (a collapsed importance weight, Liu 2001, *Monte Carlo Strategies in Scientific
//! Computing*, section 2.3). Errors of the earlier readings are normal given their scale, which is drawn; so these say of joint and
//! pole a form of second order, exact but for the law of the classes, which is summed on a grid.

use super::reading::Seen;
use super::same::Change;
use crate::priors::Bound;
use crate::problem::{CLASSES, Factor, Law, Laws, PoleLaw, Problem, ResKind};
use crate::rng::Stream;
use crate::sampler::{Draw, NORMAL_PEAK, by_class, exp_near, log_near, normal_density, scaled_error};
use nalgebra::{DMatrix, DVector};
use std::collections::BTreeSet;

/// Places over the law of a class, and over that of a pole, on which what stood before is summed up.
const N_JOINT: usize = 64;
const N_POLE: usize = 12;
/// Places of a pole among which it is drawn; finer, since the drop makes the joint of each.
const N_FINE: usize = 96;
/// How far a law is followed, in its spreads.
const REACH: f64 = 4.5;

/// A new drop, what is drawn anew for it, and its laws.
pub(super) struct NewDrop<'p> {
    p: &'p Problem,
    reading: usize,
    joint: usize,
    laws: Laws,
    /// Of each class: resistances in Ω with their shares.
    places: [Vec<(f64, f64)>; CLASSES],
    pole: Option<PoleGiven>,
    /// Offset that only the temperatures of this pole have.
    own: Option<usize>,
}

/// A pole given all others, the factors that they share integrated out; logarithms.
struct PoleGiven {
    res: usize,
    law: PoleLaw,
    /// Precision of the factors that it shares with others, directly or through them, as the prior has it.
    precision: DMatrix<f64>,
    /// Is it of each of these factors?
    held: DVector<f64>,
    /// Other poles, their law, and the same of them.
    others: Vec<(usize, PoleLaw, DVector<f64>)>,
}

/// Law of a pole where all others are as in a draw.
#[derive(Clone, Copy)]
struct PoleThere {
    /// Mean, and variance but for the pole's own.
    mean: f64,
    variance: f64,
    law: PoleLaw,
}

impl PoleThere {
    /// Share, mean and spread of each part.
    fn parts(&self) -> [(f64, f64, f64); 2] {
        let wider = |sd: f64| libm::sqrt(self.variance + sd * sd);
        self.law.parts().map(|(share, shift, sd)| (share, self.mean + shift, wider(sd)))
    }

    /// Draws how much of what a pole has is its own.
    fn own(&self, log: f64, stream: &mut Stream) -> f64 {
        let weights = self.parts().map(|(share, mean, sd)| share * normal_density(log, mean, sd));
        let (shift, sd) = self.law.part(stream.pick(&weights) == 1);
        let part = sd * sd / (sd * sd + self.variance);
        shift + part * (log - self.mean - shift) + libm::sqrt(part * self.variance) * stream.normal()
    }
}

/// What was drawn anew in a draw.
pub(super) struct Redrawn {
    joint: (usize, f64),
    at_ohm: [f64; 3],
    /// Which, Ω, and the logarithm of how much of it is its own.
    pole: Option<(usize, f64, f64)>,
}

impl Redrawn {
    pub(super) fn settle(&self, draw: &mut Draw) {
        let (joint, ohm) = self.joint;
        draw.ohm[joint] = ohm;
        // Both, or the one would not be the mean of the other any more.
        (draw.at_ohm[joint], draw.probability[joint]) = (self.at_ohm, self.at_ohm);
        if let Some((pole, ohm, own)) = self.pole {
            (draw.ohm[pole], draw.own[pole]) = (ohm, own);
        }
    }
}

impl PoleGiven {
    fn of(p: &Problem, res: usize) -> Option<PoleGiven> {
        let Law::Pole(law) = p.res[res].law else { return None };
        let of_it = p.factors.iter().filter(|of| of.poles.contains(&res));
        let tied: BTreeSet<usize> = of_it.flat_map(|of| of.poles.iter().copied()).collect();
        let factors: Vec<&Factor> =
            p.factors.iter().filter(|of| of.poles.iter().any(|pole| tied.contains(pole))).collect();
        let held = |pole: usize| {
            let of = factors.iter().map(|of| f64::from(u8::from(of.poles.contains(&pole))));
            DVector::from_iterator(factors.len(), of)
        };
        let precision = DVector::from_iterator(factors.len(), factors.iter().map(|of| 1.0 / (of.sd * of.sd)));
        let others = (tied.iter().copied().filter(|&other| other != res))
            .filter_map(|other| match p.res[other].law {
                Law::Pole(law) => Some((other, law, held(other))),
                Law::Conditioned { .. } | Law::Known => None,
            })
            .collect();
        Some(PoleGiven { res, law, precision: DMatrix::from_diagonal(&precision), held: held(res), others })
    }

    /// Which of the others have bad contacts of their own is drawn.
    fn there(&self, draw: &Draw, stream: &mut Stream) -> Option<PoleThere> {
        let (mut precision, mut pull) = (self.precision.clone(), DVector::zeros(self.held.len()));
        for (other, law, held) in &self.others {
            let (shift, sd) = law.part(stream.uniform() < law.bad_chance(draw.own[*other]));
            let (weight, away) = (1.0 / (sd * sd), log_near(draw.ohm[*other]) - law.mean - shift);
            precision.ger(weight, held, held, 1.0);
            pull.axpy(weight * away, held, 1.0);
        }
        let follows = precision.cholesky()?.solve(&self.held);
        let (mean, variance) = (self.law.mean + follows.dot(&pull), follows.dot(&self.held));
        Some(PoleThere { mean, variance, law: self.law })
    }
}

/// Log-likelihood of changes of joint, pole and offset by the earlier readings: gradient and curvature.
#[derive(Default)]
struct Form {
    slope: [f64; 3],
    curvature: [[f64; 3]; 3],
}

/// The place of the offset among the three.
const OWN: usize = 2;

impl Form {
    fn add(&mut self, weight: f64, away: f64, coef: [f64; 3]) {
        for (a, (slope, row)) in self.slope.iter_mut().zip(&mut self.curvature).enumerate() {
            *slope += weight * coef[a] * away;
            for (entry, other) in row.iter_mut().zip(coef) {
                *entry += weight * coef[a] * other;
            }
        }
    }

    /// Mean change of the offset where the others change so.
    fn own_at(&self, joint: f64, pole: f64) -> f64 {
        let [of_joint, of_pole, of_own] = self.curvature[OWN];
        (self.slope[OWN] - of_joint * joint - of_pole * pole) / of_own
    }

    /// The form of joint and pole alone, the offset integrated out.
    fn without_own(&self) -> Form {
        let by = self.curvature[OWN][OWN];
        let part = |at: usize| if 0.0 < by { self.curvature[at][OWN] / by } else { 0.0 };
        let slope = std::array::from_fn(|at| self.slope[at] - part(at) * self.slope[OWN]);
        let curvature = std::array::from_fn(|a| {
            std::array::from_fn(|b| self.curvature[a][b] - part(a) * self.curvature[OWN][b])
        });
        Form { slope, curvature }
    }

    fn log_at(&self, joint: f64, pole: f64) -> f64 {
        let [[of_joint, both, _], [_, of_pole, _], _] = self.curvature;
        joint * (self.slope[0] - 0.5 * of_joint * joint - both * pole)
            + pole * (self.slope[1] - 0.5 * of_pole * pole)
    }
}

impl<'p> NewDrop<'p> {
    /// The new reading, where it is the only change and a drop over a joint that no drop ties down yet.
    pub(super) fn of(p: &'p Problem, change: &Change, draws: &[&Draw]) -> Option<NewDrop<'p>> {
        let &[reading] = change.new.as_slice() else { return None };
        if !p.obs[reading].is_drop() || !change.has_only_come() {
            return None;
        }
        // Of the resistances that it passes, the ones by which draws differ most.
        let spread = |res: usize| -> f64 {
            let part: Vec<f64> =
                draws.iter().map(|draw| p.per_ohm(reading, res, draw) * draw.ohm[res]).collect();
            let mean = part.iter().sum::<f64>() / part.len().max(1) as f64;
            part.iter().map(|part| (part - mean) * (part - mean)).sum()
        };
        let widest = |is_one: &dyn Fn(&Law) -> bool| {
            let passed = p.obs[reading].weights.iter().map(|&(res, _)| res);
            let spreads = passed.filter(|&res| is_one(&p.res[res].law)).map(|res| (res, spread(res)));
            let most = spreads.fold(
                (None, 0.0),
                |most, (res, spread)| {
                    if most.1 < spread { (Some(res), spread) } else { most }
                },
            );
            most.0
        };
        let joint = widest(&|law| matches!(law, Law::Conditioned { .. }))?;
        let pole = widest(&|law| matches!(law, Law::Pole(_)));
        let Law::Conditioned { laws, .. } = p.res[joint].law else { return None };
        let is_tied = (0..p.obs.len())
            .filter(|&idx| idx != reading && p.obs[idx].is_drop())
            .any(|idx| p.obs[idx].weights.iter().any(|&(res, _)| res == joint || Some(res) == pole));
        if is_tied {
            return None;
        }
        let step = 2.0 * REACH / N_JOINT as f64;
        let places = by_class(|class| {
            let of = |(share, mean, sd): (f64, f64, f64)| {
                (0..N_JOINT).map(move |nth| {
                    let z = -REACH + (nth as f64 + 0.5) * step;
                    (libm::exp(mean + z * sd), share * step * normal_density(z, 0.0, 1.0))
                })
            };
            laws.parts(class).flat_map(of).collect()
        });
        let pole = pole.and_then(|pole| PoleGiven::of(p, pole));
        let own = p.own_offset(joint);
        Some(NewDrop { p, reading, joint, laws, places, pole, own })
    }

    /// Draws joint, pole and offset anew; gives the logarithm of how likely the drop is by the rest of the draw. `None` where
    /// no current flows through the joint or the sums come to nothing: the draw has to be taken as it stands.
    pub(super) fn redraw(&self, draw: &Draw, seen: &mut Seen, stream: &mut Stream) -> Option<f64> {
        let (p, obs) = (self.p, &self.p.obs[self.reading]);
        let (form, coefs) = self.earlier(draw, seen, stream);
        let held = self.held(draw, &form, stream)?;
        let before = held.before()?;
        // A drop with this error would show exactly what joint and pole make.
        let scale = stream.gamma(0.5 * p.errors.nu) / (0.5 * p.errors.nu);
        let error = obs.sigma * stream.normal() / libm::sqrt(scale);
        let stands_at = p.without_offsets(self.reading, draw);
        let [was, pole_was] = held.was;
        let rest = stands_at - held.per_ohm[0] * was - held.per_ohm[1] * pole_was;
        let after = held.after(obs.value - error - rest, before.log, stream.uniform());
        let shares: Vec<f64> = after.iter().map(|&(.., share)| share).collect();
        let right = (1.0 - obs.wrong.chance) * shares.iter().sum::<f64>() / before.sum;
        let wrong = obs.wrong.density(obs.value);
        if !right.is_finite() {
            return None;
        }
        let log = libm::log(right + wrong);
        if stream.uniform() * (right + wrong) < wrong {
            seen.predicted[self.reading] = stands_at;
            return Some(log);
        }
        let (ohm, pole_ohm, _) = after[stream.pick(&shares)];
        let mut moved = [ohm - was, pole_ohm - pole_was, 0.0];
        if let Some(own) = self.own {
            let spread = 1.0 / libm::sqrt(form.curvature[OWN][OWN]);
            moved[OWN] = form.own_at(moved[0], moved[1]) + spread * stream.normal();
            seen.offsets[own] += moved[OWN];
        }
        for (idx, coef) in coefs {
            seen.predicted[idx] += coef.iter().zip(moved).map(|(coef, moved)| coef * moved).sum::<f64>();
        }
        seen.predicted[self.reading] = obs.value - error;
        seen.redrawn = Some(Redrawn {
            joint: (self.joint, ohm),
            at_ohm: self.at_ohm(draw, ohm),
            pole: self
                .pole
                .as_ref()
                .zip(held.pole)
                .map(|(pole, there)| (pole.res, pole_ohm, there.own(log_near(pole_ohm), stream))),
        });
        Some(log)
    }

    /// What the earlier readings say, their scales drawn, and how each goes with joint, pole and offset.
    fn earlier(&self, draw: &Draw, seen: &Seen, stream: &mut Stream) -> (Form, Vec<(usize, [f64; 3])>) {
        let p = self.p;
        let mut form = Form::default();
        if let Some(own) = self.own {
            let content = &p.offsets[own];
            let z = (seen.offsets[own] - content.mean) / content.sd;
            let scale = content.tail.map_or(1.0, |tail| tail.precision(z, stream.uniform()));
            form.add(scale / (content.sd * content.sd), content.mean - seen.offsets[own], [0.0, 0.0, 1.0]);
        }
        let mut coefs = Vec::with_capacity(p.obs.len());
        for idx in (0..p.obs.len()).filter(|&idx| idx != self.reading) {
            let of_own = p.obs[idx].offsets.iter().filter(|&&(offset, _)| Some(offset) == self.own);
            let coef = [
                p.per_ohm(idx, self.joint, draw),
                self.pole.as_ref().map_or(0.0, |pole| p.per_ohm(idx, pole.res, draw)),
                of_own.map(|&(_, weight)| weight).sum(),
            ];
            if coef == [0.0; 3] {
                continue;
            }
            let (weight, value) = scaled_error(&p.obs[idx], &p.errors, seen.predicted[idx], stream);
            form.add(weight, value - seen.predicted[idx], coef);
            coefs.push((idx, coef));
        }
        (form, coefs)
    }

    /// What a draw holds while joint and pole are integrated out; `None` where no current flows through the joint.
    fn held(&self, draw: &Draw, form: &Form, stream: &mut Stream) -> Option<Held<'_>> {
        let class = usize::from(draw.condition[self.joint]);
        let of_pole = |pole: &PoleGiven| (draw.ohm[pole.res], self.p.per_ohm(self.reading, pole.res, draw));
        let (pole_was, per_pole_ohm) = self.pole.as_ref().map_or((0.0, 0.0), of_pole);
        let per_ohm = self.p.per_ohm(self.reading, self.joint, draw);
        let pole = match &self.pole {
            None => None,
            Some(pole) => Some(pole.there(draw, stream)?),
        };
        (per_ohm != 0.0).then(|| Held {
            form: form.without_own(),
            was: [draw.ohm[self.joint], pole_was],
            per_ohm: [per_ohm, per_pole_ohm],
            parts: self.laws.parts(class).collect(),
            places: &self.places[class],
            pole,
            bound: &self.p.priors.bound,
            largest_a: self.largest_a(draw),
        })
    }

    /// Largest current through the joint over the recorded states, A.
    fn largest_a(&self, draw: &Draw) -> f64 {
        if self.p.joints.len() <= self.joint {
            return 0.0;
        }
        let current = |state| libm::fabs(self.p.current(state, self.joint, &draw.loads));
        (0..self.p.states.len()).map(current).fold(0.0, f64::max)
    }

    /// Probability of each condition of the joint at another resistance than the draw's.
    fn at_ohm(&self, draw: &Draw, ohm: f64) -> [f64; 3] {
        let (was, now) =
            (self.laws.densities(libm::log(draw.ohm[self.joint])), self.laws.densities(libm::log(ohm)));
        let parts = self.p.burnt_parts(self.joint, &draw.condition);
        let three = |of: [f64; CLASSES]| [of[0], of[1], parts[0] * of[2] + parts[1] * of[3]];
        let (was, now) = (three(was), three(now));
        let here: [f64; 3] =
            std::array::from_fn(|at| draw.at_ohm[self.joint][at] / was[at].max(1e-300) * now[at]);
        let total: f64 = here.iter().sum();
        if 0.0 < total { here.map(|part| part / total) } else { draw.at_ohm[self.joint] }
    }
}

impl Problem {
    /// Offset that only the temperatures of the pole at a joint have.
    fn own_offset(&self, joint: usize) -> Option<usize> {
        let ResKind::Joint(id) = &self.res[joint].kind else { return None };
        id.slot().and_then(|slot| self.pole_offset.get(slot).copied())
    }

    /// Of a burnt joint, how much it counts to show little and to show much: by the law and the signs, the conditions of the other
    /// joints held.
    fn burnt_parts(&self, joint: usize, condition: &[u8]) -> [f64; 2] {
        let Law::Conditioned { mild, .. } = self.res[joint].law else { return [0.0, 1.0] };
        let mut parts = [mild, 1.0 - mild];
        for term in &self.terms {
            let Some(&(_, shows)) = term.joints.iter().find(|&&(at, _)| at == joint) else { continue };
            let others = term.joints.iter().filter(|&&(at, _)| at != joint);
            let still: f64 = others.map(|&(at, shows)| 1.0 - shows[usize::from(condition[at])]).product();
            for (part, class) in parts.iter_mut().zip([2, 3]) {
                *part *= term.chance((1.0 - term.elsewhere) * still * (1.0 - shows[class]));
            }
        }
        parts
    }
}

/// What a draw holds while joint and pole are integrated out.
struct Held<'n> {
    /// Of joint and pole, the offset integrated out.
    form: Form,
    /// Where joint and pole stood, Ω.
    was: [f64; 2],
    /// How the drop goes with each, V/Ω.
    per_ohm: [f64; 2],
    /// Share, mean and spread of each part of the joint's class, and its places.
    parts: Vec<(f64, f64, f64)>,
    places: &'n [(f64, f64)],
    pole: Option<PoleThere>,
    bound: &'n Bound,
    largest_a: f64,
}

/// What stood before a drop: the largest logarithm in the sum, and the sum beside it.
struct Before {
    log: f64,
    sum: f64,
}

impl Held<'_> {
    /// Sum over joint and pole before the drop.
    fn before(&self) -> Option<Before> {
        let step = 2.0 * REACH / N_POLE as f64;
        let rows_of = |(share, mean, sd): (f64, f64, f64)| {
            (0..N_POLE).map(move |nth| {
                let z = -REACH + (nth as f64 + 0.5) * step;
                (exp_near(mean + sd * z), share * step * NORMAL_PEAK * exp_near(-0.5 * z * z))
            })
        };
        let rows: Vec<(f64, f64)> = match self.pole {
            None => vec![(0.0, 1.0)],
            Some(there) => there.parts().into_iter().flat_map(rows_of).collect(),
        };
        let [was, pole_was] = self.was;
        let place = |&(ohm, share): &(f64, f64)| (ohm - was, share * self.bound.chance(self.largest_a * ohm));
        let places: Vec<(f64, f64)> = self.places.iter().map(place).collect();
        let mut logs = Vec::with_capacity(rows.len() * places.len());
        for &(pole_ohm, _) in &rows {
            logs.extend(places.iter().map(|&(change, _)| self.form.log_at(change, pole_ohm - pole_was)));
        }
        let log = logs.iter().copied().fold(f64::NEG_INFINITY, f64::max);
        let of_row = |(logs, &(_, share)): (&[f64], &(f64, f64))| -> f64 {
            let of_place = |(at, &(_, share)): (&f64, &(f64, f64))| share * exp_near(at - log);
            share * logs.iter().zip(&places).map(of_place).sum::<f64>()
        };
        let sum: f64 = logs.chunks_exact(places.len()).zip(&rows).map(of_row).sum();
        (sum.is_finite() && 0.0 < sum).then_some(Before { log, sum })
    }

    /// Resistances of joint and pole that make exactly this voltage, with the density of each beside `log`. Poles are laid
    /// evenly over their law from a place drawn at random, so that the mean of the sum is the integral.
    fn after(&self, volts: f64, log: f64, first: f64) -> Vec<(f64, f64, f64)> {
        let Some(there) = self.pole else {
            let (ohm, density) = self.joint_after(volts, 0.0, log);
            return vec![(ohm, 0.0, density)];
        };
        let step = 2.0 * REACH / N_FINE as f64;
        let places_of = |(share, mean, sd): (f64, f64, f64)| {
            (0..N_FINE).map(move |nth| {
                let z = -REACH + (nth as f64 + first) * step;
                let pole_ohm = exp_near(mean + sd * z);
                let (ohm, density) = self.joint_after(volts, pole_ohm, log + 0.5 * z * z);
                (ohm, pole_ohm, share * density * step * NORMAL_PEAK)
            })
        };
        there.parts().into_iter().flat_map(places_of).collect()
    }

    /// The joint that makes up for the rest of a voltage, with its density beside `log`.
    fn joint_after(&self, volts: f64, pole_ohm: f64, log: f64) -> (f64, f64) {
        let ([per_ohm, per_pole_ohm], [was, pole_was]) = (self.per_ohm, self.was);
        let ohm = (volts - per_pole_ohm * pole_ohm) / per_ohm;
        if ohm <= 0.0 {
            return (ohm, 0.0);
        }
        let (at, likely) = (log_near(ohm), self.form.log_at(ohm - was, pole_ohm - pole_was) - log);
        let of = |&(share, mean, sd): &(f64, f64, f64)| {
            let z = (at - mean) / sd;
            share / sd * exp_near(likely - 0.5 * z * z)
        };
        let shape: f64 = self.parts.iter().map(of).sum();
        let density = shape * NORMAL_PEAK / (ohm * libm::fabs(per_ohm));
        (ohm, density * self.bound.chance(self.largest_a * ohm))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::sampler::{Chain, Draws};
    use crate::{JudgeOptions, Priors, testjob};
    use model::evidence::Observed;
    use model::job::Job;
    use model::place::Place;
    use model::{Leg, PanelId};

    fn problem(job: &Job) -> Problem {
        let options = JudgeOptions { seed: 1, n_sweeps: 20, n_chains: 2, ..JudgeOptions::default() };
        Problem::new(job, Priors::built_in().expect("built-in files"), options)
    }

    /// Weight, and times that the logarithm of a resistance, a probability of burnt, what an earlier reading should have been.
    type Row = [f64; 4];
    const COLUMNS: [&str; 4] = ["how likely the drop was", "the joint", "burnt", "an earlier reading"];

    /// Draws as they stand, and drawn anew.
    struct Both {
        stand: Vec<Row>,
        anew: Vec<Row>,
    }

    fn both(job: &Job, before: &Problem, draws: &Draws, what: Observed) -> Both {
        let mut with = job.clone();
        testjob::observe(&mut with, what);
        let mut now = problem(&with);
        let change = now.change_since(before).expect("the unknowns are the same");
        let (ohm, loads) = draws.means();
        now.take_lines(before, &change, &ohm, &loads);
        let some: Vec<&Draw> = draws.0.iter().step_by(16).collect();
        let new = NewDrop::of(&now, &change, &some).expect("a drop alone");
        let is_face = |&idx: &usize| now.place_of_obs(idx) == Some(Place::Face(testjob::slot(7)));
        let face = (0..now.obs.len()).find(is_face).expect("a face");
        let row = |log: f64, draw: &Draw, seen: &Seen| -> Row {
            let told = [1.0, libm::log(draw.ohm[new.joint]), draw.at_ohm[new.joint][2], seen.predicted[face]];
            told.map(|value| value * libm::exp(log))
        };
        let mut stream = Stream::new(5, 5);
        let mut both = Both { stand: Vec::new(), anew: Vec::new() };
        for draw in &draws.0 {
            let mut seen = change.carry(draw);
            let log = now.add_reading(new.reading, draw, &mut seen, &mut stream);
            both.stand.push(row(log, draw, &seen));
            let (mut seen, mut draw) = (change.carry(draw), draw.clone());
            let log = new.redraw(&draw, &mut seen, &mut stream).expect("a current flows");
            if let Some(redrawn) = seen.redrawn.take() {
                redrawn.settle(&mut draw);
                check_lines(&now, &draw, &seen);
            }
            both.anew.push(row(log, &draw, &seen));
        }
        both
    }

    /// What was moved along is what the lines tell of the joint, the pole and the offset as drawn; the drop within its error.
    fn check_lines(p: &Problem, draw: &Draw, seen: &Seen) {
        for (idx, obs) in p.obs.iter().enumerate() {
            let of_offsets: f64 =
                obs.offsets.iter().map(|&(offset, weight)| weight * seen.offsets[offset]).sum();
            let off = seen.predicted[idx] - p.without_offsets(idx, draw) - of_offsets;
            assert!(off.abs() < 1e-6, "reading {idx} is off by {off}");
        }
    }

    /// Mean, and its standard error over batches of draws that follow one another.
    fn mean(values: &[f64]) -> (f64, f64) {
        const BATCHES: usize = 25;
        let of = |values: &[f64]| values.iter().sum::<f64>() / values.len() as f64;
        let batches: Vec<f64> = values.chunks_exact(values.len() / BATCHES).map(of).collect();
        let middle = of(&batches);
        let squares: f64 = batches.iter().map(|batch| (batch - middle) * (batch - middle)).sum();
        (middle, libm::sqrt(squares / (BATCHES * (BATCHES - 1)) as f64))
    }

    fn n_effective(rows: &[Row]) -> f64 {
        let sum: f64 = rows.iter().map(|[weight, ..]| weight).sum();
        sum * sum / rows.iter().map(|[weight, ..]| weight * weight).sum::<f64>()
    }

    /// Both are weighed draws of the same: they find the drop as likely before it is read, and say the same of the joint, of its
    /// condition and of an earlier reading. Drawn anew, many more count.
    #[test]
    fn drawn_anew_a_drop_says_what_it_says_of_draws_as_they_stand() {
        let mut job = testjob::eight_spaces();
        testjob::observe(&mut job, testjob::clamp(7, 9.0, "evening"));
        let before = problem(&job);
        let draws = Chain::new(&before, 3, 0).run(300, 10_000);
        let (load, wire) =
            (|of: u16| Place::Load(testjob::slot(of)), |of: u16| Place::Wire(testjob::slot(of)));
        let main = || PanelId::new("main");
        let drops = [
            (load(8), load(7), 30.0),
            (load(8), load(7), 90.0),
            (load(7), wire(7), 4.0),
            (Place::Line(main(), Leg::A), Place::Lug(main(), Leg::A), 12.0),
        ];
        for (from, to, mv) in drops {
            let name = format!("{mv} mV from {from} to {to}");
            let drop = testjob::drop_between(from, to, mv, "evening");
            let Both { stand, anew } = both(&job, &before, &draws, drop);
            for (at, column) in COLUMNS.into_iter().enumerate() {
                let apart: Vec<f64> =
                    stand.iter().zip(&anew).map(|(one, other)| one[at] - other[at]).collect();
                let (middle, error) = mean(&apart);
                assert!(middle.abs() < 4.0 * error, "{name}: {column} is {middle} ± {error} apart");
            }
            assert!(2.0 * n_effective(&stand) < n_effective(&anew), "{name}");
        }
    }
}
