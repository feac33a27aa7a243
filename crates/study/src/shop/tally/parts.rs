//! What one job adds to the owner's questions: the same on every day, so that a job that changed is taken out and put in.

use super::lines::{Key, Part};
use crate::shop::JobNotes;
use crate::shop::notes::OpenedJoint;
use model::Date;
use model::install::Flagged;
use model::job::Condition;
use model::joint::JointId;
use record::text::Textual;
use std::collections::BTreeMap;

/// Days within which a second burnt stab counts: eighteen months.
const SECOND_DAYS: i64 = 548;

/// What a job adds, line by line.
pub(super) fn parts(job: &JobNotes) -> Vec<(Key, Part)> {
    let mut parts = Parts(Vec::new());
    second(job, &mut parts);
    water(job, &mut parts);
    hours(job, &mut parts);
    for passed in &job.permits {
        parts.was(4, 0, "", *passed);
    }
    inspected(job, &mut parts);
    for (cut, back) in &job.cuts {
        if let Some(back) = back {
            parts.was(5, 0, &job.town, cut == back);
        }
    }
    for visit in &job.asked {
        if let Some(came) = visit.came {
            parts.add(5, 1, &job.town, Part::Figure(days(visit.asked, came) as f64));
            parts.was(5, 2, &job.town, came == visit.booked);
        }
    }
    declined(job, &mut parts);
    gaps(job, &mut parts);
    if !job.surprises.is_empty() {
        parts.was(11, 9, "", false);
    }
    let mut surprises: Vec<&String> = job.surprises.iter().collect();
    surprises.sort();
    surprises.dedup();
    for id in surprises {
        parts.was(11, 0, id, true);
    }
    costs(job, &mut parts);
    parts.0
}

fn inspected(job: &JobNotes, parts: &mut Parts) {
    for inspection in &job.inspections {
        parts.was(4, 1, "", inspection.passed);
        parts.was(4, 2, &job.town, !inspection.passed);
        if !inspection.passed {
            for word in Flagged::ALL.map(|one| one.write()) {
                parts.was(4, 3, &word, inspection.flagged.contains(&word));
            }
        }
    }
}

fn costs(job: &JobNotes, parts: &mut Parts) {
    for (id, hours, usd, charged) in &job.costs {
        for by in ["", id] {
            if let Some(hours) = hours {
                parts.add(11, 1, by, Part::Figure(*hours));
            }
            if let Some(usd) = usd {
                parts.add(11, 2, by, Part::Figure(f64::from(*usd)));
            }
            if let Some(charged) = charged {
                parts.was(11, 3, by, !charged);
            }
        }
    }
}

struct Parts(Vec<(Key, Part)>);

impl Parts {
    fn add(&mut self, question: u8, place: u8, by: &str, part: Part) {
        self.0.push((Key { question, place, by: by.to_owned() }, part));
    }

    fn was(&mut self, question: u8, place: u8, by: &str, is: bool) {
        self.add(question, place, by, Part::Was(is));
    }
}

fn days(from: Date, to: Date) -> i64 {
    from.until(to).map_or(0, |span| i64::from(span.get_days()))
}

fn later(day: Date, days: i64) -> Date {
    day.saturating_add(jiff::Span::new().days(days))
}

fn second(job: &JobNotes, parts: &mut Parts) {
    let mut burnt: BTreeMap<String, Vec<&OpenedJoint>> = BTreeMap::new();
    for opened in job.opened.iter().filter(|opened| opened.found == Condition::Burnt) {
        if matches!(opened.joint, JointId::Stab(_)) {
            burnt.entry(opened.joint.panel().to_string()).or_default().push(opened);
        }
    }
    for stabs in burnt.values() {
        let Some(first) = stabs.iter().map(|stab| stab.day).min() else { continue };
        let together = stabs.iter().filter(|stab| stab.day == first).count();
        parts.was(1, 0, "", 1 < together);
        if stabs.iter().any(|stab| first < stab.day && days(first, stab.day) <= SECOND_DAYS) {
            parts.was(1, 1, "", true);
        } else {
            parts.add(1, 1, "", Part::NotFrom(later(first, SECOND_DAYS)));
        }
    }
    for gap in job.stop_gaps.iter().filter(|gap| !gap.moved_to.is_empty()) {
        let bad_there = job.opened.iter().any(|opened| {
            let there = opened.joint.slot().is_some_and(|slot| gap.moved_to.contains(slot));
            there && opened.found != Condition::Sound && gap.day < opened.day
        });
        parts.was(1, 2, "", bad_there || job.complaints.iter().any(|day| gap.day < *day));
    }
}

fn water(job: &JobNotes, parts: &mut Parts) {
    for opened in &job.opened {
        let panel = opened.joint.panel().to_string();
        if let Some((_, wet)) = job.moisture.iter().find(|(name, _)| *name == panel) {
            parts.was(2, u8::from(!wet), "", opened.found != Condition::Sound);
        }
    }
}

fn hours(job: &JobNotes, parts: &mut Parts) {
    if !job.steps.is_empty() {
        let whole = job.steps.iter().map(|(_, hours, _)| hours).sum::<f64>();
        parts.add(3, 0, "", Part::Figure(whole));
    }
    for hours in &job.hours_off {
        parts.add(3, 1, "", Part::Figure(*hours));
    }
    for (step, hours, held_up) in &job.steps {
        parts.add(3, 2, step, Part::Figure(*hours));
        parts.was(3, 3, step, !held_up.is_empty());
    }
}

fn declined(job: &JobNotes, parts: &mut Parts) {
    parts.was(8, 0, "", !job.declined.is_empty());
    if let Some(first) = job.declined.iter().min().copied() {
        let burnt = job.opened.iter().any(|opened| first < opened.day && opened.found == Condition::Burnt);
        parts.was(8, 1, "", job.complaints.iter().any(|day| first < *day));
        parts.was(8, 2, "", burnt);
    }
}

fn gaps(job: &JobNotes, parts: &mut Parts) {
    for gap in &job.stop_gaps {
        let Some(expires) = gap.expires else { continue };
        if gap.settled.is_none() {
            parts.add(9, 0, "", Part::Within(later(expires, 1), Date::MAX));
            parts.add(9, 1, "", Part::Within(later(expires, -7), expires));
        }
        let within = |day: &Date| gap.day < *day && *day < expires;
        parts.was(10, 0, "", job.complaints.iter().any(within));
    }
}
