//! A test for absence of voltage: live, dead, live, pair by pair.

use super::ask::{Ask, Groups};
use super::taking::Taking;
use super::{Form, Pairs, actions, moment, pair, volts};
use crate::form::Keypad;
use maud::{Markup, html};
use model::Leg;
use model::isolation::{IsolationGoal, Part, ProofDuty, ProofPoint};
use record::Body;
use record::fact::DeadProven;
use record::limits;
use record::text::{AsText, Textual};
use study::words::{capital, part as part_words, point_pair};

pub(super) const FORM: Form = Form {
    title: "Test for absence of voltage",
    lede: "The tester on a known live source, every pair at the part, the tester on the live source again. Type what it shows, whatever it is.",
    show,
    read,
    pairs,
    series: None,
};

fn parts(ask: &Ask<'_>) -> Groups {
    let (Some(job), Some(installation)) = (ask.cx.settled_job(), ask.installation()) else {
        return Vec::new();
    };
    let all = study::gate(job, Some(ask.cx.now)).parts;
    let choice = |part: &Part| (part.write(), capital(&part_words(installation, part)));
    vec![(String::new(), all.iter().map(|entry| choice(&entry.part)).collect())]
}

fn duty(ask: &Ask<'_>) -> Option<ProofDuty> {
    let part = Part::read(ask.values.text("part")?, None).ok()?;
    let plan = study::isolation(ask.cx.settled_job()?, &IsolationGoal::Part(part)).ok()?;
    plan.proofs.into_iter().next()
}

fn show(ask: &Ask<'_>) -> Markup {
    let duty = duty(ask);
    let wanted = |one: &(ProofPoint, ProofPoint)| match &duty {
        Some(duty) => duty.pairs.contains(one),
        None => [one.0, one.1].iter().all(|point| *point != ProofPoint::Leg(Leg::C)),
    };
    let pad = |name: &'static str, label: &str, hint: &'static str| {
        ask.sheet.number(&Keypad { name, label, unit: "V", hint, value: None, required: false })
    };
    let last = ask.standing.instrument(|body| match body {
        Body::Proof(body) => Some(body.tester.as_str()),
        _ => None,
    });
    html! {
        div.caution {
            p { "Treat it as live while you test. If any pair shows voltage: hands off, save what you read, find what feeds it." }
        }
        (ask.choose("part", "Part", duty.as_ref().map_or("", |duty| duty.at.as_str()), "Choose a part", parts(ask), ""))
        (ask.sheet.text("tester", "Tester", "By the shop’s own name. Not a no-touch tester.", last.as_deref().unwrap_or("")))
        (pad("before", "Live source, before", "A source of 120 V that you know is live."))
        @for (name, one) in volts::PAIRS.iter().filter(|(_, one)| wanted(one)) {
            (pad(name, &capital(&point_pair(*one)), ""))
        }
        (pad("after", "Live source, after", "The same source again."))
        (moment(ask))
        (actions("Save the test"))
    }
}

fn read(taking: &mut Taking<'_>) -> Vec<Body> {
    let part = taking.need::<Part>("part", "Choose the part that was tested.");
    let tester = taking.name("tester");
    if tester.is_none() {
        taking.wrong("tester", "Write which tester was used.");
    }
    let live_before = taking.may_number("before", limits::VOLTS, "V");
    let live_after = taking.may_number("after", limits::VOLTS, "V");
    let readings = volts::read(taking, "v-A-neutral", "Type what the tester showed, pair by pair.");
    let (Some(part), Some(tester)) = (part, tester) else { return Vec::new() };
    vec![DeadProven { part: AsText(part), tester, live_before, live_after, readings }.into()]
}

fn pairs(body: &Body) -> Pairs {
    let Body::Proof(body) = body else { return Vec::new() };
    let mut pairs = vec![pair("part", body.part.0.write()), pair("tester", &body.tester)];
    pairs.extend(body.live_before.map(|volts| pair("before", volts)));
    pairs.extend(body.live_after.map(|volts| pair("after", volts)));
    pairs.extend(volts::pairs(&body.readings));
    pairs
}
