//! A handle that was moved.

use super::ask::{Ask, Groups};
use super::taking::Taking;
use super::{Form, Pairs, actions, moment, pair};
use maud::{Markup, html};
use model::Slot;
use model::isolation::{Disconnect, MovedTo};
use model::panel::Feed;
use record::Body;
use record::fact::HandleMoved;
use record::text::{AsText, Textual};
use study::words::{capital, disconnect};

pub(super) const FORM: Form = Form {
    title: "A handle moved",
    lede: "Which handle was moved, and where to. Where it stands is a claim, not a proof.",
    show,
    read,
    pairs,
    series: None,
};

fn handles(ask: &Ask<'_>) -> Groups {
    let Some(installation) = ask.installation() else { return Vec::new() };
    let of = |panel: &model::panel::Panel| {
        let mains = panel.sections.iter().filter(|section| matches!(section.feed, Feed::MainBreaker { .. }));
        let mains = mains.map(|section| Disconnect::Main(panel.id.clone(), section.id.clone()));
        let breakers = panel.breakers.iter().filter_map(|breaker| breaker.spaces.first());
        let breakers = breakers.map(|&space| Disconnect::Breaker(Slot::new(panel.id.clone(), space)));
        mains.chain(breakers).map(|one| (one.write(), capital(&disconnect(installation, &one)))).collect()
    };
    installation.panels.iter().map(|panel| (format!("Panel {}", panel.id), of(panel))).collect()
}

fn show(ask: &Ask<'_>) -> Markup {
    html! {
        div.caution {
            p { "Stand aside and look away while a handle is moved. Loads off first: a suspect breaker is not switched under load." }
        }
        (ask.choose("what", "Handle", "", "Choose a handle", handles(ask), ""))
        (ask.sheet.pick("to", "Moved", "", &[
            ("off", "Off", "what it feeds is cut off, if its contacts opened"),
            ("on", "On", "what it feeds is live: every test before this no longer counts"),
        ], ""))
        (moment(ask))
        (actions("Save the handle"))
    }
}

fn read(taking: &mut Taking<'_>) -> Vec<Body> {
    let what = taking.need::<Disconnect>("what", "Choose the handle that was moved.");
    let to = taking.need::<MovedTo>("to", "Choose where it was moved to.");
    let (Some(what), Some(to)) = (what, to) else { return Vec::new() };
    vec![HandleMoved { what: AsText(what), to: AsText(to) }.into()]
}

fn pairs(body: &Body) -> Pairs {
    let Body::Handle(body) = body else { return Vec::new() };
    vec![pair("what", body.what.0.write()), pair("to", body.to.0.write())]
}
