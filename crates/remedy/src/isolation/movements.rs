//! The movements one after the other, and what each does.

use super::supply_graph::SupplyGraph;
use crate::words;
use model::breaker::{Breaker, LoadClass};
use model::id::Slot;
use model::installation::Installation;
use model::isolation::{Disconnect, Movement, Part};
use std::collections::BTreeSet;

/// The movements in the order to make them: circuits before feeders, feeders before mains, so that the last handles
/// break little current; sources behind a breaker last, when nothing is left for them to feed.
pub(super) fn movements(
    installation: &Installation,
    graph: &SupplyGraph,
    opens: &BTreeSet<Disconnect>,
) -> Vec<Movement> {
    let mut ordered: Vec<&Disconnect> = opens.iter().collect();
    ordered.sort_by_key(|disconnect| (rank(installation, disconnect), (*disconnect).clone()));
    let mut opened = BTreeSet::new();
    let mut before = graph.live(&opened);
    ordered
        .into_iter()
        .map(|disconnect| {
            opened.insert(disconnect.clone());
            let after = graph.live(&opened);
            let movement = Movement {
                opens: disconnect.clone(),
                label: words::disconnect(installation, disconnect),
                cuts: before.difference(&after).cloned().collect(),
                still_live: after.iter().cloned().collect(),
                mind: mind(installation, graph, disconnect, &after),
            };
            before = after;
            movement
        })
        .collect()
}

fn rank(installation: &Installation, disconnect: &Disconnect) -> u8 {
    match disconnect {
        Disconnect::Main(..) => 3,
        Disconnect::Breaker(slot) => match installation.breaker_at(slot) {
            Some(breaker) if class(breaker) == Some(LoadClass::Source) => 2,
            Some(_) if installation.sections_fed_by(slot).next().is_some() => 1,
            _ => 0,
        },
    }
}

fn class(breaker: &Breaker) -> Option<LoadClass> {
    breaker.circuit.as_ref().and_then(|circuit| circuit.class)
}

fn mind(
    installation: &Installation,
    graph: &SupplyGraph,
    disconnect: &Disconnect,
    live: &BTreeSet<Part>,
) -> Vec<String> {
    let mut mind = Vec::new();
    let Disconnect::Breaker(slot) = disconnect else { return mind };
    let Some(breaker) = installation.breaker_at(slot) else { return mind };
    let partner = breaker.circuit.as_ref().and_then(|circuit| circuit.partner);
    if let Some(partner) = partner.filter(|partner| !breaker.spaces.contains(partner)) {
        let partner = Slot::new(slot.panel.clone(), partner);
        let first = installation.breaker_at(&partner).map_or(partner.space, |breaker| breaker.spaces[0]);
        if live.contains(&Part::Branch(Slot::new(slot.panel.clone(), first))) {
            mind.push(format!(
                "It shares its neutral with space {}, which is still live: that neutral carries current. Do not open it.",
                partner.space
            ));
        }
    }
    if graph.backfed.contains(&Part::Branch(slot.clone())) {
        mind.push(
            "A source feeds back through it: its load side stays live until that source is shut down and cut off itself."
                .to_owned(),
        );
    }
    if installation.sections_fed_by(slot).next().is_some() {
        mind.push(
            "It carries a whole section: take the loads off first. Its own stab and line side stay live."
                .to_owned(),
        );
    }
    mind
}
