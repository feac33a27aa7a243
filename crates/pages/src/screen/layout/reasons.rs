//! The figures of a layout, what is proven of it, and why each circuit sits where it sits.

use maud::{Markup, html};
use model::replacement::HeldFor;
use study::{Forecast, LaidOut, Layout, Proof};

/// What a place is held for.
pub(super) fn held_words(held_for: HeldFor) -> &'static str {
    match held_for {
        HeldFor::Generator => "generator",
        HeldFor::Solar => "solar, battery",
        HeldFor::Surge => "surge device",
        HeldFor::Spare => "spare",
        HeldFor::Other => "kept free",
    }
}

fn amps(deci: i64) -> String {
    format!("{:.1} A", deci as f64 / 10.0)
}

/// Legs in each load state, splices, pairs, moves.
pub(super) fn figures(laid_out: &LaidOut, layout: &Layout) -> Markup {
    let bill = &layout.bill;
    html! {
        ul {
            @for (scenario, name) in laid_out.wish.scenarios.iter().enumerate() {
                li {
                    (name) ": "
                    @for (leg, current) in ["A", "B", "C"].iter().zip(&layout.legs[scenario]) { (leg) " " (amps(*current)) ", " }
                    "difference " (amps(bill.leg_difference[scenario]))
                }
            }
            li { "Splices: " (bill.n_splices) }
            li { "Stabs with two loads that run for hours: " (bill.n_continuous_pairs) }
            li { "Stabs with two electronic devices: " (bill.n_electronic_pairs) }
            li { "Rows moved in all: " (bill.moved_rows) ", rows between circuits that belong together: " (bill.apart_rows) }
        }
    }
}

/// What is proven.
pub(super) fn proof(layout: &Layout) -> String {
    let points = layout.bill.points;
    match layout.proof {
        Proof::Optimal => format!("{points} points. Proven: no layout has fewer."),
        Proof::Bounded { bound } => {
            let gap = if points == 0 { 0.0 } else { 100.0 * (points - bound.max(0)) as f64 / points as f64 };
            format!(
                "{points} points. Not proven the best: none has fewer than {}, a gap of {gap:.1} %.",
                bound.max(0)
            )
        }
    }
}

/// What the networks of the diagnosis say.
pub(super) fn forecasts(all: &[(String, Result<Forecast, String>)]) -> Markup {
    let assumed =
        all.iter().find_map(|(_, forecast)| forecast.as_ref().ok()).map(|one| one.assumed.join("; "));
    html! {
        ul {
            @for (name, forecast) in all {
                li {
                    (name) ": "
                    @match forecast {
                        Err(why) => { "not computed: " (why) }
                        Ok(one) => {
                            @for (leg, current) in &one.legs_a { (leg) " " (format!("{current:.1} A")) ", " }
                            "neutral " (format!("{:.1} A", one.neutral_a)) "; "
                            @match &one.heat {
                                Err(why) => (why),
                                Ok(heat) => {
                                    "hottest face " (heat.face.0) " at " (format!("{:.0} °C", heat.face.1))
                                    ", hottest load terminal " (heat.terminal.0) " at " (format!("{:.0} °C", heat.terminal.1))
                                    " of " (format!("{:.0} °C", heat.limit_c)) " allowed"
                                }
                            }
                        }
                    }
                }
            }
        }
        @if let Some(assumed) = assumed { p.quiet { "Inferred, by the networks of the diagnosis. Assumed: " (assumed) "." } }
    }
}

/// Why a circuit sits there.
pub(super) fn why(laid_out: &LaidOut, layout: &Layout, it: usize) -> String {
    let seat = &layout.seats[it];
    let (old, words) = &laid_out.circuits[it];
    let list = |numbers: Vec<String>| numbers.join("/");
    let plan = laid_out.plans.iter().position(|(_, other)| std::ptr::eq(other, layout)).unwrap_or(0);
    let places = laid_out.places(plan, it);
    let from = match old.as_slice() {
        [] => words.clone(),
        old => format!("{} ({words})", list(old.iter().map(u16::to_string).collect())),
    };
    let mut out =
        format!("{from} into {}", list(places.iter().map(|(space, _)| space.to_string()).collect()));
    if seat.spliced.iter().any(|cut| *cut) {
        out.push_str(", with a splice");
    } else if laid_out.wish.blocks[it].poles.iter().all(|pole| pole.reach.is_some()) {
        out.push_str(&format!(", reaches it; {} places in reach", seat.n_in_reach));
    }
    if laid_out.wish.blocks[it].locked.is_some() {
        return out + ": decided by hand.";
    }
    match &seat.next {
        None => out.push_str(": no single exchange puts it elsewhere."),
        Some(next) => {
            let with =
                next.with.as_ref().map_or_else(String::new, |with| format!(" in exchange with {with}"));
            let more = match next.more {
                0 => "just as good".to_owned(),
                more => format!("{more} points more"),
            };
            out.push_str(&format!(": next best is {}{with}, {more}.", next.space));
        }
    }
    out
}
