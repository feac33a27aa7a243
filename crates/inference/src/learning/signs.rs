//! How often a sign was there in each condition found: counts, with what may have come from several things shared out.

use super::WORTH;
use super::experience::{Experience, OtherCount, SignCount};
use crate::priors::Priors;
use model::evidence::{Observed, Sign, SignScope};
use model::job::{Condition, Job};
use model::joint::{JointId, joints};
use model::{PanelId, Slot};
use std::collections::BTreeMap;

/// Share of the stabs behind breakers that must have been opened for a panel to count. Where only the suspect ones were
/// opened, those that showed a sign are there and those that did not are missing.
const WHOLE: f64 = 0.9;

/// Was (nearly) every stab behind a breaker of this panel opened?
pub fn wholly_opened(job: &Job, panel: &PanelId) -> bool {
    let Some(described) = job.installation.panel(panel) else { return false };
    let slots = described.breakers.iter().flat_map(|breaker| &breaker.spaces);
    let stabs: Vec<JointId> = slots.map(|&space| JointId::Stab(Slot::new(panel.clone(), space))).collect();
    let opened = stabs.iter().filter(|stab| job.openings.iter().any(|one| one.joint == **stab)).count();
    !stabs.is_empty() && WHOLE * stabs.len() as f64 <= opened as f64
}

/// What can show a sign at a circuit: kind of joint and condition found, `None` where it was not opened.
type Cause = (&'static str, Option<Condition>);

/// A look at a circuit: the sign, what can show it, whether it was there.
type Look = (Sign, Vec<Cause>, bool);

/// Rounds of sharing out; the counts stand still long before.
const N_ROUNDS: usize = 60;

impl Experience {
    /// Counts signs that were looked for at single circuits of wholly opened panels, before the first opening. A sign that may
    /// have come from several joints, or from none, is shared out by how likely each is to have shown it (expectation
    /// maximisation of a noisy OR; Dempster, Laird and Rubin 1977), each chance with the weight of [`WORTH`]
    /// joints on what the data files assume.
    #[must_use]
    pub fn of_signs<'a>(priors: &Priors, jobs: impl IntoIterator<Item = &'a Job>) -> Self {
        let mut looks: BTreeMap<Look, f64> = BTreeMap::new();
        let mut n_panels = 0;
        for job in jobs {
            for panel in &job.installation.panels {
                if wholly_opened(job, &panel.id) {
                    n_panels += 1;
                    for look in looks_at(priors, job, &panel.id) {
                        *looks.entry(look).or_default() += 1.0;
                    }
                }
            }
        }
        let mut counts = Counts::default();
        for _ in 0..N_ROUNDS {
            counts = counts.shared_out(priors, &looks);
        }
        let signs = counts.shown.iter().map(|(&(sign, joint, found), &(n, shown))| SignCount {
            sign: sign.word().to_owned(),
            joint: joint.to_owned(),
            found: found.word().to_owned(),
            n: rounded(n),
            shown: rounded(shown),
        });
        let others = counts.other.iter().map(|(&sign, &(n, shown))| OtherCount {
            sign: sign.word().to_owned(),
            n: rounded(n),
            shown: rounded(shown),
        });
        Experience { n_panels, signs: signs.collect(), others: others.collect(), ..Experience::default() }
    }
}

/// A thousandth of a joint is enough.
fn rounded(count: f64) -> f64 {
    libm::round(count * 1e3) / 1e3
}

/// The last look for each sign at each circuit of a panel, before the first opening.
fn looks_at(priors: &Priors, job: &Job, panel: &PanelId) -> Vec<Look> {
    let Some(first) = job.openings.iter().map(|opening| opening.at).min() else { return Vec::new() };
    let mut last: BTreeMap<(Sign, Slot), bool> = BTreeMap::new();
    for observation in job.observations.iter().filter(|observation| observation.at <= first) {
        let Observed::Sign(reading) = &observation.what else { continue };
        let SignScope::Slot(slot) = &reading.scope else { continue };
        if slot.panel == *panel {
            last.insert((reading.sign, slot.clone()), reading.present);
        }
    }
    say_what_was_silent(&mut last, job, panel);
    let all = joints(&job.installation);
    let look = |((sign, slot), present): ((Sign, Slot), bool)| {
        let shows = &priors.sign(sign).shows;
        let at = all.iter().filter(|joint| joint.id.slot() == Some(&slot));
        let mut causes: Vec<Cause> = at
            .filter(|joint| shows.contains_key(joint.id.kind().word()))
            .map(|joint| {
                let opened = job.openings.iter().rev().find(|opening| opening.joint == joint.id);
                (joint.id.kind().word(), opened.map(|opening| opening.found))
            })
            .collect();
        causes.sort_unstable();
        (sign, causes, present)
    };
    last.into_iter().map(look).collect()
}

