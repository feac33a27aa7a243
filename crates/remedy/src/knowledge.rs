//! How likely the verdict is to change with more knowledge, and which check would change it.
//!
//! The joints and paths on which it may hang are taken as known, burnt or not, in every combination; each combination has
//! the probability that the findings give it, as if the joints did not hang together, and a verdict of its own.

use crate::situation::Situation;
use crate::turned::{Turning, turn};
use model::advice::{CheckChance, MayChange, Urgency};
use model::assessment::ConditionProbability;

/// Things that are turned over together; each more doubles the work.
const MOST: usize = 7;
/// A thing with less than this probability is left as it is.
const LEAST: f64 = 0.005;
/// Checks that are told.
const MOST_CHECKS: usize = 3;

/// A thing that is not known: which of the findings, and how likely it is burnt or failing.
#[derive(Debug, Clone, Copy, PartialEq)]
enum Open {
    Joint(usize, f64),
    Path(usize, f64),
}

impl Open {
    fn probability(self) -> f64 {
        match self {
            Open::Joint(_, probability) | Open::Path(_, probability) => probability,
        }
    }
}

/// How the verdict may change.
pub(crate) fn may_change(situation: &Situation<'_>, urgency: Urgency) -> MayChange {
    let mut open = open(situation);
    let n_open = open.len();
    open.truncate(MOST);
    let turning = Turning::of(situation);
    let (more, less) = chances(situation, &turning, urgency, &open);
    let mut checks: Vec<CheckChance> = situation
        .findings
        .next_checks
        .iter()
        .map(|check| {
            let told: Vec<Open> = open
                .iter()
                .filter(|one| match one {
                    Open::Joint(at, _) => check.joints.contains(&situation.findings.joints[*at].joint.id),
                    Open::Path(..) => check.kind == "leg-voltages",
                })
                .copied()
                .collect();
            let (more, less) = chances(situation, &turning, urgency, &told);
            CheckChance { what: check.what.clone(), chance: more + less }
        })
        .filter(|check| LEAST <= check.chance)
        .collect();
    checks.sort_by(|a, b| b.chance.total_cmp(&a.chance));
    checks.truncate(MOST_CHECKS);
    let basis = format!(
        "{} of {n_open} uncertain joints and supply paths taken as known for certain, one against the other independent; \
         a check tells less than that, so its figure is the most it can do",
        open.len()
    );
    MayChange { more_urgent: more, less_urgent: less, checks, basis }
}

/// What is neither sure nor out of the question, the least sure first.
fn open(situation: &Situation<'_>) -> Vec<Open> {
    let joints = situation.findings.joints.iter();
    let joints = joints.enumerate().map(|(at, one)| Open::Joint(at, one.probability.burnt));
    let supply = situation.findings.supply.iter();
    let paths = supply.enumerate().map(|(at, one)| Open::Path(at, one.failing));
    let mut open: Vec<Open> =
        joints.chain(paths).filter(|one| (LEAST..=1.0 - LEAST).contains(&one.probability())).collect();
    let doubt = |one: &Open| one.probability() * (1.0 - one.probability());
    open.sort_by(|a, b| doubt(b).total_cmp(&doubt(a)));
    open
}

/// Probabilities that the verdict is more and less urgent once these are known.
fn chances(
    situation: &Situation<'_>,
    turning: &Turning<'_, '_>,
    urgency: Urgency,
    open: &[Open],
) -> (f64, f64) {
    let (mut more, mut less) = (0.0, 0.0);
    let found = situation.findings;
    let (mut joints, mut supply) = (found.joints.to_vec(), found.supply.to_vec());
    for combination in 0..1_u32 << open.len() {
        let mut weight = 1.0;
        for (idx, one) in open.iter().enumerate() {
            let is_so = combination >> idx & 1 == 1;
            weight *= if is_so { one.probability() } else { 1.0 - one.probability() };
            match *one {
                Open::Joint(at, burnt) => {
                    let was = &found.joints[at];
                    turn(&mut joints[at], was, known(was.probability, burnt, is_so));
                }
                Open::Path(at, _) => supply[at].failing = f64::from(u8::from(is_so)),
            }
        }
        let then = turning.urgency(&joints, &supply);
        if then < urgency {
            more += weight;
        } else if urgency < then {
            less += weight;
        }
    }
    (more, less)
}

/// The condition once it is known whether the joint is burnt.
fn known(probability: ConditionProbability, burnt: f64, is_burnt: bool) -> ConditionProbability {
    if is_burnt {
        return ConditionProbability { sound: 0.0, worn: 0.0, burnt: 1.0, burnt_standard_error: 0.0 };
    }
    let rest = (1.0 - burnt).max(1e-12);
    ConditionProbability {
        sound: probability.sound / rest,
        worn: probability.worn / rest,
        burnt: 0.0,
        burnt_standard_error: 0.0,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::Policy;
    use crate::sample::{Sample, sound_panel};
    use crate::verdict::{fired, urgency_of};

    fn of(sample: &Sample) -> MayChange {
        let (policy, findings) = (Policy::standard(), sample.findings());
        let situation = Situation::of(&sample.job, &findings, &policy);
        let urgency = urgency_of(&fired(&situation));
        may_change(&situation, urgency)
    }

    #[test]
    fn one_doubtful_stab_changes_it_with_its_own_probability() {
        // Suspect stab, this month: burnt it is within 72 hours, sound nothing is left to do.
        let mut sample = sound_panel().burnt("main:stab:4", 0.3);
        for finding in sample.joints.iter_mut().filter(|one| one.joint.id.to_string() != "main:stab:4") {
            finding.probability.burnt = 0.0;
        }
        let change = of(&sample);
        assert!((change.more_urgent - 0.3).abs() < 1e-9, "{change:?}");
        assert!((change.less_urgent - 0.7).abs() < 1e-9, "{change:?}");
    }

    #[test]
    fn what_is_sure_cannot_change() {
        let mut sample = sound_panel();
        sample.joints.iter_mut().for_each(|finding| finding.probability.burnt = 0.0);
        let change = of(&sample);
        assert_eq!((change.more_urgent, change.less_urgent), (0.0, 0.0));
        assert!(change.checks.is_empty());
    }

    #[test]
    fn the_chances_of_all_combinations_are_one() {
        let sample =
            sound_panel().burnt("main:stab:4", 0.4).burnt("main:stab:1", 0.2).failing("neutral", 0.3);
        let change = of(&sample);
        assert!(
            0.0 < change.more_urgent && change.more_urgent + change.less_urgent <= 1.0 + 1e-9,
            "{change:?}"
        );
    }
}
