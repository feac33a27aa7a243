//! Prices as text: options side by side, the lines of one, what is contested, what is not known.

use super::code::wrapped;
use crate::command::code::head;
use model::advice::ChoiceKind;
use model::job::Job;
use std::fmt::Write as _;
use study::{Built, ContestStanding, NoPrice, OPTIONS, OptionPrice, Price, Prices, WORK_CAUTIONS};

/// The options that are priced, as a list of words.
pub(crate) fn option_list() -> String {
    OPTIONS.map(ChoiceKind::word).join(", ")
}

/// The cautions at the foot.
pub(crate) fn cautions() -> String {
    let mut out = "\nMIND\n".to_owned();
    WORK_CAUTIONS.iter().for_each(|caution| out.push_str(&wrapped(caution, "  ")));
    out
}

fn range(price: &Result<Price, NoPrice>) -> String {
    match price {
        Ok(price) => format!("{} to {}", price.range.low, price.range.high),
        Err(_) => "no price".to_owned(),
    }
}

/// What was built against what was quoted.
pub(crate) fn built(built: &Built) -> String {
    let mut out = format!("\nHOURS  {:.1} person-hours ticked\n", built.hours);
    for step in &built.steps {
        if let Some(hours) = step.hours {
            let _ = writeln!(out, "  {:<62.62} {hours:>5.1} h", step.words);
            if !step.held_up.is_empty() {
                out.push_str(&wrapped(&step.held_up, "      "));
            }
        }
    }
    if !built.untimed.is_empty() {
        out.push_str(&wrapped(&format!("Not timed: {}.", built.untimed.join("; ")), "  "));
    }
    out.push_str("\nAGAINST THE QUOTE\n");
    match &built.sum {
        None => out.push_str("  No parts or no hours are on record: no sum is told.\n"),
        Some(Err(error)) => out.push_str(&wrapped(&error.to_string(), "  ")),
        Some(Ok(sum)) => {
            let _ = writeln!(out, "  built, at the prices of the book: {sum}");
        }
    }
    match &built.quote {
        None => out.push_str("  No quote for this work is on record.\n"),
        Some(quote) => {
            let (low, usual, high) = quote.range_usd;
            let _ = writeln!(out, "  quoted on {}: ${low} to ${high}, middle ${usual}", quote.at.date());
            if let Some(Ok(sum)) = &built.sum {
                let usd = sum.usd();
                let word = if usd < f64::from(low) {
                    "below the range"
                } else if f64::from(high) < usd {
                    "above the range"
                } else {
                    "within the range"
                };
                let _ = writeln!(out, "  {word}, {:+.0} USD against the middle", usd - f64::from(usual));
            }
        }
    }
    out.push_str(&cautions());
    out
}

/// All options side by side, then every line of the one that is asked for.
pub(crate) fn prices(job: &Job, prices: &Prices, only: Option<ChoiceKind>) -> String {
    let mut out = head("PRICE", job);
    let invented = if prices.invented_book { " (INVENTED: no prices of anybody)" } else { "" };
    out.push_str(&wrapped(&format!("Price book: {}{invented}", prices.book), "  "));
    out.push_str("\nSIDE BY SIDE  in eight of ten jobs like this the price lies between\n");
    for one in &prices.options {
        let _ = writeln!(out, "  {:<36}{:>19}", one.title, range(&one.without));
        if let Some(with) = &one.with {
            let _ = writeln!(out, "  {:<36}{:>19}", "  with what is contested", range(with));
        }
        if let Err(error) = &one.without {
            out.push_str(&wrapped(&error.to_string(), "      "));
        }
        out.push_str(&wrapped(one.leaves, "      "));
    }
    for one in prices.options.iter().filter(|one| only == Some(one.kind)) {
        out.push_str(&detail(one));
    }
    out.push_str("\nCONTESTED\n");
    for one in &prices.contests {
        let (word, why) = match &one.standing {
            ContestStanding::InScope(why) => ("in every price", why),
            ContestStanding::LeftOut(why) => ("in no price", why),
            ContestStanding::Open(why) => ("with and without", why),
        };
        out.push_str(&wrapped(&format!("{}: {word}; {why}", one.item.words), "  "));
    }
    if !prices.unknown.is_empty() {
        out.push_str("\nNOT KNOWN, AND CARRIED BY ITS CHANCE OR EXCLUDED\n");
        prices.unknown.iter().for_each(|words| out.push_str(&wrapped(words, "  ")));
    }
    out.push_str("\nTO BE KNOWN\n");
    prices.notes.iter().for_each(|note| out.push_str(&wrapped(note, "  ")));
    out.push_str(&cautions());
    out
}

fn detail(one: &OptionPrice) -> String {
    let mut out = format!("\n{}\n", one.title.to_uppercase());
    if let Ok(price) = &one.without {
        let (low, usual, high) = price.hours;
        let _ = writeln!(
            out,
            "  {} to {}, half of them below {}; {low:.0} to {high:.0} person-hours, usually {usual:.0}",
            price.range.low, price.range.high, price.range.usual
        );
        for (group, sum) in &price.groups {
            let _ = writeln!(out, "  {:<60}{:>12}", group.words(), sum.exact());
            for line in price.lines.iter().filter(|line| line.group == *group) {
                let _ =
                    writeln!(out, "    {:<40.40} {:>17.17}{:>12}", line.words, line.amount, line.sum.exact());
            }
        }
        let _ = writeln!(out, "  {:<60}{:>12}", "expected, on average", price.mean.exact());
        if !price.exclusions.is_empty() {
            out.push_str("  not in it:\n");
            price.exclusions.iter().for_each(|words| out.push_str(&wrapped(words, "    ")));
        }
        out.push_str(&wrapped(&price.basis, "  "));
    }
    out.push_str("  materials:\n");
    for line in &one.materials {
        out.push_str(&wrapped(&format!("{} x {} ({})", line.quantity, line.words, line.because), "    "));
    }
    out
}
