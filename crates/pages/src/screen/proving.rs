//! Switching the new panel on: what is read first, then the block that is next. And how the panel stands.

use crate::context::{Context, JobView};
use crate::entry::words::{enter, when};
use crate::route::{EntryKind, Route};
use crate::shell::{Page, failure_page, shell};
use maud::{Markup, html};
use model::Space;
use model::install::Stage;
use model::proving::{BranchBlock, Outcome, ReadingNeed};
use study::install::Proven;
use study::words::{capital, point_pair};

pub(crate) fn page(job: &str, cx: &Context<'_>) -> Page {
    let route = Route::Proving(job.to_owned());
    let Some((view, settled)) = cx.job.zip(cx.settled_job()) else {
        return failure_page("No such job", "This job is not here.", "");
    };
    let proven = study::install::prove(settled);
    let go = route.to_string();
    let body = html! {
        p.lede { "No branch before the readings are in and plausible. Then block by block." }
        section.sheet #now data-live { p { strong { (proven.now.supply) } } }
        (readings(view, &proven, &go))
        (blocks(view, &proven, &go))
        (checks(view, &proven, &go))
        (left(&proven))
        section.sheet { h2 { "Mind" } ul { @for caution in &proven.now.cautions { li { (caution) } } } }
        div.links {
            a.plain href=(enter(view, EntryKind::Installed, &[("go", &go)])) { "Record a breaker" }
            a.plain href=(enter(view, EntryKind::SharedNeutral, &[("go", &go)])) { "Clamp a shared neutral" }
            a.plain href=(enter(view, EntryKind::Verified, &[("go", &go)])) { "Temperature under load" }
            a.plain href=(enter(view, EntryKind::Tried, &[("go", &go)])) { "Device tried" }
            a.plain href=(enter(view, EntryKind::Permit, &[("go", &go)])) { "Permit" }
            a.plain href=(enter(view, EntryKind::Card, &[("go", &go)])) { "Directory card" }
            a.plain href=(Route::Torque(view.name.clone())) { "Torque log" }
            a.plain href=(Route::Papers(view.name.clone())) { "Papers" }
        }
    };
    shell(cx, "Switching on", &route, body)
}

fn need(one: &ReadingNeed) -> Markup {
    let range = format!("{:.0} to {:.0} V", one.low.v(), one.high.v());
    html! {
        li.row {
            p.grow { (capital(&point_pair(one.pair))) br; span.quiet { "plausible " (range) } }
            @match one.shown {
                None => span.tag { "□ not read" },
                Some(shown) if one.is_met() => span.tag { "✓ " (shown.v()) " V" },
                Some(shown) => span.tag { "■ " (shown.v()) " V does not fit" },
            }
        }
    }
}

fn readings(view: &JobView, proven: &Proven, go: &str) -> Markup {
    let order = &proven.order;
    let of = |stage: Stage| order.readings.iter().filter(move |one| one.stage == stage);
    let form = |stage: Stage| enter(view, EntryKind::Energised, &[("stage", stage.word()), ("go", go)]);
    let supply_met = of(Stage::Supply).all(ReadingNeed::is_met);
    html! {
        section.sheet #readings data-live {
            h2 { "1 Supply, main open" }
            ul.rows { @for one in of(Stage::Supply) { (need(one)) } }
            a.big href=(form(Stage::Supply)) { "Read the supply" }
        }
        section.sheet #closed data-live {
            h2 { "2 Main closed, every branch open" }
            ul.rows { @for one in of(Stage::Main) { (need(one)) } }
            @if supply_met { a.big href=(form(Stage::Main)) { "Read with the main closed" } }
            @else { p.quiet { "Closed until the supply is read and plausible." } }
        }
    }
}

fn spaces(all: &[Space]) -> String {
    all.iter().map(Space::to_string).collect::<Vec<_>>().join("/")
}

fn block(one: &BranchBlock) -> Markup {
    html! {
        ul.rows {
            @for branch in &one.branches {
                li.row {
                    p.grow { strong { (spaces(&branch.spaces)) } " " (branch.words) br;
                        span.quiet { (branch.rating.a()) " A"
                            @if let Some(known) = branch.known { ", clamped at " (known.a()) " A before" } } }
                    span.tag { "leg " @for leg in &branch.legs { (leg) } }
                }
            }
        }
    }
}

fn blocks(view: &JobView, proven: &Proven, go: &str) -> Markup {
    let order = &proven.order;
    html! {
        section.sheet #blocks data-live {
            h2 { "3 Branches" }
            @if !order.shut.is_empty() {
                div.caution {
                    p { strong { "No branch yet." } }
                    ul { @for why in &order.shut { li { (why) } } }
                }
                @if 0 < order.n_open { p.quiet { (order.n_open) " branches wait." } }
            }
            @for closed in &order.closed {
                p { strong { "Closed " (when(closed.at)) ": " (closed.spaces.iter().map(Space::to_string).collect::<Vec<_>>().join(", ")) } " "
                    @for (leg, amps) in &closed.legs { "leg " (leg) " " (amps.a()) " A " } }
                @if !closed.faults.is_empty() { div.caution { @for fault in &closed.faults { p { (fault) } } } }
            }
            @if let Some(next) = &order.next {
                h3 { "Next: one after the other" }
                (block(next))
                @let list = next.branches.iter().filter_map(|one| one.spaces.first().map(Space::to_string)).collect::<Vec<_>>().join(" ");
                a.big href=(enter(view, EntryKind::Energised, &[("stage", "branches"), ("spaces", &list), ("go", go)])) { "They are closed: read" }
            }
            @if order.shut.is_empty() && order.next.is_none() {
                @if order.n_open == 0 { p { "No branch is left open by the record." } }
                @else { a.big href=(enter(view, EntryKind::Energised, &[("stage", "branches"), ("go", go)])) { "Read the last block again" } }
            }
            @if !order.later.is_empty() {
                details.more { summary { "Then" } @for one in &order.later { (block(one)) } }
            }
            details.more { summary { "Why this order, and these limits" } ul { @for note in &order.notes { li { (note) } } } }
        }
    }
}

fn checks(view: &JobView, proven: &Proven, go: &str) -> Markup {
    html! {
        @if !proven.neutrals.is_empty() {
            section.sheet #neutrals data-live {
                h2 { "Shared neutrals" }
                @for one in &proven.neutrals {
                    @if one.says == model::proving::NeutralSays::Difference { p { "✓ " (one.sentence) } }
                    @else { div.caution { p { "■ " (one.sentence) } } }
                }
                a.plain href=(enter(view, EntryKind::SharedNeutral, &[("go", go)])) { "Clamp another" }
            }
        }
        @if !proven.held.is_empty() {
            section.sheet #held data-live {
                h2 { "Against the first readings" }
                @for one in &proven.held {
                    h3 { (capital(&one.words)) }
                    @match &one.outcome {
                        Outcome::Comparable { sentence, .. } => p { (sentence) },
                        Outcome::NotComparable(why) => p { strong { "Not comparable. " } (why.join(" ")) },
                    }
                }
            }
        }
    }
}

fn left(proven: &Proven) -> Markup {
    html! {
        section.sheet #left data-live {
            h2 { "Left to do" }
            @if proven.now.left.is_empty() { p { "Nothing is left to do by the record." } }
            ul { @for one in &proven.now.left { li { (one) } } }
            @if !proven.mismatches.is_empty() {
                h2 { "Does not agree" }
                ul { @for one in &proven.mismatches { li { strong { (capital(&one.subject)) ": " } (one.sentence) " " (one.mend) } } }
            }
        }
    }
}
