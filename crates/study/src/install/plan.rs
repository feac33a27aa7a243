//! Where each circuit goes in the new panel, for schedule and pull list.

use crate::layout::{Origin, current_layout, lay_out_panel, origin_of_seat};
use model::breaker::Protection;
use model::conductor::Conductor;
use model::id::{Slot, Space};
use model::job::Job;
use model::replacement::{Arrangement, Seated};
use papers::PullLine;
use remedy::proving::{leg_of, words_of};
use remedy::survey::{KnownCircuit, circuits};
use std::collections::BTreeMap;

/// A circuit with its place in the new panel.
#[derive(Debug, Clone, PartialEq)]
pub struct Planned {
    /// Its slots in the old panel, pole by pole; empty for a new circuit.
    pub old: Vec<Slot>,
    /// Its spaces in the new panel, pole by pole; empty where none is chosen.
    pub new: Vec<Space>,
    /// Rating, A; `None` for a new circuit of which it is not on record.
    pub rating_a: Option<f64>,
    /// What makes it open.
    pub protection: Protection,
    /// Was a conductor lengthened? `None` where that is not known.
    pub spliced: Option<bool>,
    /// Its conductor.
    pub conductor: Conductor,
    /// What it feeds.
    pub feeds: String,
}

/// The circuits with their places: as installed where that is on record, else as in the chosen layout; the others
/// without a place.
pub fn planned(job: &Job) -> Vec<Planned> {
    let known = known(job);
    let of = |slot: &Slot| known.iter().find(|one| holds(one, slot));
    let mut all: Vec<Planned> = Vec::new();
    for one in job.install.breakers() {
        let circuit = one.from.first().and_then(of);
        all.push(Planned {
            old: one.from.clone(),
            new: one.spaces.clone(),
            rating_a: Some(one.rating.a()),
            protection: one.protection,
            spliced: Some(one.spliced),
            conductor: circuit.map(|one| one.conductor.clone()).unwrap_or_default(),
            feeds: words_of(job, one),
        });
    }
    let latest = |chosen: &&Arrangement| {
        job.replacement.arrangement(&chosen.panel).is_some_and(|last| last.fact == chosen.fact)
    };
    for seat in job.replacement.arrangements.iter().filter(latest).flat_map(|chosen| &chosen.seats) {
        let is_taken = all.iter().any(|one| one.new.iter().any(|space| seat.spaces.contains(space)));
        match &seat.what {
            Seated::Circuit(slot) => {
                if let Some(circuit) = of(slot).filter(|circuit| !is_placed(circuit, &all)) {
                    all.push(from_known(circuit, seat.spaces.clone()));
                }
            }
            Seated::New(name) if !is_taken => all.push(Planned {
                old: Vec::new(),
                new: seat.spaces.clone(),
                rating_a: None,
                protection: Protection::ThermalMagnetic,
                spliced: None,
                conductor: Conductor::default(),
                feeds: format!("new: {name}"),
            }),
            Seated::New(_) => {}
        }
    }
    let left: Vec<Planned> = known
        .iter()
        .filter(|circuit| !is_placed(circuit, &all))
        .map(|circuit| from_known(circuit, Vec::new()))
        .collect();
    all.extend(left);
    all
}

/// Every circuit of the old panels with all that is known of it.
fn known(job: &Job) -> Vec<KnownCircuit> {
    job.installation.panels.iter().flat_map(|panel| circuits(job, &panel.id)).collect()
}

fn holds(circuit: &KnownCircuit, slot: &Slot) -> bool {
    circuit.slot.panel == slot.panel && circuit.spaces.contains(&slot.space)
}

fn is_placed(circuit: &KnownCircuit, all: &[Planned]) -> bool {
    all.iter().any(|one| one.old.iter().any(|slot| holds(circuit, slot)))
}

