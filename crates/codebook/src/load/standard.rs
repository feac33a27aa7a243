//! The standard method (Part III): every kind of load with its own demand factor.

use super::blocked::Blocked;
use super::compare::Method;
use super::cooking;
use super::demand::{self, general, know, note_unmanaged};
use super::dwelling::{Dwelling, Known, Load, LoadKind, Wires};
use super::hvac::Hvac;
use super::neutral::{OnNeutral, neutral};
use super::print;
use super::readings::{BlowerReading, DroppedMotorReading, Readings};
use super::sheet::{Draft, Sheet, input, ruled, working};
use crate::law::Law;
use crate::rule;

/// The load of a dwelling by the standard method.
pub fn standard(law: &Law<'_>, dwelling: &Dwelling, readings: &Readings) -> Result<Sheet, Blocked> {
    let known = know(law, dwelling, readings)?;
    let mut draft = Draft::default();
    note_unmanaged(law, &dwelling.items, &mut draft)?;
    sheet(law, &known, readings, draft, Method::Standard)
}

pub(crate) fn sheet(
    law: &Law<'_>,
    known: &Known,
    readings: &Readings,
    mut draft: Draft,
    method: Method,
) -> Result<Sheet, Blocked> {
    let on = lines(law, known, readings, &mut draft)?;
    let neutral = neutral(law, known.system, on, readings)?;
    draft.note(
        "neutral",
        "the least size of the grounded service conductor is a question of its own; see the sizes",
        None,
    );
    Ok(draft.finish(law, method, known.system, true, Some(neutral))?)
}

/// What the neutral carries by the standard method; the other methods have no neutral of their own.
pub(crate) fn on_neutral(law: &Law<'_>, known: &Known, readings: &Readings) -> Result<OnNeutral, Blocked> {
    lines(law, known, readings, &mut Draft::default())
}

fn lines(law: &Law<'_>, known: &Known, readings: &Readings, draft: &mut Draft) -> Result<OnNeutral, Blocked> {
    let mut on = OnNeutral { general: lighting(law, known, draft)?, ..OnNeutral::default() };
    on.other += appliances(law, known, readings, draft)?;
    on.dryers = dryers(law, known, draft)?;
    let units: Vec<f64> =
        known.loads.iter().filter(|load| load.kind.is_cooking()).map(|load| load.va).collect();
    if !units.is_empty() {
        let (va, working) = cooking::feeder(law, &units, readings.count)?;
        on.cooking = va;
        draft.line("cooking", 0.0, va, working);
    }
    let running = heating_or_cooling(law, known, readings, draft, &mut on)?;
    on.other += plain_motors(law, known, draft)?;
    on.motor = largest_motor(law, known, running, draft)?;
    for load in known.loads.iter().filter(|load| load.kind == LoadKind::Ev) {
        let ev = demand::ev(law, load, readings)?;
        let va = ev.va * ev.percent / 100.0;
        let title = format!("vehicle supply: {}", load.name);
        let valid = "not in the pool of fastened-in-place appliances";
        let told = working(&title, &load.name, ev.formula, ev.inputs, print::va(va), valid, ev.cite);
        draft.line(&title, 0.0, va, told);
    }
    on.other += demand::managed(law, known, draft)?;
    Ok(on)
}

/// Lighting, small-appliance and laundry load after the demand table.
fn lighting(law: &Law<'_>, known: &Known, draft: &mut Draft) -> Result<f64, Blocked> {
    let general = general(law, known, draft)?;
    let table = law.word(rule::LIGHTING_DEMAND)?;
    let (mut left, mut before, mut va) = (general.va(), 0.0, 0.0);
    let mut parts = vec![];
    for row in law.tables().lighting.iter().filter(|row| row.variant == table.value) {
        let width = row.upto_va.map_or(left, |upto| upto - before);
        let part = if left < width { left } else { width };
        if 0.0 < part {
            va += part * row.percent / 100.0;
            parts.push(format!("{} × {} %", print::va(part), row.percent));
        }
        left -= part;
        before = row.upto_va.unwrap_or(before);
    }
    let mut inputs = general.inputs;
    inputs.push(input(
        "S",
        "before demand",
        print::va(general.lighting_va + general.small_va + general.laundry_va),
        "A·q + n_s·1500 + n_l·1500",
    ));
    let formula = parts.join(" + ");
    let valid = "dwellings; small-appliance and laundry load may be put under the table of lighting";
    let told = working(
        "lighting and small appliances",
        "dwelling",
        &formula,
        inputs,
        print::va(va),
        valid,
        table.cite(),
    );
    draft.line("lighting, small appliances, laundry", va, 0.0, told);
    Ok(va)
}

