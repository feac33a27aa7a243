//! The strip of one space: rating and poles, a tile a usual load, and the rest behind a fold.

use super::read::{LOAD, fact_at};
use super::usual::usual_loads;
use super::walk::{above, is_taken, next_empty, spaces_from, walk};
use crate::context::Context;
use crate::fields::{Fields, Refusal, plain};
use crate::form::{Choice, Sheet, form_that_stays};
use crate::route::Route;
use maud::{Markup, html};
use model::Space;
use model::panel::Panel;
use record::fact::BreakerDescribed;
use record::text::Textual;

/// Ratings that have a tile.
const RATINGS: [&str; 9] = ["15", "20", "25", "30", "40", "50", "60", "70", "100"];

/// The strip: what is in this space.
pub(super) fn strip(
    job: &str,
    panel: &Panel,
    space: Space,
    query: &Fields,
    again: Option<&Refusal>,
    here: &Route,
    cx: &Context<'_>,
) -> Markup {
    let sheet = Sheet::new(query, again);
    let old = cx.job.and_then(|view| fact_at(view, &panel.id, space)).map(|(_, body)| body);
    let skip = next_empty(panel, Some(space), &[space]);
    let skip = match skip {
        Some(next) => format!("{here}?space={next}"),
        None => format!("{here}?done=yes"),
    };
    let body = html! {
        // Return in a text field saves what is written, not the first tile.
        button.off-screen name="act" value="save" tabindex="-1" aria-hidden="true" { "Save" }
        (space_choice(panel, space, &sheet))
        (sheet.error_list())
        (ratings(old, &sheet))
        (poles(panel, space, old, &sheet))
        (loads(panel, space))
        div.quick {
            @if let Some(source) = above(panel, space).filter(|_| old.is_none()) {
                @if fits(panel, space, source.n_poles()) {
                    button name="act" value="above" {
                        span { "Same as above" small { (plain(source.rating.a())) " A " (source.feeds_label()) } }
                    }
                }
            }
            @if old.is_some() { button name="act" value="remove" { "Nothing in here" } }
            a.plain href=(skip) { @if old.is_some() { "Leave as it is" } @else { "Empty" } }
        }
        (more(old, &sheet))
    };
    html! { section.sheet.strip { (form_that_stays(cx, here, "", body)) (links(job, panel)) } }
}

fn links(job: &str, panel: &Panel) -> Markup {
    html! {
        p.links {
            a.plain.small href=(Route::Panel(job.to_owned(), panel.id.to_string())) { "Rows and main" }
            a.plain.small href=(Route::Bench(job.to_owned())) { "To the bench" }
        }
    }
}

fn fits(panel: &Panel, space: Space, n_poles: usize) -> bool {
    let spaces = u8::try_from(n_poles).ok().and_then(|n_poles| spaces_from(panel, space, n_poles));
    let section = |space: Space| panel.section_of(space).map(|section| &section.id);
    spaces.is_some_and(|spaces| {
        spaces.iter().all(|&one| !is_taken(panel, one) && section(one) == section(space))
    })
}

/// The space in big figures, with its leg and section; a select, so that it can be changed without the drawing.
fn space_choice(panel: &Panel, space: Space, sheet: &Sheet<'_>) -> Markup {
    let mut all: Vec<Space> = Vec::new();
    for whole in walk(panel) {
        all.push(whole);
        if panel.half_width.allows(whole.number) {
            all.extend(
                [model::Half::Upper, model::Half::Lower].map(|half| Space { half: Some(half), ..whole }),
            );
        }
    }
    if !all.contains(&space) {
        all.push(space);
    }
    html! {
        div.space-choice {
            label for=(sheet.id_of("space")) { "Space" }
            select #(sheet.id_of("space")) name="space" data-leads {
                @for one in &all { option value=(one) selected[*one == space] { (one) } }
            }
            span.quiet data-of=(space) {
                "leg " (panel.leg_of(space))
                @if 1 < panel.sections.len() {
                    @if let Some(section) = panel.section_of(space) { br; (section.id) " section" }
                }
            }
        }
    }
}

fn ratings(old: Option<&BreakerDescribed>, sheet: &Sheet<'_>) -> Markup {
    let mut choices: Vec<Choice<'_>> = Vec::new();
    let mut usual = "usual".to_owned();
    if let Some(old) = old {
        let rating = plain(old.rating_a);
        usual = if RATINGS.contains(&rating.as_str()) { rating } else { "other".to_owned() };
    } else {
        choices.push(("usual", "usual", ""));
    }
    choices.extend(RATINGS.iter().map(|&rating| (rating, rating, "")));
    html! { div.ratings { (sheet.pick_narrow("rating", "Rating on the handle, A", "", &choices, &usual)) } }
}

