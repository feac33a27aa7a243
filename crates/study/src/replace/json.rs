//! Prices and the day for other programs.

use super::course::{Built, StepHours};
use super::design::ContestStanding;
use super::outage::OutagePlan;
use super::price::{OptionPrice, Prices};
use remedy::outage::clock;
use remedy::price::{NoPrice, Price};
use serde_json::{Value, json};

/// Prices as a value: sums in cents.
pub fn price_json(prices: &Prices) -> Value {
    let contest = |one: &super::Contest| {
        let (standing, why) = match &one.standing {
            ContestStanding::InScope(why) => ("in-scope", why),
            ContestStanding::LeftOut(why) => ("left-out", why),
            ContestStanding::Open(why) => ("open", why),
        };
        json!({ "id": one.item.id, "words": one.item.words, "standing": standing, "why": why })
    };
    json!({
        "book": prices.book,
        "invented_book": prices.invented_book,
        "options": prices.options.iter().map(option).collect::<Vec<_>>(),
        "contested": prices.contests.iter().map(contest).collect::<Vec<_>>(),
        "unknown": prices.unknown,
        "notes": prices.notes,
    })
}

fn option(one: &OptionPrice) -> Value {
    let materials = one.materials.iter().map(|line| {
        json!({ "part": line.part, "words": line.words, "quantity": line.quantity, "because": line.because })
    });
    json!({
        "option": one.kind.word(),
        "title": one.title,
        "leaves": one.leaves,
        "without": priced(&one.without),
        "with": one.with.as_ref().map(priced),
        "contested": one.open,
        "materials": materials.collect::<Vec<_>>(),
    })
}

fn priced(price: &Result<Price, NoPrice>) -> Value {
    match price {
        Err(error) => json!({ "no_price": error.to_string() }),
        Ok(price) => json!({
            "low_cents": price.range.low.0,
            "usual_cents": price.range.usual.0,
            "high_cents": price.range.high.0,
            "share": remedy::price::SHARE,
            "mean_cents": price.mean.0,
            "hours": [price.hours.0, price.hours.1, price.hours.2],
            "groups": price.groups.iter().map(|(group, sum)| json!({ "group": group.words(), "cents": sum.0 }))
                .collect::<Vec<_>>(),
            "lines": price.lines.iter().map(|line| json!({
                "group": line.group.words(), "id": line.id, "words": line.words, "amount": line.amount,
                "cents": line.sum.0, "source": line.source,
            })).collect::<Vec<_>>(),
            "exclusions": price.exclusions,
            "basis": price.basis,
        }),
    }
}

/// What was built against what was quoted, as a value.
pub fn built_json(built: &Built) -> Value {
    let step = |step: &StepHours| json!({ "step": step.id, "people": step.people, "hours": step.hours, "held_up": step.held_up });
    json!({
        "hours": built.hours,
        "steps": built.steps.iter().map(step).collect::<Vec<_>>(),
        "cents": built.sum.as_ref().and_then(|sum| sum.as_ref().ok()).map(|sum| sum.0),
        "no_sum": built.sum.as_ref().and_then(|sum| sum.as_ref().err()).map(ToString::to_string),
        "quoted_usd": built.quote.as_ref().map(|quote| [quote.range_usd.0, quote.range_usd.1, quote.range_usd.2]),
    })
}

/// The day as a value: times as `HH:MM`.
pub fn outage_json(plan: &OutagePlan) -> Value {
    let outlook = &plan.outlook;
    let task = |(idx, task): (usize, &remedy::outage::Task)| {
        let slot = outlook.usual.get(idx).copied().flatten();
        json!({
            "step": task.id,
            "words": task.words,
            "start": slot.map(|slot| clock(slot.start)),
            "end": slot.map(|slot| clock(slot.end)),
            "minutes": [task.minutes.least, task.minutes.usual, task.minutes.most],
            "people": task.people,
            "dark": task.dark,
            "visit": task.visit.as_ref().map(|visit| visit.words.clone()),
            "critical": outlook.critical.get(idx),
            "on_path": outlook.path.contains(&idx),
        })
    };
    json!({
        "option": plan.option.word(),
        "date": plan.date.map(|date| date.to_string()),
        "start": clock(plan.day.start),
        "crew": plan.day.crew,
        "runs": outlook.n_runs,
        "seed": outlook.seed,
        "back": outlook.back.map(|at| at.map(clock)),
        "back_by": outlook.back_by.iter().map(|(at, share)| json!([clock(*at), share])).collect::<Vec<_>>(),
        "dark_hours": outlook.dark_h,
        "not_that_day": outlook.not_that_day(),
        "booking_hours": plan.hours.iter().map(|hour| json!({
            "inspector": hour.inspector.map(|(from, to)| [clock(from), clock(to)]),
            "supply_back": hour.reconnect.map(|(from, to)| [clock(from), clock(to)]),
            "that_day": hour.that_day,
        })).collect::<Vec<_>>(),
        "helps": plan.helps.iter().map(|(words, share)| json!({ "what": words, "that_day": share })).collect::<Vec<_>>(),
        "missed": outlook.missed.iter().map(|(visit, share)| json!({ "visit": visit, "share": share })).collect::<Vec<_>>(),
        "tasks": plan.day.tasks.iter().enumerate().map(task).collect::<Vec<_>>(),
        "needs": plan.needs.iter().map(|need| json!({
            "id": need.id, "ask": need.ask, "said": need.said, "advice": need.advice, "source": need.source,
        })).collect::<Vec<_>>(),
        "told": plan.told.iter().map(|line| json!({ "when": line.when, "who": line.who, "say": line.say }))
            .collect::<Vec<_>>(),
        "rules": plan.rules.iter().map(|rule| json!({
            "says": rule.says, "card": rule.card, "name": rule.name, "source": rule.source, "told": rule.told.to_string(),
            "old": rule.old, "used": rule.used,
        })).collect::<Vec<_>>(),
        "learned_steps": plan.steps.iter().map(|one| json!({
            "step": one.id, "jobs": one.count.n, "least": one.count.least, "median": one.count.median,
            "most": one.count.most, "used": one.count.used,
        })).collect::<Vec<_>>(),
        "learned_surprises": plan.surprises.iter().map(|one| json!({
            "question": one.id, "yes": one.count.n_yes, "jobs": one.count.n, "listed": one.count.listed,
            "chance": one.count.chance,
        })).collect::<Vec<_>>(),
        "notes": plan.notes,
    })
}
