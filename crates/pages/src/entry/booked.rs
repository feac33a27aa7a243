//! The day without power, as it was booked with the utility and the inspector.

use super::ask::Ask;
use super::taking::Taking;
use super::{Form, Pairs, actions, moment, option, pair};
use maud::{Markup, html};
use model::offer::Clock;
use record::Body;
use record::fact::OutageBooked;
use record::text::{AsText, Textual};

pub(super) const FORM: Form = Form {
    title: "Book the day",
    lede: "The day, and what the utility and the inspector said. What stays empty is assumed, and the plan says so.",
    show,
    read,
    pairs,
    series: None,
};

/// Most people of a crew.
const CREW_MAX: u16 = 6;

const TIMES: [(&str, &str, &str); 8] = [
    ("start", "The crew starts at", "Left empty: 07:00."),
    ("cut_from", "The utility cuts from", "For example 08:00."),
    ("cut_to", "… to", "For example 10:00."),
    (
        "inspector_from",
        "The inspector comes from",
        "Booked ahead. Left empty: he is called when all is ready.",
    ),
    ("inspector_to", "… to", ""),
    (
        "reconnect_from",
        "The supply is given back from",
        "Booked ahead. Left empty: the utility is called when the inspector is done.",
    ),
    ("reconnect_to", "… to", ""),
    ("reconnect_by", "The supply is given back by", "The latest time that the utility names."),
];

/// Steps that can be done before the day: nothing of them needs a dead panel.
const EARLIER: [(&str, &str, &str); 4] = [
    ("trace", "Circuits traced", ""),
    ("ground", "Electrodes made", ""),
    ("prepare", "New panel made ready", ""),
    ("arrive", "Space in front cleared", ""),
];

fn show(ask: &Ask<'_>) -> Markup {
    let sheet = &ask.sheet;
    html! {
        (option::show(ask, "What is done", "Choose what is done"))
        (sheet.day("date", "The day", "", None))
        (sheet.day("asked", "The utility was asked on", "The shop counts how long it takes until it comes.", None))
        (sheet.whole("crew", "People", "Left empty: two.", None))
        @for (name, label, hint) in TIMES { (sheet.text(name, label, hint, "")) }
        (sheet.pick_any("done", "Done before the day", "It shortens the day. The power is on: what is live stays covered.", &EARLIER, &[]))
        (sheet.words("told", "Who said so", "Number of the order, name of the office.", ""))
        div.caution { p { "With a medical device in the house and no backup the day is not booked." } }
        (moment(ask))
        (actions("Save the day"))
    }
}

fn read(taking: &mut Taking<'_>) -> Vec<Body> {
    let option = option::read(taking, "Choose what is done.");
    let date = taking.reader.day("date");
    if date.is_none() && taking.text("date").is_none() {
        taking.wrong("date", "The day is missing.");
    }
    let asked = taking.reader.day("asked");
    if date.zip(asked).is_some_and(|(date, asked)| date < asked) {
        taking.wrong("asked", "It was asked before the day.");
    }
    let crew = taking.reader.whole("crew", (1, CREW_MAX)).and_then(|crew| u8::try_from(crew).ok());
    let [start, cut_from, cut_to, inspector_from, inspector_to, reconnect_from, reconnect_to, reconnect_by] =
        TIMES.map(|(name, ..)| taking.may::<Clock>(name).map(AsText));
    for (name, from, to) in [
        ("cut_to", &cut_from, &cut_to),
        ("inspector_to", &inspector_from, &inspector_to),
        ("reconnect_to", &reconnect_from, &reconnect_to),
    ] {
        if let (Some(from), Some(to)) = (from, to)
            && to.0 < from.0
        {
            taking.wrong(name, "The window ends before it begins.");
        }
    }
    let told = taking.words("told");
    let steps = study::day_steps();
    let done: Vec<String> = taking.reader.fields().all("done").map(str::to_owned).collect();
    if done.iter().any(|id| steps.iter().all(|(step, _)| step != id)) {
        taking.wrong("done", "This is no step of the day: choose again.");
    }
    let Some(date) = date else { return Vec::new() };
    let body = OutageBooked {
        option,
        date,
        asked,
        start,
        crew,
        cut_from,
        cut_to,
        inspector_from,
        inspector_to,
        reconnect_from,
        reconnect_to,
        reconnect_by,
        done,
        told,
    };
    vec![Box::new(body).into()]
}

fn pairs(body: &Body) -> Pairs {
    let Body::Outage(body) = body else { return Vec::new() };
    let mut all = vec![pair("option", &body.option), pair("date", body.date), pair("told", &body.told)];
    all.extend(body.done.iter().map(|step| pair("done", step)));
    all.extend(body.asked.map(|day| pair("asked", day)));
    all.extend(body.crew.map(|crew| pair("crew", crew)));
    for (name, clock) in [
        ("start", &body.start),
        ("cut_from", &body.cut_from),
        ("cut_to", &body.cut_to),
        ("inspector_from", &body.inspector_from),
        ("inspector_to", &body.inspector_to),
        ("reconnect_from", &body.reconnect_from),
        ("reconnect_to", &body.reconnect_to),
        ("reconnect_by", &body.reconnect_by),
    ] {
        all.extend(clock.as_ref().map(|clock| pair(name, clock.0.write())));
    }
    all
}
