//! The lines of a price, and the simulation of its range.

use super::{Ask, Group, Line, NoPrice, Range, Rate, step_hours};
use crate::dice::{Dice, Three, quantile};
use crate::materials::Material;
use crate::work::{Per, Step};
use model::Cents;

/// What the book says on the day.
pub(super) struct Rates {
    hour_usd: f64,
    /// Factor on parts: markup, then tax on both.
    parts: f64,
    pub(super) reserve: f64,
    permit: Cents,
    utility: Cents,
}

impl Rates {
    pub(super) fn of(ask: &Ask<'_>, list: &[Material]) -> Result<Rates, NoPrice> {
        let rate = |rate: Rate| ask.book.rate(rate, ask.day);
        let mut items: Vec<String> = Rate::ALL
            .into_iter()
            .filter(|one| rate(*one).is_none())
            .map(|one| one.item().to_owned())
            .collect();
        items.extend(
            list.iter().filter(|one| ask.book.on(&one.part, ask.day).is_none()).map(|one| one.part.clone()),
        );
        items.dedup();
        if !items.is_empty() {
            return Err(NoPrice::NotInTheBook { day: ask.day, items });
        }
        let percent = |one: Rate| rate(one).unwrap_or_default() / 100.0;
        Ok(Rates {
            hour_usd: rate(Rate::PersonHour).unwrap_or_default(),
            parts: (1.0 + percent(Rate::Markup)) * (1.0 + percent(Rate::Tax)),
            reserve: percent(Rate::Reserve),
            permit: Cents::from_usd(rate(Rate::Permit).unwrap_or_default()),
            utility: Cents::from_usd(rate(Rate::Utility).unwrap_or_default()),
        })
    }
}

/// How many of its `per` a step has in the design.
pub fn times(step: &Step, design: &crate::materials::Design) -> u32 {
    match step.per {
        Per::Job => 1,
        Per::Circuit => design.n_circuits,
        Per::Moved => design.n_moved,
        Per::Splice => design.n_splices,
    }
}

/// Steps that cost something, with their person-hours before the pace.
fn labour<'a>(ask: &Ask<'a>) -> Vec<(&'a Step, u32, Three)> {
    ask.steps
        .of(ask.design.option)
        .filter(|step| !ask.done.contains(&step.id))
        .map(|step| (step, times(step, ask.design)))
        .filter(|(_, n)| 0 < *n)
        .map(|(step, n)| (step, n, step_hours(step.minutes, n, step.people)))
        .collect()
}

/// Does the work wait for somebody from outside?
fn waits(ask: &Ask<'_>) -> bool {
    ask.steps.of(ask.design.option).any(|step| step.visit.is_some())
}

fn hours_words(hours: f64) -> String {
    format!("{hours:.1} h")
}

pub(super) fn lines(ask: &Ask<'_>, list: &[Material], rates: &Rates) -> Vec<Line> {
    let mut lines = Vec::new();
    let pace = ask.steps.pace.mean();
    let mut line = |group, id: &str, words: &str, amount, usd: f64, source: &str| {
        lines.push(Line {
            group,
            id: id.to_owned(),
            words: words.to_owned(),
            amount,
            sum: Cents::from_usd(usd),
            source: source.to_owned(),
        });
    };
    for (step, _, hours) in labour(ask) {
        let hours = hours.mean() * pace;
        line(Group::Labour, &step.id, &step.words, hours_words(hours), hours * rates.hour_usd, &step.source);
    }
    for item in ask.with.iter().filter(|item| 0.0 < item.hours.most) {
        let hours = item.hours.mean() * pace;
        let usd = hours * rates.hour_usd;
        line(Group::Labour, &item.id, &item.words, hours_words(hours), usd, &item.source);
    }
    if waits(ask) {
        let (hours, words) = (ask.steps.waiting_hours.mean(), "Waiting for the utility and the inspector");
        let usd = hours * rates.hour_usd;
        line(Group::Labour, "waiting", words, hours_words(hours), usd, &ask.steps.waiting_source);
    }
    for material in list {
        if let Some(known) = ask.book.on(&material.part, ask.day) {
            let each = known.price * rates.parts;
            let amount = format!("{} {}", material.quantity, known.unit);
            let usd = each * f64::from(material.quantity);
            line(Group::Materials, &material.part, &material.words, amount, usd, &known.source);
        }
    }
    if ask.fees {
        line(Group::Fees, "permit", "Permit", "1".to_owned(), rates.permit.usd(), "price book");
        line(
            Group::Fees,
            "utility",
            "Utility, off and on",
            "1".to_owned(),
            rates.utility.usd(),
            "price book",
        );
    }
    for risk in ask.risks {
        let expected = risk.expected();
        if 0.0 < expected {
            let usd =
                expected * (risk.hours.mean() * pace * rates.hour_usd + risk.parts_usd.mean() * rates.parts);
            let amount = match (risk.n_yes, risk.n_unknown) {
                (yes, 0) => format!("{yes}, known"),
                (0, open) => format!("{open} unknown, {:.0} % each", risk.chance * 100.0),
                (yes, open) => format!("{yes} known, {open} unknown, {:.0} % each", risk.chance * 100.0),
            };
            line(Group::Allowance, &risk.id, &risk.words, amount, usd, &risk.source);
        }
    }
    lines
}

/// The range of the price and of the person-hours.
pub(super) fn simulate(ask: &Ask<'_>, list: &[Material], rates: &Rates) -> (Range, (f64, f64, f64)) {
    let labour = labour(ask);
    let waits = waits(ask);
    let priced = |one: &Material| ask.book.on(&one.part, ask.day).map_or(0.0, |known| known.price);
    let parts: f64 = list.iter().map(|one| priced(one) * f64::from(one.quantity)).sum();
    let fees = if ask.fees { rates.permit.usd() + rates.utility.usd() } else { 0.0 };
    let mut dice = Dice::new(ask.seed);
    let (mut sums, mut all_hours) = (Vec::with_capacity(ask.n_draws), Vec::with_capacity(ask.n_draws));
    for _ in 0..ask.n_draws.max(1) {
        let pace = dice.three(ask.steps.pace);
        let mut hours: f64 = labour.iter().map(|(_, _, hours)| dice.three(*hours)).sum();
        hours += ask.with.iter().map(|item| dice.three(item.hours)).sum::<f64>();
        let mut usd = parts;
        for risk in ask.risks {
            let open = (0..risk.n_unknown).filter(|_| dice.happens(risk.chance)).count();
            let n = f64::from(risk.n_yes) + open as f64;
            if 0.0 < n {
                hours += n * dice.three(risk.hours);
                usd += n * dice.three(risk.parts_usd);
            }
        }
        hours *= pace;
        if waits {
            hours += dice.three(ask.steps.waiting_hours);
        }
        all_hours.push(hours);
        sums.push((hours * rates.hour_usd + usd * rates.parts) * (1.0 + rates.reserve) + fees);
    }
    sums.sort_by(f64::total_cmp);
    all_hours.sort_by(f64::total_cmp);
    let tail = (1.0 - super::SHARE) / 2.0;
    let range = Range {
        low: Cents::from_usd(quantile(&sums, tail)).rounded(),
        usual: Cents::from_usd(quantile(&sums, 0.5)).rounded(),
        high: Cents::from_usd(quantile(&sums, 1.0 - tail)).rounded(),
    };
    let hours = (quantile(&all_hours, tail), quantile(&all_hours, 0.5), quantile(&all_hours, 1.0 - tail));
    (range, hours)
}
