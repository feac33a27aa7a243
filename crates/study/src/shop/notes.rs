//! What is kept of one job for the statistics of the shop: no place, no person, no words of anybody.

use super::healthy::{self, Healthy};
use crate::replace::step_hours;
use model::job::{Condition, Job};
use model::joint::JointId;
use model::replacement::{Found, SurpriseAnswer};
use model::{Date, Slot};
use record::text::Textual;
use remedy::work::option_of_word;
use serde::{Deserialize, Serialize};
use std::collections::BTreeMap;

/// What a surprise cost: id of the question, hours of all people, US dollars, and whether it was on the bill.
pub type Cost = (String, Option<f64>, Option<u32>, Option<bool>);

/// One job, for counting.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct JobNotes {
    /// Its name.
    pub job: String,
    /// Invented?
    pub invented: bool,
    /// Town, for what differs by place.
    pub town: String,
    /// Last day on which anything was recorded about its panels.
    pub last_day: Date,
    /// Joints that were opened with their parts proven dead.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub opened: Vec<OpenedJoint>,
    /// Panels of which water was looked for: by name, found or not.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub moisture: Vec<(String, bool)>,
    /// Circuits that were moved to another space, with their last day.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub stop_gaps: Vec<StopGap>,
    /// Days on which the house complained or called.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub complaints: Vec<Date>,
    /// Days on which advice was declined.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub declined: Vec<Date>,
    /// Cuts by the utility: day, and the day the supply came back.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub cuts: Vec<(Date, Option<Date>)>,
    /// Person-hours by step of the day of the replacement, as ticked, and what held it up.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub steps: Vec<(String, f64, String)>,
    /// Hours without power from one cut to the next giving back.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub hours_off: Vec<f64>,
    /// Surprises that were found, by the id of the question.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub surprises: Vec<String>,
    /// Permits: passed or not yet.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub permits: Vec<bool>,
    /// Inspections: passed or not, and what was flagged.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub inspections: Vec<Inspection>,
    /// Visits of the utility that it was asked for.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub asked: Vec<Asked>,
    /// What surprises cost that came.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub costs: Vec<Cost>,
    /// Readings at joints that were found sound, and at new terminals.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub healthy: Vec<Healthy>,
}

/// A joint that was opened.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct OpenedJoint {
    /// Which.
    #[serde(with = "super::kept::text")]
    pub joint: JointId,
    /// When.
    pub day: Date,
    /// What was found.
    #[serde(with = "super::kept::text")]
    pub found: Condition,
    /// Bus of its panel in words: metal and plating, never a make.
    pub bus: String,
}

/// An inspection.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Inspection {
    /// Did it pass?
    pub passed: bool,
    /// What the inspector flagged, by the words of the record.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub flagged: Vec<String>,
}

/// A visit of the utility that it was asked for.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Asked {
    /// When it was asked.
    pub asked: Date,
    /// For which day, as booked last.
    pub booked: Date,
    /// The day of the first cut from then on.
    pub came: Option<Date>,
}

/// A circuit that was moved as a stop-gap.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct StopGap {
    /// When.
    pub day: Date,
    /// Its last day.
    pub expires: Option<Date>,
    /// Spaces it went to.
    #[serde(with = "super::kept::texts")]
    pub moved_to: Vec<Slot>,
    /// Was it recorded as settled?
    pub settled: Option<Date>,
}

impl JobNotes {
    /// A job of which nothing is counted.
    #[cfg(test)]
    pub(super) fn none(last_day: Date) -> JobNotes {
        let none = || serde_json::json!({ "job": "", "invented": false, "town": "", "last_day": last_day });
        serde_json::from_value(none()).expect("all else may be left out")
    }

    /// What is kept of a job; `name` is the key of the store.
    pub fn of(name: &str, job: &Job) -> JobNotes {
        // What was opened without proof is not gone by.
        let trusted = crate::plan::trusted(job);
        let opened = trusted.openings.iter().map(|opening| OpenedJoint {
            joint: opening.joint.clone(),
            day: opening.at.date(),
            found: opening.found,
            bus: bus_words(job, &opening.joint),
        });
        let gap = |work: &&model::job::Work| work.expires.is_some() || !work.moved_to.is_empty();
        let stop_gaps = job.work.iter().filter(gap).map(|work| StopGap {
            day: work.at.date(),
            expires: work.expires,
            moved_to: work.moved_to.clone(),
            settled: job.kept.iter().filter(|kept| kept.of == work.fact).map(|kept| kept.at.date()).max(),
        });
        let declined =
            job.decisions.iter().filter(|decision| decision.declined).map(|decision| decision.at.date());
        let complaints = job.complaints.iter().map(|complaint| complaint.at.date());
        let calls = job.calls.iter().map(|call| call.at.date());
        let (cuts, hours_off) = cuts(job);
        let option = crate::replace::booked(job).and_then(|outage| option_of_word(&outage.option));
        let steps = option.map(|option| step_hours(job, option)).unwrap_or_default();
        let steps = steps.into_iter().filter_map(|step| Some((step.words, step.hours?, step.held_up)));
        let yes =
            |answer: &&model::replacement::SurpriseAnswer| answer.found == model::replacement::Found::Yes;
        let surprises = job.replacement.surprises.iter().filter(yes).map(|answer| answer.question.clone());
        let moisture = job.installation.panels.iter();
        let moisture = moisture.filter_map(|panel| Some((panel.id.to_string(), panel.moisture?)));
        JobNotes {
            job: name.to_owned(),
            invented: job.invented,
            town: job.town.clone(),
            last_day: last_day(job),
            opened: opened.collect(),
            moisture: moisture.collect(),
            stop_gaps: stop_gaps.collect(),
            complaints: complaints.chain(calls).collect(),
            declined: declined.collect(),
            cuts,
            steps: steps.collect(),
            hours_off,
            surprises: surprises.collect(),
            permits: permits(job),
            inspections: inspections(job),
            asked: asked(job),
            costs: costs(job),
            healthy: healthy::of(name, &trusted),
        }
    }
}

