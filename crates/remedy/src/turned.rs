//! The urgency if joints or paths of the supply were otherwise than inferred, all else as it is.

use crate::condition::Condition;
use crate::situation::Situation;
use model::advice::Urgency;
use model::assessment::{ConditionProbability, Interval, JointFinding, SupplyFinding};

/// A situation whose joints and supply are turned over. Of the rules only what hangs on these is asked again: there may be
/// hundreds of combinations, and a record may be long.
pub(crate) struct Turning<'s, 'a> {
    situation: &'s Situation<'a>,
    /// Rules that nothing else keeps from firing, the most urgent first, with what of each hangs on joints or supply.
    rules: Vec<(Urgency, Vec<&'a Condition>)>,
}

impl<'s, 'a> Turning<'s, 'a> {
    pub(crate) fn of(situation: &'s Situation<'a>) -> Self {
        let policy = situation.policy;
        let mut rules: Vec<(Urgency, Vec<&Condition>)> = Vec::new();
        for rule in &policy.rules {
            let (open, fixed): (Vec<&Condition>, Vec<&Condition>) =
                rule.when.iter().partition(|condition| condition.hangs_on_joints());
            if fixed.iter().all(|condition| condition.holds(situation).is_some()) {
                rules.push((rule.urgency, open));
            }
        }
        rules.sort_by_key(|&(urgency, _)| urgency);
        Turning { situation, rules }
    }

    /// The urgency with these joints and paths.
    pub(crate) fn urgency(&self, joints: &[JointFinding], supply: &[SupplyFinding]) -> Urgency {
        let there = self.situation.with(joints, supply);
        let fires = |open: &[&Condition]| open.iter().all(|condition| condition.holds(&there).is_some());
        self.rules.iter().find(|(_, open)| fires(open)).map_or(Urgency::NoAction, |&(urgency, _)| urgency)
    }
}

/// Gives a joint another condition than it `was` found in: heat only where it is burnt.
pub(crate) fn turn(finding: &mut JointFinding, was: &JointFinding, probability: ConditionProbability) {
    const NONE: Interval = Interval { low: 0.0, median: 0.0, high: 0.0 };
    let is_burnt = 0.5 <= probability.burnt;
    finding.heat_now_w = was.heat_now_w.filter(|_| is_burnt);
    finding.hot_spot_c = was.hot_spot_c.filter(|_| is_burnt);
    finding.heat_rated_w = if is_burnt { was.heat_rated_w } else { NONE };
    finding.probability = probability;
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::Policy;
    use crate::sample::sound_panel;
    use crate::verdict::{fired, urgency_of};
    use model::evidence::Sign;

    /// Asked in the short way, every combination of two stabs and the neutral has the urgency of all rules asked anew.
    #[test]
    fn the_short_way_finds_what_all_rules_find() {
        let policy = Policy::standard();
        let plain =
            || sound_panel().burnt("main:stab:4", 0.3).burnt("main:stab:1", 0.9).failing("neutral", 0.3);
        let mut found = std::collections::BTreeSet::new();
        for sample in [plain(), plain().sign(Sign::Smell), plain().sign(Sign::RoughHandle)] {
            let findings = sample.findings();
            let situation = Situation::of(&sample.job, &findings, &policy);
            let turning = Turning::of(&situation);
            for burnt in [
                [0.0, 0.0, 0.0],
                [0.3, 0.0, 0.0],
                [0.0, 1.0, 0.0],
                [0.6, 0.6, 0.0],
                [0.0, 0.0, 1.0],
                [1.0; 3],
            ] {
                let (mut joints, mut supply) = (findings.joints.to_vec(), findings.supply.to_vec());
                let [first, second, neutral] = burnt;
                for (at, burnt) in [("main:stab:4", first), ("main:stab:1", second)] {
                    let place = joints.iter().position(|one| one.joint.id.to_string() == at).expect("a stab");
                    let known = ConditionProbability {
                        sound: 1.0 - burnt,
                        worn: 0.0,
                        burnt,
                        burnt_standard_error: 0.0,
                    };
                    turn(&mut joints[place], &findings.joints[place], known);
                }
                supply.iter_mut().for_each(|path| path.failing = neutral);
                let there = situation.with(&joints, &supply);
                let anew = urgency_of(&fired(&there));
                assert_eq!(turning.urgency(&joints, &supply), anew, "{burnt:?}");
                found.insert(anew);
            }
        }
        assert!(3 <= found.len(), "{found:?}");
    }
}
