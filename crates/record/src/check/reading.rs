//! Readings, signs and openings: the place is there, the state is there, and a probe can be put there.

use super::{Finding, Site, Spot};
use crate::fact::{Body, ClampTaken, DropTaken, Fact, TemperatureTaken, VoltageTaken};
use crate::limits;
use crate::text::{Textual, list, nearest};
use model::evidence::{ClampPlace, SignScope, Surface, TemperatureMethod};
use model::job::Exposure;
use model::joint::{JointKind, joints};
use model::place::Place;
use model::{JointId, Leg, PanelId, Slot};
use std::collections::BTreeSet;

pub(super) fn check(site: &Site<'_>, findings: &mut Vec<Finding>) {
    let n_entries = site.live.facts.len();
    if n_entries > 2 * limits::READINGS_MAX {
        let hint = format!("at most {} readings; split the job if it really has more", limits::READINGS_MAX);
        findings.push(Finding::error(
            "too-many",
            Spot::nowhere(),
            format!("the job has {n_entries} facts"),
            hint,
        ));
        return;
    }
    let all_joints: BTreeSet<JointId> =
        joints(&site.installation).into_iter().map(|joint| joint.id).collect();
    for &fact in &site.live.facts {
        let spot = Spot::field(fact.id(), ("place", 0));
        match &fact.body {
            Body::State(body) => {
                for (idx, slot) in body.unloaded.iter().enumerate() {
                    site.known_pole(&slot.0, &Spot::field(fact.id(), ("unloaded", idx + 1)), findings);
                }
            }
            Body::Temperature(body) => {
                place(site, &body.place.0, &spot, findings);
                infrared(fact, body, findings);
                state(site, fact, &body.state, findings);
            }
            Body::Touch(body) => {
                site.known_pole(&body.slot.0, &spot, findings);
                state(site, fact, &body.state, findings);
            }
            Body::Clamp(body) => {
                clamp(site, fact, body, findings);
                state(site, fact, &body.state, findings);
            }
            Body::Voltage(body) => {
                voltage(site, fact, body, findings);
                state(site, fact, &body.state, findings);
            }
            Body::Drop(body) => {
                drop(site, fact, body, findings);
                state(site, fact, &body.state, findings);
            }
            Body::Trip(body) => {
                site.known_pole(&body.slot.0, &spot, findings);
                if let Some(name) = &body.state {
                    state(site, fact, name, findings);
                }
            }
            Body::Sign(body) => {
                scope(site, &body.scope.0, &spot, findings);
                if let Some(photo) = &body.photo {
                    photo_of_sign(site, fact, &photo.0, findings);
                }
            }
            Body::Complaint(body) => {
                if let Some(slot) = &body.slot {
                    site.known_pole(&slot.0, &spot, findings);
                }
            }
            Body::Photo(body) => {
                if let Some(slot) = &body.slot {
                    site.known_space(&slot.0, &spot, findings);
                }
                photo_hash(fact, &body.sha256, findings);
            }
            Body::Work(body) => {
                for (idx, slot) in body.slots.iter().enumerate() {
                    site.known_space(&slot.0, &Spot::field(fact.id(), ("slots", idx + 1)), findings);
                }
            }
            Body::Opening(body) => joint(site, &body.joint.0, &all_joints, &spot, findings),
            _ => {}
        }
    }
    exposure(site, findings);
}

fn leg(site: &Site<'_>, panel: &PanelId, leg: Leg, spot: &Spot, findings: &mut Vec<Finding>) {
    let Some(panel) = site.known_panel(panel, spot, findings) else { return };
    let legs = panel.system.legs();
    if !legs.contains(&leg) {
        let names: Vec<String> = legs.iter().map(ToString::to_string).collect();
        findings.push(Finding::error(
            "unknown-leg",
            spot.clone(),
            format!("panel {} has no leg {leg}", panel.id),
            format!("its legs are {}", list(names.iter().map(String::as_str))),
        ));
    }
}

fn place(site: &Site<'_>, place: &Place, spot: &Spot, findings: &mut Vec<Finding>) {
    match place {
        Place::Lug(panel, which) | Place::Line(panel, which) => leg(site, panel, *which, spot, findings),
        _ => match place.slot() {
            Some(slot) => {
                site.known_pole(slot, spot, findings);
            }
            None => {
                site.known_panel(place.panel(), spot, findings);
            }
        },
    }
}

