//! Layouts of a new panel, as text and as a value for other programs.

use crate::show::code::wrapped;
use serde_json::{Value, json};
use std::fmt::Write;
use study::{Aim, Bill, Exchange, Forecast, LaidOut, Layout, Proof, Weights};

/// All layouts: the proposed one whole, of the others what is different.
pub(crate) fn text(laid_out: &LaidOut) -> String {
    let board = &laid_out.wish.board;
    let mut out = format!(
        "Panel {}, {} circuits into {} spaces\n",
        laid_out.panel,
        laid_out.circuits.len(),
        board.n_spaces
    );
    for (k, (aim, layout)) in laid_out.plans.iter().enumerate() {
        let word = if k == 0 { "PROPOSED" } else { "ANOTHER" };
        let _ = write!(out, "\n{word}: {}\n", aim.name.to_uppercase());
        out.push_str(&wrapped(&aim.words, "  "));
        out.push_str(&drawn(laid_out, layout));
        out.push_str(&bill(laid_out, layout));
        out.push_str(&wrapped(&proof(layout), "  "));
        if k == 0 {
            out.push_str("\nWHY THERE\n");
            for it in 0..layout.seats.len() {
                out.push_str(&wrapped(&why(laid_out, layout, it), "  "));
            }
        }
    }
    out
}

/// What the networks of the diagnosis say of the proposed layout.
pub(crate) fn forecasts(all: &[(String, Result<Forecast, String>)]) -> String {
    let mut out =
        String::from("\nCURRENTS AND TEMPERATURES OF THE PROPOSED ONE (by the networks of the diagnosis)\n");
    for (name, forecast) in all {
        let text = match forecast {
            Err(why) => format!("{name}: not computed: {why}"),
            Ok(forecast) => {
                let legs: Vec<String> =
                    forecast.legs_a.iter().map(|(leg, amps)| format!("{leg} {amps:.1} A")).collect();
                let heat = match &forecast.heat {
                    Err(why) => why.clone(),
                    Ok(heat) => format!(
                        "hottest face {} at {:.0} °C, hottest load terminal {} at {:.0} °C of {:.0} °C allowed",
                        heat.face.0, heat.face.1, heat.terminal.0, heat.terminal.1, heat.limit_c
                    ),
                };
                format!("{name}: legs {}, neutral {:.1} A; {heat}", legs.join(", "), forecast.neutral_a)
            }
        };
        out.push_str(&wrapped(&text, "  "));
    }
    let assumed =
        all.iter().find_map(|(_, forecast)| forecast.as_ref().ok()).map(|one| one.assumed.join("; "));
    if let Some(words) = assumed {
        out.push_str(&wrapped(&format!("Assumed: {words}."), "  "));
    }
    out
}

/// The panel in two columns.
fn drawn(laid_out: &LaidOut, layout: &Layout) -> String {
    let board = &laid_out.wish.board;
    let mut cells = vec![String::new(); board.n_rows * board.n_columns];
    for (seat, (old, words)) in layout.seats.iter().zip(&laid_out.circuits) {
        let top = seat.spaces.iter().min().copied().unwrap_or(1);
        for (pole, &space) in seat.spaces.iter().enumerate() {
            let was = old.get(pole).map_or(String::new(), |old| format!("was {old}"));
            if 0 < pole && seat.spaces[..pole].contains(&space) {
                // Two half-width breakers: the words of both stand there already.
                let first = old.first().map(|first| format!("was {first}")).unwrap_or_default();
                cells[space - 1] =
                    format!("{:<7} {words}", format!("{first},{}", was.trim_start_matches("was ")));
                continue;
            }
            cells[space - 1] = if space == top { format!("{was:<7} {words}") } else { format!("{was:<7} ^") };
        }
    }
    for &spare in &layout.spares {
        for space in [spare, spare + board.n_columns] {
            cells[space - 1] = "kept for two poles".into();
        }
    }
    for held in &laid_out.held {
        for space in &held.spaces {
            if let Some(cell) = cells.get_mut(usize::from(space.number) - 1) {
                *cell = format!("held: {}", format!("{:?}", held.held_for).to_lowercase());
            }
        }
    }
    for &space in &laid_out.wish.reserved {
        if space <= cells.len() && cells[space - 1].is_empty() {
            cells[space - 1] = "kept free".into();
        }
    }
    let legs = ["A", "B", "C"];
    let mut out = String::new();
    for row in 0..board.n_rows {
        let cell = |column: usize| {
            let number = row * board.n_columns + column + 1;
            if board.n_spaces < number {
                String::new()
            } else {
                format!("{number:>3} {}", cut(&cells[number - 1], 30))
            }
        };
        let line = format!("  {} {:<36} {}", legs[board.leg(row) % 3], cell(0), cell(1));
        out.push_str(line.trim_end());
        out.push('\n');
    }
    out
}

fn cut(words: &str, most: usize) -> String {
    if words.chars().count() <= most {
        words.to_owned()
    } else {
        words.chars().take(most - 1).chain(['…']).collect()
    }
}

fn amps(deci: i64) -> String {
    format!("{:.1} A", deci as f64 / 10.0)
}

