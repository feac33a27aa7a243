//! Describing a panel: spaces, columns, legs, what feeds the bus, where the bus is split.

mod read;

pub(crate) use read::read;

use crate::context::{Context, JobView};
use crate::fields::{Fields, Refusal, plain};
use crate::form::{Sheet, Spaces, form, submit};
use crate::route::Route;
use crate::screen::fill::panel_sketch;
use crate::shell::{Page, wide_shell};
use maud::{Markup, html};
use model::PanelId;
use record::fact::{BreakerDescribed, FeedDescribed, HalfWidthDescribed, PanelDescribed};
use record::text::Textual;
use record::{Body, Fact};

/// Numbers of spaces that have a tile.
const SPACES: [&str; 8] = ["12", "16", "20", "24", "30", "32", "40", "42"];

/// Name that a first panel gets.
const FIRST: &str = "main";

pub(crate) fn page(
    job: &str,
    panel_id: &str,
    query: &Fields,
    again: Option<&Refusal>,
    cx: &Context<'_>,
) -> Page {
    let here = Route::Panel(job.to_owned(), panel_id.to_owned());
    let old = cx.job.and_then(|view| panel_fact(view, panel_id)).map(|(_, body)| body);
    let title = match old {
        Some(body) => format!("Panel {}", body.panel.0),
        None => "Describe a panel".to_owned(),
    };
    let settled = cx.settled_job();
    let panel = settled.and_then(|settled| settled.installation.panel(&PanelId::new(panel_id)));
    let sheet = Sheet::new(query, again);
    let body = html! {
        @if old.is_none() { p.quiet { "What the label and the cover tell. Everything can be changed later." } }
        div.two {
            div {
                (sheet.error_list())
                (form(cx, &here, fields(cx, old, &sheet)))
            }
            @if let Some(panel) = panel {
                div {
                    h2 { "As it is recorded" }
                    (panel_sketch(job, panel))
                    p.links { a.plain href=(Route::Fill(job.to_owned(), panel.id.to_string())) { "Fill the spaces" } }
                }
            }
        }
    };
    wide_shell(cx, &title, &here, body)
}

/// The fact that describes a panel, and what it says.
fn panel_fact<'a>(view: &'a JobView, id: &str) -> Option<(&'a Fact, &'a PanelDescribed)> {
    view.used().rev().find_map(|fact| match &fact.body {
        Body::Panel(body) if body.panel.0.as_str() == id => Some((fact, body.as_ref())),
        _ => None,
    })
}

/// Kinds of main, as the form knows them.
mod main_kind {
    pub(super) const BREAKER: &str = "breaker";
    pub(super) const LUGS: &str = "lugs";
    pub(super) const SPLIT: &str = "split";
    pub(super) const SUB: &str = "sub";
    /// More sections than the form can say: left as they are.
    pub(super) const KEEP: &str = "keep";
}

/// What the form says of the sections of a panel that is described already.
struct Main {
    kind: &'static str,
    rating: Option<f64>,
    /// First space of the lower section.
    lower: Option<u16>,
    /// First space of the breaker that feeds the lower section, or the slot that feeds a sub-panel.
    fed_by: String,
}

fn main_of(body: &PanelDescribed) -> Main {
    let other = || Main { kind: main_kind::KEEP, rating: None, lower: None, fed_by: String::new() };
    match body.sections.as_slice() {
        [one] => match &one.feed {
            FeedDescribed::Lugs => Main { kind: main_kind::LUGS, ..other() },
            FeedDescribed::MainBreaker { rating_a } => {
                Main { kind: main_kind::BREAKER, rating: Some(*rating_a), ..other() }
            }
            FeedDescribed::Breaker(slot) => Main { kind: main_kind::SUB, fed_by: slot.0.write(), ..other() },
        },
        [upper, lower] => match (&upper.feed, &lower.feed) {
            (FeedDescribed::Lugs, FeedDescribed::Breaker(slot)) if slot.0.panel == body.panel.0 => Main {
                kind: main_kind::SPLIT,
                rating: None,
                lower: Some(first_space(lower.rows[0], body.columns)),
                fed_by: slot.0.space.write(),
            },
            _ => other(),
        },
        _ => other(),
    }
}

