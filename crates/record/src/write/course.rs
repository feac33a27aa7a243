//! The job and its course as tables.

use super::Context;
use super::entry::quote;
use crate::fact::{Body, Fact, JobOpened};
use crate::text::Textual;
use jiff::civil::Time;

/// Every version of the job, the one that counts last.
pub(super) fn jobs(facts: &[Fact]) -> Vec<(&Fact, &JobOpened)> {
    let superseded =
        |fact: &Fact| facts.iter().any(|other| other.supersedes.iter().any(|id| id.0 == *fact.id()));
    let mut jobs: Vec<(&Fact, &JobOpened)> = facts
        .iter()
        .filter_map(|fact| match &fact.body {
            Body::Job(body) => Some((fact, body)),
            _ => None,
        })
        .collect();
    jobs.sort_by_key(|(fact, _)| (!superseded(fact), fact.at));
    jobs
}

pub(super) fn job(cx: &Context<'_>, fact: &Fact, body: &JobOpened) -> String {
    let own_start = body.opened.to_datetime(Time::midnight());
    let mut entry = cx.entry_without_author(&cx.versions_heading("job"), fact, own_start, "fact");
    entry.text("id", &body.job);
    entry.raw("opened", &body.opened.to_string());
    entry.words("place", &body.place);
    entry.words("town", &body.town);
    entry.words("owner", &body.owner);
    entry.maybe_flag("invented", body.invented.then_some(true));
    // `by` is the author of all entries that name none, `opened_by` of this one where it is somebody else.
    entry.maybe_text("by", cx.by);
    entry.maybe_text("opened_by", fact.by.as_deref().filter(|by| Some(*by) != cx.by));
    entry.finish()
}

/// A fact of the course of the job as an entry; nothing for other facts.
pub(super) fn entry(cx: &Context<'_>, fact: &Fact) -> String {
    let start = |heading| cx.entry(heading, fact, cx.start, "id");
    let entry = match &fact.body {
        Body::Exposure(body) => {
            let mut entry = start("[[exposure]]");
            entry.thing("reached", &body.reached.0);
            entry
        }
        Body::Complaint(body) => {
            let mut entry = start("[[complaint]]");
            entry.thing("kind", &body.of.0);
            entry.maybe_thing("space", body.slot.as_ref().map(|slot| &slot.0));
            entry.words("words", &body.words);
            entry
        }
        Body::Call(body) => {
            let mut entry = start("[[call]]");
            if !body.answers.is_empty() {
                let answers: Vec<String> =
                    body.answers.iter().map(|answer| quote(&answer.0.write())).collect();
                entry.raw("answers", &format!("[{}]", answers.join(", ")));
            }
            entry.words("words", &body.words);
            entry
        }
        Body::Pin(body) => {
            let mut entry = start("[[pin]]");
            entry.text("photo", &body.photo);
            entry.number("x", body.x);
            entry.number("y", body.y);
            entry.maybe_thing("space", body.slot.as_ref().map(|slot| &slot.0));
            entry.words("words", &body.words);
            entry
        }
        Body::Photo(body) => {
            let mut entry = start("[[photo]]");
            entry.text("sha256", &body.sha256);
            entry.words("words", &body.words);
            entry.maybe_thing("space", body.slot.as_ref().map(|slot| &slot.0));
            entry
        }
        Body::Decision(body) => {
            let mut entry = start("[[decision]]");
            entry.text("words", &body.words);
            entry.maybe_flag("declined", body.declined.then_some(true));
            entry
        }
        Body::Work(body) => {
            let mut entry = start("[[work]]");
            entry.thing("kind", &body.kind_of_work);
            entry.text("words", &body.words);
            if !body.slots.is_empty() {
                let slots: Vec<String> = body.slots.iter().map(|slot| quote(&slot.0.write())).collect();
                entry.raw("spaces", &format!("[{}]", slots.join(", ")));
            }
            if !body.moved_to.is_empty() {
                let slots: Vec<String> = body.moved_to.iter().map(|slot| quote(&slot.0.write())).collect();
                entry.raw("moved_to", &format!("[{}]", slots.join(", ")));
            }
            for (key, day) in [("expires", body.expires), ("recheck", body.recheck)] {
                if let Some(day) = day {
                    entry.raw(key, &day.to_string());
                }
            }
            entry
        }
        Body::Opening(body) => {
            let mut entry = start("[[opening]]");
            entry.thing("joint", &body.joint.0);
            entry.thing("found", &body.found.0);
            entry.words("words", &body.words);
            entry
        }
        Body::Retraction(body) => {
            let mut entry = start("[[retraction]]");
            entry.words("words", &body.words);
            entry
        }
        _ => return String::new(),
    };
    entry.finish()
}
