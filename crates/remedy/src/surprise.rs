//! The list of surprises: questions with frequency, cost and what the price does while the answer is unknown, as data.

use model::Slot;
use model::job::Job;
use model::replacement::{Carry, Found, SurpriseAnswer};
use serde::Deserialize;

/// The text of the list.
const LIST: &str = include_str!("../data/surprises.toml");

/// Asked once for the job, or once for each circuit.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Per {
    /// Once.
    Job,
    /// For each circuit.
    Circuit,
}

/// A question of the list.
#[derive(Debug, Clone, PartialEq)]
pub struct Surprise {
    /// Id, as in the facts.
    pub id: String,
    /// The question.
    pub ask: String,
    /// What it is, in few words, for papers.
    pub what: String,
    /// Asked once or for each circuit.
    pub per: Per,
    /// Judgement from 1 (rare) to 5 (expect it).
    pub frequency: u8,
    /// The chance that this frequency stands for, from 0 to 1.
    pub chance: f64,
    /// Where that chance comes from.
    pub chance_source: String,
    /// Least and most person-hours where it happens.
    pub hours: (f64, f64),
    /// Least and most material where it happens, whole cents.
    pub material_cents: (i64, i64),
    /// What the price does while nobody knows.
    pub carry: Carry,
    /// What to look at before.
    pub look: String,
    /// Where the figures come from.
    pub source: String,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct File {
    version: String,
    chance: Vec<ChanceLine>,
    surprise: Vec<Line>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct ChanceLine {
    frequency: u8,
    chance: f64,
    source: String,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Line {
    id: String,
    ask: String,
    what: String,
    per: String,
    frequency: u8,
    hours: (f64, f64),
    material: (f64, f64),
    carry: String,
    look: String,
    source: String,
}

/// The list in its order.
///
/// # Errors
/// The text is no such list: what is wrong, and with which question.
pub fn surprises() -> Result<Vec<Surprise>, String> {
    read(LIST)
}

fn read(text: &str) -> Result<Vec<Surprise>, String> {
    let file: File = toml::from_str(text).map_err(|error| error.to_string())?;
    if file.version.is_empty() {
        return Err("the list has no version".into());
    }
    let mut all: Vec<Surprise> = Vec::new();
    for line in file.surprise {
        let wrong = |what: &str| Err(format!("`{}`: {what}", line.id));
        if all.iter().any(|other| other.id == line.id) {
            return wrong("is there twice");
        }
        let Some(chance) = file.chance.iter().find(|chance| chance.frequency == line.frequency) else {
            return wrong("no chance is given for its frequency");
        };
        let per = match line.per.as_str() {
            "job" => Per::Job,
            "circuit" => Per::Circuit,
            _ => return wrong("`per` is `job` or `circuit`"),
        };
        let carry = match line.carry.as_str() {
            "allowance" => Carry::Allowance,
            "exclusion" => Carry::Exclusion,
            _ => return wrong("`carry` is `allowance` or `exclusion`"),
        };
        let in_order = |pair: (f64, f64)| 0.0 <= pair.0 && pair.0 <= pair.1 && pair.1.is_finite();
        if !in_order(line.hours) || !in_order(line.material) || !(0.0..=1.0).contains(&chance.chance) {
            return wrong("a cost or chance is out of order");
        }
        let cents = |dollars: f64| (dollars * 100.0).round() as i64;
        all.push(Surprise {
            id: line.id,
            ask: line.ask,
            what: line.what,
            per,
            frequency: line.frequency,
            chance: chance.chance,
            chance_source: chance.source.clone(),
            hours: line.hours,
            material_cents: (cents(line.material.0), cents(line.material.1)),
            carry,
            look: line.look,
            source: line.source,
        });
    }
    Ok(all)
}

/// A question put to a job or one of its circuits, with what is known.
#[derive(Debug, Clone)]
pub struct Standing<'a> {
    /// The question.
    pub surprise: &'a Surprise,
    /// The circuit, by the first pole of its breaker; `None`: the job.
    pub slot: Option<Slot>,
    /// What was answered; `None`: never asked, which counts as unknown.
    pub answer: Option<&'a SurpriseAnswer>,
}

impl Standing<'_> {
    /// Yes, no or unknown. Never asked is unknown.
    pub fn found(&self) -> Found {
        self.answer.map_or(Found::Unknown, |answer| answer.found)
    }

    /// What the price does while nobody knows.
    pub fn carry(&self) -> Carry {
        self.answer.and_then(|answer| answer.carry).unwrap_or(self.surprise.carry)
    }
}

/// Every question of the list as it stands for a job and the given circuits. An answer for the whole job stands for
/// each circuit that has none of its own.
pub fn standing<'a>(job: &'a Job, list: &'a [Surprise], circuits: &[Slot]) -> Vec<Standing<'a>> {
    let known = &job.replacement;
    let mut all = Vec::new();
    for surprise in list {
        let whole = known.answer(&surprise.id, None);
        match surprise.per {
            Per::Job => all.push(Standing { surprise, slot: None, answer: whole }),
            Per::Circuit => all.extend(circuits.iter().map(|slot| Standing {
                surprise,
                slot: Some(slot.clone()),
                answer: known.answer(&surprise.id, Some(slot)).or(whole),
            })),
        }
    }
    all
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_list_is_readable_and_every_figure_has_its_source() {
        let all = surprises().expect("the data is good");
        assert!(20 <= all.len(), "the trade's list has more than twenty");
        for one in &all {
            assert!(one.ask.ends_with('?') && !one.what.is_empty() && one.look.ends_with('.'), "{}", one.id);
            assert!(!one.source.is_empty() && !one.chance_source.is_empty(), "{}", one.id);
            assert!((1..=5).contains(&one.frequency), "{}", one.id);
        }
        let carries = |carry| all.iter().filter(|one| one.carry == carry).count();
        assert!(0 < carries(Carry::Allowance) && 0 < carries(Carry::Exclusion));
    }

    #[test]
    fn what_is_wrong_is_named() {
        let text = LIST.replacen("carry = \"allowance\"", "carry = \"perhaps\"", 1);
        assert!(read(&text).is_err_and(|error| error.contains("short-conductors")));
        let text = LIST.replacen("hours = [0.1, 0.3]", "hours = [0.3, 0.1]", 1);
        assert!(read(&text).is_err_and(|error| error.contains("out of order")));
    }
}
