//! The plan until the replacement, on one form: the program proposes it, the electrician changes and confirms it.

use super::ask::Ask;
use super::taking::Taking;
use super::{Form, Pairs, actions, moment, pair};
use crate::route::Route;
use maud::{Markup, html};
use model::Slot;
use model::plan::{Alarms, Answer};
use record::Body;
use record::fact::InterimPlanned;
use record::text::AsText;
use study::{PlanDraft, PlanWords};

pub(super) const FORM: Form = Form {
    title: "Plan until the replacement",
    lede: "Proposed from the judgement and the record. Change what is wrong; it counts once you save it.",
    show,
    read,
    pairs,
    series: None,
};

/// What is proposed, where the panel is judged.
fn draft(ask: &Ask<'_>) -> Option<PlanDraft> {
    let job = ask.cx.settled_job()?;
    let assessment = ask.view.judged.assessment()?;
    Some(study::propose_plan(job, assessment, ask.cx.policy, ask.cx.now.date()))
}

/// Who depends on power, as the call told: question, answer, and what it says. Shown, not taken over: it is asked again.
const TOLD: [(&str, &str, &str); 3] = [
    ("people", "frail", "somebody there is old, ill or slow to get out"),
    ("people", "machine", "somebody there needs a medical machine"),
    ("people", "infant", "there is a baby"),
];

/// Was it told on a call? A later call of the same question counts.
fn told(ask: &Ask<'_>, question: &str, answer: &str) -> bool {
    let calls = ask.cx.settled_job().map(|job| job.calls.as_slice()).unwrap_or_default();
    let last = calls.iter().rev().find(|call| call.answers.iter().any(|one| one.question == question));
    last.is_some_and(|call| call.answers.iter().any(|one| one.question == question && one.answer == answer))
}

fn show(ask: &Ask<'_>) -> Markup {
    let sheet = &ask.sheet;
    let words = PlanWords::new();
    let draft = draft(ask);
    // A plan that is corrected shows what it says, not what would be proposed now.
    let usual =
        |ids: Vec<&'static str>| if ask.values.text("supersedes").is_some() { Vec::new() } else { ids };
    let proposed = draft.as_ref();
    let watch = usual(proposed.map(|draft| draft.watch.clone()).unwrap_or_default());
    let slip = usual(proposed.map(|draft| draft.slip.clone()).unwrap_or_default());
    let limits =
        usual(proposed.map(|draft| draft.limits.iter().map(|(id, _)| *id).collect()).unwrap_or_default());
    let off: Vec<String> = proposed
        .filter(|_| ask.values.text("supersedes").is_none())
        .map(|draft| draft.off.iter().map(|(slot, _)| slot.to_string()).collect())
        .unwrap_or_default();
    let told = |question: &str, answer: &str| told(ask, question, answer);
    let depends: Vec<&str> =
        TOLD.iter().filter(|(of, answer, _)| told(of, answer)).map(|(.., words)| *words).collect();
    let off: Vec<&str> = off.iter().map(String::as_str).collect();
    let day = |of: fn(&PlanDraft) -> model::Date| proposed.map(of);
    html! {
        @if let Some(draft) = proposed { (why(ask, draft)) } @else {
            div.note { p { "The panel is not judged yet, so nothing is proposed. What you write counts all the same." } }
        }
        h2 { "1 Off, and used with limits" }
        (spaces(ask, "off", "Off, and must stay off", "By its handle; nothing is pulled off the bus.", &off))
        (sheet.pick_any_list("limits", "What may be used", "", &choices(&words.limits), &limits))
        (sheet.words("limits_words", "Further limits", "In the owner’s words: which room, which appliance, how much.", ""))
        (sheet.words("done", "What was done", "From where to where, why the new place was judged sound, what was not looked at.",
            proposed.map(|draft| draft.done.as_str()).unwrap_or_default()))
        h2 { "2 What to watch for" }
        (sheet.pick_any_list("watch", "Watch list", "What to do in each case is on the sheet.", &choices(&words.watch), &watch))
        (sheet.words("watch_words", "What else to watch for", "With what to do.", ""))
        h2 { "3 Alarms, and who depends on power" }
        @if told("alarms", "no") { p.quiet { "Told on the call: no smoke alarm works, or there is none." } }
        (sheet.pick("alarms", "Smoke alarms", "Press the test button of each with the owner.", &[
            ("tested", "Tested, they sound", ""),
            ("failed", "One did not sound", ""),
            ("none-there", "There are none", ""),
            ("not-tested", "Not tested", ""),
        ], ""))
        (sheet.text("alarms_words", "Where they hang", "One near the panel?", ""))
        @if !depends.is_empty() { p.quiet { "Told on the call: " (depends.join("; ")) "." } }
        (sheet.text_among("medical", "Medical devices", "Oxygen, dialysis, powered bed, and what bridges a shut-off. “none” where there is none: ask.", "", &["none"]))
        (sheet.text_among("food", "Food and medicine to keep cold", "Insulin, freezer.", "", &["none"]))
        (sheet.text_among("heat", "Heat, cooling, pumps", "Furnace, sump pump, well.", "", &["none"]))
        h2 { "4 Days" }
        @if let Some(draft) = proposed { p.quiet { (draft.days_because) } }
        (sheet.day("expires", "Last day of the plan", "A plan without a last day is not saved.", day(|draft| draft.expires)))
        (sheet.day("recheck", "Recheck", "Not after the last day.", day(|draft| draft.recheck)))
        (sheet.day("replacement", "Replacement", "Left empty: not set yet.", None))
        (sheet.pick_any_list("slip", "If a day passes and nothing was done", "", &choices(&words.slip), &slip))
        h2 { "5 What the customer says" }
        (sheet.pick("answer", "The customer", "", &[("accepted", "Accepts", ""), ("declined", "Declines", "")], ""))
        (sheet.words("answer_words", "In the customer’s words", "", ""))
        (sheet.text_among("answer_by", "Who says so", "Role rather than name.", "owner", &["owner", "tenant", "owner’s daughter"]))
        (sheet.words("reasons", "Where declined: why it was advised", "", ""))
        div.caution { p { "Work inside a panel is for qualified persons. Handles off do not mean dead. Smoke, flame or crackle: \
            out, emergency services, touch nothing. The plan is by what was seen today and no guarantee for the rest." } }
        (moment(ask))
        (actions("Confirm the plan"))
    }
}