/// A sign that a record names only where it was there, never where it was not, is one that is written down when it is met: every
/// other circuit with an opened joint counts as without it. Else each circuit would seem to show it.
fn say_what_was_silent(last: &mut BTreeMap<(Sign, Slot), bool>, job: &Job, panel: &PanelId) {
    for sign in Sign::ALL {
        let looks: Vec<bool> =
            last.iter().filter(|((of, _), _)| *of == sign).map(|(_, &there)| there).collect();
        if looks.is_empty() || looks.contains(&false) {
            continue;
        }
        let opened = job.openings.iter().filter_map(|opening| opening.joint.slot());
        for slot in opened.filter(|slot| slot.panel == *panel) {
            last.entry((sign, slot.clone())).or_insert(false);
        }
    }
}

/// Observations and those of them that showed the sign.
type Count = (f64, f64);

#[derive(Debug, Clone, Default)]
struct Counts {
    shown: BTreeMap<(Sign, &'static str, Condition), Count>,
    other: BTreeMap<Sign, Count>,
}

impl Counts {
    fn shows(&self, priors: &Priors, sign: Sign, kind: &'static str, found: Condition) -> f64 {
        let assumed = priors.sign(sign).shows[kind][found as usize];
        let (n, shown) = self.shown.get(&(sign, kind, found)).copied().unwrap_or_default();
        (assumed * WORTH + shown) / (WORTH + n)
    }