fn last_day(job: &Job) -> Date {
    let observed = job.observations.iter().map(|observation| observation.at.date());
    let opened = job.openings.iter().map(|opening| opening.at.date());
    let worked = job.work.iter().map(|work| work.at.date());
    let called = job.complaints.iter().map(|complaint| complaint.at.date());
    observed.chain(opened).chain(worked).chain(called).max().unwrap_or(job.opened)
}

/// Of each permit, by its number: did it pass? It is filed by one entry and passes by another.
fn permits(job: &Job) -> Vec<bool> {
    let mut permits: BTreeMap<&str, bool> = BTreeMap::new();
    for permit in &job.install.permits {
        *permits.entry(&permit.number).or_default() |= permit.passed.is_some();
    }
    permits.into_values().collect()
}

/// Each inspection once, though the entry of a permit may be written again.
fn inspections(job: &Job) -> Vec<Inspection> {
    let mut all: BTreeMap<(&str, Date, bool), Vec<String>> = BTreeMap::new();
    for permit in &job.install.permits {
        for (day, passed) in [(permit.failed, false), (permit.passed, true)] {
            // What was flagged belongs to the inspection that did not pass, where the entry has one.
            let own = if passed && permit.failed.is_some() { &[][..] } else { &permit.flagged[..] };
            if let Some(day) = day {
                let flagged = all.entry((&permit.number, day, passed)).or_default();
                flagged.extend(own.iter().map(Textual::write));
            }
        }
    }
    let inspection = |((_, _, passed), mut flagged): (_, Vec<String>)| {
        flagged.sort();
        flagged.dedup();
        Inspection { passed, flagged }
    };
    all.into_iter().map(inspection).collect()
}

/// What the utility was asked for, once for each day of asking, with the day that was booked last.
fn asked(job: &Job) -> Vec<Asked> {
    let mut all: BTreeMap<Date, Date> = BTreeMap::new();
    for outage in &job.replacement.outages {
        if let Some(asked) = outage.asked {
            all.insert(asked, outage.date);
        }
    }
    let came = |asked: Date| {
        let cuts = job.cuts.iter().filter(|cut| cut.is_cut).map(|cut| cut.at.date());
        cuts.filter(|day| asked <= *day).min()
    };
    all.into_iter().map(|(asked, booked)| Asked { asked, booked, came: came(asked) }).collect()
}

/// What was written down of surprises that came, by the last answer to each question.
fn costs(job: &Job) -> Vec<Cost> {
    let mut last: BTreeMap<(&str, Option<&Slot>), &SurpriseAnswer> = BTreeMap::new();
    for answer in &job.replacement.surprises {
        last.insert((&answer.question, answer.slot.as_ref()), answer);
    }
    let came = last.into_values().filter(|answer| answer.found == Found::Yes && answer.cost.is_known());
    came.map(|answer| (answer.question.clone(), answer.cost.hours, answer.cost.usd, answer.cost.charged))
        .collect()
}

/// Cuts with the day the supply came back, and the hours between.
fn cuts(job: &Job) -> (Vec<(Date, Option<Date>)>, Vec<f64>) {
    let (mut days, mut hours) = (Vec::new(), Vec::new());
    let mut off = None;
    for cut in &job.cuts {
        match (cut.is_cut, off) {
            (true, None) => off = Some(cut.at),
            (false, Some(since)) => {
                days.push((since.date(), Some(cut.at.date())));
                hours.push(cut.at.duration_since(since).as_secs_f64() / 3600.0);
                off = None;
            }
            _ => {}
        }
    }
    days.extend(off.map(|since| (since.date(), None)));
    (days, hours)
}

/// The bus of the panel of a joint, as it was described.
pub(crate) fn bus_words(job: &Job, joint: &JointId) -> String {
    use model::conductor::{Metal, Plating};
    let panel = job.installation.panels.iter().find(|panel| panel.id == *joint.panel());
    let Some(panel) = panel else { return "not described".to_owned() };
    let metal = match panel.bus.metal {
        Some(Metal::Copper) => "copper",
        Some(Metal::Aluminium) => "aluminium",
        Some(Metal::CopperCladAluminium) => "copper-clad aluminium",
        None => "metal not seen",
    };
    let plating = match panel.bus.plating {
        Some(Plating::Bare) => "bare",
        Some(Plating::Tin) => "tin",
        Some(Plating::Silver) => "silver",
        None => "plating not seen",
    };
    let split = if 1 < panel.sections.len() { ", split bus" } else { "" };
    format!("{metal}, {plating}{split}")
}
