//! Described equipment to the nouns of the model.

use crate::fact::{
    BreakerDescribed, CabinetDescribed, CircuitDescribed, ConductorDescribed, FeedDescribed,
    HalfWidthDescribed, PanelDescribed, ServiceDescribed,
};
use model::breaker::{Breaker, Circuit, LoadClass};
use model::conductor::Conductor;
use model::installation::Installation;
use model::panel::{Bus, Cabinet, Feed, HalfWidth, Panel, Section};
use model::service::Service;
use model::{Current, PanelId, Resistance, Slot};
use std::collections::BTreeMap;

pub(super) fn conductor(from: &ConductorDescribed) -> Conductor {
    Conductor {
        size: from.size.map(|size| size.0),
        metal: from.metal.map(|metal| metal.0),
        insulation: from.insulation.clone(),
        free_length: from.free_length.map(|length| length.quantity()),
        entry: from.entry.map(|entry| entry.0),
        entry_down: from.entry_down.map(|length| length.quantity()),
        colour: from.colour.clone(),
    }
}

pub(super) fn service(from: &ServiceDescribed) -> Service {
    Service {
        rating: from.rating_a.map(Current::from_a),
        transformer_kva: from.transformer_kva,
        transformer_impedance_pct: from.transformer_impedance_pct,
        path: from.path.map(|path| path.0),
        drop: conductor(&from.drop),
        drop_length: from.drop_length.map(|length| length.quantity()),
        entrance: conductor(&from.entrance),
        entrance_length: from.entrance_length.map(|length| length.quantity()),
        electrode: from.electrode_ohm.map(Resistance::from_ohm),
        meter: from.meter.clone(),
        other_sources: from.other_sources.clone(),
    }
}

pub(super) fn panel(from: &PanelDescribed) -> Panel {
    let mut sections: Vec<Section> = from
        .sections
        .iter()
        .map(|section| Section {
            id: section.id.0.clone(),
            first_row: section.rows[0].saturating_sub(1),
            last_row: section.rows[1].saturating_sub(1),
            feed: match &section.feed {
                FeedDescribed::Lugs => Feed::ServiceLugs,
                FeedDescribed::MainBreaker { rating_a } => {
                    Feed::MainBreaker { rating: Current::from_a(*rating_a) }
                }
                FeedDescribed::Breaker(slot) => Feed::Breaker { slot: slot.0.clone() },
            },
            feeder: conductor(&section.feeder),
        })
        .collect();
    sections.sort_by(|a, b| (a.first_row, &a.id).cmp(&(b.first_row, &b.id)));
    Panel {
        id: from.panel.0.clone(),
        place: from.place.clone(),
        system: from.system.0,
        n_spaces: from.spaces,
        n_columns: from.columns,
        first_leg: from.first_leg.0,
        bus: Bus {
            metal: from.bus.metal.map(|metal| metal.0),
            plating: from.bus.plating.map(|plating| plating.0),
            rating: from.bus.rating_a.map(Current::from_a),
        },
        cabinet: cabinet(&from.cabinet),
        half_width: half_width(from.half_width.as_ref()),
        year: from.year,
        moisture: from.moisture,
        sections,
        breakers: Vec::new(),
    }
}

pub(super) fn cabinet(from: &CabinetDescribed) -> Cabinet {
    Cabinet {
        width: from.width.map(|length| length.quantity()),
        height: from.height.map(|length| length.quantity()),
        depth: from.depth.map(|length| length.quantity()),
        mounting: from.mounting.map(|mounting| mounting.0).unwrap_or_default(),
    }
}

pub(super) fn half_width(from: Option<&HalfWidthDescribed>) -> HalfWidth {
    match from {
        None => HalfWidth::Nowhere,
        Some(HalfWidthDescribed::Everywhere) => HalfWidth::Everywhere,
        Some(HalfWidthDescribed::In(numbers)) => HalfWidth::In(numbers.clone()),
    }
}

pub(super) fn breaker(from: &BreakerDescribed) -> Breaker {
    Breaker {
        spaces: from.spaces.iter().map(|space| space.0).collect(),
        rating: Current::from_a(from.rating_a),
        protection: from.protection.0,
        attachment: from.attachment.0,
        other_make: from.other_make,
        later: from.later,
        handle: from.handle.0,
        circuit: from.circuit.as_ref().map(circuit),
    }
}

fn circuit(from: &CircuitDescribed) -> Circuit {
    Circuit {
        feeds: from.feeds.clone(),
        class: from.class.map(|class| class.0),
        conductor: conductor(&from.conductor),
        partner: from.partner.map(|space| space.0),
        uses_neutral: from.uses_neutral,
        doubled: from.doubled,
    }
}

/// Says of every breaker whether it has a circuit: one of which nothing was said feeds one that nobody has
/// traced, unless it feeds a section; one that is only called a spare feeds none.
pub(super) fn settle_circuits(installation: &mut Installation) {
    let feeding: Vec<Slot> = installation
        .panels
        .iter()
        .flat_map(|panel| &panel.sections)
        .filter_map(|section| match &section.feed {
            Feed::Breaker { slot } => Some(slot.clone()),
            _ => None,
        })
        .collect();
    let only_spare = Circuit { class: Some(LoadClass::Spare), ..Circuit::default() };
    for panel in &mut installation.panels {
        for breaker in &mut panel.breakers {
            let feeds_section =
                feeding.iter().any(|slot| slot.panel == panel.id && breaker.spaces.contains(&slot.space));
            match &breaker.circuit {
                None if !feeds_section => breaker.circuit = Some(Circuit::default()),
                Some(circuit) if *circuit == only_spare => breaker.circuit = None,
                _ => {}
            }
        }
    }
}

/// Panels fed by the service first, then those they feed, and so on; by id among equals.
pub(super) fn order_panels(panels: BTreeMap<PanelId, Panel>) -> Vec<Panel> {
    let depth_of = |start: &Panel| {
        let mut depth = 0;
        let mut panel = start;
        while let Some(upstream) = upstream(panel, &panels) {
            depth += 1;
            if depth > panels.len() {
                break; // a circle: told of by the checks
            }
            panel = upstream;
        }
        depth
    };
    let depths: BTreeMap<PanelId, usize> =
        panels.iter().map(|(id, panel)| (id.clone(), depth_of(panel))).collect();
    let mut ordered: Vec<Panel> = panels.into_values().collect();
    ordered.sort_by_key(|panel| (depths.get(&panel.id).copied(), panel.id.clone()));
    ordered
}

/// The other panel that feeds this one, if any.
fn upstream<'a>(panel: &Panel, panels: &'a BTreeMap<PanelId, Panel>) -> Option<&'a Panel> {
    panel.sections.iter().find_map(|section| match &section.feed {
        Feed::Breaker { slot } if slot.panel != panel.id => panels.get(&slot.panel),
        _ => None,
    })
}
