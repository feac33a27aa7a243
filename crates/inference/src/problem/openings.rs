//! What was found at joints that were opened: evidence on their condition, as good as the eye that looked.
//!
//! The last opening of a joint counts. What was remade since is not what was found, and a note says so.

use super::{CLASSES, Problem, ResKind, Term};
use crate::priors::PriorsError;
use model::job::Condition;
use serde::Deserialize;

/// Chances of what is found by what there is: the data file, read.
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct Eye {
    #[serde(rename = "version")]
    _version: String,
    found: Found,
}

#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
struct Found {
    sound: [f64; 3],
    worn: [f64; 3],
    burnt: [f64; 3],
    #[serde(rename = "source")]
    _source: String,
    #[serde(rename = "standing")]
    _standing: String,
}

const FILE: &str = "opening.toml";

impl Eye {
    pub(crate) fn built_in() -> Result<Self, PriorsError> {
        Eye::parse(include_str!("../../data/opening.toml"))
    }

    fn parse(text: &str) -> Result<Self, PriorsError> {
        let eye: Eye = toml::from_str(text)
            .map_err(|error| PriorsError::Form { file: FILE, message: error.to_string() })?;
        for (row, name) in eye.rows().into_iter().zip(["sound", "worn", "burnt"]) {
            // A chance of nothing would let one look overrule everything that was measured.
            let is_fine =
                row.iter().all(|chance| 0.0 < *chance) && (row.iter().sum::<f64>() - 1.0).abs() < 1e-9;
            if !is_fine {
                let what = format!("{name} must be three chances above 0 that sum to 1");
                return Err(PriorsError::Value { file: FILE, what });
            }
        }
        Ok(eye)
    }

    fn rows(&self) -> [[f64; 3]; 3] {
        [self.found.sound, self.found.worn, self.found.burnt]
    }

    /// Chance of a finding in each class.
    fn chances(&self, found: Condition) -> [f64; CLASSES] {
        let column = match found {
            Condition::Sound => 0,
            Condition::Worn => 1,
            Condition::Burnt => 2,
        };
        std::array::from_fn(|class| self.rows()[class.min(2)][column])
    }
}

