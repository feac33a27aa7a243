//! Stop-gaps, plans and promises: none without its days, none that says nothing, and a move only as a stop-gap.

use super::{Finding, Site, Spot, written};
use crate::fact::{Body, DueKept, Fact, InterimPlanned, WorkDone, WorkKind};
use crate::text::nearest;
use model::{Date, FactId};

pub(super) fn check(site: &Site<'_>, findings: &mut Vec<Finding>) {
    for &fact in &site.live.facts {
        if super::is_full(findings) {
            return;
        }
        match &fact.body {
            Body::Work(body) => work(site, fact, body, findings),
            Body::Interim(body) => interim(site, fact, body, findings),
            Body::Promise(body) => {
                written(fact, "words", &body.words, ("what was promised", IN_WORDS), findings);
                if body.due < fact.at.date() {
                    findings.push(too_soon(fact, "due", "the promise is due", body.due));
                }
            }
            Body::Kept(body) => kept(site, fact, body, findings),
            _ => {}
        }
    }
}

/// What would be right where words are missing.
const IN_WORDS: &str = "write it in a few words; `none` where there is none";

fn too_soon(fact: &Fact, field: &'static str, what: &str, day: Date) -> Finding {
    Finding::error(
        "expires-too-soon",
        Spot::field(fact.id(), (field, 0)),
        format!("{what} on {day} and was made on {}", fact.at.date()),
        "a day after the work was done",
    )
}

fn work(site: &Site<'_>, fact: &Fact, body: &WorkDone, findings: &mut Vec<Finding>) {
    for (idx, slot) in body.moved_to.iter().enumerate() {
        site.known_space(&slot.0, &Spot::field(fact.id(), ("moved_to", idx + 1)), findings);
    }
    let lasting = body.kind_of_work == WorkKind::Lasting;
    if lasting {
        for (field, given) in [
            ("expires", body.expires.is_some()),
            ("recheck", body.recheck.is_some()),
            ("moved_to", !body.moved_to.is_empty()),
        ] {
            if given {
                findings.push(Finding::error(
                    "key-does-not-fit",
                    Spot::field(fact.id(), (field, 0)),
                    if field == "moved_to" { "a move does not last" } else { "lasting work does not expire" },
                    format!("leave `{field}` out, or write `kind = \"stop-gap\"`"),
                ));
            }
        }
        return;
    }
    match body.expires {
        None => findings.push(Finding::error(
            "stop-gap-without-expiry",
            Spot::field(fact.id(), ("kind_of_work", 0)),
            "a stop-gap without a day on which it expires",
            "add `expires = 2026-06-30`, the day by which the lasting repair is done; or it is `kind = \"lasting\"`",
        )),
        Some(expires) if expires <= fact.at.date() => {
            findings.push(too_soon(fact, "expires", "the stop-gap expires", expires));
        }
        Some(_) => {}
    }
    match body.recheck {
        None => findings.push(Finding::error(
            "stop-gap-without-recheck",
            Spot::field(fact.id(), ("kind_of_work", 0)),
            "a stop-gap without a day on which it is looked at again",
            "add `recheck = 2026-06-15`, a day before it expires",
        )),
        Some(recheck) => outside(fact, recheck, body.expires, findings),
    }
}

/// A recheck comes after the day of the work and not after the last day.
fn outside(fact: &Fact, recheck: Date, expires: Option<Date>, findings: &mut Vec<Finding>) {
    let done = fact.at.date();
    if recheck <= done || expires.is_some_and(|expires| expires < recheck) {
        findings.push(Finding::error(
            "recheck-outside",
            Spot::field(fact.id(), ("recheck", 0)),
            format!("the recheck on {recheck} is not between the day of the work, {done}, and the last day"),
            "a day after the work was done, and not after the last day",
        ));
    }
}

fn interim(site: &Site<'_>, fact: &Fact, body: &InterimPlanned, findings: &mut Vec<Finding>) {
    for (idx, slot) in body.off.iter().enumerate() {
        site.known_pole(&slot.0, &Spot::field(fact.id(), ("slots", idx + 1)), findings);
    }
    for (field, words, what) in [
        ("medical", &body.medical, "whether anybody depends on a medical device"),
        ("food", &body.food, "whether food or medicine must stay cold"),
        ("heat", &body.heat, "whether heating, cooling or a pump hangs on the panel"),
        ("answer_words", &body.answer_words, "what the customer said to it"),
    ] {
        written(fact, field, words, (what, IN_WORDS), findings);
    }
    for (field, listed, what) in [
        ("watch", &body.watch, "what to watch for"),
        ("slip", &body.slip, "what happens if a day passes without what was to be done"),
    ] {
        if listed.is_empty() {
            written(fact, field, "", (what, IN_WORDS), findings);
        }
    }
    if body.expires <= fact.at.date() {
        findings.push(too_soon(fact, "expires", "the plan ends", body.expires));
    }
    if body.replacement.is_some_and(|day| day < fact.at.date()) {
        findings.push(too_soon(
            fact,
            "replacement",
            "the replacement is set",
            body.replacement.unwrap_or_default(),
        ));
    }
    outside(fact, body.recheck, Some(body.expires), findings);
}

fn kept(site: &Site<'_>, fact: &Fact, body: &DueKept, findings: &mut Vec<Finding>) {
    written(fact, "words", &body.words, ("what was found or done", IN_WORDS), findings);
    let of = &body.of.0;
    if site.is_read(of) || site.doubt.ids.contains(of) {
        return;
    }
    let due = |fact: &&&Fact| matches!(fact.body, Body::Work(_) | Body::Interim(_) | Body::Promise(_));
    let known: Vec<&FactId> = site.live.facts.iter().filter(due).map(|fact| fact.id()).collect();
    let hint = match nearest(of.as_str(), known.iter().map(|id| id.as_str())) {
        Some(id) => format!("did you mean `{id}`?"),
        None => "give the promise, the work or the plan that it settles an `id`, and name it here".to_owned(),
    };
    // It may have been corrected since, so it is told, and kept.
    findings.push(Finding::warning(
        "unknown-id",
        Spot::field(fact.id(), ("of", 0)),
        format!("no entry that counts has the id `{of}`"),
        hint,
    ));
}
