//! Which parts count as proven dead, by the record alone: cut off, every other source ruled out or cut, and every pair
//! read dead since, with a tester tried on a live source before and after. Whatever is not recorded counts as live.

mod contradiction;
mod course;
mod proof;
#[cfg(test)]
pub(crate) mod tests;

use crate::isolation::sources::questions;
use crate::isolation::supply_graph::SupplyGraph;
use crate::isolation::{isolate, proofs};
use crate::words;
use contradiction::Contradiction;
use course::Course;
use model::installation::Installation;
use model::isolation::{Gate, IsolationGoal, Part, PartGate, PartState, SourceQuestion};
use model::job::{Exposure, Job};
use model::panel::Feed;
use model::{DateTime, JointId, PanelId, Slot};

/// Which parts count as dead. With `at`, by what was on record at that moment; a proof then holds for its own day only
/// (judgement: nobody watches the handles overnight).
pub fn gate(job: &Job, at: Option<DateTime>) -> Gate {
    let site = Site {
        job,
        at,
        graph: SupplyGraph::of(&job.installation),
        course: Course::of(job, at),
        questions: questions(&job.installation),
    };
    let found: Vec<Contradiction> = contradiction::all(&site);
    let open: Vec<&Contradiction> = found.iter().filter(|one| !one.is_resolved(&site)).collect();
    let live = site.course.live(&site.graph, &site.questions, None);
    let parts = site.graph.parts().map(|part| {
        let state = match open.iter().find(|one| one.part == *part) {
            Some(one) => PartState::Contradicted { sentence: one.sentence.clone(), by: one.fact.clone() },
            None => state(&site, part, live.contains(part), &found, open.first().copied()),
        };
        PartGate { part: part.clone(), claimed_cut: !live.contains(part), state }
    });
    Gate { parts: parts.collect(), stop: open.first().map(|one| one.sentence.clone()) }
}

/// The exposure up to which work may be offered. Proven dead only where the bus or the lugs of some panel are, and
/// nothing contradicts it; an exposure that somebody merely wrote down never gives it.
pub fn allowed(job: &Job, at: Option<DateTime>) -> Exposure {
    let gate = gate(job, at);
    let is_dead = gate.parts.iter().any(|entry| {
        !matches!(entry.part, Part::Branch(_)) && matches!(entry.state, PartState::ProvenDead { .. })
    });
    if is_dead { Exposure::ProvenDead } else { job.exposure.min(Exposure::CoverOff) }
}

/// The parts that must be dead before a joint is opened. Judgement: a stab needs its bus; a terminal its own circuit; a
/// neutral its circuit and the partner that shares it; the neutral lug everything in the panel; the joint behind a main
/// breaker the lugs beside it as well.
pub fn parts_of_joint(installation: &Installation, joint: &JointId) -> Vec<Part> {
    let panel = installation.panel(joint.panel());
    let branch = |slot: &Slot| Part::Branch(first_pole(installation, slot));
    let lugs = |id: &PanelId| Part::LineLugs(id.clone());
    match joint {
        JointId::Stab(slot) => {
            let section = panel.and_then(|panel| panel.section_of(slot.space));
            section.map(|section| Part::Bus(slot.panel.clone(), section.id.clone())).into_iter().collect()
        }
        JointId::Terminal(slot) => vec![branch(slot)],
        JointId::NeutralTerminal(slot) => {
            let circuit = installation.breaker_at(slot).and_then(|breaker| breaker.circuit.as_ref());
            let partner = circuit.and_then(|circuit| circuit.partner);
            let partner = partner.map(|space| branch(&Slot::new(slot.panel.clone(), space)));
            let mut parts = vec![branch(slot)];
            parts.extend(partner.filter(|partner| *partner != parts[0]));
            parts
        }
        JointId::Lug(id, _) => vec![lugs(id)],
        JointId::Feeder(id, section, _) => {
            let mut parts = vec![Part::Bus(id.clone(), section.clone())];
            let feed = panel.and_then(|panel| panel.section(section)).map(|section| &section.feed);
            match feed {
                Some(Feed::Breaker { slot }) => parts.push(branch(slot)),
                _ => parts.push(lugs(id)),
            }
            parts
        }
        JointId::NeutralLug(id) => {
            let Some(panel) = panel else { return vec![lugs(id)] };
            let is_service = |feed: &Feed| matches!(feed, Feed::ServiceLugs | Feed::MainBreaker { .. });
            let mut parts = Vec::new();
            if panel.sections.iter().any(|section| is_service(&section.feed)) {
                parts.push(lugs(id));
            }
            parts.extend(panel.sections.iter().map(|section| Part::Bus(id.clone(), section.id.clone())));
            parts
        }
    }
}

