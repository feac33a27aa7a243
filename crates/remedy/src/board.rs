//! What is due of a job: stop-gaps and plans that end, rechecks, look-backs, promises that are open.

use crate::plan::plus;
use crate::policy::Policy;
use crate::words::{breaker_label, listed};
use model::Slot;
use model::installation::Installation;
use model::job::{Job, Work};
use model::plan::{Due, DueKind, Interim, KeptWhat, PromiseKind};

/// Everything of a job that has a day and is not settled, earliest first. What is overdue stays until it is settled.
pub fn board(job: &Job, policy: &Policy) -> Vec<Due> {
    let mut due = Vec::new();
    for work in &job.work {
        match work.expires {
            Some(_) => stop_gap(job, work, &mut due),
            None => look_back(job, work, policy, &mut due),
        }
    }
    if let Some(plan) = job.interims.last() {
        interim(job, plan, &mut due);
    }
    for promise in &job.promises {
        let (kind, settles) = match promise.kind {
            PromiseKind::Promise => (DueKind::Promise, KeptWhat::Promise),
            PromiseKind::LookBack => (DueKind::LookBack, KeptWhat::LookBack),
        };
        let words = promise.words.trim().to_owned();
        let of = promise.fact.clone();
        due.push(Due { day: promise.due, kind, words, of, settles, slots: Vec::new() });
    }
    due.retain(|one| !job.kept.iter().any(|kept| kept.of == one.of && kept.what == one.settles));
    due.sort_by(|a, b| (a.day, a.kind, &a.of).cmp(&(b.day, b.kind, &b.of)));
    due
}

fn all_slots(work: &Work) -> Vec<Slot> {
    work.slots.iter().chain(&work.moved_to).cloned().collect()
}

/// Does later lasting work at one of its spaces, or an entry that says so, end it?
fn has_ended(job: &Job, work: &Work) -> bool {
    let slots = all_slots(work);
    let replaced = job.work.iter().any(|later| {
        later.expires.is_none() && work.at < later.at && later.slots.iter().any(|slot| slots.contains(slot))
    });
    replaced || job.kept.iter().any(|kept| kept.of == work.fact && kept.what == KeptWhat::End)
}

fn stop_gap(job: &Job, work: &Work, due: &mut Vec<Due>) {
    let Some(expires) = work.expires.filter(|_| !has_ended(job, work)) else { return };
    let where_ = places(&job.installation, &work.slots);
    let mut add = |day, kind, settles, words: String| {
        due.push(Due { day, kind, words, of: work.fact.clone(), settles, slots: all_slots(work) });
    };
    add(expires, DueKind::Expiry, KeptWhat::End, format!("Stop-gap ends{where_}: {}", work.words.trim()));
    match work.recheck {
        Some(day) => add(day, DueKind::Recheck, KeptWhat::Recheck, format!("Recheck of a stop-gap{where_}")),
        // Only old records lack it: then it is due since the day of the work.
        None => add(
            work.at.date(),
            DueKind::Recheck,
            KeptWhat::Recheck,
            format!("A stop-gap{where_} has no day for its recheck: set one"),
        ),
    }
}

fn look_back(job: &Job, work: &Work, policy: &Policy, due: &mut Vec<Due>) {
    // A look-back that was promised stands for that of the policy.
    let promised = job.promises.iter().any(|one| one.kind == PromiseKind::LookBack && work.at <= one.at);
    if promised || work.slots.is_empty() {
        return;
    }
    due.push(Due {
        day: plus(work.at.date(), i64::from(policy.plan.look_back)),
        kind: DueKind::LookBack,
        words: format!("Look-back{}: {}", places(&job.installation, &work.slots), work.words.trim()),
        of: work.fact.clone(),
        settles: KeptWhat::LookBack,
        slots: work.slots.clone(),
    });
}

