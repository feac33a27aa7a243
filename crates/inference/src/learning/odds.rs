//! How the odds of burnt stand to what was found: a factor for each kind of joint and each description of it.

use super::WORTH;
use super::experience::{Experience, OddsCount};
use crate::problem::modifiers_of;
use model::installation::Installation;
use model::joint::JointId;
use std::collections::BTreeSet;

/// An opened joint with what had been said of it before.
#[derive(Debug, Clone, PartialEq)]
pub struct Faced {
    /// Its kind and the modifiers of its odds, see [`names_of`].
    pub names: Vec<&'static str>,
    /// Probability of burnt by the program's own chances, from the facts before the opening.
    pub given: f64,
    /// Was it found burnt?
    pub burnt: bool,
}

/// Kind of a joint and the modifiers of its odds, as the data files name them.
pub fn names_of(installation: &Installation, joint: &JointId) -> Vec<&'static str> {
    let mut names = vec![joint.kind().word()];
    names.extend(modifiers_of(installation, joint));
    names
}

/// Rounds over all factors.
const N_ROUNDS: usize = 30;
/// A factor is told within these.
const RANGE: (f64, f64) = (0.05, 20.0);

impl Experience {
    /// Counts predicted and found, and fits the factors of the odds together.
    ///
    /// A joint that was predicted with odds o is taken to have had o times its factors. That is so where joints do not hang
    /// together, and nearly so else. Each factor has a gamma law of mean one and shape [`WORTH`], as if ten burnt
    /// joints had been predicted and found; for small probabilities its fit is (10 + found)/(10 + predicted). Which joints are opened may depend
    /// on anything that the prediction knew: what is compared is the finding with the prediction, not with a share of all.
    pub fn count_odds(&mut self, faced: &[Faced]) {
        let names: BTreeSet<&'static str> = faced.iter().flat_map(|one| one.names.iter().copied()).collect();
        let names: Vec<&'static str> = names.into_iter().collect();
        let mut factors = vec![1.0; names.len()];
        let odds = |given: f64| given.clamp(1e-6, 1.0 - 1e-6) / (1.0 - given.clamp(1e-6, 1.0 - 1e-6));
        let of = |one: &Faced| -> Vec<usize> {
            (0..names.len()).filter(|&name| one.names.contains(&names[name])).collect()
        };
        let rows: Vec<(Vec<usize>, f64, bool)> =
            faced.iter().map(|one| (of(one), odds(one.given), one.burnt)).collect();
        for _ in 0..N_ROUNDS {
            for name in 0..names.len() {
                let others: Vec<(f64, bool)> = rows
                    .iter()
                    .filter(|(of, ..)| of.contains(&name))
                    .map(|(of, odds, burnt)| {
                        let rest = of.iter().filter(|&&other| other != name);
                        (odds * rest.map(|&other| factors[other]).product::<f64>(), *burnt)
                    })
                    .collect();
                factors[name] = fitted(&others);
            }
        }
        self.n_joints = faced.len() as u32;
        self.odds = names
            .iter()
            .enumerate()
            .map(|(name, &of)| {
                let all = || faced.iter().filter(|one| one.names.contains(&of));
                OddsCount {
                    of: of.to_owned(),
                    n: all().count() as u32,
                    predicted: libm::round(all().map(|one| one.given).sum::<f64>() * 1e3) / 1e3,
                    found: all().filter(|one| one.burnt).count() as u32,
                    factor: libm::round(factors[name] * 1e4) / 1e4,
                }
            })
            .collect();
    }
}

/// The factor f at which found + 10 is what is predicted with f, + 10 f: the mode, on the logarithm, of the binary likelihood with
/// the gamma law. The difference falls in f, so halving finds it.
fn fitted(rows: &[(f64, bool)]) -> f64 {
    let found = rows.iter().filter(|(_, burnt)| *burnt).count() as f64;
    let excess = |factor: f64| {
        let predicted: f64 = rows.iter().map(|&(odds, _)| odds * factor / (1.0 + odds * factor)).sum();
        found + WORTH - predicted - WORTH * factor
    };
    let (mut low, mut high) = RANGE;
    for _ in 0..50 {
        let middle = libm::sqrt(low * high);
        if 0.0 < excess(middle) { low = middle } else { high = middle }
    }
    libm::sqrt(low * high)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn faced(given: f64, burnt: bool) -> Faced {
        Faced { names: vec!["stab"], given, burnt }
    }

    fn factor(faced: &[Faced]) -> f64 {
        let mut experience = Experience::default();
        experience.count_odds(faced);
        experience.odds[0].factor
    }

    #[test]
    fn what_was_foretold_rightly_changes_nothing() {
        let rows: Vec<Faced> = (0..100).map(|number| faced(0.1, number % 10 == 0)).collect();
        assert!((factor(&rows) - 1.0).abs() < 1e-3);
    }

    /// By hand: of 1,000 joints with 0.01 each, 30 burnt. For small chances (10 + 30)/(10 + 10) = 2; the exact root of
    /// 40 = 10 f + 1000 · f o/(1 + f o) with o = 1/99 is 2.0101.
    #[test]
    fn found_beside_predicted_worked_by_hand() {
        let rows: Vec<Faced> = (0..1_000).map(|number| faced(0.01, number < 30)).collect();
        let f = factor(&rows);
        let o = 1.0 / 99.0;
        assert!((10.0 * f + 1_000.0 * f * o / (1.0 + f * o) - 40.0).abs() < 0.01, "{f}");
        assert!((f - 2.01).abs() < 0.01, "{f}");
    }

    /// Opening only what was suspected does not bend the factor: it is held against its own prediction.
    #[test]
    fn which_joints_were_opened_does_not_matter() {
        let suspected: Vec<Faced> = (0..40).map(|number| faced(0.5, number % 2 == 0)).collect();
        assert!((factor(&suspected) - 1.0).abs() < 1e-3);
    }

    #[test]
    fn a_description_gets_what_its_kind_does_not_explain() {
        let with = |names: &[&'static str], given, burnt| Faced { names: names.to_vec(), given, burnt };
        let plain = (0..200).map(|number| with(&["stab"], 0.1, number % 10 == 0));
        let other = (0..200).map(|number| with(&["stab", "other-make"], 0.1, number % 5 == 0));
        let mut experience = Experience::default();
        experience.count_odds(&plain.chain(other).collect::<Vec<_>>());
        let of = |name: &str| experience.odds.iter().find(|one| one.of == name).expect("counted");
        let (stab, other) = (of("stab").factor, of("other-make").factor);
        assert!(1.2 * stab < other, "{:?}", experience.odds);
        // Both stand where what is predicted with them, and ten times each, is found and ten.
        let p = |factor: f64| factor / 9.0 / (1.0 + factor / 9.0);
        assert!((200.0 * (p(stab) + p(stab * other)) + 10.0 * stab - 70.0).abs() < 0.05);
        assert!((200.0 * p(stab * other) + 10.0 * other - 50.0).abs() < 0.05);
        assert_eq!((of("stab").n, of("stab").found, of("other-make").found), (400, 60, 40));
        let read = Experience::parse(&experience.write()).expect("what is written is read");
        assert_eq!(read, experience);
    }
}
