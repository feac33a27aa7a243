//! The text in which notes, lines of the board, and what was predicted and found are kept between two runs of the program.
//!
//! It is a cache and no archive: what cannot be read any more is made again from the facts.

use super::facing::Faced;
use super::notes::JobNotes;
use crate::plan::{BoardLine, due_word};
use model::assessment::ConditionProbability;
use model::job::Condition;
use model::plan::{Due, DueKind, KeptWhat};
use model::{Date, FactId, Slot};
use record::text::{AsText, Textual};
use serde::{Deserialize, Serialize};

/// Version of everything that makes notes, lines of the board and past jobs from facts. A change of what they say raises it,
/// and has all of them made again.
pub const NOTES_VERSION: u32 = 2;

/// Version of everything that makes predictions before openings from facts. Raising it has every opened job judged again.
pub const FACED_VERSION: u32 = 1;

impl JobNotes {
    /// As text.
    pub fn to_text(&self) -> String {
        serde_json::to_string(self).expect("notes are texts, figures and days")
    }

    /// From text; `None` where another program wrote it.
    pub fn of_text(text: &str) -> Option<JobNotes> {
        serde_json::from_str(text).ok()
    }
}

#[derive(Serialize, Deserialize)]
struct KeptFaced {
    invented: bool,
    day: Date,
    joint: String,
    bus: String,
    sound: f64,
    worn: f64,
    burnt: f64,
    error: f64,
    found: AsText<Condition>,
}

/// What was predicted and found in a job, as text.
pub fn faced_text(faced: &[Faced]) -> String {
    let kept = faced.iter().map(|one| KeptFaced {
        invented: one.invented,
        day: one.day,
        joint: one.joint.clone(),
        bus: one.bus.clone(),
        sound: one.given.sound,
        worn: one.given.worn,
        burnt: one.given.burnt,
        error: one.given.burnt_standard_error,
        found: AsText(one.found),
    });
    serde_json::to_string(&kept.collect::<Vec<_>>()).expect("texts, figures and days")
}

/// The same from text; `None` where another program wrote it.
pub fn faced_of_text(job: &str, text: &str) -> Option<Vec<Faced>> {
    let kept: Vec<KeptFaced> = serde_json::from_str(text).ok()?;
    let faced = kept.into_iter().map(|one| Faced {
        job: job.to_owned(),
        invented: one.invented,
        day: one.day,
        joint: one.joint,
        bus: one.bus,
        given: ConditionProbability {
            sound: one.sound,
            worn: one.worn,
            burnt: one.burnt,
            burnt_standard_error: one.error,
        },
        found: one.found.0,
    });
    Some(faced.collect())
}

#[derive(Serialize, Deserialize)]
struct KeptLine {
    place: String,
    invented: bool,
    day: Date,
    kind: String,
    words: String,
    of: AsText<FactId>,
    settles: AsText<KeptWhat>,
    slots: Vec<AsText<Slot>>,
}

/// A line of the board, as text.
pub fn line_text(line: &BoardLine) -> String {
    let BoardLine { job: _, place, invented, due, urgency: _ } = line.clone();
    let kept = KeptLine {
        place,
        invented,
        day: due.day,
        kind: due_word(due.kind).to_owned(),
        words: due.words,
        of: AsText(due.of),
        settles: AsText(due.settles),
        slots: due.slots.into_iter().map(AsText).collect(),
    };
    serde_json::to_string(&kept).expect("texts and days")
}

/// The same from text; `None` where another program wrote it.
pub fn line_of_text(job: &str, text: &str) -> Option<BoardLine> {
    let kept: KeptLine = serde_json::from_str(text).ok()?;
    let kinds =
        [DueKind::Expiry, DueKind::Recheck, DueKind::Replacement, DueKind::LookBack, DueKind::Promise];
    let due = Due {
        day: kept.day,
        kind: kinds.into_iter().find(|kind| due_word(*kind) == kept.kind)?,
        words: kept.words,
        of: kept.of.0,
        settles: kept.settles.0,
        slots: kept.slots.into_iter().map(|slot| slot.0).collect(),
    };
    Some(BoardLine { job: job.to_owned(), place: kept.place, invented: kept.invented, due, urgency: None })
}

/// A [`Textual`] thing as its text.
pub(super) mod text {
    use super::{AsText, Textual};
    use serde::{Deserialize, Deserializer, Serialize, Serializer};

    pub(in crate::shop) fn serialize<T: Textual, S: Serializer>(of: &T, to: S) -> Result<S::Ok, S::Error> {
        of.write().serialize(to)
    }

    pub(in crate::shop) fn deserialize<'de, T: Textual, D: Deserializer<'de>>(
        from: D,
    ) -> Result<T, D::Error> {
        AsText::deserialize(from).map(|text| text.0)
    }
}

/// The same of several.
pub(super) mod texts {
    use super::{AsText, Textual};
    use serde::{Deserialize, Deserializer, Serialize, Serializer};

    pub(in crate::shop) fn serialize<T: Textual, S: Serializer>(of: &[T], to: S) -> Result<S::Ok, S::Error> {
        of.iter().map(Textual::write).collect::<Vec<_>>().serialize(to)
    }

    pub(in crate::shop) fn deserialize<'de, T: Textual, D: Deserializer<'de>>(
        from: D,
    ) -> Result<Vec<T>, D::Error> {
        let texts: Vec<AsText<T>> = Vec::deserialize(from)?;
        Ok(texts.into_iter().map(|text| text.0).collect())
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::sample::{CASES, DAY};
    use crate::shop::{Healthy, OpenedJoint, StopGap};
    use model::{JointId, PanelId, Space};

    #[test]
    fn what_is_kept_is_what_was_made() {
        let slot = Slot::new(PanelId::new("main"), Space::whole(15));
        let example = include_str!("../../../../docs/worked-example/job.toml");
        for (name, text) in CASES.into_iter().chain([("example", example)]) {
            let reading = record::read_job(name, text, Date::constant(2026, 12, 1));
            let job = reading.job.expect(name);
            let mut notes = JobNotes::of(name, &job);
            notes.opened.push(OpenedJoint {
                joint: JointId::Stab(slot.clone()),
                day: DAY,
                found: Condition::Worn,
                bus: "copper, tin".to_owned(),
            });
            let moved_to = vec![slot.clone()];
            notes.stop_gaps.push(StopGap { day: DAY, expires: Some(DAY), moved_to, settled: None });
            let healthy = Healthy {
                job: name.to_owned(),
                day: DAY,
                rating_a: 20.0,
                load: 0.1 + 0.2,
                rise_k: 1.0 / 3.0,
            };
            notes.healthy.push(healthy);
            assert_eq!(JobNotes::of_text(&notes.to_text()), Some(notes));
            for line in crate::board_lines(&job, &crate::Policy::standard()) {
                assert_eq!(line_of_text(&line.job, &line_text(&line)), Some(line));
            }
        }
        assert_eq!(JobNotes::of_text("{}"), None);
        let given = ConditionProbability { sound: 0.7, worn: 0.2, burnt: 0.1, burnt_standard_error: 1e-3 };
        let faced = Faced {
            job: "a".to_owned(),
            invented: true,
            day: DAY,
            joint: "main:stab:15".to_owned(),
            bus: "copper, tin".to_owned(),
            given,
            found: Condition::Burnt,
        };
        let faced = vec![faced];
        assert_eq!(faced_of_text("a", &faced_text(&faced)), Some(faced));
    }
}
