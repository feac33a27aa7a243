//! A fact as a plain sentence.

use super::words::{
    clamp_words, complaint_words, exposure_words, feel_words, installation, place_words, scope_words,
    space_words,
};
use crate::context::JobView;
use model::evidence::{Surface, TemperatureMethod};
use model::installation::Installation;
use model::plan::PromiseKind;
use record::Body;
use record::fact::{DeadProven, TemperatureAs, WorkKind};
use record::text::Textual;
use study::words::{capital, disconnect, joint_label, part, sign_phrase};

/// A temperature as displayed.
pub(crate) fn temperature_words(value: TemperatureAs) -> String {
    match value {
        TemperatureAs::C(value) => format!("{value} °C"),
        TemperatureAs::F(value) => format!("{value} °F"),
    }
}

/// What a fact says, in one sentence.
pub(crate) fn sentence(view: &JobView, body: &Body) -> String {
    capital(&ended(&plain(view, body)))
}

/// With a full stop at the end.
fn ended(text: &str) -> String {
    let text = text.trim();
    let said = text.trim_end_matches('”');
    if said.ends_with(['.', '!', '?']) { text.to_owned() } else { format!("{text}.") }
}

fn with(words: &str) -> String {
    let words = words.trim();
    if words.is_empty() { String::new() } else { format!(": {words}") }
}

fn by_instrument(instrument: Option<&String>) -> String {
    instrument.map(|name| format!(", {name}")).unwrap_or_default()
}

fn proof(installation: Option<&Installation>, body: &DeadProven) -> String {
    let part = match installation {
        Some(installation) => part(installation, &body.part.0),
        None => body.part.0.write(),
    };
    let most = body.readings.iter().map(|reading| reading.volts).fold(0.0, f64::max);
    let live = |shown: Option<f64>| shown.map_or("not tried".to_owned(), |volts| format!("{volts} V"));
    format!(
        "tested for absence of voltage: {part}, {} pairs, at most {most} V; on a live source {} before, {} after, {}",
        body.readings.len(),
        live(body.live_before),
        live(body.live_after),
        body.tester
    )
}

/// Did the parts of an opening count as dead at that moment? A fact that the job does not use is not proven.
fn is_proven(view: &JobView, body: &Body) -> bool {
    let Some(job) = &view.settled.job else { return false };
    let not_proven = study::not_proven(job);
    let mut these = view.facts.iter().filter(|fact| fact.body == *body);
    these.any(|fact| {
        let is_used = job.openings.iter().any(|opening| opening.fact == *fact.id());
        is_used && !not_proven.iter().any(|one| one.fact == *fact.id())
    })
}

