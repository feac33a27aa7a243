//! Overcurrent protection: standard ratings, small conductors, the next larger size.

use super::result::{NoSize, Sized, within};
use crate::law::Law;
use crate::load::sheet_parts::{input, ruled, working};
use crate::rule;
use model::conductor::{Metal, WireSize};

/// What is to be protected.
#[derive(Debug, Clone, PartialEq)]
pub struct Protection {
    /// Size of the conductors.
    pub size: WireSize,
    /// Their metal.
    pub metal: Metal,
    /// Their ampacity as corrected, A.
    pub ampacity_a: f64,
    /// Does the branch circuit supply several receptacles?
    pub several_receptacles: bool,
}

/// The next standard rating that is not below a current.
pub fn standard_rating(law: &Law<'_>, amps: f64) -> Result<f64, NoSize> {
    law.word(rule::STANDARD_RATINGS)?;
    within("current", amps, "A", (0.0, 600.0))?;
    law.tables()
        .ratings
        .iter()
        .copied()
        .find(|rating| amps <= *rating)
        .ok_or(NoSize::NotInTable { table: "the table of standard ratings", what: format!("{amps:.0} A") })
}

/// The largest standard rating that may protect a conductor.
pub fn protection(law: &Law<'_>, wire: &Protection) -> Result<Sized<f64>, NoSize> {
    let amps = within("ampacity", wire.ampacity_a, "A", (15.0, 600.0))?;
    let ratings = law.word(rule::STANDARD_RATINGS)?;
    let next = law.number(rule::NEXT_SIZE)?;
    let small = law.word(rule::SMALL_CONDUCTORS)?;
    let up_allowed = amps <= next.value && !wire.several_receptacles;
    let list = &law.tables().ratings;
    let above = list.iter().copied().find(|rating| amps <= *rating);
    let below = list.iter().copied().rev().find(|rating| *rating <= amps);
    let mut rating = match (above, below) {
        (Some(above), _) if up_allowed || above <= amps => above,
        (_, Some(below)) => below,
        (Some(above), None) => above,
        (None, None) => amps,
    };
    let cap = law
        .tables()
        .small
        .iter()
        .find(|row| row.size == wire.size)
        .and_then(|row| if wire.metal == Metal::Copper { row.cu_a } else { row.al_a });
    let mut inputs = vec![
        input("I", "ampacity as corrected", format!("{amps:.1} A"), "its own working"),
        ruled("", "next standard rating allowed", if up_allowed { "yes" } else { "no" }.to_owned(), &next),
        ruled("", "standard ratings", "list".to_owned(), &ratings),
    ];
    if let Some(cap) = cap {
        inputs.push(ruled("I_small", "largest for this size", format!("{cap:.0} A"), &small));
        rating = if cap < rating { cap } else { rating };
    }
    let told = working(
        "overcurrent protection",
        &wire.size.to_string(),
        "standard rating by the ampacity, not above the limit of small conductors",
        inputs,
        format!("{rating:.0} A"),
        "conductors; motors, air conditioners and the like have rules of their own",
        next.cite(),
    );
    Ok(Sized::new(rating, told))
}
