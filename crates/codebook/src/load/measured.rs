//! Measured demand: a year of meter data or a recording, with a factor, and what is to be added.

use super::blocked::{BadInput, Blocked, Question};
use super::compare::Method;
use super::demand;
use super::dwelling::{Dwelling, Load, LoadKind, Status, load};
use super::print;
use super::readings::{NettingReading, Readings};
use super::sheet::{Draft, Sheet, input, ruled, working};
use crate::law::Law;
use crate::rule;

pub use model::dwelling::{Basis, MeasuredDemand};

fn questions(demand: &MeasuredDemand) -> Vec<Question> {
    let mut asked = vec![];
    if demand.own_generation.is_none() {
        asked.push(Question::new(
            "measured demand",
            "Is there solar, a battery or peak shaving on this service?",
            "the meter then does not see the load, and the method is barred",
        ));
    }
    if demand.occupied.is_none() {
        asked.push(Question::new(
            "measured demand",
            "Was the house lived in as usual while it was measured?",
            "an empty house shows no demand",
        ));
    }
    if matches!(demand.basis, Basis::Recording { .. }) && demand.season_included.is_none() {
        asked.push(Question::new(
            "measured demand",
            "Does the recording hold the larger of heating and cooling, by measurement or by calculation?",
            "a recording of another season misses it",
        ));
    }
    asked
}

/// The load by measured demand, with the upper end of the demand, and what is to be added.
pub fn measured(
    law: &Law<'_>,
    dwelling: &Dwelling,
    demand: &MeasuredDemand,
    readings: &Readings,
) -> Result<Sheet, Blocked> {
    let factor = law.number(rule::MEASURED_PERCENT)?;
    let days = law.number(rule::MEASURED_RECORD_DAYS)?;
    let minutes = law.number(rule::MEASURED_MINUTES)?;
    let own = law.word(rule::MEASURED_OWN_GENERATION)?;
    let mut asked = questions(demand);
    let mut bad = vec![];
    for value in [demand.least_kw, demand.most_kw] {
        if !(0.0..=400.0).contains(&value) || demand.most_kw < demand.least_kw {
            let subject = "measured demand".to_owned();
            bad.push(BadInput::Range { subject, value, unit: "kW", least: 0.0, most: 400.0 });
        }
    }
    let pf = demand.power_factor.unwrap_or(1.0);
    if !(0.5..=1.0).contains(&pf) {
        let subject = "power factor".to_owned();
        bad.push(BadInput::Range { subject, value: pf, unit: "", least: 0.5, most: 1.0 });
    }
    let mut figures = |status: Status| -> Vec<Load> {
        let items = dwelling.items.iter().filter(|item| item.status == status);
        items.filter_map(|item| load(item, law, &mut asked, &mut bad)).collect()
    };
    let mut added = figures(Status::Added);
    let removed = figures(Status::Removed);
    added.sort_by(|a, b| a.va.total_cmp(&b.va).reverse().then_with(|| a.name.cmp(&b.name)));
    if !bad.is_empty() {
        return Err(Blocked::Input(bad));
    }
    if !asked.is_empty() {
        return Err(Blocked::Ask(asked));
    }
    let barred = |why: &str, cite| Err(Blocked::NotFor { why: why.to_owned(), cite: Box::new(cite) });
    if demand.own_generation == Some(true) && own.value == "barred" {
        return barred(
            "own generation or peak shaving on the same supply hides the load from the meter",
            own.cite(),
        );
    }
    if demand.occupied == Some(false) {
        return barred("the house was not lived in as usual while it was measured", factor.cite());
    }
    if let Basis::Recording { days: n_days, interval_min } = demand.basis {
        if f64::from(n_days) < days.value {
            return barred(&format!("{n_days} days are recorded; the least is {}", days.value), days.cite());
        }
        if minutes.value < f64::from(interval_min) {
            return barred(
                &format!("the recording averages over {interval_min} min; the rule over {}", minutes.value),
                minutes.cite(),
            );
        }
        if demand.season_included == Some(false) {
            return barred(
                "the recording misses the larger of heating and cooling; add it by calculation",
                days.cite(),
            );
        }
    }
    let mut draft = Draft::default();
    let netted = if readings.netting == NettingReading::Subtracted {
        print::sum(removed.iter().map(|load| load.va))
    } else {
        0.0
    };
    let peak_va = demand.most_kw * 1000.0 / pf;
    let base = if peak_va < netted { 0.0 } else { peak_va - netted };
    let va = base * factor.value / 100.0;
    let basis = match demand.basis {
        Basis::Year { interval_min } => format!("meter data of a year, intervals of {interval_min} min"),
        Basis::Recording { days, interval_min } => format!("recording of {days} days, {interval_min} min"),
    };
    let mut inputs = vec![
        input(
            "P",
            "greatest demand",
            format!("{:.2} kW (at least {:.2} kW)", demand.most_kw, demand.least_kw),
            &basis,
        ),
        input(
            "pf",
            "power factor",
            format!("{pf}"),
            if demand.power_factor.is_some() { "measured" } else { "taken as 1" },
        ),
        ruled("k", "factor", print::percent(factor.value), &factor),
    ];
    if 0.0 < netted {
        inputs.push(input("S_out", "taken out", print::va(netted), "nameplates"));
    }
    let told = working(
        "measured demand",
        "service",
        "S = (P/pf - S_out)·k",
        inputs,
        print::va(va),
        "a supply without own generation or peak shaving; the meter tells both legs together, not the more loaded one",
        factor.cite(),
    );
    draft.line("measured demand", 0.0, va, told);
    if demand.power_factor.is_none() {
        draft.note(
            "measured demand",
            "the meter tells kilowatts; the power factor is taken as 1, and 0.95 would give 5 % more",
            None,
        );
    }
    if demand.least_kw < demand.most_kw {
        draft.note(
            "measured demand",
            format!(
                "the data bound the {} min demand between {:.2} and {:.2} kW; the upper end is used. Many inspectors \
                 accept the mean of the interval as it is: ask",
                minutes.value, demand.least_kw, demand.most_kw
            ),
            Some(minutes.cite()),
        );
    }
    for load in &added {
        let (va, inputs, cite) = match load.kind {
            LoadKind::Ev => {
                let ev = demand::ev(law, load, readings)?;
                (ev.va * ev.percent / 100.0, ev.inputs, ev.cite)
            }
            LoadKind::HeatPump { supplement_va, together } => {
                let apart = if load.va < supplement_va { supplement_va } else { load.va };
                let va = if together { load.va + supplement_va } else { apart };
                (
                    va,
                    vec![input("S_n", "compressor and supplement", print::va(va), &load.label)],
                    factor.cite(),
                )
            }
            _ => (load.va, vec![input("S_n", "nameplate", print::va(load.va), &load.label)], factor.cite()),
        };
        let title = format!("new: {}", load.name);
        let told = working(
            &title,
            &load.name,
            "S = S_n",
            inputs,
            print::va(va),
            "a new load at its calculated value",
            cite,
        );
        draft.line(&title, 0.0, va, told);
    }
    Ok(draft.finish(law, Method::Measured, dwelling.system, false, None)?)
}
