//! The price of an option as an honest range with its parts: hours of the steps, parts of the design, fees, and surprises
//! as allowances from how often they come and what they cost.

mod book;
mod built;
mod lines;
mod risk;
#[cfg(test)]
mod tests;

pub use book::{BadPrice, PriceBook, PriceLine, Rate};
pub use built::built;
pub use lines::times;
pub use risk::{Risk, risks};

use crate::dice::Three;
use crate::materials::{Design, Material, materials};
use crate::work::{Contested, Steps};
use model::{Cents, Date};

/// Draws of the simulation behind a range, unless the caller says otherwise: the ends of the range then move by about
/// one percent of its width from seed to seed.
pub const DRAWS: usize = 20_000;

/// Days for which a quote holds, unless the shop says otherwise: common practice, no source.
pub const QUOTE_DAYS: i32 = 30;

/// Last day of a quote that is made on a day.
pub fn valid_until(day: Date) -> Date {
    day.checked_add(jiff::Span::new().days(QUOTE_DAYS)).unwrap_or(day)
}

/// Share of jobs that the range is to hold.
pub const SHARE: f64 = 0.8;

/// What is asked for.
#[derive(Debug, Clone, PartialEq)]
pub struct Ask<'a> {
    /// What is built.
    pub design: &'a Design,
    /// Steps and their hours.
    pub steps: &'a Steps,
    /// What may come as a surprise, with what is known of it.
    pub risks: &'a [Risk],
    /// Contested items that are in this price.
    pub with: &'a [Contested],
    /// Steps that are done already, by their names: they cost nothing more.
    pub done: &'a [String],
    /// Does the work need a permit and the utility?
    pub fees: bool,
    /// The shop's prices.
    pub book: &'a PriceBook,
    /// The day whose prices count.
    pub day: Date,
    /// Seed of the simulation.
    pub seed: u64,
    /// Draws.
    pub n_draws: usize,
}

/// Lowest, middle and highest of something: a tenth of the jobs lies below the first, half below the second, a tenth
/// above the third.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Range {
    /// Lower end.
    pub low: Cents,
    /// Median.
    pub usual: Cents,
    /// Upper end.
    pub high: Cents,
}

/// Groups of a price.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Group {
    /// Hours of the steps.
    Labour,
    /// Parts with markup and tax.
    Materials,
    /// Permit and utility.
    Fees,
    /// Surprises.
    Allowance,
    /// Warranty reserve.
    Reserve,
}

impl Group {
    /// All, in the order of a sheet.
    pub const ALL: [Group; 5] =
        [Group::Labour, Group::Materials, Group::Fees, Group::Allowance, Group::Reserve];

    /// In words.
    pub const fn words(self) -> &'static str {
        match self {
            Group::Labour => "labour",
            Group::Materials => "parts with markup and tax",
            Group::Fees => "permit and utility",
            Group::Allowance => "allowance for surprises",
            Group::Reserve => "warranty reserve",
        }
    }
}

/// A part of a price.
#[derive(Debug, Clone, PartialEq)]
pub struct Line {
    /// Group.
    pub group: Group,
    /// Name: of the step, the part in the price book, the surprise.
    pub id: String,
    /// What.
    pub words: String,
    /// How much of it, as printed.
    pub amount: String,
    /// Expected sum, before the reserve.
    pub sum: Cents,
    /// Where it comes from.
    pub source: String,
}

/// A price.
#[derive(Debug, Clone, PartialEq)]
pub struct Price {
    /// The range, each end rounded to the nearest ten dollars, below 1,000 to the nearest dollar.
    pub range: Range,
    /// Expected value: what such jobs cost on average, and the sum of the lines with the reserve.
    pub mean: Cents,
    /// Expected value of each group, in the order of [`Group::ALL`].
    pub groups: Vec<(Group, Cents)>,
    /// Parts.
    pub lines: Vec<Line>,
    /// Person-hours: lower end, median, upper end.
    pub hours: (f64, f64, f64),
    /// What is not in the price, in words.
    pub exclusions: Vec<String>,
    /// What the range rests on.
    pub basis: String,
}

/// Why there is no price.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum NoPrice {
    /// Prices are missing in the book.
    #[error("the price book has no price on {day} for: {}", items.join(", "))]
    NotInTheBook {
        /// The day.
        day: Date,
        /// What is missing.
        items: Vec<String>,
    },
}

/// The list of materials of an ask, contested items in their places.
pub fn list_of(design: &Design, with: &[Contested]) -> Vec<Material> {
    let mut list = materials(design);
    for item in with {
        for (part, n) in crate::materials::contested_parts(design, item) {
            // A part that goes out is taken from the lines that have it, the last one first.
            let mut out = u32::try_from(-n).unwrap_or_default();
            for line in list.iter_mut().rev().filter(|line| line.part == part) {
                let taken = out.min(line.quantity);
                line.quantity -= taken;
                out -= taken;
            }
            if let Ok(quantity) = u32::try_from(n)
                && 0 < quantity
            {
                let (words, because) = (item.words.clone(), "contested item".to_owned());
                list.push(Material { part, words, quantity, because });
            }
        }
    }
    list.retain(|line| 0 < line.quantity);
    list
}

/// The price of an option.
///
/// # Errors
/// See [`NoPrice`]: a price with a part left out would be no price.
pub fn price(ask: &Ask<'_>) -> Result<Price, NoPrice> {
    let list = list_of(ask.design, ask.with);
    let rates = lines::Rates::of(ask, &list)?;
    let lines = lines::lines(ask, &list, &rates);
    let reserved = |sum: Cents| sum.times(rates.reserve);
    let sum_of =
        |group: Group| lines.iter().filter(|line| line.group == group).map(|line| line.sum).sum::<Cents>();
    let mut groups: Vec<(Group, Cents)> =
        Group::ALL.into_iter().map(|group| (group, sum_of(group))).collect();
    let before: Cents = groups.iter().filter(|(group, _)| *group != Group::Fees).map(|(_, sum)| *sum).sum();
    if let Some(reserve) = groups.iter_mut().find(|(group, _)| *group == Group::Reserve) {
        reserve.1 = reserved(before);
    }
    let mean = groups.iter().map(|(_, sum)| *sum).sum();
    let (range, hours) = lines::simulate(ask, &list, &rates);
    let exclusions =
        ask.risks.iter().filter(|risk| 0 < risk.n_excluded).map(|risk| risk.exclude.clone()).collect();
    let basis = format!(
        "{} draws, seed {}: hours from least, usual and most of each step with one pace for the whole day, surprises by \
         their chances; prices of {} from: {}",
        ask.n_draws, ask.seed, ask.day, ask.book.title
    );
    Ok(Price { range, mean, groups, lines, hours, exclusions, basis })
}

/// Person-hours of a step, least, usual, most, before the pace of the day.
pub(crate) fn step_hours(minutes: Three, n: u32, people: u32) -> Three {
    minutes.times(f64::from(n) * f64::from(people) / 60.0)
}
