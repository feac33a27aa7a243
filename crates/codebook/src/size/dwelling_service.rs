//! Conductors of a dwelling's service or main feeder: the table and the 83 % rule.

use super::ampacity::{Conditions, Load, ampacity, conductor, metal_word};
use super::result::{NoSize, Sized, within};
use crate::law::Law;
use crate::load::sheet_parts::{input, ruled, working};
use crate::rule;
use model::conductor::{Metal, WireSize};

/// A conductor that was chosen.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct ServiceConductor {
    /// Size of each ungrounded conductor.
    pub size: WireSize,
    /// Metal.
    pub metal: Metal,
}

/// The ungrounded conductors of a service, or of a feeder that carries the whole load of one dwelling.
///
/// `carries_all` is false for a feeder to a part of the dwelling: then the general ampacity holds.
pub fn dwelling_service(
    law: &Law<'_>,
    rating_a: f64,
    conditions: &Conditions,
    carries_all: bool,
) -> Result<Sized<ServiceConductor>, NoSize> {
    within("rating", rating_a, "A", (15.0, 600.0))?;
    let metal = conditions.metal;
    let chosen = |sized: Sized<WireSize>| Sized {
        value: ServiceConductor { size: sized.value, metal },
        workings: sized.workings,
        notes: sized.notes,
    };
    let least = law.number(rule::DWELLING_SERVICE_LEAST)?;
    let most = law.number(rule::DWELLING_SERVICE_MOST)?;
    let general = |why: &str| {
        let load = Load { noncontinuous_a: rating_a, continuous_a: 0.0 };
        Ok(chosen(conductor(law, load, conditions)?).noting("service conductors", why.to_owned()))
    };
    if !carries_all {
        return general(
            "this feeder does not carry the whole load of the dwelling: the general ampacity holds",
        );
    }
    if rating_a < least.value || most.value < rating_a {
        return general("the rating is outside the dwelling service rule: the general ampacity holds");
    }
    let method = law.word(rule::DWELLING_SERVICE_METHOD)?;
    let by_table = method.value != "percent" && !conditions.is_corrected();
    if by_table {
        let row =
            law.tables().dwelling_service.iter().find(|row| rating_a <= row.rating_a).ok_or_else(|| {
                NoSize::NotInTable { table: "the dwelling service table", what: format!("{rating_a} A") }
            })?;
        let size = if metal == Metal::Copper { row.cu } else { row.al };
        let told = working(
            "service conductors",
            metal_word(metal),
            "row of the dwelling service table",
            vec![
                input("I", "rating of the service", format!("{rating_a:.0} A"), "chosen"),
                ruled("", "row", format!("{:.0} A", row.rating_a), &method),
            ],
            format!("{size} {}", metal_word(metal)),
            "no correction or adjustment; nonmetallic cable by the letter only, see the remark",
            method.cite(),
        );
        let sized = Sized::new(ServiceConductor { size, metal }, told);
        return Ok(if conditions.nonmetallic_cable {
            sized.noting(
                "service conductors",
                "the letter of the table takes nonmetallic cable, the sense (60 °C) does not: ask the inspector",
            )
        } else {
            sized
        });
    }
    let Some(percent) = law.maybe_number(rule::DWELLING_SERVICE_PERCENT)? else {
        return general(
            "the table of this edition is for uncorrected conductors: the general ampacity holds",
        );
    };
    let needed = rating_a * percent.value / 100.0;
    for row in &law.tables().conductors {
        let Ok(amps) = ampacity(law, row.size, conditions, rating_a) else { continue };
        if amps.value < needed {
            continue;
        }
        let told = working(
            "service conductors",
            metal_word(metal),
            "I ≥ k·I_rating",
            vec![
                input("I_rating", "rating of the service", format!("{rating_a:.0} A"), "chosen"),
                ruled("k", "part of the rating", format!("{} %", percent.value), &percent),
                input("I", "ampacity as corrected", format!("{:.1} A", amps.value), "its own working"),
            ],
            format!("{} {}", row.size, metal_word(metal)),
            "conductors that carry the whole load of one dwelling",
            percent.cite(),
        );
        let mut workings = vec![told];
        workings.extend(amps.workings);
        return Ok(Sized { value: ServiceConductor { size: row.size, metal }, workings, notes: vec![] });
    }
    Err(NoSize::NotInTable { table: "the ampacity table", what: format!("{needed:.0} A in one conductor") })
}