fn interim(job: &Job, plan: &Interim, due: &mut Vec<Due>) {
    if job.kept.iter().any(|kept| kept.of == plan.fact && kept.what == KeptWhat::End) {
        return;
    }
    let mut add = |day, kind, settles, words: &str| {
        let (words, of) = (words.to_owned(), plan.fact.clone());
        due.push(Due { day, kind, words, of, settles, slots: plan.off.clone() });
    };
    add(plan.expires, DueKind::Expiry, KeptWhat::End, "The plan until the replacement ends");
    add(plan.recheck, DueKind::Recheck, KeptWhat::Recheck, "Recheck by the plan until the replacement");
    if let Some(day) = plan.replacement {
        add(day, DueKind::Replacement, KeptWhat::End, "Replacement");
    }
}

fn places(installation: &Installation, slots: &[Slot]) -> String {
    let mut names: Vec<String> = slots.iter().map(|slot| breaker_label(installation, slot)).collect();
    names.dedup();
    if names.is_empty() { String::new() } else { format!(", {}", listed(&names)) }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::sample::sound_panel;
    use model::plan::{Kept, Promise};
    use model::{Date, FactId, PanelId, Space};

    const DAY: Date = Date::constant(2026, 3, 4);

    fn slot(number: u16) -> Slot {
        Slot::new(PanelId::new("main"), Space::whole(number))
    }

    fn work(id: &str, hour: i8, expires: Option<Date>, recheck: Option<Date>) -> Work {
        let words = "Dryer off and tagged.".to_owned();
        let at = DAY.at(hour, 0, 0, 0);
        Work {
            fact: FactId::new(id),
            at,
            words,
            slots: vec![slot(3)],
            moved_to: Vec::new(),
            expires,
            recheck,
        }
    }

    fn kept(of: &str, what: KeptWhat) -> Kept {
        let at = DAY.at(18, 0, 0, 0);
        Kept { fact: FactId::new("k"), at, of: FactId::new(of), what, words: "done".to_owned() }
    }

    fn kinds(job: &Job) -> Vec<(DueKind, Date)> {
        board(job, &Policy::standard()).into_iter().map(|due| (due.kind, due.day)).collect()
    }

    #[test]
    fn a_stop_gap_is_due_until_it_is_settled() {
        let mut job = sound_panel().job;
        let (recheck, expires) = (Date::constant(2026, 3, 7), Date::constant(2026, 4, 3));
        job.work.push(work("w", 9, Some(expires), Some(recheck)));
        assert_eq!(kinds(&job), [(DueKind::Recheck, recheck), (DueKind::Expiry, expires)]);
        job.kept.push(kept("w", KeptWhat::Recheck));
        assert_eq!(kinds(&job), [(DueKind::Expiry, expires)], "the recheck was done, the stop-gap stands");
        job.work.push(work("new", 10, None, None));
        assert_eq!(
            kinds(&job),
            [(DueKind::LookBack, Date::constant(2027, 3, 4))],
            "replaced by lasting work"
        );
        job.kept.push(kept("new", KeptWhat::LookBack));
        assert!(kinds(&job).is_empty());
    }

    #[test]
    fn one_without_a_recheck_is_due_at_once() {
        let mut job = sound_panel().job;
        job.work.push(work("old", 9, Some(Date::constant(2026, 4, 3)), None));
        assert_eq!(kinds(&job)[0], (DueKind::Recheck, DAY));
    }

    #[test]
    fn promises_stay_open_until_they_are_kept() {
        let mut job = sound_panel().job;
        let (at, due) = (DAY.at(9, 0, 0, 0), Date::constant(2026, 3, 5));
        let fact = FactId::new("p");
        let words = "Send the quote.".to_owned();
        job.promises.push(Promise { fact, at, by: None, kind: PromiseKind::Promise, words, due });
        assert_eq!(kinds(&job), [(DueKind::Promise, due)]);
        job.kept.push(kept("p", KeptWhat::Recheck));
        assert_eq!(kinds(&job).len(), 1, "settled as something else than it is");
        job.kept.push(kept("p", KeptWhat::Promise));
        assert!(kinds(&job).is_empty());
    }
}
