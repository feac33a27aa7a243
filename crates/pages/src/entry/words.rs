//! Words for people: spaces, places, what was felt, kinds of entry, and the links between pages.

use crate::context::JobView;
use crate::route::{EntryKind, Route};
use model::evidence::{ClampPlace, Feel, SignScope};
use model::installation::Installation;
use model::job::{ComplaintKind, Exposure};
use model::place::Place;
use model::{PanelId, Slot};
use record::text::Textual;

/// The installation of a job, where its facts give one.
pub(crate) fn installation(view: &JobView) -> Option<&Installation> {
    view.settled.job.as_ref().map(|job| &job.installation)
}

/// The address of a route with a query.
pub(crate) fn with_query(route: &Route, pairs: &[(&str, &str)]) -> String {
    let mut out = route.to_string();
    let filled = pairs.iter().filter(|(_, value)| !value.is_empty());
    for (idx, (name, value)) in filled.enumerate() {
        out.push(if idx == 0 { '?' } else { '&' });
        out.push_str(name);
        out.push('=');
        for byte in value.bytes() {
            if byte.is_ascii_alphanumeric() || b"-._~:/".contains(&byte) {
                out.push(char::from(byte));
            } else {
                out.push_str(&format!("%{byte:02X}"));
            }
        }
    }
    out
}

/// Address of a form with its place.
pub(crate) fn enter(view: &JobView, kind: EntryKind, pairs: &[(&str, &str)]) -> String {
    with_query(&Route::Enter(view.name.clone(), kind), pairs)
}

/// Address of the page of a slot.
pub(crate) fn space_route(view: &JobView, slot: &Slot) -> Route {
    Route::Space(view.name.clone(), slot.panel.to_string(), slot.space.to_string())
}

/// What the breaker in a slot feeds; empty where nothing is known.
pub(crate) fn feeds(installation: Option<&Installation>, slot: &Slot) -> String {
    let Some(installation) = installation else { return String::new() };
    if let Some((panel, section)) = installation.sections_fed_by(slot).next() {
        return if panel.id == slot.panel {
            format!("feeds the {} section", section.id)
        } else {
            format!("feeds panel {}", panel.id)
        };
    }
    match installation.breaker_at(slot) {
        Some(breaker) => match &breaker.circuit {
            Some(circuit) if !circuit.feeds.is_empty() => circuit.feeds.clone(),
            Some(_) => "not traced".to_owned(),
            None => "spare".to_owned(),
        },
        None => "no breaker".to_owned(),
    }
}

/// `, panel sub` where the job has several panels.
fn of_panel(installation: Option<&Installation>, panel: &PanelId) -> String {
    match installation {
        Some(installation) if installation.panels.len() > 1 => format!(", panel {panel}"),
        _ => String::new(),
    }
}

/// `space 15 (kitchen receptacles, east)`.
pub(crate) fn space_words(installation: Option<&Installation>, slot: &Slot) -> String {
    let feeds = feeds(installation, slot);
    let feeds = if feeds.is_empty() { feeds } else { format!(" ({feeds})") };
    format!("space {}{feeds}{}", slot.space, of_panel(installation, &slot.panel))
}

/// Where a probe, a spot or a hand was.
pub(crate) fn place_words(installation: Option<&Installation>, place: &Place) -> String {
    let space = |slot: &Slot| space_words(installation, slot);
    let bare = match place {
        Place::Face(slot) => return format!("face of {}", space(slot)),
        Place::Load(slot) => return format!("load terminal of {}", space(slot)),
        Place::Wire(slot) => return format!("wire behind the terminal of {}", space(slot)),
        Place::NeutralWire(slot) => return format!("neutral wire of {}", space(slot)),
        Place::Receptacle(slot) => return format!("receptacle on {}", space(slot)),
        Place::Lug(_, leg) => format!("line lug {leg}"),
        Place::Line(_, leg) => format!("service conductor {leg}"),
        Place::NeutralLug(_) => "neutral lug".to_owned(),
        Place::NeutralLine(_) => "service neutral".to_owned(),
        Place::NeutralBar(_) => "neutral bar".to_owned(),
        Place::Cover(_) => "cover".to_owned(),
        Place::Earth(_) => "earth".to_owned(),
    };
    format!("{bare}{}", of_panel(installation, place.panel()))
}

