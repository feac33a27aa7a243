//! A surprise with what is known of it: counted, carried by an allowance, excluded, or ruled out.

use crate::dice::Three;
use crate::surprise::{Per, Standing, Surprise};
use crate::work::falls;
use model::advice::ChoiceKind;
use model::replacement::{Carry, Found};

/// A surprise of a job.
#[derive(Debug, Clone, PartialEq)]
pub struct Risk {
    /// Name.
    pub id: String,
    /// What it is.
    pub words: String,
    /// Places where it is so.
    pub n_yes: u32,
    /// Places where nobody knows, and the price carries the chance.
    pub n_unknown: u32,
    /// Places where nobody knows, and the price leaves it out.
    pub n_excluded: u32,
    /// Chance of each place where nobody knows.
    pub chance: f64,
    /// Person-hours of a place.
    pub hours: Three,
    /// Parts of a place, US dollars before markup and tax.
    pub parts_usd: Three,
    /// Step at which it falls; empty: at none.
    pub step: String,
    /// The share of its hours that the power waits for.
    pub before_power: f64,
    /// How it is named where it is excluded.
    pub exclude: String,
    /// Where the figures come from.
    pub source: String,
}

impl Risk {
    /// How many places are to be expected in the price.
    pub fn expected(&self) -> f64 {
        f64::from(self.n_yes) + f64::from(self.n_unknown) * self.chance
    }
}

/// Least and most with the middle as the usual: the list names no more.
fn spread(least: f64, most: f64) -> Three {
    Three { least, usual: least + (most - least) / 2.0, most }
}

/// Chance of one of `n` places, such that at least one of them has it with the chance of the job.
///
/// ```text
/// p = 1 − (1 − P)^(1/n)
/// ```
fn chance_of_one(of_job: f64, n: u32) -> f64 {
    1.0 - libm::pow(1.0 - of_job, 1.0 / f64::from(n.max(1)))
}

/// The surprises that an option can meet, as they stand for the job. Those of circuits count only the first `n_touched`
/// circuits: an option that touches one meets what one can bring.
pub fn risks(option: ChoiceKind, standing: &[Standing<'_>], n_touched: u32) -> Vec<Risk> {
    let mut risks = Vec::new();
    for at in falls().into_iter().filter(|at| at.options.contains(&option)) {
        let all: Vec<&Standing<'_>> = standing.iter().filter(|one| one.surprise.id == at.id).collect();
        let Some(of) = all.first().map(|one| one.surprise) else { continue };
        let touched = if of.per == Per::Circuit { n_touched as usize } else { 1 };
        let own = &all[..all.len().min(touched)];
        let n_of = |found: Found, carry: Option<Carry>| {
            let fits =
                |one: &&&Standing<'_>| one.found() == found && carry.is_none_or(|carry| one.carry() == carry);
            u32::try_from(own.iter().filter(fits).count()).unwrap_or(u32::MAX)
        };
        let risk = Risk {
            id: of.id.clone(),
            words: of.what.clone(),
            n_yes: n_of(Found::Yes, None),
            n_unknown: n_of(Found::Unknown, Some(Carry::Allowance)),
            n_excluded: n_of(Found::Unknown, Some(Carry::Exclusion)),
            chance: chance(of, all.len()),
            hours: spread(of.hours.0, of.hours.1),
            parts_usd: spread(of.material_cents.0 as f64 / 100.0, of.material_cents.1 as f64 / 100.0),
            step: at.step,
            before_power: at.before_power,
            exclude: at.exclude,
            source: format!("{}; {}", of.source, of.chance_source),
        };
        if 0 < risk.n_yes + risk.n_unknown + risk.n_excluded {
            risks.push(risk);
        }
    }
    risks
}

fn chance(of: &Surprise, n_places: usize) -> f64 {
    match of.per {
        Per::Job => of.chance,
        Per::Circuit => chance_of_one(of.chance, u32::try_from(n_places).unwrap_or(u32::MAX)),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn many_places_together_have_the_chance_of_the_job() {
        let one = chance_of_one(0.8, 16);
        let none = libm::pow(1.0 - one, 16.0);
        assert!((1.0 - none - 0.8).abs() < 1e-12 && one < 0.1, "{one}");
        assert!((chance_of_one(0.25, 1) - 0.25).abs() < 1e-12);
    }
}