fn choices(all: &[(String, String)]) -> Vec<(&str, &str, &str)> {
    all.iter().map(|(id, words)| (id.as_str(), words.as_str(), "")).collect()
}

/// Why the lines are proposed as they are.
fn why(ask: &Ask<'_>, draft: &PlanDraft) -> Markup {
    let installation = ask.installation();
    html! {
        details.more {
            summary { "Why it is proposed so: " (draft.urgency.phrase()) }
            ul.facts {
                @for (slot, why) in &draft.off {
                    li { strong { (super::words::space_words(installation, slot)) ", off: " } (why) }
                }
                @for (id, why) in &draft.limits { li { strong { (id) ": " } (why) } }
            }
            p { a href=(Route::Isolation(ask.view.name.clone())) { "Isolation" } }
        }
    }
}

/// Breakers as tiles, each by its first pole.
fn spaces<'a>(ask: &Ask<'a>, name: &'a str, label: &str, hint: &str, usual: &[&str]) -> Markup {
    let Some(installation) = ask.installation() else { return Markup::default() };
    let chosen = ask.sheet.all_typed(name);
    let several = 1 < installation.panels.len();
    let mut breakers: Vec<(Slot, String, String)> = Vec::new();
    for (panel, breaker) in installation.breakers() {
        // A plan that is corrected may name another pole than the first.
        let slots: Vec<Slot> =
            breaker.spaces.iter().map(|&space| Slot::new(panel.id.clone(), space)).collect();
        let named = slots.iter().find(|slot| chosen.contains(&slot.to_string()));
        let Some(slot) = named.or(slots.first()).cloned() else { continue };
        let spaces = study::words::spaces_label(breaker);
        let spaces = if several { format!("{} {spaces}", panel.id) } else { spaces };
        let feeds = super::words::feeds(Some(installation), &slot);
        breakers.push((slot, spaces, feeds));
    }
    breakers.sort_by(|(one, ..), (other, ..)| one.cmp(other));
    let values: Vec<String> = breakers.iter().map(|(slot, ..)| slot.to_string()).collect();
    let labels: Vec<(&str, &str, &str)> = values
        .iter()
        .zip(&breakers)
        .map(|(value, (_, spaces, feeds))| (value.as_str(), spaces.as_str(), feeds.as_str()))
        .collect();
    html! { @if !labels.is_empty() { (ask.sheet.pick_any(name, label, hint, &labels, usual)) } }
}

/// The known ones among the ids that were sent.
fn ids(taking: &mut Taking<'_>, field: &str, known: &[(String, String)]) -> Vec<String> {
    let sent: Vec<&str> = taking.reader.fields().all(field).collect();
    let mut all = Vec::new();
    for id in sent {
        match known.iter().find(|(one, _)| one == id) {
            Some((one, _)) if all.contains(one) => {}
            Some((one, _)) => all.push(one.clone()),
            None => taking.wrong(field, "One of the choices is not on the list: choose again."),
        }
    }
    all
}

/// A text that must say something.
fn must(taking: &mut Taking<'_>, field: &str, missing: &str) -> String {
    if taking.text(field).is_none() {
        taking.wrong(field, missing);
    }
    taking.words(field)
}

