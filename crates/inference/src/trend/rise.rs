//! Two temperatures of one place, the first one's rise carried to the current of the last.

use super::readings::Read;
use super::{Held, begun, told};
use model::assessment::Interval;
use model::cite::{Cite, Standing};
use model::evidence::{Surface, TemperatureMethod, TemperatureReading};
use model::trend::{Change, Compared, Trend};
use model::working::Working;

pub(super) fn held_against(
    held: &Held<'_>,
    (first, before): (&Read<'_>, &TemperatureReading),
    (last, now): (&Read<'_>, &TemperatureReading),
) -> Trend {
    let words = |read: &Read<'_>, reading: &TemperatureReading| match read.current_a {
        Some(amps) => format!("{:.1} °C at {amps:.1} A", reading.value.c()),
        None => format!("{:.1} °C, current not known", reading.value.c()),
    };
    let trend = begun(Compared::Rise, (first, words(first, before)), (last, words(last, now)));
    let mut why = Vec::new();
    for reading in [before, now] {
        if reading.method == TemperatureMethod::Infrared && reading.surface == Surface::BareMetal {
            why.push("infrared on bare metal shows the room, not the metal".to_owned());
        }
    }
    why.dedup();
    let (Some(first_a), Some(last_a)) = (first.current_a, last.current_a) else {
        why.push("the current is not known at both visits".to_owned());
        return told(trend, why);
    };
    let (Some(first_room), Some(last_room)) = (first.state.room, last.state.room) else {
        why.push("the room temperature is not known at both visits".to_owned());
        return told(trend, why);
    };
    let rises = (before.value.c() - first_room.c(), now.value.c() - last_room.c());
    why.extend(against(held, first, (first_a, last_a), rises.0, last));
    if !why.is_empty() {
        return told(trend, why);
    }
    compared(held, trend, (first_a, last_a), rises)
}

/// What speaks against comparing them.
fn against(
    held: &Held<'_>,
    first: &Read<'_>,
    (first_a, last_a): (f64, f64),
    first_rise_k: f64,
    last: &Read<'_>,
) -> Vec<String> {
    let limits = &held.limits.rise;
    let mut why = Vec::new();
    let breaker = first.slot().and_then(|slot| held.job.installation.breaker_at(slot));
    let least_a = breaker.map_or(1.0, |breaker| limits.load_share * breaker.rating.a());
    if first_a < least_a || last_a < least_a {
        why.push(format!("below {least_a:.0} A there is too little heat to be compared"));
    } else if limits.ratio < (first_a / last_a).max(last_a / first_a) {
        why.push(format!("the loads are too far apart, {first_a:.1} A and {last_a:.1} A"));
    }
    if first_rise_k < limits.least_k {
        why.push(format!("the first one was only {first_rise_k:.1} K over the room"));
    }
    for read in [first, last] {
        match read.state.held_min {
            Some(held_min) if held_min < limits.held_min => why.push(format!(
                "on {} the load had run {held_min} min; a breaker needs {} min to warm through",
                read.day, limits.held_min
            )),
            Some(_) => {}
            None => why.push(format!("it is not said how long the load had run on {}", read.day)),
        }
    }
    why
}

fn compared(
    held: &Held<'_>,
    mut trend: Trend,
    (first_a, last_a): (f64, f64),
    (before_k, now_k): (f64, f64),
) -> Trend {
    let limits = &held.limits.rise;
    let ratio = last_a / first_a;
    let powers = [libm::pow(ratio, limits.exponent_low), libm::pow(ratio, limits.exponent_high)];
    let (least, most) = (powers[0].min(powers[1]), powers[0].max(powers[1]));
    let error = limits.reading_k;
    let carried = Interval {
        low: ((before_k - error) * least).max(0.1),
        median: before_k * libm::sqrt(least * most),
        high: (before_k + error) * most,
    };
    let factor = Interval {
        low: (now_k - error).max(0.0) / carried.high,
        median: now_k.max(0.0) / carried.median,
        high: (now_k + error) / carried.low,
    };
    let (change, says) = if 1.0 < factor.low {
        (
            Change::More,
            "Warmer at equal load: something in this pole or at its joints makes more heat than it did.",
        )
    } else if factor.high < 1.0 {
        (Change::Less, "Cooler at equal load.")
    } else {
        (Change::NotShown, "No change that these readings can show.")
    };
    trend.sentence = format!(
        "{} on {}, {} on {}. At {last_a:.0} A the first one would be {:.0} to {:.0} K over the room; it is {now_k:.0} K. {says}",
        trend.first.reading, trend.first.day, trend.last.reading, trend.last.day, carried.low, carried.high,
    );
    trend.change = change;
    trend.working = Some(working(&trend, held, (first_a, last_a), (before_k, now_k), &factor));
    trend.factor = Some(factor);
    trend
}

fn working(
    trend: &Trend,
    held: &Held<'_>,
    (first_a, last_a): (f64, f64),
    (before_k, now_k): (f64, f64),
    factor: &Interval,
) -> Working {
    let (input, limits) = (super::input, &held.limits.rise);
    let exponent = format!("{} to {}", limits.exponent_low, limits.exponent_high);
    Working {
        title: "rise at the last visit over that at the first, at equal load".to_owned(),
        subject: trend.place.to_string(),
        formula: "k = (ΔT₂ ± e) / ((ΔT₁ ± e) (I₂ / I₁)ⁿ)".to_owned(),
        inputs: vec![
            input("ΔT₁", "rise over the room at the first visit", &format!("{before_k:.1} K"), "measured"),
            input("ΔT₂", "rise over the room now", &format!("{now_k:.1} K"), "measured"),
            input("I₁", "current then", &format!("{first_a:.1} A"), "clamped"),
            input("I₂", "current now", &format!("{last_a:.1} A"), "clamped"),
            input("e", "error of a reading", &format!("{} K", limits.reading_k), "judgement"),
            input("n", "exponent", &exponent, "heat balance"),
        ],
        result: format!("{:.2} ({:.2} to {:.2})", factor.median, factor.low, factor.high),
        validity: format!(
            "steady load; heat of the neighbours and the cabinet is not taken out. {}",
            limits.source
        ),
        cite: Cite::new("heat balance P = I²R = h(ΔT) ΔT", "derived", Standing::Derived),
    }
}
