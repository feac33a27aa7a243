//! What the edition asks of the panel and its replacement: the situation from the record, and the findings.

use super::premises::service_a;
use super::sizes::told_or_computed;
use codebook::Law;
use codebook::ask::{Finding, MultiwireCircuit, Situation, ask};
use model::installation::Installation;
use model::isolation::IsolationGoal;
use model::job::Job;
use model::panel::{Feed, Panel};
use model::{Slot, Space};
use remedy::words::breaker_label;

/// Everything that the code asks of a job, in the order of the work.
pub fn asks(law: &Law<'_>, job: &Job) -> Vec<Finding> {
    ask(law, &situation(law, job))
}

/// The situation as far as the record tells it. What it does not tell is `None`, and is asked.
pub fn situation(law: &Law<'_>, job: &Job) -> Situation {
    let site = job.premises.site();
    let main = main_panel(&job.installation);
    let work = site.work.unwrap_or_default();
    // What stands is counted; what will stand after a replacement must be said.
    let as_is = !work.replaces_panel();
    let n_disconnects = site.n_disconnects.or_else(|| counted(&job.installation).filter(|_| as_is));
    Situation {
        work,
        n_dwellings: site.n_dwellings,
        is_service: main.map(is_service),
        n_disconnects,
        in_one_enclosure: site
            .in_one_enclosure
            .or((as_is && job.installation.panels.len() == 1).then_some(true)),
        outdoor: site.outdoor,
        split_bus: main.map(is_split),
        surge: site.surge,
        extension_ft: site.extension_ft,
        adds_outlets: site.adds_outlets,
        new_circuits: site.new_circuits,
        in_bathroom: site.in_bathroom,
        in_closet: site.in_closet,
        over_stairs: site.over_stairs,
        highest_handle_in: site.highest_handle_in,
        space_depth_in: site.space_depth_in,
        space_width_in: site.space_width_in,
        space_height_in: site.space_height_in,
        equipment_width_in: main.and_then(|panel| panel.cabinet.width).map(|width| width.inches()),
        rating_a: main.and_then(|panel| panel.bus.rating).map(|rating| rating.a()).or_else(|| service_a(job)),
        directory: site.directory,
        openings: site.openings,
        neutrals_at_terminal: site.neutrals_at_terminal,
        fault_most_a: told_or_computed(law, job).map(|available| available.most_a),
        interior_evaluated: site.interior_evaluated,
        unnamed_breakers: unnamed(&job.installation),
        three_wire: site.three_wire,
        multiwire: job
            .installation
            .panels
            .iter()
            .flat_map(|panel| multiwire(&job.installation, panel))
            .collect(),
        water_pipe: site.water_pipe,
        other_electrode: site.other_electrode,
        n_rods: site.n_rods,
        rod_ohm: job.installation.service.electrode.map(|electrode| electrode.ohm()),
        rod_spacing_ft: site.rod_spacing_ft,
        intersystem: site.intersystem,
    }
}

/// The panel that the service feeds.
pub(super) fn main_panel(installation: &Installation) -> Option<&Panel> {
    installation.panels.iter().find(|panel| is_service(panel)).or(installation.panels.first())
}

pub(super) fn is_service(panel: &Panel) -> bool {
    panel.sections.iter().any(|section| !matches!(section.feed, Feed::Breaker { .. }))
}

/// Is a section of it fed by one of its own breakers?
fn is_split(panel: &Panel) -> bool {
    let own = |feed: &Feed| matches!(feed, Feed::Breaker { slot } if slot.panel == panel.id);
    panel.sections.iter().any(|section| own(&section.feed))
}

/// Hand movements that open the whole service as it stands, where hands can.
fn counted(installation: &Installation) -> Option<u32> {
    let plan = remedy::isolate(installation, &IsolationGoal::Everything).ok()?;
    (plan.by_hand && !plan.movements.is_empty())
        .then(|| u32::try_from(plan.movements.len()).unwrap_or(u32::MAX))
}

/// Is any breaker of a type that the panel's marking does not name? `None` where nobody has read the list of some.
fn unnamed(installation: &Installation) -> Option<bool> {
    let all = || installation.breakers().map(|(_, breaker)| breaker.other_make);
    if all().any(|other| other == Some(true)) {
        return Some(true);
    }
    (all().next().is_some() && all().all(|other| other == Some(false))).then_some(false)
}

/// The multiwire circuits of a panel, each pair once.
fn multiwire(installation: &Installation, panel: &Panel) -> Vec<MultiwireCircuit> {
    let mut pairs: Vec<(Space, Space)> = Vec::new();
    for breaker in &panel.breakers {
        let partner = breaker.circuit.as_ref().and_then(|circuit| circuit.partner);
        let (Some(partner), Some(&own)) = (partner, breaker.spaces.first()) else { continue };
        let pair = if own < partner { (own, partner) } else { (partner, own) };
        if !pairs.contains(&pair) {
            pairs.push(pair);
        }
    }
    pairs
        .into_iter()
        .map(|(one, two)| {
            let same = panel.breaker_at(one).is_some_and(|breaker| breaker.spaces.contains(&two));
            MultiwireCircuit {
                name: format!("{} and {two}", breaker_label(installation, &Slot::new(panel.id.clone(), one))),
                // Two breakers may carry a handle tie, which the record does not tell.
                opens_together: same.then_some(true),
                on_different_legs: Some(panel.leg_of(one) != panel.leg_of(two)),
            }
        })
        .collect()
}
