//! The permit set: what is on record and what the code book answers, in one paper with bookmarks.

use super::{head, planned};
use crate::code::{Answer, Finding, SizeLine, Subject, Wish};
use crate::code::{asks, sizes};
use crate::print::{Document, Press};
use crate::settings::StudyError;
use codebook::Law;
use model::Date;
use model::id::Space;
use model::job::Job;
use model::panel::Feed;
use papers::{Paper, PermitSet, ScheduleLine, SetRow};
use remedy::proving::{leg_of, spaces_words};

/// The permit set as PDF (without the feature `pdf` as printable HTML) and as text. Equal input gives equal bytes.
///
/// # Errors
/// Where the typesetter refuses it.
pub fn permit_set(law: &Law<'_>, job: &Job, day: Date, press: &Press) -> Result<Vec<Document>, StudyError> {
    press.documents(job, &[permit_set_paper(law, job, day)])
}

/// Names of the files of [`permit_set()`], without setting it.
pub fn permit_set_names(job: &Job) -> Vec<String> {
    let stem = papers::permit_set_name(&job.id);
    vec![format!("{stem}.{}", crate::print::PRINTABLE), format!("{stem}.txt")]
}

/// The permit set as one paper.
pub fn permit_set_paper(law: &Law<'_>, job: &Job, day: Date) -> Paper {
    let sizes = sizes(law, job, &Wish::default());
    let found = asks(law, job);
    let is_grounding = |line: &SizeLine| {
        ["grounded conductor", "main bonding jumper", "electrode conductor", "equipment ground"]
            .iter()
            .any(|start| line.title.starts_with(start))
    };
    let is_fault = |line: &SizeLine| {
        line.title.starts_with("available fault current") || line.title.starts_with("interrupting rating")
    };
    let mut grounding: Vec<SetRow> = sizes.lines.iter().filter(|line| is_grounding(line)).map(size).collect();
    let mut fault: Vec<SetRow> = sizes.lines.iter().filter(|line| is_fault(line)).map(size).collect();
    let mut notes: Vec<SetRow> =
        sizes.lines.iter().filter(|line| !is_grounding(line) && !is_fault(line)).map(size).collect();
    for one in &found {
        match one.subject {
            Subject::Electrodes | Subject::Intersystem | Subject::ThreeWire => grounding.push(answer(one)),
            Subject::FaultMarking => fault.push(answer(one)),
            _ => notes.push(answer(one)),
        }
    }
    for question in &sizes.questions {
        notes.push(SetRow {
            what: question.subject.clone(),
            answer: Err(format!("{} Why: {}.", question.ask, question.why)),
            cite: String::new(),
        });
    }
    let mut head = head(job, day);
    head.supply = format!("{}; code: {}", head.supply, law.chosen());
    papers::permit_set(&PermitSet {
        head,
        scope: scope(job),
        papers: crate::code::permit_paper_trees(law, job, day),
        schedule: schedule(job),
        schedule_notes: schedule_notes(job),
        grounding,
        fault,
        notes,
    })
}

fn size(line: &SizeLine) -> SetRow {
    let mut cites: Vec<String> = line.workings.iter().map(|working| working.cite.to_string()).collect();
    cites.dedup();
    SetRow { what: line.title.clone(), answer: line.result.clone(), cite: cites.join("; ") }
}

fn answer(found: &Finding) -> SetRow {
    let told = |word: &str| Ok(format!("{word}. {}", found.text));
    let answer = match &found.answer {
        Answer::Required { met: Some(true) } => told("Required, and so on record"),
        Answer::Required { met: Some(false) } => told("Required, and not so on record"),
        Answer::Required { met: None } => told("Required"),
        Answer::NotRequired => told("Not required"),
        Answer::DependsOn(what) => Ok(format!("Depends on: {what} {}", found.text)),
        Answer::InspectorsCall => told("The inspector decides"),
        Answer::Refused(refused) => Err(format!("{refused}; {}", refused.hint())),
    };
    let cite = found.cite.as_ref().map(ToString::to_string).unwrap_or_default();
    SetRow { what: found.title.clone(), answer, cite }
}

/// What is to be done, from what the record says of old and new.
fn scope(job: &Job) -> Vec<String> {
    let mut scope = Vec::new();
    for panel in &job.installation.panels {
        let is_service = panel.sections.iter().any(|section| !matches!(section.feed, Feed::Breaker { .. }));
        let place = panel.place.trim();
        let at = if place.is_empty() { String::new() } else { format!(", {place}") };
        let what = if is_service { "Existing service panel" } else { "Existing sub-panel" };
        scope.push(format!("{what} {}{at}: {} spaces, {}.", panel.id, panel.n_spaces, panel.system.label()));
    }
    if let Some(permit) = job.install.permits.last() {
        let rating = permit.rating.map(|rating| format!(", {:.0} A", rating.a())).unwrap_or_default();
        let spaces = permit.n_spaces.map(|n| format!(", {n} spaces")).unwrap_or_default();
        scope.push(format!("New panel as filed{rating}{spaces}. Permit {}.", permit.number));
    }
    let planned = planned(job);
    let (moved, new) = (
        planned.iter().filter(|one| !one.old.is_empty() && !one.new.is_empty()).count(),
        planned.iter().filter(|one| one.old.is_empty()).count(),
    );
    scope.push(format!("{moved} existing circuits move over; {new} new circuits."));
    for appliance in &job.premises.appliances {
        if appliance.item.status == model::dwelling::Status::Added {
            scope.push(format!("Added load: {}.", appliance.item.name));
        }
    }
    scope
}

fn schedule(job: &Job) -> Vec<ScheduleLine> {
    let mut lines: Vec<(Option<Space>, ScheduleLine)> = planned(job)
        .into_iter()
        .map(|one| {
            let old: Vec<Space> = one.old.iter().map(|slot| slot.space).collect();
            let legs: String = one.new.iter().map(|&space| leg_of(job, space).to_string()).collect();
            let poles = one.new.len().max(one.old.len());
            let rating =
                one.rating_a.map_or_else(|| "not on record".to_owned(), |amps| format!("{amps:.0} A"));
            let (size, colour) = (one.conductor.size, one.conductor.colour.as_deref());
            let colour = colour.map_or_else(String::new, |colour| format!(", {colour}"));
            let line = ScheduleLine {
                old: spaces_words(&old),
                new: spaces_words(&one.new),
                legs,
                breaker: format!("{rating}, {poles}-pole{}", papers::protection_words(one.protection)),
                wire: size.map_or_else(|| "not on record".to_owned(), |size| size.to_string()) + &colour,
                feeds: one.feeds,
            };
            (one.new.first().copied(), line)
        })
        .collect();
    lines.sort_by_key(|line| (line.0.is_none(), line.0));
    lines.into_iter().map(|line| line.1).collect()
}

fn schedule_notes(job: &Job) -> Vec<String> {
    let mut notes = Vec::new();
    let n = planned(job).iter().filter(|one| one.new.is_empty()).count();
    if 0 < n {
        notes.push(format!("{n} circuits have no space in the new panel on record yet."));
    }
    notes.push(
        "Legs by the chosen layout, else by rows in turn from A at the top. Listing of every breaker for the new panel is for who installs it."
            .to_owned(),
    );
    notes
}
