//! Readings and signs: the place is there, the state is there, and a probe can be put there.

use super::{Finding, Site, Spot};
use crate::fact::{Body, ClampTaken, DropTaken, Fact, TemperatureTaken, VoltageTaken};
use crate::limits;
use crate::text::{list, nearest};
use model::evidence::{ClampPlace, SignScope, Surface, TemperatureMethod};
use model::place::Place;
use model::{Leg, PanelId, Slot};

pub(super) fn check(site: &Site<'_>, findings: &mut Vec<Finding>) {
    let n_entries = site.live.facts.len();
    if n_entries > limits::FACTS_MAX {
        let hint = format!("at most {} readings; split the job if it really has more", limits::READINGS_MAX);
        findings.push(Finding::error(
            "too-many",
            Spot::nowhere(),
            format!("the job has {n_entries} facts"),
            hint,
        ));
        return;
    }
    for &fact in &site.live.facts {
        if super::is_full(findings) {
            return;
        }
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
            Body::Pin(body) => {
                if let Some(slot) = &body.slot {
                    site.known_space(&slot.0, &spot, findings);
                }
                photo_of_pin(site, fact, &body.photo, findings);
            }
            Body::Call(body) if body.answers.is_empty() && body.words.trim().is_empty() => {
                findings.push(Finding::error(
                    "empty-text",
                    Spot::field(fact.id(), ("words", 0)),
                    "the call has no answer and no words",
                    "write what the caller said, or leave the entry out",
                ));
            }
            Body::Work(body) => {
                for (idx, slot) in body.slots.iter().enumerate() {
                    site.known_space(&slot.0, &Spot::field(fact.id(), ("slots", idx + 1)), findings);
                }
            }
            _ => {}
        }
    }
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

fn photo_of_sign(site: &Site<'_>, fact: &Fact, photo: &model::FactId, findings: &mut Vec<Finding>) {
    if site.photos.contains(photo) || site.doubt.ids.contains(photo) && !site.is_read(photo) {
        return;
    }
    let photos = || site.photos.iter().map(|id| id.as_str());
    let hint = match nearest(photo.as_str(), photos()) {
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

fn photo_of_pin(site: &Site<'_>, fact: &Fact, sha256: &str, findings: &mut Vec<Finding>) {
    if site.pictures.contains(sha256) || site.doubt.photos {
        return;
    }
    let short: String = sha256.chars().take(12).collect();
    findings.push(Finding::error(
        "unknown-id",
        Spot::field(fact.id(), ("photo", 0)),
        format!("no photo of the job has the hash `{short}…`"),
        "a pin sits on a photo: add the `[[photo]]` with this `sha256`",
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
