//! Which mark a joint gets on a drawing, and the numbers that join drawing and text.

use model::assessment::{Assessment, JointFinding};
use model::joint::JointId;
use serde::Deserialize;
use std::collections::BTreeMap;

/// How a joint is shown.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Mark {
    /// More likely burnt than not.
    Burnt,
    /// More likely damaged than not.
    Worn,
    /// Observed, and very probably sound.
    Sound,
    /// Neither. Unknown means not sound.
    Unknown,
}

impl Mark {
    /// All marks, in the order of the legend.
    pub const ALL: [Mark; 4] = [Mark::Burnt, Mark::Worn, Mark::Sound, Mark::Unknown];

    /// The word in the phrase file and in the `class` of the drawing.
    pub const fn word(self) -> &'static str {
        match self {
            Mark::Burnt => "burnt",
            Mark::Worn => "worn",
            Mark::Sound => "sound",
            Mark::Unknown => "unknown",
        }
    }

    /// As drawn in the text form.
    pub const fn in_text(self) -> &'static str {
        match self {
            Mark::Burnt => "[X]",
            Mark::Worn => "[/]",
            Mark::Sound => "[o]",
            Mark::Unknown => "[?]",
        }
    }

    /// How soon it matters, 0 first: what is not known comes before what is sound, for unknown is never sound.
    pub const fn concern(self) -> u8 {
        match self {
            Mark::Burnt => 0,
            Mark::Worn => 1,
            Mark::Unknown => 2,
            Mark::Sound => 3,
        }
    }

    /// Burnt or worn: gets a number.
    pub const fn is_finding(self) -> bool {
        matches!(self, Mark::Burnt | Mark::Worn)
    }
}

/// The limits of `data/marks.toml`.
#[derive(Debug, Clone, Copy, Deserialize)]
#[serde(deny_unknown_fields)]
struct Limits {
    burnt_from: f64,
    damaged_from: f64,
    sound_from: f64,
    sound_burnt_below: f64,
}

impl Limits {
    fn read() -> Self {
        toml::from_str(include_str!("../data/marks.toml")).expect("data/marks.toml is read in a test")
    }

    fn mark(&self, finding: &JointFinding) -> Mark {
        let chance = &finding.probability;
        if self.burnt_from <= chance.burnt {
            Mark::Burnt
        } else if self.damaged_from <= chance.burnt + chance.worn {
            Mark::Worn
        } else if finding.observed && self.sound_from <= chance.sound && chance.burnt < self.sound_burnt_below
        {
            Mark::Sound
        } else {
            Mark::Unknown
        }
    }
}

/// The marks of a judgement.
#[derive(Debug)]
pub struct Marks<'a> {
    /// Findings in the order of the judgement, with their marks.
    pub all: Vec<(&'a JointFinding, Mark)>,
    by_joint: BTreeMap<&'a JointId, (usize, Option<usize>)>,
    numbered: Vec<usize>,
}

impl<'a> Marks<'a> {
    /// Marks and numbers every joint. Burnt joints come first, the more probable before the less, then worn
    /// ones.
    pub fn of(assessment: &'a Assessment) -> Self {
        let limits = Limits::read();
        let all: Vec<_> = assessment.joints.iter().map(|finding| (finding, limits.mark(finding))).collect();
        let mut numbered: Vec<usize> = (0..all.len()).filter(|&idx| all[idx].1.is_finding()).collect();
        let weight = |idx: usize| {
            let (finding, mark) = &all[idx];
            match mark {
                Mark::Burnt => 1.0 + finding.probability.burnt,
                _ => finding.probability.burnt + finding.probability.worn,
            }
        };
        numbered.sort_by(|&left, &right| {
            all[left].1.cmp(&all[right].1).then(weight(right).total_cmp(&weight(left))).then(left.cmp(&right))
        });
        let mut by_joint: BTreeMap<&JointId, (usize, Option<usize>)> =
            all.iter().enumerate().map(|(idx, (finding, _))| (&finding.joint.id, (idx, None))).collect();
        for (number, &idx) in numbered.iter().enumerate() {
            if let Some(entry) = by_joint.get_mut(&all[idx].0.joint.id) {
                entry.1 = Some(number + 1);
            }
        }
        Marks { all, by_joint, numbered }
    }

    /// Mark of a joint, `None` where the judgement does not hold it.
    pub fn mark(&self, joint: &JointId) -> Option<Mark> {
        self.by_joint.get(joint).map(|&(idx, _)| self.all[idx].1)
    }

    /// What is thought of a joint.
    pub fn finding(&self, joint: &JointId) -> Option<&'a JointFinding> {
        self.by_joint.get(joint).map(|&(idx, _)| self.all[idx].0)
    }

    /// Number of a finding on drawing and in text, from 1.
    pub fn number(&self, joint: &JointId) -> Option<usize> {
        self.by_joint.get(joint).and_then(|&(_, number)| number)
    }

    /// The numbered findings in order of their numbers.
    pub fn findings(&self) -> impl ExactSizeIterator<Item = (usize, &'a JointFinding, Mark)> + '_ {
        self.numbered.iter().enumerate().map(|(idx, &at)| (idx + 1, self.all[at].0, self.all[at].1))
    }

    /// How many joints carry this mark.
    pub fn count(&self, mark: Mark) -> usize {
        self.all.iter().filter(|(_, mine)| *mine == mark).count()
    }
}
