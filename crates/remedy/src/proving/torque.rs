//! The torque log: every termination that the panel should have, each with value, source, tool and person.

use super::limits::{Limits, because};
use super::{system, words_of};
use model::id::Space;
use model::install::{Installed, Terminal, TorqueSource, Torqued};
use model::job::Job;
use model::proving::{TorqueLine, TorqueLog};
use std::collections::{BTreeMap, BTreeSet};

/// The log.
pub fn torque_log(job: &Job, limits: &Limits) -> TorqueLog {
    let breakers = job.install.breakers();
    let mut last: BTreeMap<Terminal, &Torqued> = BTreeMap::new();
    let mut values: BTreeMap<Terminal, Vec<&Torqued>> = BTreeMap::new();
    for one in &job.install.torqued {
        last.insert(one.terminal, one);
        values.entry(one.terminal).or_default().push(one);
    }
    let mut wanted: BTreeSet<Terminal> = last.keys().copied().collect();
    if !breakers.is_empty() {
        wanted.extend(system(job).legs().iter().map(|&leg| Terminal::Lug(leg)));
        wanted.extend([Terminal::NeutralLug, Terminal::Bond, Terminal::Electrode]);
    }
    for one in &breakers {
        wanted.extend(one.spaces.iter().map(|&space| Terminal::Pole(space)));
        if let Some(&first) = one.spaces.first() {
            wanted.insert(Terminal::Ground(first));
            if uses_neutral(job, one) {
                wanted.insert(Terminal::Neutral(first));
            }
        }
    }
    let lines: Vec<TorqueLine> = wanted
        .into_iter()
        .map(|terminal| line(job, terminal, last.get(&terminal).copied(), values.get(&terminal), limits))
        .collect();
    TorqueLog {
        n_missing: lines.iter().filter(|line| line.fact.is_none()).count(),
        n_faulty: lines.iter().filter(|line| line.fact.is_some() && !line.faults.is_empty()).count(),
        lines,
        notes: vec![
            "The label of the equipment or the maker's sheet gives the value; no value is proposed here.".to_owned(),
            because("Calibration", &limits.calibration.source, limits.calibration.standing),
            "Equipment grounds and neutrals are listed for every circuit that may have them; strike out what is not \
             there."
                .to_owned(),
        ],
    }
}

/// May the circuit have a neutral? A breaker of two poles has none unless the record says so, or it carries what stood on
/// two breakers and shares a neutral.
fn uses_neutral(job: &Job, one: &Installed) -> bool {
    let old = |slot| job.installation.breaker_at(slot).map(|old| &old.spaces);
    let mut before = one.from.iter().filter_map(old);
    if before.next().is_some_and(|first| before.any(|other| other != first)) {
        return true;
    }
    let known = one.from.iter().find_map(|slot| {
        job.installation
            .breaker_at(slot)
            .and_then(|old| old.circuit.as_ref())
            .and_then(|old| old.uses_neutral)
    });
    known.unwrap_or(one.spaces.len() == 1)
}

fn line(
    job: &Job,
    terminal: Terminal,
    last: Option<&Torqued>,
    all: Option<&Vec<&Torqued>>,
    limits: &Limits,
) -> TorqueLine {
    let words = terminal_words(job, terminal);
    let Some(one) = last else {
        return TorqueLine {
            terminal,
            words,
            fact: None,
            at: None,
            value: String::new(),
            tool: String::new(),
            by: String::new(),
            faults: vec!["Not on record.".to_owned()],
        };
    };
    let mut faults = Vec::new();
    let used = one.at.date();
    let due = one.due.or_else(|| {
        one.calibrated.checked_add(jiff::Span::new().months(i64::from(limits.calibration.months))).ok()
    });
    if let Some(due) = due.filter(|due| *due < used) {
        faults.push(format!("The calibration of the tool was due on {due}: check again with one in date."));
    }
    if one.by.as_ref().is_none_or(|by| by.trim().is_empty()) {
        faults.push("Nobody is named.".to_owned());
    }
    let other = all.into_iter().flatten().filter(|other| other.value != one.value).count();
    if 0 < other {
        faults.push("Earlier entries give another value: which one does the label say?".to_owned());
    }
    let source = match &one.source {
        TorqueSource::Label(hash) => {
            let known = job.photos.iter().any(|photo| photo.sha256.eq_ignore_ascii_case(hash));
            if !known {
                faults.push("The photo of the label is not in the record.".to_owned());
            }
            format!("label, photo {}", hash.chars().take(8).collect::<String>())
        }
        TorqueSource::Sheet(words) => words.clone(),
    };
    TorqueLine {
        terminal,
        words,
        fact: Some(one.fact.clone()),
        at: Some(one.at),
        value: format!("{} — {source}", value(one)),
        tool: format!("{}, calibrated {}", one.tool, one.calibrated),
        by: one.by.clone().unwrap_or_default(),
        faults,
    }
}

/// A torque in pound-force inches, or feet where that is what lugs are marked in.
fn value(one: &Torqued) -> String {
    let lb_in = one.value.lb_in();
    format!("{:.0} lb-in ({:.1} N·m)", lb_in, one.value.nm())
}

pub(super) fn terminal_words(job: &Job, terminal: Terminal) -> String {
    let circuit = |space: Space| {
        job.install
            .breaker_at(space)
            .map_or_else(|| "no breaker on record".to_owned(), |one| words_of(job, one))
    };
    match terminal {
        Terminal::Lug(leg) => format!("lug of leg {leg}"),
        Terminal::NeutralLug => "lug of the service neutral".to_owned(),
        Terminal::Bond => "bond of neutral and cabinet".to_owned(),
        Terminal::Electrode => "electrode conductor".to_owned(),
        Terminal::Pole(space) => format!("breaker, space {space}: {}", circuit(space)),
        Terminal::Neutral(space) => format!("neutral, space {space}: {}", circuit(space)),
        Terminal::Ground(space) => format!("ground, space {space}: {}", circuit(space)),
    }
}