fn plain(view: &JobView, body: &Body) -> String {
    let installation = installation(view);
    let space = |slot| space_words(installation, slot);
    let place = |at| place_words(installation, at);
    match body {
        Body::Job(body) => {
            let invented = if body.invented { ", an invented example" } else { "" };
            format!("job opened on {}{}{invented}", body.opened, with(&body.place))
        }
        Body::Service(body) => match body.rating_a {
            Some(rating) => format!("service described, {rating} A"),
            None => "service described".to_owned(),
        },
        Body::Panel(body) => {
            let place = body.place.trim();
            let place = if place.is_empty() { String::new() } else { format!(", {place}") };
            format!("panel {} described: {} spaces{place}", body.panel.0, body.spaces)
        }
        Body::Breaker(body) => {
            let spaces: Vec<String> = body.spaces.iter().map(|space| space.0.to_string()).collect();
            let feeds = body.circuit.as_ref().map(|circuit| circuit.feeds.as_str()).unwrap_or_default();
            format!(
                "breaker in {} of panel {} described: {} A{}",
                spaces.join("/"),
                body.panel.0,
                body.rating_a,
                { if feeds.is_empty() { String::new() } else { format!(", {feeds}") } }
            )
        }
        Body::State(body) => {
            let held = body.held_min.map(|minutes| format!(", held {minutes} min")).unwrap_or_default();
            let room =
                body.room.map(|room| format!(", room {}", temperature_words(room))).unwrap_or_default();
            format!("load state “{}”{held}{room}{}", body.name, with(&body.words))
        }
        Body::Temperature(body) => {
            let how = match (body.method.0, body.surface.0) {
                (TemperatureMethod::Contact, _) => "contact probe",
                (TemperatureMethod::Infrared, Surface::Matte) => "infrared",
                (TemperatureMethod::Infrared, Surface::BareMetal) => "infrared on bare metal, not used",
            };
            let value = temperature_words(body.value);
            format!(
                "{}: {value} ({how}{}), with “{}”",
                place(&body.place.0),
                by_instrument(body.instrument.as_ref()),
                body.state
            )
        }
        Body::Touch(body) => {
            let void = if body.void { " (does not count: glove, callus, cold or wet hand)" } else { "" };
            format!(
                "face of {} felt {}{void}, with “{}”",
                space(&body.slot.0),
                feel_words(body.feel.0),
                body.state
            )
        }
        Body::Clamp(body) => format!(
            "{}: {} A{}, with “{}”",
            clamp_words(installation, &body.place.0),
            body.amps,
            by_instrument(body.instrument.as_ref()),
            body.state
        ),
        Body::Voltage(body) => format!(
            "{} to {}: {} V{}, with “{}”",
            place(&body.from.0),
            place(&body.to.0),
            body.volts,
            by_instrument(body.instrument.as_ref()),
            body.state
        ),
        Body::Drop(body) => {
            let amps = body.amps.map(|amps| format!(" at {amps} A")).unwrap_or_default();
            format!(
                "drop from {} to {}: {} mV{amps}{}, with “{}”",
                place(&body.from.0),
                place(&body.to.0),
                body.mv,
                by_instrument(body.instrument.as_ref()),
                body.state
            )
        }
        Body::Trip(body) => {
            let amps = body.amps.map(|amps| format!(" at {amps} A")).unwrap_or_default();
            let after = body.after_min.map(|minutes| format!(" after {minutes} min")).unwrap_or_default();
            let state = body.state.as_ref().map(|state| format!(", with “{state}”")).unwrap_or_default();
            format!("breaker of {} opened by itself{amps}{after}{state}", space(&body.slot.0))
        }
        Body::Sign(body) => {
            let sign = sign_phrase(body.sign.0);
            let at = scope_words(installation, &body.scope.0);
            if body.seen {
                format!("{sign} {at}{}", with(&body.words))
            } else {
                format!("looked for {sign} {at}, not there{}", with(&body.words))
            }
        }
        Body::Photo(body) => {
            let at = body.slot.as_ref().map(|slot| format!(" of {}", space(&slot.0))).unwrap_or_default();
            format!("photo{at}{}", with(&body.words))
        }
        Body::Complaint(body) => {
            let at = body.slot.as_ref().map(|slot| format!(", {}", space(&slot.0))).unwrap_or_default();
            let words = body.words.trim();
            let said = if words.is_empty() { String::new() } else { format!(": “{words}”") };
            format!("complaint, {}{at}{said}", complaint_words(body.of.0).to_lowercase())
        }
        Body::Decision(body) => {
            let declined = if body.declined { "advice declined" } else { "decided" };
            format!("{declined}{}", with(&body.words))
        }
        Body::Work(body) => {
            let spaces: Vec<String> = body.slots.iter().map(|slot| slot.0.space.to_string()).collect();
            let at =
                if spaces.is_empty() { String::new() } else { format!(", spaces {}", spaces.join(", ")) };
            let kind = match body.kind_of_work {
                WorkKind::Lasting => "work done",
                WorkKind::StopGap => "stop-gap",
            };
            let to: Vec<String> = body.moved_to.iter().map(|slot| slot.0.space.to_string()).collect();
            let to = if to.is_empty() { String::new() } else { format!(", moved to {}", to.join(", ")) };
            let expires = body.expires.map(|day| format!(", expires {day}")).unwrap_or_default();
            let recheck = body.recheck.map(|day| format!(", recheck {day}")).unwrap_or_default();
            format!("{kind}{at}{to}{expires}{recheck}{}", with(&body.words))
        }
        Body::Interim(body) => {
            let spaces: Vec<String> = body.off.iter().map(|slot| slot.0.space.to_string()).collect();
            let off = if spaces.is_empty() { String::new() } else { format!(", off: {}", spaces.join(", ")) };
            format!(
                "plan until the replacement{off}, ends {}, recheck {}; {} by {}: “{}”",
                body.expires,
                body.recheck,
                body.answer.0.write(),
                body.answer_by,
                body.answer_words.trim()
            )
        }
        Body::Promise(body) => {
            let kind = match body.of_kind.0 {
                PromiseKind::Promise => "promised",
                PromiseKind::LookBack => "look-back promised",
            };
            format!("{kind} by {}{}", body.due, with(&body.words))
        }
        Body::Kept(body) => format!("done, {}{}", body.what.0.write(), with(&body.words)),
        Body::Opening(opening) => {
            let whole = body;
            let body = opening;
            let stand = if is_proven(view, whole) {
                "opened, proven dead"
            } else {
                "opened without proof on record, not trusted"
            };
            let joint = match installation {
                Some(installation) => joint_label(installation, &body.joint.0),
                None => body.joint.0.to_string(),
            };
            format!("{stand}: {joint} found {}{}", body.found.0.word(), with(&body.words))
        }
        Body::Handle(body) => {
            let what = match installation {
                Some(installation) => disconnect(installation, &body.what.0),
                None => body.what.0.write(),
            };
            format!("{what} moved {}", body.to.0.write())
        }
        Body::Cut(body) => {
            let what = if body.restored { "supply given back" } else { "supply cut by the utility" };
            format!("{what}{}", with(&body.words))
        }
        Body::Source(body) => {
            let found = match (body.found, body.cut) {
                (false, _) => "looked for and not there",
                (true, false) => "found, and not cut",
                (true, true) => "found, and cut",
            };
            format!("{}: {found}{}", body.source, with(&body.looked))
        }
        Body::Proof(body) => proof(installation, body),
        Body::Adoption(_) | Body::Dwelling(_) | Body::Appliance(_) | Body::Demand(_) | Body::Site(_) => {
            super::premises::sentence(body)
        }
        Body::Quote(_) | Body::Outage(_) | Body::Tick(_) | Body::Used(_) => super::offer::sentence(body),
        Body::Circuit(_) | Body::Surprise(_) | Body::Arrangement(_) => super::replacement::sentence(body),
        Body::Permit(_)
        | Body::Installed(_)
        | Body::Torqued(_)
        | Body::Energised(_)
        | Body::Verified(_)
        | Body::SharedNeutral(_)
        | Body::Tried(_)
        | Body::Card(_) => super::install_words::sentence(body),
        Body::Exposure(body) => exposure_words(body.reached.0).to_owned(),
        Body::Forgotten(_) => "names, words and photos of this job were removed on request".to_owned(),
        Body::Retraction(body) => format!("entry taken back{}", with(&body.words)),
        Body::Pin(body) => {
            let at = body.slot.as_ref().map(|slot| format!(" at {}", space(&slot.0))).unwrap_or_default();
            format!("pin on a photo{at}{}", with(&body.words))
        }
        Body::Call(body) => format!("call taken, {} answers{}", body.answers.len(), with(&body.words)),
    }
}