fn read(taking: &mut Taking<'_>) -> Vec<Body> {
    let words = PlanWords::new();
    let off: Vec<AsText<Slot>> = taking.slots("off").into_iter().map(AsText).collect();
    let limits = ids(taking, "limits", &words.limits);
    let watch = ids(taking, "watch", &words.watch);
    let slip = ids(taking, "slip", &words.slip);
    for (field, empty, missing) in [
        ("watch", watch.is_empty(), "Choose what to watch for: smoke and smell at the least."),
        ("slip", slip.is_empty(), "Choose what happens if a day passes: silence is no plan."),
    ] {
        if empty {
            taking.wrong(field, missing);
        }
    }
    let (limits_words, done, watch_words) =
        (taking.words("limits_words"), taking.words("done"), taking.words("watch_words"));
    let alarms = taking.need::<Alarms>("alarms", "Say how the smoke alarms are.");
    let alarms_words = taking.words("alarms_words");
    let medical = must(
        taking,
        "medical",
        "Ask whether anybody depends on a medical device; write “none” if nobody does.",
    );
    let food = must(taking, "food", "Ask what must stay cold; write “none” if nothing must.");
    let heat = must(
        taking,
        "heat",
        "Ask what heat, cooling or pumps hang on the panel; write “none” if nothing does.",
    );
    let (expires, recheck) = (taking.reader.day("expires"), taking.reader.day("recheck"));
    let replacement = taking.reader.day("replacement");
    let made = taking.at.date();
    days(taking, made, expires, recheck);
    if replacement.is_some_and(|day| day < made) {
        taking.wrong("replacement", "The day of the replacement is over already.");
    }
    let answer = taking.need::<Answer>("answer", "Say whether the customer accepts or declines.");
    let answer_words = must(taking, "answer_words", "Write it in the customer’s words.");
    let answer_by = taking.name("answer_by").unwrap_or_else(|| "owner".to_owned());
    let reasons = taking.words("reasons");
    if answer == Some(Answer::Declined) && taking.text("reasons").is_none() {
        taking.wrong(
            "reasons",
            "The plan is declined: write why it was advised, so that it stands beside the decision.",
        );
    }
    let (Some(alarms), Some(answer), Some(expires), Some(recheck)) = (alarms, answer, expires, recheck)
    else {
        return Vec::new();
    };
    let body = InterimPlanned {
        off,
        limits,
        limits_words,
        done,
        watch,
        watch_words,
        alarms: AsText(alarms),
        alarms_words,
        medical,
        food,
        heat,
        expires,
        recheck,
        replacement,
        slip,
        answer: AsText(answer),
        answer_words,
        answer_by,
        reasons,
    };
    vec![Box::new(body).into()]
}

/// A last day and a recheck, in this order of days: made, recheck, last.
pub(super) fn days(
    taking: &mut Taking<'_>,
    made: model::Date,
    expires: Option<model::Date>,
    recheck: Option<model::Date>,
) {
    match expires {
        None if taking.text("expires").is_none() => taking.wrong("expires", "It needs its last day."),
        Some(day) if day <= made => {
            taking.wrong("expires", "The last day must come after the day it is made.")
        }
        _ => {}
    }
    match recheck {
        None if taking.text("recheck").is_none() => {
            taking.wrong("recheck", "It needs the day on which it is looked at again.");
        }
        Some(day) if day <= made => {
            taking.wrong("recheck", "The recheck must come after the day it is made.")
        }
        Some(day) if expires.is_some_and(|expires| expires < day) => {
            taking.wrong("recheck", "The recheck must come before the last day, or on it.");
        }
        _ => {}
    }
}

fn pairs(body: &Body) -> Pairs {
    let Body::Interim(body) = body else { return Vec::new() };
    let mut pairs: Pairs = Vec::new();
    pairs.extend(body.off.iter().map(|slot| pair("off", &slot.0)));
    for (name, all) in [("limits", &body.limits), ("watch", &body.watch), ("slip", &body.slip)] {
        pairs.extend(all.iter().map(|id| pair(name, id)));
    }
    for (name, words) in [
        ("limits_words", &body.limits_words),
        ("done", &body.done),
        ("watch_words", &body.watch_words),
        ("alarms_words", &body.alarms_words),
        ("medical", &body.medical),
        ("food", &body.food),
        ("heat", &body.heat),
        ("answer_words", &body.answer_words),
        ("answer_by", &body.answer_by),
        ("reasons", &body.reasons),
    ] {
        if !words.is_empty() {
            pairs.push(pair(name, words));
        }
    }
    pairs.push(pair("alarms", record::text::Textual::write(&body.alarms.0)));
    pairs.push(pair("answer", record::text::Textual::write(&body.answer.0)));
    pairs.push(pair("expires", body.expires));
    pairs.push(pair("recheck", body.recheck));
    pairs.extend(body.replacement.map(|day| pair("replacement", day)));
    pairs
}
