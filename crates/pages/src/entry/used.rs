//! Parts that were really used: those of the plan with a number each, and one beside the plan.

use super::ask::Ask;
use super::taking::Taking;
use super::{Form, Pairs, actions, moment, pair};
use maud::{Markup, html};
use model::advice::ChoiceKind;
use model::job::Job;
use record::Body;
use record::fact::PartUsed;

pub(super) const FORM: Form = Form {
    title: "Parts used",
    lede: "How many of each part went in. With the ticked hours it becomes what was built, against what was quoted.",
    show,
    read,
    pairs,
    series: None,
};

/// Most of one part.
const COUNT_MAX: u16 = 10_000;

/// Parts of the plan of a job: name, words, how many.
fn planned(job: Option<&Job>) -> Vec<(String, String, u32)> {
    let Some(job) = job else { return Vec::new() };
    let option = study::booked(job).and_then(|day| study::option_of_word(&day.option));
    let parts = study::planned_parts(job, option.unwrap_or(ChoiceKind::ReplacePanel)).unwrap_or_default();
    let mut all: Vec<(String, String, u32)> = Vec::new();
    for line in parts {
        match all.iter_mut().find(|(part, ..)| *part == line.part) {
            Some(known) => {
                if !known.1.contains(&line.words) {
                    known.1 = format!("{}; {}", known.1, line.words);
                }
                known.2 += line.quantity;
            }
            None => all.push((line.part, line.words, line.quantity)),
        }
    }
    all
}

/// How many of a part are on record.
fn recorded(job: Option<&Job>, part: &str) -> Option<u32> {
    let used = job?.replacement.used.iter().filter(|used| used.part == part);
    used.map(|used| used.count).reduce(|one, other| one.saturating_add(other))
}

fn show(ask: &Ask<'_>) -> Markup {
    let job = ask.view.settled.job.as_ref();
    let items = ask.cx.shop.book.lines().iter().map(|line| &line.item).filter(|item| is_part(item));
    let mut items: Vec<(String, String)> = items.map(|item| (item.clone(), item.clone())).collect();
    items.sort();
    items.dedup();
    let one = ask.values.text("part").unwrap_or_default().to_owned();
    html! {
        @if ask.values.text("supersedes").is_none() {
            @let plan = planned(job);
            @if !plan.is_empty() {
                h2 { "Those of the plan" }
                p { "Left empty: nothing is recorded for it." }
                @for (part, words, n) in &plan {
                    @let (name, id) = (format!("n-{part}"), format!("f-n-{part}"));
                    div.field.wrong[ask.sheet.errors_of(&name).next().is_some()] {
                        label for=(id) { (study::words::capital(words)) }
                        p.hint id={ (id) "-hint" } { "Planned: " (n)
                            @if let Some(known) = recorded(job, part) { ". On record already: " (known) } }
                        input.short id=(id) type="text" inputmode="numeric" name=(name) maxlength="6" autocomplete="off"
                            value=(ask.values.text(&name).unwrap_or_default()) aria-describedby={ (id) "-hint" };
                        @for error in ask.sheet.errors_of(&name) { span.error { (error.message) } }
                    }
                }
                div.actions { button.plain name="all" value="planned" { "All empty ones as planned" } }
                h2 { "Beside the plan" }
            }
        }
        (ask.choose("part", "Part", "As it is called in the price book.", "Choose a part", vec![(String::new(), items)], &one))
        (ask.sheet.whole("count", "How many", "", None))
        (ask.sheet.words("words", "Why more or fewer", "Left empty: as planned.", ""))
        (moment(ask))
        (actions("Save"))
    }
}

/// Is an item of the book a part, not a rate or a fee?
fn is_part(item: &str) -> bool {
    !item.contains('/')
}

fn read(taking: &mut Taking<'_>) -> Vec<Body> {
    let job = taking.view.settled.job.as_ref();
    let words = taking.words("words");
    let mut all = Vec::new();
    let as_planned = taking.text("all") == Some("planned");
    let plan = if taking.supersedes.is_empty() { planned(job) } else { Vec::new() };
    for (part, _, n) in plan {
        let name = format!("n-{part}");
        let typed = taking.reader.whole(&name, (0, COUNT_MAX)).map(u32::from);
        // What is on record already is not counted twice.
        let usual =
            (as_planned && taking.text(&name).is_none() && recorded(job, &part).is_none()).then_some(n);
        if let Some(count) = typed.or(usual) {
            all.push(PartUsed { part, count, words: String::new() }.into());
        }
    }
    let count = taking.reader.whole("count", (0, COUNT_MAX)).map(u32::from);
    match (taking.text("part").map(str::to_owned), count) {
        (Some(part), Some(count)) => {
            if !part.chars().all(|c| c.is_ascii_lowercase() || c.is_ascii_digit() || c == '-') {
                taking.wrong("part", "This is no name of a part in the price book.");
            }
            all.push(PartUsed { part, count, words }.into());
        }
        (Some(_), None) if taking.text("count").is_none() => taking.wrong("count", "How many is missing."),
        (None, Some(_)) => taking.wrong("part", "Choose the part."),
        (None, None) if all.is_empty() => {
            taking.wrong("part", "Nothing is filled in: write how many of a part were used.");
        }
        _ => {}
    }
    all
}

fn pairs(body: &Body) -> Pairs {
    let Body::Used(body) = body else { return Vec::new() };
    vec![pair("part", &body.part), pair("count", body.count), pair("words", &body.words)]
}
