//! The load sheet: lines with their workings, the sum, amperes, neutral, and the rating that it asks for.

use super::compare::Method;
use super::neutral::Neutral;
use super::print;
use crate::law::Law;
use crate::ruling::{Refused, Ruling};
use crate::{Edition, rule};
use model::working::{Input, Working};
use model::{Cite, Note, System};

/// One line of a load sheet.
#[derive(Debug, Clone, PartialEq)]
pub struct Line {
    /// What it is.
    pub title: String,
    /// Load after demand, leg to neutral, VA.
    pub neutral_va: f64,
    /// Load after demand, leg to leg, VA.
    pub legs_va: f64,
    /// How it came about.
    pub working: Working,
}

impl Line {
    /// Load after demand, VA.
    pub fn va(&self) -> f64 {
        self.neutral_va + self.legs_va
    }
}

/// A load calculation.
#[derive(Debug, Clone, PartialEq)]
pub struct Sheet {
    /// Method.
    pub method: Method,
    /// Edition.
    pub edition: Edition,
    /// Code, place and day in one line.
    pub law: String,
    /// Supply.
    pub system: System,
    /// Lines in the order of the method.
    pub lines: Vec<Line>,
    /// Sum, VA.
    pub total_va: f64,
    /// Current in the legs, A, not rounded.
    pub amps: f64,
    /// Calculated load, whole amperes by the rule on fractions.
    pub load_a: f64,
    /// Least rating of the service: the load, or the least service of a dwelling.
    pub least_service_a: f64,
    /// Next standard rating; `None` above the table.
    pub standard_rating_a: Option<f64>,
    /// The neutral, where the method speaks of the whole dwelling.
    pub neutral: Option<Neutral>,
    /// Sum and rating with their working.
    pub workings: Vec<Working>,
    /// Remarks.
    pub notes: Vec<Note>,
}

impl Sheet {
    /// Every working of the sheet in its order: the lines, the sum, the rating, the neutral. What papers print.
    pub fn all_workings(&self) -> Vec<Working> {
        let lines = self.lines.iter().map(|line| &line.working);
        let neutral = self.neutral.iter().map(|neutral| &neutral.working);
        lines.chain(&self.workings).chain(neutral).cloned().collect()
    }

    /// Room under a rating, A; negative where it is exceeded.
    pub fn room_a(&self, service_a: f64) -> f64 {
        service_a - self.load_a
    }
}

/// Lines being gathered.
#[derive(Debug, Default)]
pub(crate) struct Draft {
    pub(crate) lines: Vec<Line>,
    pub(crate) notes: Vec<Note>,
}

/// An input of a working: symbol, meaning, value, where from.
pub(crate) fn input(symbol: &str, meaning: &str, value: String, from: &str) -> Input {
    Input { symbol: symbol.to_owned(), meaning: meaning.to_owned(), value, from: from.to_owned() }
}

/// An input that a rule gives.
pub(crate) fn ruled(symbol: &str, meaning: &str, value: String, ruling: &Ruling<impl Sized>) -> Input {
    Input { symbol: symbol.to_owned(), meaning: meaning.to_owned(), value, from: ruling.cite().to_string() }
}

pub(crate) fn working(
    title: &str,
    subject: &str,
    formula: &str,
    inputs: Vec<Input>,
    result: String,
    validity: &str,
    cite: Cite,
) -> Working {
    Working {
        title: title.to_owned(),
        subject: subject.to_owned(),
        formula: formula.to_owned(),
        inputs,
        result,
        validity: validity.to_owned(),
        cite,
    }
}

impl Draft {
    pub(crate) fn note(&mut self, subject: &str, text: impl Into<String>, cite: Option<Cite>) {
        self.notes.push(Note { subject: subject.to_owned(), text: text.into(), cite });
    }

    /// A line with its share on the neutral.
    pub(crate) fn line(&mut self, title: &str, neutral_va: f64, legs_va: f64, working: Working) {
        self.lines.push(Line { title: title.to_owned(), neutral_va, legs_va, working });
    }

    /// Sums up. `split` counts leg-to-neutral loads over both legs; otherwise all is taken leg to leg.
    pub(crate) fn finish(
        mut self,
        law: &Law<'_>,
        method: Method,
        system: System,
        split: bool,
        neutral: Option<Neutral>,
    ) -> Result<Sheet, Refused> {
        let volts = system.leg_to_leg_v();
        let total_va = print::sum(self.lines.iter().map(Line::va));
        let on_neutral = print::sum(self.lines.iter().map(|line| line.neutral_va));
        let on_legs = print::sum(self.lines.iter().map(|line| line.legs_va));
        let amps = if split {
            on_neutral / (2.0 * system.leg_to_neutral_v()) + on_legs / volts
        } else {
            total_va / volts
        };
        let drop = law.number(rule::ROUNDING)?;
        let load_a = whole_amps(amps, drop.value);
        let least = law.number(rule::SERVICE_LEAST)?;
        let least_service_a = if load_a < least.value { least.value } else { load_a };
        let standard_rating_a =
            law.tables().ratings.iter().copied().find(|rating| least_service_a <= *rating);
        let same = volts == 2.0 * system.leg_to_neutral_v();
        if !split && !same {
            self.note(
                "calculated load",
                "the method does not part 120 V loads from the others; all is taken between the legs, the careful side",
                None,
            );
        }
        let formula = match (split, same) {
            (_, true) | (false, _) => "I = S / V",
            (true, false) => "I = S_neutral / (2·120 V) + S_legs / V",
        };
        let mut inputs = vec![
            input("S", "sum of the lines", print::va(total_va), "this sheet"),
            input("V", "nominal voltage between the legs", format!("{volts:.0} V"), system.label()),
        ];
        if split && !same {
            inputs.push(input("S_neutral", "lines from leg to neutral", print::va(on_neutral), "this sheet"));
            inputs.push(input("S_legs", "lines from leg to leg", print::va(on_legs), "this sheet"));
        }
        let mut workings = vec![working(
            "calculated load",
            "service",
            formula,
            inputs,
            format!("{} = {load_a:.0} A", print::amps(amps)),
            "balanced legs; fractions below the rule's are dropped",
            drop.cite(),
        )];
        workings.push(working(
            "least rating of the service",
            "service",
            "larger of the calculated load and the least service; next standard rating",
            vec![
                input("I", "calculated load", format!("{load_a:.0} A"), "this sheet"),
                ruled(
                    "I_least",
                    "least service of a one-family dwelling",
                    format!("{:.0} A", least.value),
                    &least,
                ),
            ],
            match standard_rating_a {
                Some(rating) => format!("{least_service_a:.0} A, standard rating {rating:.0} A"),
                None => format!("{least_service_a:.0} A, above the table of standard ratings"),
            },
            "one-family dwelling, three-wire",
            least.cite(),
        ));
        Ok(Sheet {
            method,
            edition: law.edition(),
            law: law.chosen().to_owned(),
            system,
            lines: self.lines,
            total_va,
            amps,
            load_a,
            least_service_a,
            standard_rating_a,
            neutral,
            workings,
            notes: self.notes,
        })
    }
}

/// Whole amperes: a fraction below `drop` is dropped, a larger one counts as a whole.
pub(crate) fn whole_amps(amps: f64, drop: f64) -> f64 {
    // A billionth of an ampere is the noise of the arithmetic, not a load.
    let whole = (amps + 1e-9).floor();
    if amps + 1e-9 - whole < drop { whole } else { whole + 1.0 }
}