fn from_known(circuit: &KnownCircuit, new: Vec<Space>) -> Planned {
    let old = circuit.spaces.iter().map(|&space| Slot::new(circuit.slot.panel.clone(), space)).collect();
    Planned {
        old,
        new,
        rating_a: Some(circuit.rating.a()),
        protection: circuit.device_after(),
        spliced: None,
        conductor: circuit.conductor.clone(),
        feeds: circuit.label().to_owned(),
    }
}

/// New spaces of the chosen layouts, and whether the conductor that goes there must be lengthened by what was surveyed.
fn predicted(job: &Job, known: &[KnownCircuit]) -> BTreeMap<Space, bool> {
    let mut all = BTreeMap::new();
    for panel in &job.installation.panels {
        let Some(chosen) = job.replacement.arrangement(&panel.id) else { continue };
        let Some(mut ask) = current_layout(job, &panel.id, 1) else { continue };
        // Every circuit where it was chosen, the new ones too; partners go in as one piece, named by the first of the two.
        ask.locks = chosen
            .seats
            .iter()
            .filter_map(|seat| {
                let first = seat.spaces.iter().map(|space| space.number).min()?;
                let origin = origin_of_seat(chosen, known, seat)?;
                // A new circuit that was given up since then holds no place.
                let planned = |name: &String| {
                    let site = job.premises.site.as_ref();
                    site.is_some_and(|site| site.site.new_circuits.iter().any(|one| one.name == *name))
                };
                let stands = !matches!(&origin, Origin::New(name) if !planned(name));
                stands.then_some((origin, first))
            })
            .collect();
        let Some(laid_out) = lay_out_panel(job, &ask).ok() else { continue };
        for it in 0..laid_out.plans.first().map_or(0, |(_, layout)| layout.seats.len()) {
            all.extend(laid_out.places(0, it));
        }
    }
    all
}

/// Lines of the pull list, one a conductor that is hot, and remarks.
pub fn pull_lines(job: &Job) -> (Vec<PullLine>, Vec<String>) {
    let known = known(job);
    let predicted = predicted(job, &known);
    let mut lines: Vec<((Slot, usize), PullLine)> = Vec::new();
    let mut notes = Vec::new();
    let (mut unmeasured, mut unplaced) = (0, 0);
    for one in planned(job) {
        for (pole, slot) in one.old.iter().enumerate() {
            let circuit = known.iter().find(|circuit| holds(circuit, slot));
            let free = circuit.and_then(|circuit| circuit.conductor.free_length);
            let new = one.new.get(pole).copied();
            unmeasured += usize::from(free.is_none());
            unplaced += usize::from(new.is_none());
            let line = PullLine {
                old: slot.space.to_string(),
                number: circuit.map(|circuit| circuit.name.clone()).unwrap_or_default(),
                colour: circuit
                    .and_then(|circuit| circuit.conductor.colour_of(pole))
                    .unwrap_or_default()
                    .to_owned(),
                length: free.map(|free| format!("{:.0} in", free.inches())).unwrap_or_default(),
                new: new.map(|space| space.to_string()).unwrap_or_default(),
                leg: new.map(|space| leg_of(job, space).to_string()).unwrap_or_default(),
                // Without length and side of entry nothing can be foretold.
                splice: one.spliced.or_else(|| {
                    let surveyed = circuit.is_some_and(|circuit| circuit.conductor.entry.is_some());
                    new.filter(|_| surveyed && free.is_some()).and_then(|new| predicted.get(&new).copied())
                }),
            };
            lines.push(((slot.clone(), pole), line));
        }
    }
    lines.sort_by(|a, b| a.0.cmp(&b.0));
    if 0 < unmeasured {
        notes.push(format!("{unmeasured} conductors were not measured: measure before the power is cut."));
    }
    if 0 < unplaced {
        notes.push(format!("{unplaced} conductors have no space in the new panel yet."));
    }
    (lines.into_iter().map(|line| line.1).collect(), notes)
}
