//! The plan until the replacement, as it is proposed: what stays off, what may be used, what to watch, which days. A
//! person confirms or changes every line of it; nothing here is a decision.

use crate::Findings;
use crate::policy::Policy;
use crate::situation::{JointGroup, Situation, heavy};
use crate::verdict;
use crate::words;
use model::advice::Urgency;
use model::breaker::{Breaker, LoadClass};
use model::id::Slot;
use model::isolation::{Disconnect, MovedTo};
use model::job::Job;
use model::panel::Panel;
use model::{Date, DateTime};
use std::collections::BTreeMap;

/// A proposed plan.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct PlanDraft {
    /// Breakers that should be off, by their first poles, each with the reason.
    pub off: Vec<(Slot, String)>,
    /// Limits on what is used, by the ids of the plan's phrases, each with the reason.
    pub limits: Vec<(&'static str, String)>,
    /// What to watch for, by the ids of the plan's phrases.
    pub watch: Vec<&'static str>,
    /// What happens if a day passes.
    pub slip: Vec<&'static str>,
    /// What was done, from the stop-gaps on record.
    pub done: String,
    /// Last day.
    pub expires: Date,
    /// Recheck.
    pub recheck: Date,
    /// Why these days.
    pub days_because: String,
    /// How urgent it is.
    pub urgency: Urgency,
}

/// What is always watched for.
const WATCH: [&str; 8] = ["smoke", "smell", "buzz", "warm", "flicker", "bright", "half", "trip"];