impl Problem {
    pub(super) fn build_openings(&mut self) {
        for joint in self.joints.clone() {
            let of_joint = self.job.openings.iter().filter(|opening| opening.joint == joint.id);
            let Some(last) = of_joint.max_by_key(|opening| opening.at).cloned() else { continue };
            if let Some(work) = self.job.remaking(&last) {
                let text = format!(
                    "found {} on {} (fact {}), and worked on since ({}, fact {}): what was found is not what is there now, and is not \
                     weighed. If the joint was not touched, write the work without its space.",
                    last.found.word(),
                    last.at.date(),
                    last.fact,
                    work.at.date(),
                    work.fact
                );
                self.note(joint.id.to_string(), text);
                continue;
            }
            let Some(res) = self.find(&ResKind::Joint(joint.id)) else { continue };
            self.terms.push(Term {
                words: format!("opened on {}, found {}", last.at.date(), last.found.word()),
                fact: last.fact,
                joints: vec![(res, self.priors.eye.chances(last.found))],
                elsewhere: 0.0,
                missed: 0.0,
                present: true,
                complaint: None,
            });
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::testjob::{add_state, bare, drop, eight_spaces, observe, slot, work};
    use crate::{JudgeOptions, Judgement, Priors, judge};
    use model::job::{Job, Opening, Work};
    use model::joint::JointId;
    use model::{DateTime, FactId};

    fn at(hour: i8) -> DateTime {
        DateTime::constant(2026, 11, 21, hour, 0, 0, 0)
    }

    /// A drop that makes stab 5 as likely burnt as not, its neighbours not read.
    fn job() -> Job {
        let mut job = bare(8, eight_spaces().installation.panels[0].breakers.clone());
        add_state(&mut job, "evening", 22.0);
        let mut what = drop(1, 5, 200.0, "evening");
        if let model::evidence::Observed::Drop(reading) = &mut what {
            reading.current = Some(model::Current::from_a(12.0));
        }
        observe(&mut job, what);
        job
    }

    fn open(job: &mut Job, joint: JointId, hour: i8, found: Condition) {
        let fact = FactId::new(format!("opening {}", job.openings.len()));
        job.openings.push(Opening { fact, at: at(hour), joint, found, words: String::new() });
    }

    fn judged(job: &Job) -> Judgement {
        judge(job, &JudgeOptions { seed: 5, n_sweeps: 250, n_chains: 2, ..JudgeOptions::default() })
            .expect("a panel is there")
    }

    /// Terms and notes that an opening of a job makes.
    fn weighed(job: &Job) -> (Vec<String>, usize) {
        let options = JudgeOptions { seed: 1, n_sweeps: 20, n_chains: 2, ..JudgeOptions::default() };
        let problem = Problem::new(job, Priors::built_in().expect("built-in files"), options);
        let terms =
            problem.terms.iter().map(|term| term.words.clone()).filter(|words| words.starts_with("opened"));
        (terms.collect(), problem.notes.iter().filter(|note| note.text.contains("worked on since")).count())
    }

    #[test]
    fn what_was_found_replaces_what_was_predicted_and_neighbours_learn_from_it() {
        let stab = |number: u16| JointId::Stab(slot(number));
        let of = |judgement: &Judgement, number: u16| {
            let found = judgement.joints.iter().find(|finding| finding.joint.id == stab(number));
            found.expect("the stab is there").clone()
        };
        let with = |found: Option<Condition>| {
            let mut job = job();
            if let Some(found) = found {
                open(&mut job, stab(5), 9, found);
            }
            judged(&job)
        };
        let [none, sound, burnt] = [None, Some(Condition::Sound), Some(Condition::Burnt)].map(with);
        let burnt_of = |judgement: &Judgement, number: u16| of(judgement, number).probability.burnt;
        assert!((0.1..0.95).contains(&burnt_of(&none, 5)), "{}", burnt_of(&none, 5));
        assert!(burnt_of(&sound, 5) < 0.1 && 0.9 < burnt_of(&burnt, 5));
        // 6 is across the bar, on the same finger.
        assert!(burnt_of(&sound, 6) < burnt_of(&burnt, 6), "{} {}", burnt_of(&sound, 6), burnt_of(&burnt, 6));
        let middle = |judgement: &Judgement| of(judgement, 5).resistance_mohm.median;
        assert!(middle(&sound) < middle(&burnt), "its resistance is that of what was found");
        let reasons = of(&sound, 5).reasons;
        let told = reasons.iter().find(|reason| reason.text == "opened on 2026-11-21, found sound");
        assert!(told.is_some_and(|reason| reason.weight_db < -15.0), "{reasons:?}");
        assert!(of(&sound, 5).observed);
    }

    #[test]
    fn the_last_opening_of_a_joint_counts() {
        let mut job = job();
        open(&mut job, JointId::Stab(slot(5)), 9, Condition::Burnt);
        open(&mut job, JointId::Stab(slot(5)), 8, Condition::Sound);
        assert_eq!(weighed(&job), (vec!["opened on 2026-11-21, found burnt".to_owned()], 0));
    }

    #[test]
    fn what_was_made_anew_since_is_not_what_was_found() {
        let after = |joint: JointId, work: Work| {
            let mut job = job();
            open(&mut job, joint, 9, Condition::Burnt);
            job.work.push(work);
            let (terms, n_notes) = weighed(&job);
            assert_eq!(terms.len() + n_notes, 1, "either weighed or told of");
            n_notes == 1
        };
        let [stab, terminal] = [JointId::Stab(slot(5)), JointId::Terminal(slot(5))];
        assert!(after(stab.clone(), work(at(10), &[5], &[])), "lasting work at its space");
        assert!(!after(stab.clone(), work(at(8), &[5], &[])), "it was opened after that");
        assert!(!after(stab.clone(), work(at(10), &[6], &[])), "elsewhere");
        assert!(!after(stab.clone(), work(at(10), &[5], &[1])), "the burnt stab that a circuit left");
        assert!(after(terminal, work(at(10), &[5], &[1])), "its wire went elsewhere");
        assert!(after(stab.clone(), work(at(10), &[1], &[5])), "a breaker was put there");
        let mut tagged = work(at(10), &[5], &[]);
        tagged.expires = Some(model::Date::constant(2026, 12, 21));
        assert!(!after(stab, tagged), "switched off and tagged");
    }

    #[test]
    fn slips_of_the_data_file_are_named() {
        let text = include_str!("../../data/opening.toml");
        let error = Eye::parse(&text.replacen("0.005]", "0.105]", 1)).expect_err("sums to more than one");
        assert!(error.to_string().contains("sound must be three chances"), "{error}");
        assert!(Eye::parse(&text.replacen("[found]", "[fuond]", 1)).is_err());
    }
}
