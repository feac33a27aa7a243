//! Every option with its price, side by side.

use crate::context::{Context, JobView};
use crate::entry::words::enter;
use crate::fields::Fields;
use crate::route::{EntryKind, Route};
use crate::shell::{Page, failure_page, shell};
use maud::{Markup, html};
use model::job::Job;
use study::code::Chosen;
use study::{ContestStanding, NoPrice, OptionPrice, Price, PriceAsk, Prices, WORK_CAUTIONS};

/// Draws for a page: the ends move by two percent of the width from seed to seed.
const DRAWS: usize = 4_000;

pub(crate) fn page(job: &str, query: &Fields, cx: &Context<'_>) -> Page {
    let route = Route::Price(job.to_owned());
    let Some((view, settled)) = cx.job.zip(cx.settled_job()) else {
        return failure_page("No such job", "This job is not here.", "");
    };
    let prices = match prices(settled, cx) {
        Ok(prices) => prices,
        Err(error) => return failure_page("No price yet", &study::words::capital(&error.to_string()), ""),
    };
    let open = query.text("option").and_then(study::option_of_word);
    let body = html! {
        p.lede { "In eight of ten jobs like this one the price lies between the two figures. Doing nothing for now costs nothing today; the verdict says what may follow." }
        (super::invented_prices(&cx.shop.book))
        p { "Prices from: " strong { (prices.book.trim_end_matches('.')) } ". " a href=(Route::Prices) { "Price book" } }
        section.sheet #options {
            h2 { "Side by side" }
            ul.rows { @for one in &prices.options { li.row { (side(one, &route)) } } }
        }
        @for one in prices.options.iter().filter(|one| open == Some(one.kind)) { (detail(one, view, cx)) }
        (given(settled, view))
        (built(settled, view, cx))
        (contested(&prices))
        @if !prices.unknown.is_empty() {
            details.more {
                summary { "Not known: " (prices.unknown.len()) ", carried by their chance or excluded" }
                ul { @for words in &prices.unknown { li { (words) } } }
            }
        }
        section.sheet { h2 { "Mind" } ul { @for note in &prices.notes { li { (note) } } @for caution in WORK_CAUTIONS { li { (caution) } } } }
        div.links { a.plain href=(Route::Outage(view.name.clone())) { "The day without power" } a.plain href=(Route::Verdict(view.name.clone())) { "Verdict in full" } }
    };
    shell(cx, "Price", &route, body)
}

fn prices(job: &Job, cx: &Context<'_>) -> Result<Prices, study::NotDesigned> {
    let chosen = Chosen::of(job, cx.book, None, cx.now.date()).ok();
    let law = chosen.as_ref().and_then(|chosen| chosen.law(cx.book).ok());
    study::price_options(
        job,
        &PriceAsk {
            panel: None,
            spaces: None,
            book: &cx.shop.book,
            past: &cx.shop.past,
            law: law.as_ref(),
            day: cx.now.date(),
            seed: 1,
            n_draws: DRAWS,
        },
    )
}

fn range(price: &Result<Price, NoPrice>) -> String {
    match price {
        Ok(price) => format!("{} to {}", price.range.low, price.range.high),
        Err(error) => error.to_string(),
    }
}

fn side(one: &OptionPrice, route: &Route) -> Markup {
    html! {
        p.grow {
            strong { (one.title) } br;
            (range(&one.without))
            @if let Some(with) = &one.with { br; span.quiet { "with what is contested: " (range(with)) } }
            br; span.quiet { (one.leaves) }
        }
        a.plain.small href=(format!("{route}?option={}#detail", one.kind.word())) { "Parts" span.off-screen { " of: " (one.title) } }
    }
}

fn detail(one: &OptionPrice, view: &JobView, cx: &Context<'_>) -> Markup {
    html! {
        section.sheet #detail {
            h2 { (one.title) }
            @if let Ok(price) = &one.without {
                p { "Half of such jobs cost less than " (price.range.usual) ". " (format!("{:.0} to {:.0} person-hours.", price.hours.0, price.hours.2)) }
                @for (group, sum) in &price.groups {
                    details.more {
                        summary { (study::words::capital(group.words())) ": $" (sum.exact()) }
                        ul.facts {
                            @for line in price.lines.iter().filter(|line| line.group == *group) {
                                li { (line.words) ": " (line.amount) ", $" (line.sum.exact()) br; span.quiet { (line.source) } }
                            }
                        }
                    }
                }
                p { strong { "Expected on average: $" (price.mean.exact()) } }
                @if !price.exclusions.is_empty() { h3 { "Not in it" } ul { @for words in &price.exclusions { li { (words) } } } }
                p.quiet { (price.basis) }
                div.links {
                    a.plain href=(quote_file(view, one, "pdf")) { "The quote" }
                    a.plain href=(quote_file(view, one, "txt")) { "The quote as text" }
                    a.plain href=(enter(view, EntryKind::Quote, &[
                        ("option", one.kind.word()), ("low_usd", &usd(price.range.low)), ("usual_usd", &usd(price.range.usual)),
                        ("high_usd", &usd(price.range.high)), ("valid_until", &study::valid_until(cx.now.date()).to_string()),
                        ("go", &format!("{}#given", Route::Price(view.name.clone()))),
                    ])) { "It was given" }
                }
            }
            h3 { "Materials" }
            ul.facts { @for line in &one.materials { li { (line.quantity) " × " (line.words) br; span.quiet { (line.because) } } } }
        }
    }
}

