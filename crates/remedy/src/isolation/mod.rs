//! Safe isolation: what each hand movement cuts off and leaves live, what only the utility can cut, and what must be
//! proven. By the record of how the panel is fed; whatever the record does not hold is live.

mod fewest;
mod movements;
pub(crate) mod proofs;
pub(crate) mod sources;
pub(crate) mod supply_graph;
#[cfg(test)]
mod tests;

use crate::words;
use fewest::{Near, fewest};
use model::installation::Installation;
use model::isolation::{Disconnect, IsolationGoal, IsolationPlan, Part};
use model::{Cite, Note, Standing};
use std::collections::BTreeSet;
use supply_graph::SupplyGraph;

/// Most movements of a hand that the older rule allows for a service.
const SIX: usize = 6;

/// The goal is no part of the installation.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("the record does not hold {0}")]
pub struct NoSuchPart(pub String);

/// The plan to cut off `goal`: the fewest hand movements (of equally few those that leave on what need not go off, and
/// for everything those that cut off most), what each does, what stays live, and what must be proven.
///
/// Handles count as closed wherever they stood when first seen: a handle is a claim, not a proof.
///
/// # Errors
/// The goal is a part that the record does not hold.
pub fn isolate(installation: &Installation, goal: &IsolationGoal) -> Result<IsolationPlan, NoSuchPart> {
    let graph = SupplyGraph::of(installation);
    let wanted: BTreeSet<Part> = match goal {
        IsolationGoal::Everything => BTreeSet::new(),
        IsolationGoal::Part(part) if graph.holds(part) => BTreeSet::from([part.clone()]),
        IsolationGoal::Part(part) => return Err(NoSuchPart(words::part(installation, part))),
    };
    let all_circuits: BTreeSet<Part> =
        graph.circuits().filter(|part| !graph.backfed.contains(part)).cloned().collect();
    let everything = fewest(&graph, &all_circuits, Near::Sources).unwrap_or_default();
    let cut = if wanted.is_empty() { Some(everything.clone()) } else { fewest(&graph, &wanted, Near::Goal) };
    let by_hand = cut.is_some();
    let opens = cut.unwrap_or_else(|| everything.clone());
    let movements = movements::movements(installation, &graph, &opens);
    let opened: BTreeSet<Disconnect> = opens.iter().cloned().collect();
    let stays_live: Vec<Part> = graph.live(&opened).into_iter().collect();
    let proofs = match goal {
        IsolationGoal::Everything => graph
            .parts()
            .filter(|part| matches!(part, Part::Bus(..)) && !stays_live.contains(part))
            .map(|part| proofs::duty(installation, part))
            .collect(),
        IsolationGoal::Part(part) => vec![proofs::duty(installation, part)],
    };
    Ok(IsolationPlan {
        goal: goal.clone(),
        by_hand,
        utility: utility(installation, goal, by_hand, &stays_live),
        movements,
        stays_live,
        sources: sources::questions(installation),
        proofs,
        notes: notes(installation, &everything),
        cautions: cautions(installation),
    })
}

/// Parts that are live with these opened, in order. Every source that the record holds counts as on.
pub fn live_parts(installation: &Installation, opened: &BTreeSet<Disconnect>) -> Vec<Part> {
    SupplyGraph::of(installation).live(opened).into_iter().collect()
}

fn utility(
    installation: &Installation,
    goal: &IsolationGoal,
    by_hand: bool,
    stays_live: &[Part],
) -> Option<String> {
    if let (IsolationGoal::Part(part), false) = (goal, by_hand) {
        return Some(format!(
            "No handle cuts off {}: only the utility can, at the meter or the drop. Loads go off first; a meter is a \
             plug, not a switch. Who may pull it is the utility's rule, and a licensed person asks them.",
            words::part(installation, part)
        ));
    }
    let behind: Vec<String> = stays_live
        .iter()
        .filter(|part| matches!(part, Part::LineLugs(_) | Part::Bus(..)))
        .map(|part| words::part(installation, part))
        .collect();
    (!behind.is_empty()).then(|| {
        format!(
            "Live whatever the handles say, until the utility has cut it and that is proven: {}.",
            behind.join("; ")
        )
    })
}

fn notes(installation: &Installation, everything: &BTreeSet<Disconnect>) -> Vec<Note> {
    let count = everything.len();
    let movements = if count == 1 { "1 hand movement".to_owned() } else { format!("{count} hand movements") };
    let mut notes = vec![Note {
        subject: "hand movements".to_owned(),
        text: format!(
            "By this record {movements} cut off every circuit. Up to the 2017 edition a service could have up to six \
             such movements grouped in one place; from the 2020 edition on each enclosure of a service has one \
             disconnect, and what was there before may stay where it was right when it was put in.{}",
            if SIX < count {
                " More than six is a fault under each edition: breakers may have been added above the split."
            } else {
                ""
            }
        ),
        cite: Some(Cite::new(
            "NFPA 70, editions 2008 to 2023, as reported in trade articles",
            "230.71",
            Standing::Published,
        )),
    }];
    for panel in installation.panels.iter().filter(|panel| panel.lacks_single_main()) {
        notes.push(Note::new(
            format!("panel {}", panel.id),
            "This panel has no single main. With every handle off, the lugs and the section they feed are still live.",
        ));
    }
    notes
}

fn cautions(installation: &Installation) -> Vec<String> {
    let mut cautions = vec![
        "Unknown means live. A handle that says off is a claim, not a proof.".to_owned(),
        "Never pull a breaker off a stab that is live and may be burnt, loaded or not.".to_owned(),
        "Work inside a panel is for qualified persons. Service conductors and line lugs stay live with every handle off \
         until the utility has cut them and that is proven."
            .to_owned(),
        "Stand aside and look away while a handle is moved. A suspect breaker is not switched under load: take the \
         load off at the appliances first."
            .to_owned(),
    ];
    if installation.service.other_sources.is_empty() {
        cautions.push(
            "Other sources were not recorded: until each is ruled out, no part counts as dead.".to_owned(),
        );
    } else {
        cautions.push("Another source is recorded: it must be cut as well, and proven.".to_owned());
    }
    cautions.push(
        "Local code, the utility's rules, the manufacturer's instructions and the inspector come first."
            .to_owned(),
    );
    cautions
}