fn scope(site: &Site<'_>, scope: &SignScope, spot: &Spot, findings: &mut Vec<Finding>) {
    match scope {
        SignScope::Slot(slot) => {
            // An empty space can show a sign too: a pitted stab.
            site.known_space(slot, spot, findings);
        }
        SignScope::Lug(panel, which) | SignScope::Leg(panel, which) => {
            leg(site, panel, *which, spot, findings);
        }
        SignScope::Neutral(panel) | SignScope::Panel(panel) => {
            site.known_panel(panel, spot, findings);
        }
    }
}

/// A reading's load state is described.
fn state(site: &Site<'_>, fact: &Fact, name: &str, findings: &mut Vec<Finding>) {
    if site.states.contains_key(name) || site.doubt.states {
        return;
    }
    let names = || site.states.keys().copied();
    let hint = match nearest(name, names()) {
        Some(near) => format!("did you mean \"{near}\"?"),
        None if site.states.is_empty() => format!("describe it: `[[state]]` with `name = \"{name}\"`"),
        None => format!("the job has {}; or describe a new one with `[[state]]`", list(names())),
    };
    findings.push(Finding::error(
        "unknown-state",
        Spot::field(fact.id(), ("state", 0)),
        format!("no load state is called \"{name}\""),
        hint,
    ));
}

fn infrared(fact: &Fact, body: &TemperatureTaken, findings: &mut Vec<Finding>) {
    if body.method.0 == TemperatureMethod::Infrared && body.surface.0 == Surface::BareMetal {
        findings.push(Finding::warning(
            "infrared-on-metal",
            Spot::field(fact.id(), ("surface", 0)),
            format!("an infrared reading of bare metal at {} is kept, but nothing is concluded from it", body.place.0),
            "bare metal mirrors its surroundings; read the insulation next to it, a piece of tape on it, or use a \
             contact probe",
        ));
    }
}

fn clamp(site: &Site<'_>, fact: &Fact, body: &ClampTaken, findings: &mut Vec<Finding>) {
    let spot = Spot::field(fact.id(), ("place", 0));
    match &body.place.0 {
        ClampPlace::Pole(slot) => {
            site.known_pole(slot, &spot, findings);
            unloaded(site, fact, body, slot, findings);
        }
        ClampPlace::Line(panel, which) => leg(site, panel, *which, &spot, findings),
        ClampPlace::Neutral(panel) | ClampPlace::Electrode(panel) => {
            site.known_panel(panel, &spot, findings);
        }
    }
}

/// A pole that carries nothing, and carries something.
fn unloaded(site: &Site<'_>, fact: &Fact, body: &ClampTaken, slot: &Slot, findings: &mut Vec<Finding>) {
    let Some((state_fact, state)) = site.states.get(body.state.as_str()) else { return };
    let Some(idx) = state.unloaded.iter().position(|unloaded| unloaded.0 == *slot) else { return };
    if body.amps > limits::UNLOADED_A_MAX {
        findings.push(
            Finding::warning(
                "unloaded-but-loaded",
                Spot::field(fact.id(), ("value", 0)),
                format!(
                    "space {} carries {} A, and is listed as unloaded in \"{}\"",
                    slot.space, body.amps, body.state
                ),
                "take it off `unloaded`, or correct the reading",
            )
            .with(Spot::field(state_fact.id(), ("unloaded", idx + 1)), "listed as unloaded here"),
        );
    }
}

/// A probe finds metal there?
fn probe(fact: &Fact, field: &'static str, place: &Place, findings: &mut Vec<Finding>) {
    if matches!(place, Place::Face(_) | Place::Cover(_)) {
        let hint = match place {
            Place::Face(slot) => format!("the load terminal of that pole is `load:{}`", slot.space),
            _ => "name a lug, a terminal or a bar".to_owned(),
        };
        findings.push(Finding::error(
            "not-a-probe-place",
            Spot::field(fact.id(), (field, 0)),
            format!("a probe finds no voltage at {place}"),
            hint,
        ));
    }
}

fn two_places(site: &Site<'_>, fact: &Fact, from: &Place, to: &Place, findings: &mut Vec<Finding>) {
    for (field, end) in [("from", from), ("to", to)] {
        place(site, end, &Spot::field(fact.id(), (field, 0)), findings);
        probe(fact, field, end, findings);
    }
    if from == to {
        findings.push(Finding::error(
            "same-place",
            Spot::field(fact.id(), ("to", 0)),
            format!("both probes are at {from}"),
            "name the two places between which the meter was",
        ));
    }
}

