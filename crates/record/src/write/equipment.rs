//! Service, panels, sections and breakers as tables.

use super::Context;
use super::entry::{Entry, length, quote};
use super::number::decimal;
use crate::decode::ONE_SECTION;
use crate::fact::{
    Body, BreakerDescribed, BusDescribed, CabinetDescribed, CircuitDescribed, ConductorDescribed, Fact,
    FeedDescribed, HalfWidthDescribed, PanelDescribed, SectionDescribed, ServiceDescribed,
};
use crate::text::Textual;
use jiff::civil::DateTime;
use model::breaker::{Attachment, Handle, Protection};
use model::{Leg, PanelId, Space, System};
use std::collections::BTreeSet;

pub(super) fn service(cx: &Context<'_>, fact: &Fact, body: &ServiceDescribed) -> String {
    let mut entry = cx.entry(&cx.versions_heading("service"), fact, cx.start, "id");
    entry.maybe_number("rating_a", body.rating_a);
    entry.maybe_number("transformer_kva", body.transformer_kva);
    entry.maybe_number("transformer_impedance_pct", body.transformer_impedance_pct);
    entry.maybe_thing("path", body.path.as_ref().map(|path| &path.0));
    entry.braces("drop", &conductor(&body.drop));
    entry.length("drop_length", body.drop_length);
    entry.braces("entrance", &conductor(&body.entrance));
    entry.length("entrance_length", body.entrance_length);
    entry.maybe_number("electrode_ohm", body.electrode_ohm);
    entry.maybe_text("meter", body.meter.as_deref());
    if !body.other_sources.is_empty() {
        let sources: Vec<String> = body.other_sources.iter().map(|source| quote(source)).collect();
        entry.raw("other_sources", &format!("[{}]", sources.join(", ")));
    }
    entry.finish()
}

/// Every panel with its breakers below its first description.
pub(super) fn panels(cx: &Context<'_>) -> String {
    let mut out = String::new();
    let mut done: BTreeSet<&PanelId> = BTreeSet::new();
    for fact in cx.facts {
        let Body::Panel(body) = &fact.body else { continue };
        out.push_str(&panel(cx, fact, body));
        if done.insert(&body.panel.0) {
            for other in cx.facts {
                match &other.body {
                    Body::Breaker(breaker) if breaker.panel == body.panel => {
                        out.push_str(&breaker_entry(cx, other, breaker, fact.at, u16::from(body.columns)));
                    }
                    _ => {}
                }
            }
        }
    }
    out
}

fn panel(cx: &Context<'_>, fact: &Fact, body: &PanelDescribed) -> String {
    let mut entry = cx.entry("[[panel]]", fact, cx.start, "fact");
    entry.thing("id", &body.panel.0);
    entry.words("place", &body.place);
    entry.unless("system", &body.system.0, &System::SplitPhase);
    entry.raw("spaces", &body.spaces.to_string());
    if body.columns != 2 {
        entry.raw("columns", &body.columns.to_string());
    }
    entry.unless("first_leg", &body.first_leg.0, &Leg::A);
    let sections = feed(&mut entry, body);
    entry.braces("bus", &bus(&body.bus));
    entry.braces("cabinet", &cabinet(&body.cabinet));
    if let Some(allowed) = &body.half_width {
        entry.raw("half_width", &half_width(allowed));
    }
    if let Some(year) = body.year {
        entry.raw("year", &year.to_string());
    }
    entry.maybe_flag("moisture", body.moisture);
    let mut out = entry.finish();
    for part in sections {
        out.push_str(&section(part));
    }
    out
}

pub(super) fn half_width(body: &HalfWidthDescribed) -> String {
    match body {
        HalfWidthDescribed::Everywhere => quote("everywhere"),
        HalfWidthDescribed::In(numbers) => format!("{numbers:?}"),
    }
}

/// The keys that say what feeds the panel; the sections that must be written out besides.
fn feed<'a>(entry: &mut Entry, body: &'a PanelDescribed) -> &'a [SectionDescribed] {
    let n_rows = body.spaces.div_ceil(u16::from(body.columns.max(1)));
    let whole = match body.sections.as_slice() {
        [only] if only.id.0.as_str() == ONE_SECTION && only.rows == [1, n_rows] => Some(only),
        _ => None,
    };
    let Some(only) = whole else {
        entry.text("main", "split");
        return &body.sections;
    };
    match &only.feed {
        FeedDescribed::Lugs => entry.text("main", "lugs"),
        FeedDescribed::MainBreaker { rating_a } => {
            entry.text("main", "breaker");
            entry.number("main_a", *rating_a);
        }
        FeedDescribed::Breaker(slot) => {
            entry.text("main", "feeder");
            entry.thing("fed_by", &slot.0);
        }
    }
    entry.braces("feeder", &conductor(&only.feeder));
    &[]
}

