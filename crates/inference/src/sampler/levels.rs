//! Damage levels and damaged fingers, integrated out of the joints' conditions.
//!
//! Given the conditions the damage level of the house is one of a few, and each finger is damaged or not, independent
//! given the level. So both can be summed over exactly: the weight of a level is its prior times, for each finger, the
//! sum over "damaged or not" of the product of what its joints' conditions are given that. Joints are drawn with these
//! sums, and the probabilities that are kept hold no noise of a level that was drawn.

use super::class::by_class;
use super::state::Chain;
use crate::problem::{CLASSES, Law, Problem};

/// Prior probability of each class of a joint where its finger is whole, and where it is damaged.
type ByFinger = [[f64; CLASSES]; 2];

/// Weights of the damage levels given all conditions, with what is needed to move them.
pub(super) struct Levels {
    /// By level, then by joint.
    priors: Vec<Vec<ByFinger>>,
    /// Joints of each finger.
    members: Vec<Vec<usize>>,
    /// Chance that a finger is whole, and that it is damaged.
    chance: [f64; 2],
    /// Weight of each level given the conditions; they sum to one.
    weight: Vec<f64>,
}

impl Levels {
    pub(super) fn new(p: &Problem) -> Self {
        let cluster = &p.priors.cluster;
        let priors = (0..cluster.prevalence.len())
            .map(|level| {
                (0..p.n_conditioned)
                    .map(|res| [false, true].map(|at| prior_given(p, res, level, at)))
                    .collect()
            })
            .collect();
        let mut members = vec![Vec::new(); p.n_fingers];
        for res in 0..p.n_conditioned {
            if let Some(finger) = p.finger_of[res] {
                members[finger].push(res);
            }
        }
        let damaged = cluster.finger_probability;
        let weight = cluster.prevalence.iter().map(|level| level.weight).collect();
        Levels { priors, members, chance: [1.0 - damaged, damaged], weight }
    }

    /// For a finger at a level: chance of whole and of damaged, each times what its joints but some make of it.
    fn finger(&self, level: usize, finger: usize, without: [usize; 2], condition: &[u8]) -> [f64; 2] {
        let mut product = self.chance;
        for &res in self.members[finger].iter().filter(|res| !without.contains(res)) {
            for (product, prior) in product.iter_mut().zip(&self.priors[level][res]) {
                *product *= prior[usize::from(condition[res])];
            }
        }
        product
    }

    /// Chance of each class of a joint at a level, its finger summed over, times what the finger's other joints make of it.
    fn own(&self, level: usize, res: usize, finger: Option<usize>, condition: &[u8]) -> [f64; CLASSES] {
        let [whole, damaged] = self.priors[level][res];
        let Some(finger) = finger else { return whole };
        let [of_whole, of_damaged] = self.finger(level, finger, [res; 2], condition);
        by_class(|class| of_whole * whole[class] + of_damaged * damaged[class])
    }

    fn scale_to_one(&mut self) {
        let total: f64 = self.weight.iter().sum();
        if 0.0 < total {
            for weight in &mut self.weight {
                *weight /= total;
            }
        }
    }
}

fn prior_given(p: &Problem, res: usize, level: usize, damaged_finger: bool) -> [f64; CLASSES] {
    let Law::Conditioned { odds: [mut worn, mut burnt], mild, .. } = p.res[res].law else {
        return [1.0, 0.0, 0.0, 0.0];
    };
    let cluster = &p.priors.cluster;
    if res < p.joints.len() {
        worn *= cluster.prevalence[level].worn;
        burnt *= cluster.prevalence[level].burnt;
    }
    if damaged_finger {
        worn *= cluster.finger_worn;
        burnt *= cluster.finger_burnt;
    }
    let total = 1.0 + worn + burnt;
    [1.0 / total, worn / total, mild * burnt / total, (1.0 - mild) * burnt / total]
}

