//! Facts and jobs to a job file that reads back as they were.

mod course;
mod entry;
mod equipment;
mod from_job;
mod install;
mod isolation;
mod number;
mod offer;
mod plan;
mod premises;
mod readings;
mod replacement;
mod state;

pub use replacement::arrangement_entry;

use crate::fact::{Body, Fact};
use crate::problem::Problem;
use entry::Entry;
use from_job::facts_of;
use jiff::civil::{DateTime, Time};
use model::job::Job;

/// The job as a job file in TOML. Read back, it gives the same job, provided that the job could have come
/// from facts: what only the model can say (a circuit of which nothing is known on a breaker that feeds a
/// section, a quantity that no decimal number of its unit gives) is written as near as the format allows.
pub fn write_job(job: &Job) -> String {
    write(&facts_of(job))
}

/// The facts as a job file in TOML, superseded ones too. Read back, it gives the same facts.
///
/// # Errors
/// The facts make no job; their errors are listed as by [`crate::fold`].
pub fn write_facts(facts: &[Fact]) -> Result<String, Vec<Problem>> {
    crate::fold(facts)?;
    let mut unique: Vec<Fact> = Vec::new();
    let mut ids = std::collections::BTreeSet::new();
    for fact in facts {
        if ids.insert(fact.id()) {
            unique.push(fact.clone());
        }
    }
    Ok(write(&unique))
}

/// What entries take over where they do not say it themselves.
struct Context<'a> {
    facts: &'a [Fact],
    /// First minute of the day on which the job was opened.
    start: DateTime,
    /// Author of every entry that names none.
    by: Option<&'a str>,
}

impl Context<'_> {
    /// Time of the first fact of the file that describes a state of this name, as a reader would take it.
    fn state_at(&self, name: &str) -> DateTime {
        let state =
            self.facts.iter().find(|fact| matches!(&fact.body, Body::State(body) if body.name == name));
        state.map_or(self.start, |fact| fact.at)
    }

    /// Heading and the keys that every entry takes. `base` is the time it would have without one of its own.
    fn entry(&self, heading: &str, fact: &Fact, base: DateTime, id_key: &str) -> Entry {
        let mut entry = self.entry_without_author(heading, fact, base, id_key);
        if let Some(by) = fact.by.as_deref().filter(|by| Some(*by) != self.by) {
            entry.text("by", by);
        }
        entry
    }

    fn entry_without_author(&self, heading: &str, fact: &Fact, base: DateTime, id_key: &str) -> Entry {
        let mut entry = Entry::new(heading);
        if !fact.has_derived_id() {
            entry.text(id_key, fact.id().as_str());
        }
        if fact.at != base {
            entry.raw("at", &moment(fact.at));
        }
        if !fact.supersedes.is_empty() {
            let ids: Vec<String> = fact.supersedes.iter().map(|id| entry::quote(id.0.as_str())).collect();
            entry.raw("supersedes", &format!("[{}]", ids.join(", ")));
        }
        entry
    }

    /// Heading of a table that is there once, or several times where earlier versions were superseded.
    fn versions_heading(&self, key: &str) -> String {
        let count = self.facts.iter().filter(|fact| fact.body.kind() == key).count();
        if count == 1 { format!("[{key}]") } else { format!("[[{key}]]") }
    }
}

fn moment(at: DateTime) -> String {
    if at.time() == Time::midnight() { at.date().to_string() } else { at.to_string() }
}

fn write(facts: &[Fact]) -> String {
    let mut out = String::from("panelwright = 1\n");
    let jobs = course::jobs(facts);
    // The last is the one that counts.
    let Some((job_fact, job)) = jobs.last() else { return out };
    // One author for all is said once; where some entries have none, each of the others says its own.
    let by = job_fact.by.as_deref().filter(|_| facts.iter().all(|fact| fact.by.is_some()));
    let cx = Context { facts, start: job.opened.to_datetime(Time::midnight()), by };
    for (fact, body) in &jobs {
        out.push_str(&course::job(&cx, fact, body));
    }
    for fact in facts {
        if let Body::Service(body) = &fact.body {
            out.push_str(&equipment::service(&cx, fact, body));
        }
    }
    out.push_str(&equipment::panels(&cx));
    for fact in facts {
        out.push_str(&premises::entry(&cx, fact));
    }
    out.push_str(&state::states(&cx));
    let quick = state::quick(&cx);
    for fact in facts.iter().filter(|fact| !quick.contains(fact.id())) {
        out.push_str(&readings::reading(&cx, fact));
        out.push_str(&course::entry(&cx, fact));
        out.push_str(&isolation::entry(&cx, fact));
        out.push_str(&plan::entry(&cx, fact));
        out.push_str(&replacement::entry(&cx, fact));
        out.push_str(&install::entry(&cx, fact));
        out.push_str(&offer::entry(&cx, fact));
    }
    out
}