/// The plan that the findings, the policy and the record suggest on a day.
pub fn propose(job: &Job, findings: &Findings<'_>, policy: &Policy, today: Date) -> PlanDraft {
    let job = &*job.standing();
    let situation = Situation::of(job, findings, policy);
    let urgency = verdict::verdict(&situation).urgency;
    let off = off(&situation);
    let moved = job.work.iter().any(|work| !work.moved_to.is_empty());
    let mut limits: Vec<(&'static str, String)> = Vec::new();
    if urgency == Urgency::Now {
        limits
            .push(("house-off", "A rule of the policy asks not to leave it energized as it is.".to_owned()));
    } else {
        // A limit on what stays off anyway would read as leave to use it.
        let stays_on = |panel: &Panel, breaker: &Breaker| {
            let is_off = |slot: &Slot| slot.panel == panel.id && breaker.spaces.contains(&slot.space);
            !off.iter().any(|(slot, _)| is_off(slot))
        };
        let mut used: Vec<LoadClass> = Vec::new();
        for panel in &job.installation.panels {
            let on = panel.breakers.iter().filter(|breaker| stays_on(panel, breaker));
            used.extend(on.filter_map(heavy));
        }
        let n_heavy = used.len();
        if urgency <= Urgency::ThisMonth && 1 < n_heavy {
            limits.push(("one-big", format!("{n_heavy} circuits that stay on feed heavy loads.")));
        }
        if urgency <= Urgency::ThisMonth
            && used.iter().any(|class| matches!(class, LoadClass::Dryer | LoadClass::Vehicle))
        {
            limits.push((
                "awake-only",
                "A failing joint shows only while somebody is there to notice.".to_owned(),
            ));
        }
        if urgency <= Urgency::ThisMonth {
            limits.push(("no-heaters", "They load old joints for hours.".to_owned()));
        }
        if !off.is_empty() {
            limits.push((
                "no-cords",
                "What is off would be fed by cords from circuits that carry more then.".to_owned(),
            ));
        }
        if moved {
            limits.push(("moved-light", "A circuit was moved as a stop-gap.".to_owned()));
        }
        if limits.is_empty() {
            limits.push(("rest-as-usual", "No rule of the policy asks for a limit.".to_owned()));
        }
    }
    let mut watch = WATCH.to_vec();
    if situation.is_wet() {
        watch.push("water");
    }
    let mut slip = vec!["call", "recheck"];
    if !off.is_empty() {
        slip.push("stays-off");
    }
    if moved {
        slip.push("stop-moved");
    }
    let days = &policy.plan;
    let most = i64::from(policy.thresholds.stop_gap_days);
    let soonest = job.work.iter().filter_map(|work| work.expires).filter(|day| today < *day).min();
    let last = plus(today, most);
    let expires = soonest.filter(|day| *day < last).unwrap_or(last);
    let recheck_days = i64::from(days.recheck(urgency));
    let recheck = plus(today, recheck_days).min(expires);
    let mut days_because = format!(
        "By the policy a stop-gap lasts {most} days at most, and is looked at again after {recheck_days} where it is \
         {}.",
        urgency.phrase()
    );
    if expires < last {
        days_because.push_str(" A stop-gap on record ends earlier; the plan ends with it.");
    }
    PlanDraft { off, limits, watch, slip, done: done(job), expires, recheck, days_because, urgency }
}

/// A day so many days later; the last that a calendar has, where it has no such day.
pub(crate) fn plus(day: Date, days: i64) -> Date {
    (0..days).fold(day, |day, _| day.tomorrow().unwrap_or(day))
}

fn done(job: &Job) -> String {
    let stop_gaps = job.work.iter().filter(|work| work.expires.is_some());
    let words: Vec<&str> =
        stop_gaps.map(|work| work.words.trim()).filter(|words| !words.is_empty()).collect();
    words.join(" ")
}

fn off(situation: &Situation<'_>) -> Vec<(Slot, String)> {
    let installation = &situation.job.installation;
    let first = |slot: &Slot| {
        let breaker = installation.breaker_at(slot)?;
        Some(Slot::new(slot.panel.clone(), *breaker.spaces.first()?))
    };
    let mut off: BTreeMap<Slot, String> = BTreeMap::new();
    let of_circuit =
        |group| matches!(group, JointGroup::Stab | JointGroup::Terminal | JointGroup::NeutralTerminal);
    for view in situation.suspect(of_circuit) {
        let Some(slot) = view.finding.joint.id.slot().and_then(first) else { continue };
        let why = format!("{} is burnt with {}.", words::capital(&view.label), words::percent(view.burnt()));
        off.entry(slot).or_insert(why);
    }
    let mut last: BTreeMap<Slot, (DateTime, MovedTo)> = BTreeMap::new();
    for one in &situation.job.handles {
        let Disconnect::Breaker(slot) = &one.what else { continue };
        let Some(slot) = first(slot) else { continue };
        let entry = last.entry(slot).or_insert((one.at, one.to));
        if entry.0 <= one.at {
            *entry = (one.at, one.to);
        }
    }
    for (slot, _) in last.into_iter().filter(|(_, (_, to))| *to == MovedTo::Off) {
        if installation.sections_fed_by(&slot).next().is_none() {
            off.entry(slot).or_insert("Its handle is recorded as off.".to_owned());
        }
    }
    off.into_iter().collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::sample::sound_panel;

    const TODAY: Date = Date::constant(2026, 3, 4);

    fn slot(number: u16) -> Slot {
        Slot::new(model::PanelId::new("main"), model::Space::whole(number))
    }

    #[test]
    fn a_burnt_stab_is_off_and_looked_at_within_days() {
        let sample = sound_panel().burnt("main:stab:3", 0.9);
        let draft = propose(&sample.job, &sample.findings(), &Policy::standard(), TODAY);
        assert_eq!(draft.off.iter().map(|(slot, _)| slot.clone()).collect::<Vec<_>>(), [slot(3)]);
        assert_eq!(draft.urgency, Urgency::Within72Hours);
        assert_eq!(draft.recheck, Date::constant(2026, 3, 7));
        assert_eq!(draft.expires, Date::constant(2026, 4, 3));
        let limits: Vec<&str> = draft.limits.iter().map(|(id, _)| *id).collect();
        assert!(limits.contains(&"no-cords") && limits.contains(&"no-heaters"), "{limits:?}");
        assert!(draft.slip.contains(&"stays-off") && draft.watch.contains(&"smoke"));
    }

    /// Leave to run the dryer beside the dryer being off would be taken for leave.
    #[test]
    fn what_stays_off_gets_no_limit() {
        let limits = |stab: &str| -> Vec<&'static str> {
            let sample = sound_panel().burnt(stab, 0.9);
            let draft = propose(&sample.job, &sample.findings(), &Policy::standard(), TODAY);
            draft.limits.into_iter().map(|(id, _)| id).collect()
        };
        assert!(limits("main:stab:1").contains(&"awake-only"), "the dryer in 3 and 5 stays on");
        let off = limits("main:stab:3");
        assert!(!off.contains(&"awake-only") && !off.contains(&"one-big"), "{off:?}");
    }

    #[test]
    fn nothing_wrong_asks_for_no_limit() {
        let sample = sound_panel();
        let draft = propose(&sample.job, &sample.findings(), &Policy::standard(), TODAY);
        assert!(draft.off.is_empty());
        assert_eq!(draft.limits.iter().map(|(id, _)| *id).collect::<Vec<_>>(), ["rest-as-usual"]);
        assert!(draft.recheck <= draft.expires);
    }

    #[test]
    fn the_plan_ends_with_the_first_stop_gap() {
        let mut sample = sound_panel();
        sample.job.work.push(model::job::Work {
            fact: model::FactId::new("w"),
            at: TODAY.at(9, 0, 0, 0),
            words: "Dryer off and tagged.".to_owned(),
            slots: vec![slot(3)],
            moved_to: Vec::new(),
            expires: Some(Date::constant(2026, 3, 10)),
            recheck: Some(Date::constant(2026, 3, 6)),
        });
        let draft = propose(&sample.job, &sample.findings(), &Policy::standard(), TODAY);
        assert_eq!(draft.expires, Date::constant(2026, 3, 10));
        assert!(draft.recheck <= draft.expires);
        assert_eq!(draft.done, "Dryer off and tagged.");
    }
}