/// What keeps a joint closed, in plain sentences; nothing where every part it needs counts as dead.
pub fn closed(job: &Job, joint: &JointId, at: Option<DateTime>) -> Vec<String> {
    closed_by(&job.installation, &gate(job, at), joint)
}

/// The same by a gate that is at hand.
pub fn closed_by(installation: &Installation, gate: &Gate, joint: &JointId) -> Vec<String> {
    let parts = parts_of_joint(installation, joint);
    if parts.is_empty() {
        return vec!["The record does not say what feeds this joint: it counts as live.".to_owned()];
    }
    let mut reasons: Vec<String> = gate.stop.iter().cloned().collect();
    for part in parts {
        let name = words::capital(&words::part(installation, &part));
        match gate.part(&part).map(|entry| &entry.state) {
            Some(PartState::ProvenDead { .. }) => {}
            Some(PartState::NotProven { missing }) => {
                reasons.push(format!("{name} counts as live. {}", missing.join(" ")));
            }
            Some(PartState::Contradicted { .. }) => reasons.push(format!("{name} counts as live.")),
            None => reasons.push(format!("{name}: the record does not hold it, so it counts as live.")),
        }
    }
    reasons
}

/// What the record is asked about.
struct Site<'a> {
    job: &'a Job,
    at: Option<DateTime>,
    graph: SupplyGraph,
    course: Course<'a>,
    questions: Vec<SourceQuestion>,
}

/// The slot of the first pole of the breaker there.
fn first_pole(installation: &Installation, slot: &Slot) -> Slot {
    let space = installation.breaker_at(slot).map_or(slot.space, |breaker| breaker.spaces[0]);
    Slot::new(slot.panel.clone(), space)
}

fn state(
    site: &Site<'_>,
    part: &Part,
    is_fed: bool,
    found: &[Contradiction],
    open: Option<&Contradiction>,
) -> PartState {
    let installation = &site.job.installation;
    let mut missing = Vec::new();
    if let Some(open) = open {
        missing.push(format!("Stopped: {}", open.sentence));
    }
    if is_fed {
        missing.extend(what_feeds(site, part));
    }
    for question in &site.questions {
        missing.extend(site.course.source_missing(question));
    }
    // A source that was found and set aside counts, whenever that was: nobody knows where it feeds in.
    for doubt in site.course.doubts.iter().filter(|doubt| doubt.kind == "source") {
        missing.push(format!(
            "An entry of another source was set aside ({}): correct it, or take it back with the reason.",
            doubt.why
        ));
    }
    let duty = proofs::duty(installation, part);
    match proof::best(site, &duty, found) {
        Ok(proof) if missing.is_empty() => PartState::ProvenDead { proof },
        Ok(_) => PartState::NotProven { missing },
        Err(reasons) => {
            missing.extend(reasons);
            PartState::NotProven { missing }
        }
    }
}

/// What has to be opened or cut before the part is cut off, by the record.
fn what_feeds(site: &Site<'_>, part: &Part) -> Vec<String> {
    let installation = &site.job.installation;
    let Ok(plan) = isolate(installation, &IsolationGoal::Part(part.clone())) else {
        return vec!["The record does not say what feeds it.".to_owned()];
    };
    let opened = site.course.opened(installation, None);
    let mut missing: Vec<String> = plan
        .movements
        .iter()
        .filter(|movement| plan.by_hand && !opened.contains(&movement.opens))
        .map(|movement| format!("Not recorded as switched off: {}.", movement.label))
        .collect();
    if !plan.by_hand && !site.course.is_cut(None) {
        missing.push("The utility has not cut the supply, by the record.".to_owned());
    }
    if missing.is_empty() {
        missing.push("By the record something still feeds it.".to_owned());
    }
    missing
}