fn section(body: &SectionDescribed) -> String {
    let mut entry = Entry::new("[[panel.section]]");
    entry.thing("id", &body.id.0);
    entry.raw("rows", &format!("{:?}", body.rows));
    match &body.feed {
        FeedDescribed::Lugs => entry.text("fed_by", "lugs"),
        FeedDescribed::MainBreaker { rating_a } => {
            entry.text("fed_by", "main-breaker");
            entry.number("main_a", *rating_a);
        }
        FeedDescribed::Breaker(slot) => entry.thing("fed_by", &slot.0),
    }
    entry.braces("feeder", &conductor(&body.feeder));
    entry.finish()
}

fn breaker_entry(
    cx: &Context<'_>,
    fact: &Fact,
    body: &BreakerDescribed,
    panel_at: DateTime,
    columns: u16,
) -> String {
    let mut entry = cx.entry("[[panel.breaker]]", fact, panel_at, "id");
    let spaces: Vec<Space> = body.spaces.iter().map(|space| space.0).collect();
    match spaces.as_slice() {
        [only] => entry.raw("space", &space(*only)),
        [first, ..] if runs_down(&spaces, columns) => {
            entry.raw("space", &space(*first));
            entry.raw("poles", &spaces.len().to_string());
        }
        _ => {
            let list: Vec<String> = spaces.iter().map(|one| space(*one)).collect();
            entry.raw("spaces", &format!("[{}]", list.join(", ")));
        }
    }
    entry.number("rating_a", body.rating_a);
    if let Some(circuit) = &body.circuit {
        circuit_keys(&mut entry, circuit);
    }
    entry.unless("handle", &body.handle.0, &Handle::On);
    entry.unless("protection", &body.protection.0, &Protection::ThermalMagnetic);
    entry.unless("attachment", &body.attachment.0, &Attachment::PlugOn);
    entry.maybe_flag("other_make", body.other_make);
    entry.maybe_flag("later", body.later);
    entry.finish()
}

fn circuit_keys(entry: &mut Entry, circuit: &CircuitDescribed) {
    entry.words("feeds", &circuit.feeds);
    entry.maybe_thing("class", circuit.class.as_ref().map(|class| &class.0));
    if let Some(partner) = &circuit.partner {
        entry.raw("partner", &space(partner.0));
    }
    entry.maybe_flag("uses_neutral", circuit.uses_neutral);
    entry.maybe_flag("doubled", circuit.doubled);
    entry.braces("conductor", &conductor(&circuit.conductor));
}

pub(super) fn space(space: Space) -> String {
    if space.half.is_some() { quote(&space.to_string()) } else { space.to_string() }
}

/// Whole spaces that follow each other as `poles` says.
fn runs_down(spaces: &[Space], columns: u16) -> bool {
    spaces.iter().all(|space| space.half.is_none())
        && spaces.windows(2).all(|pair| pair[0].number.checked_add(columns) == Some(pair[1].number))
}

fn pair(key: &str, value: String) -> (String, String) {
    (key.to_owned(), value)
}

pub(super) fn conductor(body: &ConductorDescribed) -> Vec<(String, String)> {
    let mut lines = Vec::new();
    lines.extend(body.size.as_ref().map(|size| pair("size", quote(&size.0.write()))));
    lines.extend(body.metal.as_ref().map(|metal| pair("metal", quote(&metal.0.write()))));
    lines.extend(body.insulation.as_ref().map(|text| pair("insulation", quote(text))));
    lines.extend(body.free_length.map(|value| length("free_length", value)));
    lines.extend(body.entry.as_ref().map(|entry| pair("entry", quote(&entry.0.write()))));
    lines.extend(body.entry_down.map(|value| length("entry_down", value)));
    lines.extend(body.colour.as_ref().map(|text| pair("colour", quote(text))));
    lines
}

fn bus(body: &BusDescribed) -> Vec<(String, String)> {
    let mut lines = Vec::new();
    lines.extend(body.metal.as_ref().map(|metal| pair("metal", quote(&metal.0.write()))));
    lines.extend(body.plating.as_ref().map(|plating| pair("plating", quote(&plating.0.write()))));
    lines.extend(body.rating_a.map(|rating| pair("rating_a", decimal(rating))));
    lines
}

pub(super) fn cabinet(body: &CabinetDescribed) -> Vec<(String, String)> {
    let mut lines = Vec::new();
    lines.extend(body.width.map(|value| length("width", value)));
    lines.extend(body.height.map(|value| length("height", value)));
    lines.extend(body.depth.map(|value| length("depth", value)));
    lines.extend(body.mounting.as_ref().map(|mounting| pair("mounting", quote(&mounting.0.write()))));
    lines
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn poles_stand_for_a_run_of_whole_spaces_only() {
        let run = |texts: &[&str], columns| {
            let spaces: Vec<Space> = texts.iter().map(|text| text.parse().expect("a space")).collect();
            runs_down(&spaces, columns)
        };
        assert!(run(&["1", "3", "5"], 2) && run(&["1", "2"], 1));
        assert!(!run(&["1", "2"], 2) && !run(&["1b", "3a"], 2) && !run(&["3", "1"], 2));
    }
}