/// Number of the leftmost space of a row, rows from 1.
fn first_space(row: u16, columns: u8) -> u16 {
    row.saturating_sub(1) * u16::from(columns.max(1)) + 1
}

fn fields(cx: &Context<'_>, old: Option<&PanelDescribed>, sheet: &Sheet<'_>) -> Markup {
    let known = cx.settled_job().map(|job| job.installation.panels.as_slice()).unwrap_or_default();
    let is_further = old.is_none() && !known.is_empty();
    let main = old.map(main_of);
    let kind = main.as_ref().map_or(if is_further { main_kind::SUB } else { "" }, |main| main.kind);
    html! {
        section.sheet {
            @if old.is_none() && (is_further || !sheet.value("panel", "").is_empty()) {
                (sheet.text("panel", "Short name", "Letters and digits, as in: sub, garage.", "sub"))
            } @else if old.is_none() {
                input type="hidden" name="panel" value=(FIRST);
            }
            (sheet.text_among("place", "Where it hangs", "", old.map(|old| old.place.as_str()).unwrap_or_default(),
                &["garage", "hall closet", "cellar stair", "laundry", "outside wall", "kitchen"]))
            (spaces(old, sheet))
            (sheet.pick_narrow("columns", "Columns", "", &[("2", "two", ""), ("1", "one", "")],
                &old.map_or("2".to_owned(), |old| old.columns.to_string())))
        }
        section.sheet.main-kind {
            (main_choice(kind, is_further, sheet))
            div.when-breaker { (sheet.pick_narrow("main-rating", "Rating of the main, A", "",
                &["60", "100", "125", "150", "200", "225"].map(|rating| (rating, rating, "")),
                &main.as_ref().and_then(|main| main.rating).map(plain).unwrap_or_default()))
                (sheet.decimal("main-rating-other", "Another rating, A", "",
                    &main.as_ref().and_then(|main| main.rating).map(plain).filter(|rating| !["60", "100", "125", "150", "200", "225"].contains(&rating.as_str())).unwrap_or_default()))
                (sheet.rating_sure("main-rating-sure", main.as_ref().and_then(|main| main.rating).is_some_and(|rating| record::nearest_rating(rating).is_some()))) }
            div.when-split { (split(cx, old, main.as_ref(), sheet)) }
            div.when-sub { (sub(cx, main.as_ref(), sheet)) }
        }
        (details(old, sheet))
        (submit(if old.is_none() { "Save, then the spaces" } else { "Save" }))
    }
}

fn spaces(old: Option<&PanelDescribed>, sheet: &Sheet<'_>) -> Markup {
    let number = old.map(|old| old.spaces.to_string()).unwrap_or_default();
    let has_tile = SPACES.contains(&number.as_str());
    let other = if has_tile { "" } else { number.as_str() };
    html! {
        (sheet.pick_narrow("spaces", "Spaces for breakers", "", &SPACES.map(|one| (one, one, "")), if has_tile { &number } else { "" }))
        details.more open[!other.is_empty() || !sheet.value("spaces-other", other).is_empty()] {
            summary { "Another number" }
            (sheet.whole("spaces-other", "Number of spaces", "One for each place a full-width breaker fits.", other.parse().ok()))
        }
    }
}

fn main_choice(kind: &str, is_further: bool, sheet: &Sheet<'_>) -> Markup {
    let mut choices = vec![
        (main_kind::BREAKER, "One main breaker", "A single handle above or beside all others."),
        (
            main_kind::SPLIT,
            "Split bus: no single main",
            "Several big breakers on top, one of them feeds the lower rows.",
        ),
        (main_kind::LUGS, "Main lugs only", "The supply goes straight to the bus; no split."),
    ];
    let sub = (main_kind::SUB, "Sub-panel", "Fed by a breaker of another panel of this house.");
    if is_further || kind == main_kind::SUB {
        choices.insert(0, sub);
    }
    if kind == main_kind::KEEP {
        choices.push((
            main_kind::KEEP,
            "As recorded",
            "More sections than this form can say; they stay as they are.",
        ));
    }
    sheet.pick_list("main", "What feeds the bus?", "", &choices, kind)
}

