//! The new panel of a chosen layout, with its breakers in their places: for drawings and for the networks.

use crate::survey::{KnownCircuit, circuits};
use model::breaker::{Attachment, Breaker, Circuit, Handle, Protection};
use model::conductor::Conductor;
use model::job::Job;
use model::panel::{Bus, Feed, Panel, Section};
use model::replacement::{ArrangedSeat, Arrangement, Seated};
use model::{Current, SectionId, Space};

/// The new panel under the name of the old one. Its parts are new: sound, and of no known make; what is not known of
/// its bus stays so. `None`: the record has no such old panel, or the new one no row.
pub fn rebuilt(job: &Job, chosen: &Arrangement) -> Option<Panel> {
    let old = job.installation.panel(&chosen.panel)?;
    let (new, known) = (&chosen.new, circuits(job, &chosen.panel));
    let mut panel = Panel {
        id: old.id.clone(),
        place: old.place.clone(),
        system: old.system,
        n_spaces: new.n_spaces,
        n_columns: new.n_columns,
        first_leg: new.first_leg,
        bus: Bus { metal: None, plating: None, rating: new.bus_rating },
        cabinet: new.cabinet.clone(),
        half_width: new.half_width.clone(),
        year: None,
        moisture: None,
        sections: Vec::new(),
        breakers: Vec::new(),
    };
    panel.sections.push(Section {
        id: SectionId::new("whole"),
        first_row: 0,
        last_row: panel.n_rows().checked_sub(1)?,
        feed: match new.main {
            Some(rating) => Feed::MainBreaker { rating },
            None => Feed::ServiceLugs,
        },
        feeder: Conductor::default(),
    });
    panel.breakers = chosen.seats.iter().filter_map(|seat| breaker(job, chosen, &known, seat)).collect();
    panel.breakers.sort_by_key(|breaker| breaker.spaces.first().copied());
    Some(panel)
}

fn breaker(job: &Job, chosen: &Arrangement, known: &[KnownCircuit], seat: &ArrangedSeat) -> Option<Breaker> {
    let (rating, protection, circuit) = match &seat.what {
        Seated::Circuit(slot) => {
            let circuit = known.iter().find(|circuit| circuit.slot == *slot)?;
            (circuit.rating, circuit.device_after(), of_old(chosen, known, circuit))
        }
        Seated::New(name) => {
            let planned = &job.premises.site.as_ref()?.site.new_circuits;
            let planned = planned.iter().find(|planned| planned.name == *name)?;
            let circuit = Circuit { feeds: name.clone(), ..Circuit::default() };
            (Current::from_a(f64::from(planned.amps)), Protection::ThermalMagnetic, circuit)
        }
    };
    Some(Breaker {
        spaces: seat.spaces.clone(),
        rating,
        protection,
        attachment: Attachment::PlugOn,
        other_make: None,
        later: None,
        handle: Handle::Off,
        circuit: Some(circuit),
    })
}

fn of_old(chosen: &Arrangement, known: &[KnownCircuit], circuit: &KnownCircuit) -> Circuit {
    let partner = circuit.partner.flatten().and_then(|partner| {
        let other = known.iter().find(|other| other.slot.space == partner)?;
        chosen.seat(&other.slot)?.spaces.first().copied()
    });
    Circuit {
        feeds: circuit.feeds.clone(),
        class: circuit.class,
        conductor: circuit.conductor.clone(),
        partner: partner.filter(|space: &Space| 0 < space.number),
        uses_neutral: circuit.uses_neutral,
        doubled: Some(false),
    }
}