impl Chain<'_> {
    /// Prior probability of each class of a joint given the conditions of all others.
    pub(super) fn condition_prior(&self, res: usize) -> [f64; CLASSES] {
        let now = usize::from(self.condition[res]);
        let mut sums = [0.0; CLASSES];
        for (level, weight) in self.levels.weight.iter().enumerate() {
            let own = self.levels.own(level, res, self.p.finger_of[res], &self.condition);
            for (sum, own_class) in sums.iter_mut().zip(own) {
                *sum += weight * own_class / own[now];
            }
        }
        let total: f64 = sums.iter().sum();
        sums.map(|sum| sum / total)
    }

    /// Prior probability of the classes of two joints together given the conditions of all others.
    pub(super) fn pair_prior(&self, a: usize, b: usize) -> [[f64; CLASSES]; CLASSES] {
        let levels = &self.levels;
        let (at_a, at_b) = (usize::from(self.condition[a]), usize::from(self.condition[b]));
        let (finger_a, finger_b) = (self.p.finger_of[a], self.p.finger_of[b]);
        let mut sums = [[0.0; CLASSES]; CLASSES];
        for (level, weight) in levels.weight.iter().enumerate() {
            let table = match finger_a {
                Some(finger) if finger_a == finger_b => {
                    let [of_whole, of_damaged] = levels.finger(level, finger, [a, b], &self.condition);
                    let ([whole_a, damaged_a], [whole_b, damaged_b]) =
                        (levels.priors[level][a], levels.priors[level][b]);
                    by_class(|ca| {
                        by_class(|cb| {
                            of_whole * whole_a[ca] * whole_b[cb] + of_damaged * damaged_a[ca] * damaged_b[cb]
                        })
                    })
                }
                _ => {
                    let own_a = levels.own(level, a, finger_a, &self.condition);
                    let own_b = levels.own(level, b, finger_b, &self.condition);
                    by_class(|ca| by_class(|cb| own_a[ca] * own_b[cb]))
                }
            };
            let share = weight / table[at_a][at_b];
            for (sums, row) in sums.iter_mut().zip(table) {
                for (sum, cell) in sums.iter_mut().zip(row) {
                    *sum += share * cell;
                }
            }
        }
        sums
    }

    /// Moves the levels' weights with the condition of a joint, which still is what it was.
    fn move_levels(&mut self, res: usize, to: usize) {
        let now = usize::from(self.condition[res]);
        for level in 0..self.levels.weight.len() {
            let own = self.levels.own(level, res, self.p.finger_of[res], &self.condition);
            self.levels.weight[level] *= own[to] / own[now];
        }
        self.levels.scale_to_one();
    }

    /// Makes the levels' weights anew from the conditions.
    pub(super) fn refresh_levels(&mut self) {
        let log = |level: usize| {
            let levels = &self.levels;
            let alone = (0..self.p.n_conditioned).filter(|&res| self.p.finger_of[res].is_none());
            let of_alone: f64 = alone
                .map(|res| libm::log(levels.priors[level][res][0][usize::from(self.condition[res])]))
                .sum();
            let nobody = [usize::MAX; 2];
            let of_fingers: f64 = (0..self.p.n_fingers)
                .map(|finger| libm::log(levels.finger(level, finger, nobody, &self.condition).iter().sum()))
                .sum();
            libm::log(self.p.priors.cluster.prevalence[level].weight) + of_alone + of_fingers
        };
        let logs: Vec<f64> = (0..self.levels.weight.len()).map(log).collect();
        let best = logs.iter().copied().fold(f64::NEG_INFINITY, f64::max);
        self.levels.weight = logs.iter().map(|log| libm::exp(log - best)).collect();
        self.levels.scale_to_one();
    }

    /// Draws the level and the fingers given the conditions, for what is told of a draw; no other update looks at them.
    pub(super) fn draw_levels(&mut self) {
        self.prevalence = self.rng.pick(&self.levels.weight);
        for finger in 0..self.p.n_fingers {
            let [whole, damaged] =
                self.levels.finger(self.prevalence, finger, [usize::MAX; 2], &self.condition);
            self.finger[finger] = self.rng.uniform() * (whole + damaged) < damaged;
        }
    }

    pub(super) fn set_condition(&mut self, res: usize, condition: usize) {
        let before = usize::from(self.condition[res]);
        if before == condition {
            return;
        }
        self.move_levels(res, condition);
        self.condition[res] = condition as u8;
        for showing in &self.terms_of[res] {
            self.quiet[showing.term] *= showing.still[condition] / showing.still[before];
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{JudgeOptions, Priors, testjob};

    /// The sums over level and fingers against trying every level with every damage of every finger.
    #[test]
    fn levels_and_fingers_are_summed_over() {
        let options = JudgeOptions { seed: 1, n_sweeps: 20, n_chains: 2, ..JudgeOptions::default() };
        let priors = Priors::built_in().expect("built-in files");
        let problem = Problem::new(&testjob::eight_spaces(), priors, options);
        let mut chain = Chain::new(&problem, 3, 1);
        chain.run(7, 0);
        let cluster = &problem.priors.cluster;
        let long = |condition: &[u8]| -> f64 {
            let mut total = 0.0;
            for (level, content) in cluster.prevalence.iter().enumerate() {
                for damage in 0..1_u32 << problem.n_fingers {
                    let damaged = |finger: usize| damage >> finger & 1 == 1;
                    let mut product = content.weight;
                    for finger in 0..problem.n_fingers {
                        let chance = cluster.finger_probability;
                        product *= if damaged(finger) { chance } else { 1.0 - chance };
                    }
                    for (res, class) in condition.iter().enumerate() {
                        let at = problem.finger_of[res].is_some_and(damaged);
                        product *= prior_given(&problem, res, level, at)[usize::from(*class)];
                    }
                    total += product;
                }
            }
            total
        };
        let with = |changes: &[(usize, usize)]| {
            let mut condition = chain.condition.clone();
            changes.iter().for_each(|&(res, class)| condition[res] = class as u8);
            long(&condition)
        };
        for res in 0..problem.n_conditioned {
            let all: f64 = (0..CLASSES).map(|class| with(&[(res, class)])).sum();
            for (class, share) in chain.condition_prior(res).into_iter().enumerate() {
                assert!((share - with(&[(res, class)]) / all).abs() < 1e-9, "{res} {class} {share}");
            }
        }
        for &(a, b) in problem.pairs.iter().filter(|&&(_, b)| b < problem.n_conditioned) {
            let table = chain.pair_prior(a, b);
            let whole: f64 = table.iter().flatten().sum();
            let all: f64 =
                (0..CLASSES * CLASSES).map(|at| with(&[(a, at / CLASSES), (b, at % CLASSES)])).sum();
            for (ca, row) in table.into_iter().enumerate() {
                for (cb, share) in row.into_iter().enumerate() {
                    assert!((share / whole - with(&[(a, ca), (b, cb)]) / all).abs() < 1e-9, "{a} {b}");
                }
            }
        }
    }
}
