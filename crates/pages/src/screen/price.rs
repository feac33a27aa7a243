//! Every option with its price, side by side.

use crate::context::Context;
use crate::fields::Fields;
use crate::route::Route;
use crate::shell::{Page, failure_page, shell};
use maud::{Markup, html};
use model::job::Job;
use study::code::Chosen;
use study::{ContestStanding, NoPrice, OptionPrice, Price, PriceAsk, PriceBook, Prices, WORK_CAUTIONS};

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
        @if prices.invented_book {
            div.caution { p { strong { "Invented prices. " } "The bench shows the demo’s price book. For a quote give your own on the command line: panelwright price --book." } }
        }
        section.sheet #options {
            h2 { "Side by side" }
            ul.rows { @for one in &prices.options { li.row { (side(one, &route)) } } }
        }
        @for one in prices.options.iter().filter(|one| open == Some(one.kind)) { (detail(one)) }
        (given(settled))
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
    let book = PriceBook::demo();
    study::price_options(
        job,
        &PriceAsk {
            panel: None,
            spaces: None,
            book: &book,
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

fn detail(one: &OptionPrice) -> Markup {
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
            }
            h3 { "Materials" }
            ul.facts { @for line in &one.materials { li { (line.quantity) " × " (line.words) br; span.quiet { (line.because) } } } }
        }
    }
}

/// Quotes that were given.
fn given(job: &Job) -> Markup {
    html! {
        @if !job.replacement.quotes.is_empty() {
            section.sheet {
                h2 { "Given" }
                ul.facts {
                    @for quote in &job.replacement.quotes {
                        li { (quote.at.date()) ": " (quote.option) ", $" (quote.range_usd.0) " to $" (quote.range_usd.2) ", holds until " (quote.valid_until) }
                    }
                }
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