/// Where a clamp was.
pub(crate) fn clamp_words(installation: Option<&Installation>, place: &ClampPlace) -> String {
    match place {
        ClampPlace::Pole(slot) => format!("wire of {}", space_words(installation, slot)),
        ClampPlace::Line(panel, leg) => format!("service conductor {leg}{}", of_panel(installation, panel)),
        ClampPlace::Neutral(panel) => format!("service neutral{}", of_panel(installation, panel)),
        ClampPlace::Electrode(panel) => format!("electrode conductor{}", of_panel(installation, panel)),
    }
}

/// Where a sign was looked for.
pub(crate) fn scope_words(installation: Option<&Installation>, scope: &SignScope) -> String {
    match scope {
        SignScope::Slot(slot) => format!("at {}", space_words(installation, slot)),
        SignScope::Lug(panel, leg) => format!("at line lug {leg}{}", of_panel(installation, panel)),
        SignScope::Neutral(panel) => format!("at the neutral lug or bar{}", of_panel(installation, panel)),
        SignScope::Leg(panel, leg) => format!("on everything of leg {leg}{}", of_panel(installation, panel)),
        SignScope::Panel(panel) => format!("at the whole panel or house{}", of_panel(installation, panel)),
    }
}

/// What a hand felt: word for a tile, and what it means.
pub(crate) const FEELS: [(Feel, &str, &str); 5] = [
    (Feel::NotWarm, "Not warm", "as the cover beside it"),
    (Feel::Warm, "Warm", "comfortable to hold"),
    (Feel::Hot, "Hot", "can be held several seconds"),
    (Feel::Pain, "Pain soon", "hand pulled away"),
    (Feel::Withdrawn, "At once away", "too hot to touch"),
];

/// A feel in a sentence.
pub(crate) fn feel_words(feel: Feel) -> &'static str {
    match feel {
        Feel::NotWarm => "not warm",
        Feel::Warm => "warm, comfortable to hold",
        Feel::Hot => "hot, can be held several seconds",
        Feel::Pain => "painful soon",
        Feel::Withdrawn => "too hot to touch",
    }
}

/// How far the panel is open, in words for people.
pub(crate) fn exposure_words(exposure: Exposure) -> &'static str {
    match exposure {
        Exposure::CoverOn => "Dead front on",
        Exposure::CoverOff => "Dead front off, parts live",
        Exposure::ProvenDead => "Proven dead on all pairs",
    }
}

/// A complaint in words for people.
pub(crate) fn complaint_words(kind: ComplaintKind) -> &'static str {
    match kind {
        ComplaintKind::Trips => "A breaker opens",
        ComplaintKind::Flicker => "Flicker",
        ComplaintKind::Heat => "Something is hot",
        ComplaintKind::Smell => "A smell",
        ComplaintKind::HalfHouse => "Half of the house dead or dim",
        ComplaintKind::DimBright => "Some lights brighten, others dim",
        ComplaintKind::Noise => "A buzz or crackle",
        ComplaintKind::Inspection => "Inspection, no symptom",
    }
}

/// Kind of joint and place of a place text, where it is one.
pub(crate) fn read_place(view: &JobView, text: &str) -> Option<Place> {
    let home = view.settled.job.as_ref().and_then(|job| job.default_panel.clone());
    Place::read(text, home.as_ref()).ok()
}

/// A slot from a text.
pub(crate) fn read_slot(view: &JobView, text: &str) -> Option<Slot> {
    let home = view.settled.job.as_ref().and_then(|job| job.default_panel.clone());
    Slot::read(text, home.as_ref()).ok()
}

/// A civil time as it is printed: day and minute.
pub(crate) fn when(at: jiff::civil::DateTime) -> String {
    at.strftime("%Y-%m-%d %H:%M").to_string()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn queries_are_encoded() {
        let route = Route::Enter("Q 1".to_owned(), EntryKind::Touch);
        let url = with_query(&route, &[("place", "main/15"), ("state", "a&b = c"), ("x", "")]);
        assert_eq!(url, "/jobs/Q%201/enter/touch?place=main/15&state=a%26b%20%3D%20c");
    }
}