fn poles(panel: &Panel, space: Space, old: Option<&BreakerDescribed>, sheet: &Sheet<'_>) -> Markup {
    let mut choices: Vec<Choice<'_>> = Vec::new();
    if old.is_none() {
        choices.push(("usual", "usual", ""));
    }
    choices.push(("1", "1", ""));
    let below = spaces_from(panel, space, 2).and_then(|spaces| spaces.last().copied());
    let two = below.map(|below| format!("with {below}")).unwrap_or_default();
    choices.push(("2", "2", if old.is_none() { &two } else { "" }));
    if 2 < panel.system.legs().len() {
        choices.push(("3", "3", ""));
    }
    let usual = old.map_or("usual".to_owned(), |old| old.spaces.len().to_string());
    html! { div.poles { (sheet.pick_narrow("poles", "Poles", "", &choices, &usual)) } }
}

/// Does the breaker whose first pole is here feed a section of this panel?
pub(super) fn feeds_section(panel: &Panel, space: Space) -> bool {
    panel.sections.iter().any(|section| {
        matches!(&section.feed, model::panel::Feed::Breaker { slot } if slot.panel == panel.id && slot.space == space)
    })
}

/// One tap each: what it feeds, saved with the usual rating or the one chosen above.
fn loads(panel: &Panel, space: Space) -> Markup {
    html! {
        fieldset.loads {
            legend { "What it feeds. A tap saves it and goes on" }
            div.load-tiles {
                @for usual in usual_loads().iter().filter(|usual| usual.tile || (feeds_section(panel, space) && usual.feeds == "lower section")) {
                    button name="act" value={ (LOAD) (usual.feeds) } data-rating=(plain(usual.rating_a)) data-poles=(usual.n_poles) {
                        span {
                            (usual.feeds)
                            small { (plain(usual.rating_a)) " A" @if 1 < usual.n_poles { ", " (usual.n_poles) "‑pole" } }
                        }
                    }
                }
            }
        }
    }
}

/// Everything else about a breaker, out of the way of the fast path.
fn more(old: Option<&BreakerDescribed>, sheet: &Sheet<'_>) -> Markup {
    let all = usual_loads();
    let words: Vec<&str> = all.iter().map(|usual| usual.feeds).collect();
    let circuit = old.and_then(|old| old.circuit.as_ref());
    let feeds = circuit.map(|circuit| circuit.feeds.as_str()).unwrap_or_default();
    let class = circuit.and_then(|circuit| circuit.class).map(|class| class.0.write()).unwrap_or_default();
    let handle = old.map_or("on".to_owned(), |old| old.handle.0.write());
    let rating = old
        .map(|old| plain(old.rating_a))
        .filter(|rating| !RATINGS.contains(&rating.as_str()))
        .unwrap_or_default();
    let mut classes = vec![(String::new(), "As the words say".to_owned())];
    classes.extend(
        model::breaker::LoadClass::WORDS.iter().map(|&word| (word.to_owned(), word.replace('-', " "))),
    );
    let protection = old.map_or("thermal-magnetic".to_owned(), |old| old.protection.0.write());
    let protections: Vec<(String, String)> = [
        ("thermal-magnetic", "Plain"),
        ("arc-fault", "Arc fault"),
        ("ground-fault", "Ground fault"),
        ("arc-and-ground-fault", "Arc and ground fault"),
        ("switch-only", "Switch, no trip"),
    ]
    .map(|(value, words)| (value.to_owned(), words.to_owned()))
    .to_vec();
    html! {
        details.more open[old.is_some() || sheet.is_again()] {
            summary { "In other words, or more about it" }
            (sheet.text_among("feeds", "What it feeds", "As the directory or the tracer says.", feeds, &words))
            (sheet.pick("handle", "Handle now", "A handle is a claim, not a proof.", &[("on", "On", ""), ("off", "Off", ""), ("tripped", "Tripped", "")], &handle))
            (sheet.yes_no("other-make", "Other make than the panel’s list?", "", old.and_then(|old| old.other_make)))
            (sheet.yes_no("later", "Put in later than the panel?", "", old.and_then(|old| old.later)))
            (sheet.decimal("rating-other", "Another rating, A", "", &rating))
            (sheet.rating_sure("rating-sure", old.is_some_and(|old| record::nearest_rating(old.rating_a).is_some())))
            (sheet.select("protection", "Protection", "", &[(String::new(), protections)], &protection))
            (sheet.select("class", "Kind of load", "", &[(String::new(), classes)], &class))
            button.big.full name="act" value="save" { "Save and next" }
        }
    }
}