/// Whole dollars, as a field takes them.
fn usd(sum: study::Cents) -> String {
    format!("{:.0}", sum.usd())
}

/// The address of the quote for an option.
fn quote_file(view: &JobView, one: &OptionPrice, kind: &str) -> String {
    format!("{}/offer/{}", Route::Bench(view.name.clone()), study::quote_name(one.kind, kind))
}

/// Quotes that were given.
fn given(job: &Job, view: &JobView) -> Markup {
    let go = format!("{}#given", Route::Price(view.name.clone()));
    html! {
        section.sheet #given {
            h2 { "Given" }
            @if job.replacement.quotes.is_empty() { p { "No quote is on record. What is built is held against the last one." } }
            ul.facts {
                @for quote in &job.replacement.quotes {
                    @let words = study::option_of_word(&quote.option).map_or_else(|| quote.option.clone(), |one| study::option_words(one).to_owned());
                    li { (quote.at.date()) ": " (words) ", $" (quote.range_usd.0) " to $" (quote.range_usd.2) ", holds until " (quote.valid_until)
                        @if !quote.with.is_empty() { ", with " (quote.with.join(", ")) }
                        @if !quote.book.is_empty() { br; span.quiet { (quote.book) } } }
                }
            }
            a.plain href=(enter(view, EntryKind::Quote, &[("go", &go)])) { "Another quote was given" }
        }
    }
}

/// What was built against what was quoted.
fn built(job: &Job, view: &JobView, cx: &Context<'_>) -> Markup {
    let built = study::built_of(job, &cx.shop.book, cx.now.date());
    let go = format!("{}#built", Route::Price(view.name.clone()));
    html! {
        section.sheet #built {
            h2 { "Built against quoted" }
            p { (format!("{:.1}", built.hours)) " person-hours ticked, " (job.replacement.used.len()) " parts on record." }
            @match &built.sum {
                None => p { "No sum yet: it needs hours from the page of the day, and parts." },
                Some(Err(error)) => p { (study::words::capital(&error.to_string())) "." },
                Some(Ok(sum)) => {
                    p { "Built, at the prices of today’s book: " strong { (sum) } "." }
                    @if let Some(quote) = &built.quote {
                        @let (low, usual, high) = quote.range_usd;
                        p { "Quoted on " (quote.at.date()) ": $" (low) " to $" (high) ". "
                            strong { (study::against(sum.usd(), quote.range_usd)) } (format!(", {:+.0} USD against the middle.", sum.usd() - f64::from(usual))) }
                    } @else { p { "No quote for this work is on record." } }
                },
            }
            @if 0.0 < built.hours && !built.untimed.is_empty() {
                details.more { summary { (built.untimed.len()) " steps are not timed" } ul { @for words in &built.untimed { li { (words) } } } }
            }
            @if !job.replacement.used.is_empty() {
                details.more { summary { "Parts used" } ul.facts {
                    @for used in &job.replacement.used { li { (used.count) " × " (used.part) @if !used.words.is_empty() { ": " (used.words) } } }
                } }
            }
            div.links {
                a.plain href=(enter(view, EntryKind::Used, &[("go", &go)])) { "Parts used" }
                a.plain href=(Route::Outage(view.name.clone())) { "Tick the steps" }
            }
        }
    }
}

fn contested(prices: &Prices) -> Markup {
    html! {
        section.sheet {
            h2 { "Contested" }
            ul.facts {
                @for one in &prices.contests {
                    @let (word, why) = match &one.standing {
                        ContestStanding::InScope(why) => ("in every price", why),
                        ContestStanding::LeftOut(why) => ("in no price", why),
                        ContestStanding::Open(why) => ("with and without", why),
                    };
                    li { span.tag { (word) } " " (one.item.words) br; span.quiet { (why) } }
                }
            }
        }
    }
}
