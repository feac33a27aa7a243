//! Openings, and whether the panel was open far enough for what was read and found.

use super::{Finding, Site, Spot};
use crate::fact::{Body, Fact};
use crate::text::{Textual, list, nearest};
use model::JointId;
use model::job::Exposure;
use model::joint::{JointKind, joints};
use model::place::Place;
use std::collections::BTreeSet;

pub(super) fn check(site: &Site<'_>, findings: &mut Vec<Finding>) {
    let all: BTreeSet<JointId> = joints(&site.installation).into_iter().map(|joint| joint.id).collect();
    for &fact in &site.live.facts {
        if super::is_full(findings) {
            return;
        }
        if let Body::Opening(body) = &fact.body {
            joint(site, &body.joint.0, &all, &Spot::field(fact.id(), ("place", 0)), findings);
        }
    }
    exposure(site, findings);
}

fn joint(site: &Site<'_>, id: &JointId, all: &BTreeSet<JointId>, spot: &Spot, findings: &mut Vec<Finding>) {
    let before = findings.len();
    let panel = match id.slot() {
        Some(slot) => site.known_space(slot, spot, findings),
        None => site.known_panel(id.panel(), spot, findings),
    };
    if findings.len() > before
        || panel.is_none()
        || all.contains(id)
        || site.doubt.breakers.contains(id.panel())
    {
        return;
    }
    let here: Vec<String> = all
        .iter()
        .filter(|joint| joint.panel() == id.panel() && joint.kind() == id.kind())
        .map(ToString::to_string)
        .collect();
    let text = id.write();
    let reason = match (id.kind(), id.slot().and_then(|slot| site.breaker(slot))) {
        (_, Some(_)) if id.kind() == JointKind::Neutral => {
            ": that circuit is not said to use a neutral, or its first pole is in another space"
        }
        (_, Some(_)) => ": that breaker has no branch circuit",
        (JointKind::Stab | JointKind::Terminal, None) => ": the space holds no breaker",
        _ => "",
    };
    let hint = match nearest(&text, here.iter().map(String::as_str)) {
        Some(near) if reason.is_empty() => format!("did you mean `{near}`?"),
        _ if here.is_empty() => format!("the panel has no joint of the kind `{}`", id.kind().word()),
        _ => format!("joints of this kind are {}", list(here.iter().map(String::as_str))),
    };
    findings.push(Finding::error(
        "unknown-joint",
        spot.clone(),
        format!("there is no joint `{text}`{reason}"),
        hint,
    ));
}

/// Can a voltage be read with the dead front on? A receptacle has the neutral and the earth in its own slots.
fn is_read_outside(from: &Place, to: &Place) -> bool {
    let at_a_receptacle = |a: &Place, b: &Place| {
        matches!(a, Place::Receptacle(_))
            && matches!(b, Place::NeutralBar(_) | Place::NeutralWire(_) | Place::Earth(_))
    };
    from.is_outside() && to.is_outside() || at_a_receptacle(from, to) || at_a_receptacle(to, from)
}

/// What could only be read or seen with the cover off, or dead, in a record that says it was not.
fn exposure(site: &Site<'_>, findings: &mut Vec<Finding>) {
    let reached = site
        .live
        .facts
        .iter()
        .filter_map(|fact| match &fact.body {
            Body::Exposure(body) => Some(body.reached.0),
            _ => None,
        })
        .max()
        .unwrap_or(Exposure::CoverOn);
    // A current can be clamped at the appliance or the meter, too, so it says nothing about the cover.
    let inside = |fact: &&&Fact| match &fact.body {
        Body::Temperature(body) => !body.place.0.is_outside(),
        Body::Voltage(body) => !is_read_outside(&body.from.0, &body.to.0),
        Body::Drop(_) => true,
        _ => false,
    };
    let opened = |fact: &&&Fact| matches!(fact.body, Body::Opening(_));
    if reached < Exposure::CoverOff {
        let mut facts = site.live.facts.iter().filter(inside);
        if let Some(first) = facts.next() {
            let more = match facts.count() {
                0 => String::new(),
                n => format!(", and {n} more"),
            };
            findings.push(Finding::warning(
                "exposure-too-low",
                Spot::field(first.id(), ("place", 0)),
                format!("this reading is taken with the dead front off{more}; the record says it stayed on"),
                "add `exposure = \"cover-off\"` to `[job]` if a qualified person had it off",
            ));
        }
    }
    if reached < Exposure::ProvenDead
        && let Some(first) = site.live.facts.iter().find(opened)
    {
        findings.push(Finding::warning(
            "opening-not-dead",
            Spot::whole(first.id()),
            "a joint was opened, and the record does not say that the panel was proven dead",
            "add `exposure = \"proven-dead\"` to `[job]` if it was; joints are opened dead only",
        ));
    }
}