fn voltage(site: &Site<'_>, fact: &Fact, body: &VoltageTaken, findings: &mut Vec<Finding>) {
    two_places(site, fact, &body.from.0, &body.to.0, findings);
}

/// On which conductor a place is: a leg, or the neutral.
fn conductor(site: &Site<'_>, place: &Place) -> Option<Option<Leg>> {
    match place {
        Place::Lug(_, leg) | Place::Line(_, leg) => Some(Some(*leg)),
        Place::Load(slot) | Place::Wire(slot) => {
            let panel = site.panel(&slot.panel).filter(|panel| panel.has_space(slot.space))?;
            Some(Some(panel.leg_of(slot.space)))
        }
        Place::NeutralLug(_) | Place::NeutralLine(_) | Place::NeutralBar(_) | Place::NeutralWire(_) => {
            Some(None)
        }
        Place::Face(_) | Place::Cover(_) | Place::Receptacle(_) | Place::Earth(_) => None,
    }
}

fn drop(site: &Site<'_>, fact: &Fact, body: &DropTaken, findings: &mut Vec<Finding>) {
    let (from, to) = (&body.from.0, &body.to.0);
    two_places(site, fact, from, to, findings);
    // Between panels the legs may be named differently, so only one panel is asked about.
    if from.panel() != to.panel() {
        return;
    }
    let word = |leg: Option<Leg>| leg.map_or_else(|| "the neutral".to_owned(), |leg| format!("leg {leg}"));
    if let (Some(one), Some(other)) = (conductor(site, from), conductor(site, to))
        && one != other
    {
        {
            findings.push(Finding::error(
                "different-conductors",
                Spot::field(fact.id(), ("to", 0)),
                format!(
                    "{from} is on {} and {to} on {}: between them a meter shows the supply, not a drop",
                    word(one),
                    word(other)
                ),
                "a drop is taken along one conductor; a voltage between two of them goes under `[[voltage]]`",
            ));
        }
    }
}

fn photo_of_sign(site: &Site<'_>, fact: &Fact, photo: &model::FactId, findings: &mut Vec<Finding>) {
    let found = site.live.facts.iter().find(|other| other.id() == photo);
    if found.is_some_and(|other| matches!(other.body, Body::Photo(_)))
        || (found.is_none() && site.doubt.ids.contains(photo))
    {
        return;
    }
    let photos: Vec<&str> = site
        .live
        .facts
        .iter()
        .filter(|other| matches!(other.body, Body::Photo(_)))
        .map(|other| other.id().as_str())
        .collect();
    let hint = match nearest(photo.as_str(), photos.iter().copied()) {
        Some(near) => format!("did you mean `{near}`?"),
        None => format!("give the `[[photo]]` the id `{photo}`"),
    };
    findings.push(Finding::error(
        "unknown-id",
        Spot::field(fact.id(), ("photo", 0)),
        format!("no photo has the id `{photo}`"),
        hint,
    ));
}

fn photo_hash(fact: &Fact, sha256: &str, findings: &mut Vec<Finding>) {
    let good = sha256.len() == 64 && sha256.bytes().all(|byte| matches!(byte, b'0'..=b'9' | b'a'..=b'f'));
    if !good {
        findings.push(Finding::error(
            "bad-text",
            Spot::field(fact.id(), ("sha256", 0)),
            "the hash of the photo is not 64 lower-case hex digits",
            "as `sha256sum photo.jpg` prints it",
        ));
    }
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
    let inside = |fact: &&&Fact| match &fact.body {
        Body::Temperature(body) => !body.place.0.is_outside(),
        Body::Clamp(_) => true,
        Body::Voltage(body) => !(body.from.0.is_outside() && body.to.0.is_outside()),
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
    if reached < Exposure::ProvenDead {
        if let Some(first) = site.live.facts.iter().find(opened) {
            findings.push(Finding::warning(
                "opening-not-dead",
                Spot::whole(first.id()),
                "a joint was opened, and the record does not say that the panel was proven dead",
                "add `exposure = \"proven-dead\"` to `[job]` if it was; joints are opened dead only",
            ));
        }
    }
}