/// The pool of fastened-in-place appliances. Returns its part on the neutral, without the demand factor.
fn appliances(law: &Law<'_>, known: &Known, readings: &Readings, draft: &mut Draft) -> Result<f64, Blocked> {
    let pool: Vec<&Load> = known
        .loads
        .iter()
        .filter(|load| {
            load.kind == LoadKind::Appliance
                || (load.kind == LoadKind::AirHandler && readings.blower == BlowerReading::Pool)
        })
        .collect();
    if pool.is_empty() {
        return Ok(0.0);
    }
    let count = law.number(rule::APPLIANCES_COUNT)?;
    let percent = law.number(rule::APPLIANCES_PERCENT)?;
    let floor = law.maybe_number(rule::APPLIANCES_LEAST_RATING)?;
    // The size floor is told for motors in horsepower; 1/4 hp draws more than the floor in volt-amperes.
    let (counted, small): (Vec<&Load>, Vec<&Load>) =
        pool.iter().partition(|load| floor.as_ref().is_none_or(|floor| floor.value <= load.va));
    let k = if count.value <= counted.len() as f64 { percent.value } else { 100.0 };
    let share = |loads: &[&Load], pick: fn(Wires) -> bool| {
        print::sum(loads.iter().filter(|load| pick(load.wires)).map(|load| load.va))
    };
    let to_neutral: fn(Wires) -> bool = |wires| wires == Wires::LineToNeutral;
    let between_legs: fn(Wires) -> bool = |wires| wires != Wires::LineToNeutral;
    let with_neutral: fn(Wires) -> bool = |wires| wires != Wires::LineToLine;
    let names: Vec<String> = pool.iter().map(|load| load.told()).collect();
    let neutral_va = share(&counted, to_neutral) * k / 100.0 + share(&small, to_neutral);
    let legs_va = share(&counted, between_legs) * k / 100.0 + share(&small, between_legs);
    let mut inputs = vec![
        input("S_n", "nameplates", names.join(", "), "nameplates"),
        ruled(
            "n",
            "appliances that count",
            format!("{}, factor from {}", counted.len(), count.value),
            &count,
        ),
        ruled("k", "demand factor", print::percent(k), &percent),
    ];
    if let Some(floor) = &floor
        && !small.is_empty()
    {
        inputs.push(ruled("", "below the size that counts, at 100 %", print::va(floor.value), floor));
    }
    let told = working(
        "fastened-in-place appliances",
        "appliances",
        "S = Σ S_n · k",
        inputs,
        print::va(neutral_va + legs_va),
        "no cooking, dryer, space heating, air conditioning or vehicle supply",
        percent.cite(),
    );
    draft.line("fastened-in-place appliances", neutral_va, legs_va, told);
    // The neutral takes the factor only where enough of the appliances are on it: the careful side.
    let on_neutral = counted.iter().filter(|load| with_neutral(load.wires)).count() as f64;
    let share_k = if count.value <= on_neutral { k } else { 100.0 };
    Ok(share(&counted, with_neutral) * share_k / 100.0 + share(&small, with_neutral))
}

/// Dryers, each at least at the floor, with the demand of their number.
fn dryers(law: &Law<'_>, known: &Known, draft: &mut Draft) -> Result<f64, Blocked> {
    let dryers: Vec<&Load> = known.loads.iter().filter(|load| load.kind == LoadKind::Dryer).collect();
    if dryers.is_empty() {
        return Ok(0.0);
    }
    let floor = law.number(rule::DRYER_LEAST)?;
    let table = law.word(rule::DRYER_DEMAND)?;
    let n = dryers.len() as u32;
    let row = law
        .tables()
        .dryer
        .iter()
        .find(|row| row.holds(n))
        .expect("the dryer table has a row for every number");
    let percent = row.percent_of(n);
    let sum = print::sum(dryers.iter().map(|load| if load.va < floor.value { floor.value } else { load.va }));
    let va = sum * percent / 100.0;
    let told = working(
        "clothes dryers",
        "dryers",
        "S = Σ max(S_n, S_min) · k",
        vec![
            input(
                "S_n",
                "nameplates",
                dryers.iter().map(|load| print::va(load.va)).collect::<Vec<_>>().join(", "),
                "nameplates",
            ),
            ruled("S_min", "at least", print::va(floor.value), &floor),
            ruled("k", &format!("demand of {n}"), print::percent(percent), &table),
        ],
        print::va(va),
        "household electric clothes dryers",
        table.cite(),
    );
    draft.line("clothes dryers", 0.0, va, told);
    Ok(va)
}

