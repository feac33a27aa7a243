//! What was observed before lasting work at a space is of joints that are not there any more.

use model::evidence::Observation;
use model::job::{Job, Work};
use model::{Note, Slot};

/// A remark for each lasting work that has overtaken observations at its spaces.
pub(crate) fn notes(job: &Job) -> Vec<Note> {
    job.work.iter().filter_map(|work| note(job, work)).collect()
}

fn note(job: &Job, work: &Work) -> Option<Note> {
    let is_by_it = |seen: &&Observation| job.overtaking(seen).is_some_and(|by| by.fact == work.fact);
    let n_before = job.observations.iter().filter(is_by_it).count();
    if n_before == 0 {
        return None;
    }
    let is_read_since = |slot: &Slot| {
        let at_slot = |seen: &Observation| {
            seen.what.tells_of() == Some(slot) && seen.what.state().is_some() && work.at <= job.time_of(seen)
        };
        job.observations.iter().any(at_slot)
    };
    let unread: Vec<String> =
        work.slots.iter().filter(|slot| !is_read_since(slot)).map(|slot| slot.space.to_string()).collect();
    let mut text = format!(
        "{n_before} {} at its spaces from before the work of {} (fact {}) {} not weighed: the joints there were made anew. If they were \
         not touched, write the work without their spaces. Faces beside them may have been warmed by what was there: read them again.",
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
    use crate::testjob::{add_state, bare, clamp, drop, eight_spaces, face, observe, sign, slot};
    use crate::{JudgeOptions, Judgement, judge};
    use model::evidence::Sign;
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

    fn work(hour: i8, number: u16) -> Work {
        Work {
            fact: FactId::new("work"),
            at: at(hour),
            words: "breaker moved to a clean stab and tightened".into(),
            slots: vec![slot(number)],
            moved_to: Vec::new(),
            expires: None,
            recheck: None,
        }
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
        worked.work.push(work(10, 5));
        let mut unread = job();
        unread.observations.retain(|seen| seen.what.tells_of() != Some(&slot(5)));
        assert_eq!(unread.observations.len(), 2, "the clamp and the face beside it stay");
        let (worked, unread) = (judged(&worked), judged(&unread));
        assert_eq!(worked.joints, unread.joints, "as if nothing had been read there");
        assert!(burnt(&worked) < 0.2, "{}", burnt(&worked));
        let told = told(&worked).expect("a note");
        assert!(
            told.starts_with("2 observations at its spaces from before the work of 2026-11-20"),
            "{told}"
        );
        assert!(told.ends_with("Nothing was read at 5 since: that the work holds is not shown."), "{told}");
    }

    #[test]
    fn what_is_read_after_the_work_is_weighed() {
        let mut job = job();
        job.work.push(work(10, 5));
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

    #[test]
    fn other_work_leaves_readings_as_they_are() {
        let mut gap = work(10, 5);
        gap.expires = Some(Date::constant(2026, 12, 20));
        let mut moved = gap.clone();
        moved.moved_to = vec![slot(3)];
        for (work, what) in
            [(gap, "a stop-gap"), (moved, "a move"), (work(8, 5), "earlier"), (work(10, 6), "elsewhere")]
        {
            let mut job = job();
            job.work.push(work);
            let left = job.standing().observations.len();
            let expected = if what == "elsewhere" { 3 } else { 4 };
            assert_eq!(left, expected, "{what}");
        }
    }
}