    /// Counts anew, each sign that was there shared out by the chances of now.
    fn shared_out(&self, priors: &Priors, looks: &BTreeMap<Look, f64>) -> Counts {
        let mut next = Counts::default();
        for ((sign, causes, present), &times) in looks {
            let (n, shown) = self.other.get(sign).copied().unwrap_or_default();
            let other = (priors.sign(*sign).elsewhere.slot * WORTH + shown) / (WORTH + n);
            // Every condition that each cause may be in: weight and chance of the sign.
            let each: Vec<Vec<(Condition, f64, f64)>> = causes
                .iter()
                .map(|&(kind, found)| {
                    let weights = found.map_or_else(|| shares(priors, kind), only);
                    let conditions = Condition::ALL.into_iter().zip(weights);
                    conditions
                        .map(|(found, weight)| (found, weight, self.shows(priors, *sign, kind, found)))
                        .collect()
                })
                .collect();
            let chance = |cause: &Vec<(Condition, f64, f64)>| -> f64 {
                cause.iter().map(|&(_, weight, shows)| weight * shows).sum()
            };
            let absent = (1.0 - other) * each.iter().map(|cause| 1.0 - chance(cause)).product::<f64>();
            let any = (1.0 - absent).max(1e-12);
            for (&(kind, _), cause) in causes.iter().zip(&each) {
                for &(found, weight, shows) in cause.iter().filter(|one| 0.0 < one.1) {
                    let count = next.shown.entry((*sign, kind, found)).or_default();
                    count.0 += times * weight;
                    count.1 += if *present { times * weight * shows / any } else { 0.0 };
                }
            }
            let count = next.other.entry(*sign).or_default();
            count.0 += times;
            count.1 += if *present { times * other / any } else { 0.0 };
        }
        next
    }
}

fn only(found: Condition) -> [f64; 3] {
    Condition::ALL.map(|one| f64::from(u8::from(one == found)))
}

/// Shares of the conditions of a joint that nobody opened.
fn shares(priors: &Priors, kind: &str) -> [f64; 3] {
    let odds = priors.odds(kind);
    let sum = 1.0 + odds.worn + odds.burnt;
    [1.0 / sum, odds.worn / sum, odds.burnt / sum]
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::testjob::{eight_spaces, slot};
    use model::FactId;
    use model::job::Opening;

    /// Every stab of the small panel opened, and that of space 5 as said.
    fn opened(found: Condition) -> Job {
        let mut job = eight_spaces();
        let at = job.observations.iter().map(|one| one.at).max().expect("it has observations");
        let panel = job.installation.panels[0].clone();
        for (number, &space) in panel.breakers.iter().flat_map(|breaker| &breaker.spaces).enumerate() {
            let stab = Slot::new(panel.id.clone(), space);
            job.openings.push(Opening {
                fact: FactId::new(format!("opened-{number}")),
                at,
                found: if stab == slot(5) { found } else { Condition::Sound },
                joint: JointId::Stab(stab),
                words: String::new(),
            });
        }
        job
    }

    fn of(experience: &Experience, found: &str) -> Option<(f64, f64)> {
        let mut all = experience.signs.iter();
        let one = all.find(|one| (&*one.sign, &*one.joint, &*one.found) == ("discoloration", "stab", found));
        one.map(|one| (one.n, one.shown))
    }

    #[test]
    fn a_sign_that_was_not_there_speaks_against_all_that_could_have_shown_it() {
        // The job says: discoloration looked for at space 5 and not seen.
        let priors = Priors::built_in().expect("the files in data/");
        let job = opened(Condition::Burnt);
        let experience = Experience::of_signs(&priors, [&job, &job]);
        assert_eq!((experience.n_panels, of(&experience, "burnt")), (2, Some((2.0, 0.0))));
        assert_eq!(of(&experience, "sound"), None);
        let before = priors.sign(Sign::Discoloration).shows["stab"];
        let after = priors.with(&experience).sign(Sign::Discoloration).shows["stab"];
        assert!((after[2] - before[2] * 10.0 / 12.0).abs() < 1e-12, "{before:?} {after:?}");
        assert_eq!(after[0], before[0]);
    }

    #[test]
    fn a_panel_of_which_only_the_suspect_stab_was_opened_does_not_count() {
        let priors = Priors::built_in().expect("the files in data/");
        let mut job = opened(Condition::Burnt);
        job.openings.retain(|one| one.joint == JointId::Stab(slot(5)));
        let experience = Experience::of_signs(&priors, [&job]);
        assert!(experience.is_empty() && experience.n_panels == 0);
        assert_eq!(priors.clone().with(&experience), priors);
    }

    #[test]
    fn a_sign_that_is_written_down_only_where_it_is_met_was_not_at_the_other_circuits() {
        let priors = Priors::built_in().expect("the files in data/");
        let mut job = opened(Condition::Burnt);
        for observation in &mut job.observations {
            if let Observed::Sign(reading) = &mut observation.what {
                reading.present = true;
            }
        }
        let experience = Experience::of_signs(&priors, [&job]);
        let (n, shown) = of(&experience, "sound").expect("the other circuits count");
        assert_eq!(n as usize, job.openings.len() - 1);
        assert!(shown < 1e-9, "{shown}");
    }

    /// By hand for one look: a burnt stab with chance s, else with chance e, and terminals that nobody opened with chance t. A
    /// sign that was there came from each with its chance over that of any; the shares are those of a fixed point.
    #[test]
    fn a_sign_is_shared_out_over_what_may_have_shown_it() {
        let priors = Priors::built_in().expect("the files in data/");
        let mut job = opened(Condition::Burnt);
        for observation in &mut job.observations {
            if let Observed::Sign(reading) = &mut observation.what
                && reading.sign == Sign::Discoloration
            {
                reading.present = true;
            }
        }
        let experience = Experience::of_signs(&priors, [&job]);
        let (n, shown) = of(&experience, "burnt").expect("it was looked for");
        let other = experience.others.iter().find(|one| one.sign == "discoloration").expect("counted");
        assert_eq!(n, 1.0);
        // A burnt stab is much likelier to have shown it than anything else at the circuit, and not alone.
        assert!(0.7 < shown && shown < 1.0 && other.shown < 0.1, "{shown} {}", other.shown);
        let prior = priors.sign(Sign::Discoloration);
        let s = (prior.shows["stab"][2] * WORTH + shown) / (WORTH + 1.0);
        let e = (prior.elsewhere.slot * WORTH + other.shown) / (WORTH + other.n);
        assert!((shown / other.shown - s / e).abs() < 0.02 * s / e, "{shown} {} {s} {e}", other.shown);
    }
}
