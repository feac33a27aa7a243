//! The panel as columns of spaces: each a link, with rating and what it feeds.

use super::walk::walk;
use crate::fields::plain;
use crate::route::Route;
use maud::{Markup, html};
use model::Space;
use model::breaker::{Breaker, Handle};
use model::panel::{Column, Feed, Panel, Section};

/// The columns; `chosen` is the space in hand.
pub(super) fn grid(job: &str, panel: &Panel, chosen: Option<Space>) -> Markup {
    let columns: &[Column] =
        if panel.n_columns < 2 { &[Column::Left] } else { &[Column::Left, Column::Right] };
    html! {
        div.columns #grid data-live role="group" aria-label={ "Spaces of panel " (panel.id) } {
            @for &column in columns {
                ol.column {
                    @for space in walk(panel).filter(|space| panel.column_of(*space) == column) {
                        @if let Some(section) = begins(panel, space) { (section_head(panel, section, column)) }
                        (cell(job, panel, space, chosen))
                    }
                }
            }
        }
    }
}

/// The section whose first row this is, where the panel has several.
fn begins(panel: &Panel, space: Space) -> Option<&Section> {
    let row = panel.row_of(space);
    panel.sections.iter().filter(|_| 1 < panel.sections.len()).find(|section| section.first_row == row)
}

fn section_head(panel: &Panel, section: &Section, column: Column) -> Markup {
    let fed = match &section.feed {
        Feed::ServiceLugs => "on the lugs".to_owned(),
        Feed::MainBreaker { rating } => format!("main {} A", plain(rating.a())),
        Feed::Breaker { slot } if slot.panel == panel.id => format!("fed by {}", slot.space),
        Feed::Breaker { slot } => format!("fed by {slot}"),
    };
    html! {
        li.head {
            @if column == Column::Left { span { (section.id) } } @else { span { (fed) } }
        }
    }
}

fn cell(job: &str, panel: &Panel, space: Space, chosen: Option<Space>) -> Markup {
    let halves: Vec<&Breaker> = panel
        .breakers
        .iter()
        .filter(|breaker| {
            breaker.spaces.iter().any(|mine| mine.half.is_some() && mine.number == space.number)
        })
        .collect();
    if !halves.is_empty() {
        return html! {
            li.halves { @for breaker in halves { (half(job, panel, space, breaker, chosen)) } }
        };
    }
    match panel.breaker_at(space) {
        // The cell of the first pole is as tall as the breaker; the others have none.
        Some(breaker) if breaker.spaces.first() != Some(&space) => html! {},
        Some(breaker) => {
            let class = match breaker.n_poles() {
                2 => "poles-2",
                3 => "poles-3",
                _ => "poles-1",
            };
            let is_chosen = chosen.is_some_and(|chosen| breaker.spaces.contains(&chosen));
            html! { li class=(class) { (filled(job, panel, space, breaker, is_chosen)) } }
        }
        None => html! {
            li.poles-1 {
                a.cell.empty data-spaces=(space) href=(address(job, panel, space)) aria-current=[(chosen == Some(space)).then_some("true")] {
                    span.number { (space) span.off-screen { ", leg " } small { (panel.leg_of(space)) } }
                    span.what { "empty" }
                }
            }
        },
    }
}

fn filled(job: &str, panel: &Panel, space: Space, breaker: &Breaker, is_chosen: bool) -> Markup {
    let spaces: Vec<String> = breaker.spaces.iter().map(ToString::to_string).collect();
    html! {
        a.cell data-spaces=(spaces.join(" ")) href=(address(job, panel, space)) aria-current=[is_chosen.then_some("true")] {
            span.number {
                @for (idx, pole) in breaker.spaces.iter().enumerate() {
                    @if 0 < idx { br; }
                    (pole) span.off-screen { ", leg " } small { (panel.leg_of(*pole)) }
                }
            }
            span.what {
                span { strong { (plain(breaker.rating.a())) " A" } @for mark in marks(breaker) { small { ", " (mark) } } }
                span.feeds { (breaker.feeds_label()) }
            }
        }
    }
}

fn half(job: &str, panel: &Panel, space: Space, breaker: &Breaker, chosen: Option<Space>) -> Markup {
    let mine = breaker.spaces.iter().find(|mine| mine.number == space.number).copied().unwrap_or(space);
    html! {
        a.cell href=(address(job, panel, mine)) aria-current=[(chosen == Some(mine)).then_some("true")] {
            span.number { (mine) }
            span.what { strong { (plain(breaker.rating.a())) " A" } span.feeds { (breaker.feeds_label()) } }
        }
    }
}

fn marks(breaker: &Breaker) -> Vec<&'static str> {
    let handle = match breaker.handle {
        Handle::On => None,
        Handle::Off => Some("off"),
        Handle::Tripped => Some("tripped"),
    };
    let make = breaker.other_make.filter(|&other| other).map(|_| "other make");
    let later = breaker.later.filter(|&later| later).map(|_| "later");
    [handle, make, later].into_iter().flatten().collect()
}

fn address(job: &str, panel: &Panel, space: Space) -> String {
    format!("{}?space={space}", Route::Fill(job.to_owned(), panel.id.to_string()))
}