fn split(cx: &Context<'_>, old: Option<&PanelDescribed>, main: Option<&Main>, sheet: &Sheet<'_>) -> Markup {
    let feeder = main.filter(|main| main.kind == main_kind::SPLIT).and_then(|main| main.fed_by.parse().ok());
    let breaker: Option<&BreakerDescribed> = match (cx.job, old, feeder) {
        (Some(view), Some(old), Some(number)) => {
            crate::screen::fill::breaker_at(view, &old.panel.0, model::Space::whole(number))
        }
        _ => None,
    };
    let rating = breaker.map(|breaker| plain(breaker.rating_a)).unwrap_or_default();
    html! {
        p.caution {
            "With every handle off, the upper section is still live. Treat it as energized until the utility has cut it "
            "and it is proven dead."
        }
        (sheet.whole("lower", "The lower section begins at space", "The number beside its first space on the left, as in 13.",
            main.and_then(|main| main.lower)))
        (sheet.whole("feeder", "It is fed by the breaker in space", "The upper of its two spaces, as in 9.", feeder))
        (sheet.pick_narrow("feeder-rating", "Rating of that breaker, A", "",
            &["30", "40", "50", "60", "70", "100"].map(|rating| (rating, rating, "")), &rating))
    }
}

fn sub(cx: &Context<'_>, main: Option<&Main>, sheet: &Sheet<'_>) -> Markup {
    let usual =
        main.filter(|main| main.kind == main_kind::SUB).map(|main| main.fed_by.as_str()).unwrap_or_default();
    sheet.place_or("fed-by", "Fed by the breaker in", "", cx.settled_job(), Spaces::Breakers, None, usual)
}

fn details(old: Option<&PanelDescribed>, sheet: &Sheet<'_>) -> Markup {
    let written = |text: Option<String>| text.unwrap_or_default();
    let bus = old.map(|old| &old.bus);
    let metal = written(bus.and_then(|bus| bus.metal).map(|metal| metal.0.write()));
    let plating = written(bus.and_then(|bus| bus.plating).map(|plating| plating.0.write()));
    let mounting = written(old.and_then(|old| old.cabinet.mounting).map(|mounting| mounting.0.write()));
    let rating = written(bus.and_then(|bus| bus.rating_a).map(plain));
    let year = old.and_then(|old| old.year).and_then(|year| u16::try_from(year).ok());
    let half = match old.and_then(|old| old.half_width.as_ref()) {
        Some(HalfWidthDescribed::Everywhere) => Some(true),
        Some(HalfWidthDescribed::In(_)) | None => None,
    };
    html! {
        details.more open[sheet.is_again()] {
            summary { "More, where it is known" }
            (sheet.pick_narrow("system", "System", "", &[("120/240", "120/240", ""), ("208Y/120", "208Y/120", ""), ("120/208", "120/208", "")],
                &old.map_or("120/240".to_owned(), |old| old.system.0.write())))
            (sheet.pick_narrow("first-leg", "Leg of the first row", "", &[("A", "A", ""), ("B", "B", ""), ("C", "C", "")],
                &old.map_or("A".to_owned(), |old| old.first_leg.0.write())))
            (sheet.pick("metal", "Metal of the bus", "As it looks at a bare edge, not as it is plated.",
                &[("copper", "Copper", ""), ("aluminium", "Aluminium", ""), ("", "Not seen", "")], &metal))
            (sheet.pick("plating", "Plating", "",
                &[("tin", "Tin", ""), ("silver", "Silver", ""), ("bare", "Bare", ""), ("", "Not seen", "")], &plating))
            (sheet.decimal("bus-rating", "Rating on the label, A", "", &rating))
            (sheet.whole("year", "Year it was put in", "Age alone is no evidence.", year))
            (sheet.pick("mounting", "In the wall", "",
                &[("flush", "Flush", ""), ("flush-insulated", "Flush, insulated wall", ""), ("surface", "On the wall", ""), ("", "Not said", "")], &mounting))
            (sheet.yes_no("moisture", "Signs of water inside?", "", old.and_then(|old| old.moisture)))
            (sheet.yes_no("half-width", "Does the label allow half-width breakers?", "", half))
        }
    }
}