/// The larger of heating and cooling with the addition for the largest motor that then runs, and the blowers that run
/// with either. Tells whether cooling counts, and whether its 125 % is in the line already.
fn heating_or_cooling(
    law: &Law<'_>,
    known: &Known,
    readings: &Readings,
    draft: &mut Draft,
    on: &mut OnNeutral,
) -> Result<Running, Blocked> {
    let hvac = Hvac::of(known, readings);
    let percent = law.number(rule::MOTOR_LARGEST_PERCENT)?.value;
    let addition = |running| largest(known, running).map_or(0.0, |load| load.motor_va * percent / 100.0);
    let heating = hvac.heating_all() * law.number(rule::HEAT_PERCENT)?.value / 100.0;
    let cooling = hvac.cooling_all();
    let ruling = law.word(rule::NONCOINCIDENT)?;
    let lifted = ruling.value == "larger-with-motor-125" && cooling < heating;
    let share = if lifted { 1.25 } else { 1.0 };
    // From 2020 the motor of what is dropped is to be used in the calculation; how is read in two ways.
    let counted = lifted && readings.dropped_motor == DroppedMotorReading::Counted;
    let warm = Running { cooling: counted, compressors: 0.0 < hvac.heat_pumps(1.0) };
    let cold = Running { cooling: !lifted, compressors: 0.0 < hvac.compressors };
    let compared = hvac.compressors + hvac.cooling * share;
    let cools = heating + addition(warm) < compared + addition(cold);
    if 0.0 < heating || 0.0 < cooling {
        let va = if cools { compared } else { heating };
        let neutral_va = if cools { hvac.cooling_neutral * share } else { hvac.heat_neutral };
        on.other += neutral_va;
        let told = working(
            "heating or cooling",
            "heating and cooling",
            "S = S_heat or S_cool, whichever is larger with its largest motor",
            vec![
                input("S_heat", "all that heats together", print::va(heating), "nameplates"),
                input(
                    "S_cool",
                    &format!("all that cools together, air conditioning × {share}"),
                    print::va(compared),
                    "nameplates",
                ),
                input("", "addition for the largest motor, heating", print::va(addition(warm)), "this sheet"),
                input("", "addition for the largest motor, cooling", print::va(addition(cold)), "this sheet"),
            ],
            print::va(va),
            "loads that are unlikely to run together; a heat pump counts on both sides",
            ruling.cite(),
        );
        draft.line(if cools { "cooling" } else { "heating" }, neutral_va, va - neutral_va, told);
    }
    if 0.0 < hvac.blowers {
        on.other += hvac.blowers_neutral;
        let cite = law.number(rule::HEAT_PERCENT)?.cite();
        let inputs = vec![input("S_n", "nameplates", print::va(hvac.blowers), "nameplates")];
        let valid = "read as heating and cooling equipment: it runs with either";
        let told = working(
            "blowers",
            "heating and cooling",
            "S = Σ S_n",
            inputs,
            print::va(hvac.blowers),
            valid,
            cite,
        );
        draft.line("blowers", hvac.blowers_neutral, hvac.blowers - hvac.blowers_neutral, told);
    }
    Ok(if cools { cold } else { warm })
}

/// Motors that are no appliance, at 100 %.
fn plain_motors(law: &Law<'_>, known: &Known, draft: &mut Draft) -> Result<f64, Blocked> {
    let motors: Vec<&Load> = known.loads.iter().filter(|load| load.kind == LoadKind::Motor).collect();
    if motors.is_empty() {
        return Ok(0.0);
    }
    let cite = law.number(rule::MOTOR_LARGEST_PERCENT)?.cite();
    let neutral_va =
        print::sum(motors.iter().filter(|load| load.wires != Wires::LineToLine).map(|load| load.va));
    let va = print::sum(motors.iter().map(|load| load.va));
    let names: Vec<String> = motors.iter().map(|load| format!("{} {}", load.name, load.label)).collect();
    let inputs =
        vec![input("S_n", "motors", names.join(", "), "nameplates or the table of full-load currents")];
    let told = working("motors", "motors", "S = Σ S_n", inputs, print::va(va), "at full-load current", cite);
    draft.line("motors", neutral_va, va - neutral_va, told);
    Ok(neutral_va)
}

/// What of heating and cooling runs beside the rest.
#[derive(Debug, Clone, Copy)]
struct Running {
    cooling: bool,
    compressors: bool,
}

/// The largest motor of what runs.
fn largest(known: &Known, running: Running) -> Option<&Load> {
    motors(known, running).max_by(|a, b| a.motor_va.total_cmp(&b.motor_va))
}

fn motors(known: &Known, running: Running) -> impl Iterator<Item = &Load> {
    known.loads.iter().filter(move |load| {
        0.0 < load.motor_va
            && match load.kind {
                LoadKind::Cooling => running.cooling,
                LoadKind::HeatPump { .. } => running.compressors,
                _ => true,
            }
    })
}

/// A quarter of the largest motor. Returns the same for the largest motor on the neutral.
fn largest_motor(law: &Law<'_>, known: &Known, running: Running, draft: &mut Draft) -> Result<f64, Blocked> {
    let Some(largest) = largest(known, running) else { return Ok(0.0) };
    let percent = law.number(rule::MOTOR_LARGEST_PERCENT)?;
    let va = largest.motor_va * percent.value / 100.0;
    let told = working(
        "largest motor",
        &largest.name,
        "S = S_motor · k",
        vec![
            input("S_motor", "largest motor", print::va(largest.motor_va), &largest.name),
            ruled("k", "addition", print::percent(percent.value), &percent),
        ],
        print::va(va),
        "of its full volt-amperes even where it is in the pool of appliances",
        percent.cite(),
    );
    let on_neutral = largest.wires != Wires::LineToLine;
    draft.line("largest motor", if on_neutral { va } else { 0.0 }, if on_neutral { 0.0 } else { va }, told);
    let neutral_motor = motors(known, running)
        .filter(|load| load.wires != Wires::LineToLine)
        .map(|load| load.motor_va)
        .fold(0.0, f64::max);
    Ok(neutral_motor * percent.value / 100.0)
}
