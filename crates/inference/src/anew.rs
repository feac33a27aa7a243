//! What was observed before lasting work at a space is of joints that are not there any more.

use model::Note;
use model::evidence::Observation;
use model::job::{Job, Work};

/// A remark for each lasting work that has overtaken observations at its spaces, and one for each complaint that it may be over with.
pub(crate) fn notes(job: &Job) -> Vec<Note> {
    let of_work = job.work.iter().filter_map(|work| note(job, work));
    let of_complaint = job.complaints.iter().filter_map(|complaint| {
        let work = job.answering(complaint)?;
        let text = format!(
            "of {} (fact {}), before the work of {} (fact {}) made anew what was there: it is not weighed, and no rule asks for it. If it \
             came again, write it down again.",
            complaint.at.date(),
            complaint.fact,
            work.at.date(),
            work.fact
        );
        Some(Note::new(format!("complaint: {}", complaint.kind.word()), text))
    });
    of_work.chain(of_complaint).collect()
}

fn note(job: &Job, work: &Work) -> Option<Note> {
    let is_by_it = |seen: &&Observation| job.overtaking(seen).is_some_and(|by| by.fact == work.fact);
    let n_before = job.observations.iter().filter(is_by_it).count();
    if n_before == 0 {
        return None;
    }
    let unread: Vec<String> = job.unread_since(work).map(|slot| slot.space.to_string()).collect();
    let mut text = format!(
        "{n_before} {} from before the work of {} (fact {}) {} not weighed: the joints at its spaces were made anew. If they were not \
         touched, write the work without their spaces. Faces beside them may have been warmed by what was there: read them again.",
        if n_before == 1 { "observation" } else { "observations" },
        work.at.date(),
        work.fact,
        if n_before == 1 { "is" } else { "are" },
    );
    if !unread.is_empty() {
        text +=
            &format!(" Nothing was read at {} since: that the work holds is not shown.", unread.join(", "));
    }
    Some(Note::new(format!("worked on: {}", work.words), text))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::testjob::{add_state, bare, clamp, drop, eight_spaces, face, observe, sign, slot, work};
    use crate::{JudgeOptions, Judgement, judge};
    use model::evidence::{Observed, Sign, SignScope};
    use model::job::{Complaint, ComplaintKind, Condition, Opening};
    use model::{Date, DateTime, FactId, JointId};

    fn at(hour: i8) -> DateTime {
        DateTime::constant(2026, 11, 20, hour, 0, 0, 0)
    }

    /// Stab 5 shows 300 mV at 12 A and a sign at nine; its neighbours are as they should be.
    fn job() -> Job {
        let mut job = bare(8, eight_spaces().installation.panels[0].breakers.clone());
        add_state(&mut job, "evening", 22.0);
        for what in [clamp(5, 12.0, "evening"), drop(1, 5, 300.0, "evening"), face(6, 30.0, "evening")] {
            observe(&mut job, what);
        }
        observe(&mut job, sign(Sign::Buzz, 5, true));
        job
    }

    fn judged(job: &Job) -> Judgement {
        let options = JudgeOptions { seed: 5, n_sweeps: 300, ..JudgeOptions::default() };
        judge(job, &options).expect("a panel is there")
    }

    fn burnt(judgement: &Judgement) -> f64 {
        let stab = judgement.joints.iter().find(|found| found.joint.id == JointId::Stab(slot(5)));
        stab.expect("the stab is there").probability.burnt
    }

    fn told(judgement: &Judgement) -> Option<&str> {
        let note = judgement.notes.iter().find(|note| note.subject.starts_with("worked on: "));
        note.map(|note| note.text.as_str())
    }

    #[test]
    fn readings_from_before_lasting_work_are_not_of_what_is_there() {
        let before = judged(&job());
        assert!(0.6 < burnt(&before) && told(&before).is_none(), "{}", burnt(&before));
        let mut worked = job();
        worked.work.push(work(at(10), &[5], &[]));
        let mut unread = job();
        unread.observations.retain(|seen| seen.what.tells_of() != Some(&slot(5)));
        assert_eq!(unread.observations.len(), 2, "the clamp and the face beside it stay");
        let (worked, unread) = (judged(&worked), judged(&unread));
        assert_eq!(worked.joints, unread.joints, "as if nothing had been read there");
        assert!(burnt(&worked) < 0.2, "{}", burnt(&worked));
        let told = told(&worked).expect("a note");
        assert!(told.starts_with("2 observations from before the work of 2026-11-20"), "{told}");
        assert!(told.ends_with("Nothing was read at 5 since: that the work holds is not shown."), "{told}");
    }

    #[test]
    fn what_is_read_after_the_work_is_weighed() {
        let mut job = job();
        job.work.push(work(at(10), &[5], &[]));
        add_state(&mut job, "after", 22.0);
        job.load_states.last_mut().expect("just added").at = at(11);
        // Written down with the hour of the others: the hour of its load state counts.
        observe(&mut job, clamp(5, 12.0, "after"));
        observe(&mut job, drop(1, 5, 300.0, "after"));
        let judgement = judged(&job);
        // The drop after the work without the sign before it.
        assert!(0.3 < burnt(&judgement) && burnt(&judgement) < 0.6, "{}", burnt(&judgement));
        assert!(
            told(&judgement).is_some_and(|told| told.ends_with("read them again.")),
            "{:?}",
            told(&judgement)
        );
    }

    /// A smell is over with what was found burnt and made anew; where nothing had been found, it may be of something else.
    #[test]
    fn a_complaint_and_a_smell_are_over_with_what_was_found_burnt() {
        let standing = |kind: ComplaintKind, about: Option<u16>, found: Option<Condition>| {
            let mut job = job();
            let panel = job.installation.panels[0].id.clone();
            let mut smell = sign(Sign::Smell, 5, true);
            if let Observed::Sign(reading) = &mut smell {
                reading.scope = SignScope::Panel(panel);
            }
            observe(&mut job, smell);
            let slot = about.map(slot);
            job.complaints.push(Complaint {
                fact: FactId::new("call"),
                kind,
                slot,
                at: at(8),
                words: String::new(),
            });
            let joint = JointId::Stab(self::slot(5));
            job.openings.extend(found.map(|found| Opening {
                fact: FactId::new("opening"),
                at: at(10),
                joint,
                found,
                words: String::new(),
            }));
            job.work.push(work(at(10), &[5], &[]));
            let n_told = notes(&job).iter().filter(|note| note.subject.starts_with("complaint: ")).count();
            let standing = job.standing();
            let smells = standing.observations.iter().any(|seen| matches!(seen.what, Observed::Sign(_)));
            assert_eq!(n_told, 1 - standing.complaints.len(), "told where it is not weighed");
            (standing.complaints.len(), smells)
        };
        let (burnt, worn) = (Some(Condition::Burnt), Some(Condition::Worn));
        assert_eq!(standing(ComplaintKind::Smell, None, burnt), (0, false));
        assert_eq!(standing(ComplaintKind::Smell, None, worn), (1, true));
        assert_eq!(standing(ComplaintKind::Smell, None, None), (1, true));
        assert_eq!(standing(ComplaintKind::Flicker, Some(5), None), (0, true), "of that circuit");
        assert_eq!(standing(ComplaintKind::Flicker, Some(6), burnt), (1, false), "of another");
        assert_eq!(standing(ComplaintKind::DimBright, None, burnt), (1, false), "of the neutral");
    }

    #[test]
    fn other_work_leaves_readings_as_they_are() {
        let mut gap = work(at(10), &[5], &[]);
        gap.expires = Some(Date::constant(2026, 12, 20));
        let mut moved = gap.clone();
        moved.moved_to = vec![slot(3)];
        for (work, what) in [
            (gap, "a stop-gap"),
            (moved, "a move"),
            (work(at(8), &[5], &[]), "earlier"),
            (work(at(10), &[6], &[]), "elsewhere"),
        ] {
            let mut job = job();
            job.work.push(work);
            let left = job.standing().observations.len();
            let expected = if what == "elsewhere" { 3 } else { 4 };
            assert_eq!(left, expected, "{what}");
        }
    }
}