fn bill(laid_out: &LaidOut, layout: &Layout) -> String {
    let mut out = String::new();
    for (scenario, name) in laid_out.wish.scenarios.iter().enumerate() {
        let legs: Vec<String> = layout.legs[scenario]
            .iter()
            .zip(["A", "B", "C"])
            .map(|(&current, leg)| format!("{leg} {}", amps(current)))
            .collect();
        let difference = amps(layout.bill.leg_difference[scenario]);
        out.push_str(&wrapped(&format!("{name}: {}, difference {difference}", legs.join(", ")), "  "));
    }
    let bill = &layout.bill;
    out.push_str(&wrapped(
        &format!(
            "splices {}; stabs with two loads that run for hours {}; rows moved in all {}",
            bill.n_splices, bill.n_continuous_pairs, bill.moved_rows
        ),
        "  ",
    ));
    out
}

/// What is proven.
fn proof(layout: &Layout) -> String {
    let points = layout.bill.points;
    match layout.proof {
        Proof::Optimal => format!("{points} points; proven: no layout has fewer."),
        Proof::Bounded { bound } => {
            format!(
                "{points} points; not proven the best: none has fewer than {bound}. A higher --effort may close the gap."
            )
        }
    }
}

fn why(laid_out: &LaidOut, layout: &Layout, it: usize) -> String {
    let seat = &layout.seats[it];
    let (old, words) = &laid_out.circuits[it];
    let spaces = |list: &mut dyn Iterator<Item = String>| list.collect::<Vec<_>>().join("/");
    let from = spaces(&mut old.iter().map(u16::to_string));
    let mut out = format!(
        "{} into {}",
        if from.is_empty() { words.clone() } else { format!("{from} ({words})") },
        spaces(&mut laid_out.places(0, it).iter().map(|(space, _)| space.to_string()))
    );
    let short: Vec<String> = seat
        .spliced
        .iter()
        .zip(&seat.spaces)
        .filter(|(cut, _)| **cut)
        .map(|(_, at)| at.to_string())
        .collect();
    if !short.is_empty() {
        let _ = write!(out, ", spliced at {}", short.join(" and "));
    } else if laid_out.wish.blocks[it].poles.iter().all(|pole| pole.reach.is_some()) {
        let _ = write!(out, ", reaches without a splice ({} such places)", seat.n_in_reach);
    }
    if laid_out.wish.blocks[it].locked.is_some() {
        out.push_str(": decided beforehand.");
        return out;
    }
    match &seat.next {
        None => out.push_str(": no single exchange puts it elsewhere."),
        Some(next) => {
            let with =
                next.with.as_ref().map_or_else(String::new, |with| format!(" in exchange with {with}"));
            let _ = write!(out, ": next best is {}{with}, ", next.space);
            match next.more {
                0 => out.push_str("just as good."),
                more => {
                    let _ = write!(
                        out,
                        "{more} points more ({}).",
                        difference(&layout.bill, next, &laid_out.plans[0].0.weights)
                    );
                }
            }
        }
    }
    out
}

/// What an exchange would make worse or better.
fn difference(now: &Bill, next: &Exchange, weights: &Weights) -> String {
    let then = &next.bill;
    let mut parts = Vec::new();
    let mut part = |more: i64, words: &str| {
        if more != 0 {
            parts.push(format!("{more:+} {words}"));
        }
    };
    part(then.n_splices as i64 - now.n_splices as i64, "splices");
    let excess =
        |bill: &Bill| bill.leg_difference.iter().map(|&one| (one - weights.tolerance).max(0)).sum::<i64>();
    let legs = excess(then) - excess(now);
    part(then.continuous_rows - now.continuous_rows, "rows from the feed for long loads");
    part(then.n_continuous_pairs - now.n_continuous_pairs, "stabs with two long loads");
    part(then.n_electronic_pairs - now.n_electronic_pairs, "stabs with two electronic devices");
    part(then.moved_rows - now.moved_rows, "rows moved");
    if legs != 0 {
        parts.push(format!("{:+.1} A between the legs", legs as f64 / 10.0));
    }
    parts.join(", ")
}

/// For other programs.
pub(crate) fn json(laid_out: &LaidOut) -> Value {
    let plan = |(aim, layout): &(Aim, Layout)| {
        let seats: Vec<Value> = layout
            .seats
            .iter()
            .zip(&laid_out.circuits)
            .map(|(seat, (old, words))| json!({ "from": old, "to": seat.spaces, "feeds": words, "spliced": seat.spliced }))
            .collect();
        let legs: Vec<Value> = laid_out
            .wish
            .scenarios
            .iter()
            .zip(&layout.legs)
            .map(|(name, legs)| {
                json!({ "state": name, "legs_a": legs.iter().map(|&leg| leg as f64 / 10.0).collect::<Vec<_>>() })
            })
            .collect();
        json!({
            "aim": aim.name,
            "points": layout.bill.points,
            "proven": layout.proof == Proof::Optimal,
            "none_below": match layout.proof { Proof::Optimal => layout.bill.points, Proof::Bounded { bound } => bound },
            "circuits": seats,
            "kept_for_two_poles": layout.spares,
            "legs": legs,
        })
    };
    json!({
        "panel": laid_out.panel.to_string(),
        "spaces": laid_out.wish.board.n_spaces,
        "layouts": laid_out.plans.iter().map(plan).collect::<Vec<_>>(),
        "notes": laid_out.notes,
        "cautions": study::code::CAUTIONS,
    })
}
