//! The shop's price book: one CSV file of dated prices, in and out.

use model::{Cents, Date};
use std::collections::BTreeMap;

const DEMO: &str = include_str!("../../data/price-book.csv");
const HEAD: [&str; 5] = ["item", "unit", "price_usd", "from", "source"];
/// Largest figure of a line, US dollars or percent.
const MOST: f64 = 1_000_000.0;
/// From so many days on a price counts as old.
const OLD_DAYS: i32 = 365;

/// A dated price.
#[derive(Debug, Clone, PartialEq)]
pub struct PriceLine {
    /// What, by its name.
    pub item: String,
    /// Unit: `each`, `foot`, `hour`, `percent`.
    pub unit: String,
    /// US dollars, or percent.
    pub price: f64,
    /// From which day it holds.
    pub from: Date,
    /// Where it comes from.
    pub source: String,
}

/// A price book.
#[derive(Debug, Clone, PartialEq)]
pub struct PriceBook {
    /// First remark of the file: whose book it is.
    pub title: String,
    lines: Vec<PriceLine>,
}

/// One thing wrong with a price book.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("line {line}: {message}")]
pub struct BadPrice {
    /// Line, from 1.
    pub line: u64,
    /// What is wrong, and what would be right.
    pub message: String,
}

/// What a price needs beside the prices of parts.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Rate {
    /// US dollars a person-hour.
    PersonHour,
    /// Markup on parts, percent.
    Markup,
    /// Tax on parts with their markup, percent.
    Tax,
    /// Reserve for the warranty on everything but fees, percent.
    Reserve,
    /// Permit, US dollars.
    Permit,
    /// What the utility charges, US dollars.
    Utility,
}

impl Rate {
    /// All.
    pub const ALL: [Rate; 6] =
        [Rate::PersonHour, Rate::Markup, Rate::Tax, Rate::Reserve, Rate::Permit, Rate::Utility];

    /// Name in the book.
    pub const fn item(self) -> &'static str {
        match self {
            Rate::PersonHour => "rate/person-hour",
            Rate::Markup => "rate/markup-percent",
            Rate::Tax => "rate/tax-percent",
            Rate::Reserve => "rate/reserve-percent",
            Rate::Permit => "fee/permit",
            Rate::Utility => "fee/utility",
        }
    }
}

impl PriceBook {
    /// The invented book of the demo.
    pub fn demo() -> PriceBook {
        PriceBook::read(DEMO).expect("the demo's price book is read in a test")
    }

    /// Its text, to copy and change.
    pub const fn demo_text() -> &'static str {
        DEMO
    }

    /// Is it invented, by its title?
    pub fn invented(&self) -> bool {
        self.title.contains("INVENTED")
    }

    /// Reads a CSV file with the columns `item,unit,price_usd,from,source`; lines that begin with `#` are remarks.
    ///
    /// # Errors
    /// Everything that is wrong, by its line.
    pub fn read(text: &str) -> Result<PriceBook, Vec<BadPrice>> {
        let mut bad = Vec::new();
        let mut lines = Vec::new();
        let mut reader = csv::ReaderBuilder::new()
            .comment(Some(b'#'))
            .trim(csv::Trim::All)
            .flexible(true)
            .from_reader(text.trim_start_matches('\u{feff}').as_bytes());
        match reader.headers() {
            Ok(head) if head.iter().eq(HEAD) => {}
            Ok(_) => {
                bad.push(BadPrice { line: 1, message: format!("the head must be `{}`", HEAD.join(",")) })
            }
            Err(error) => bad.push(BadPrice { line: 1, message: error.to_string() }),
        }
        if !bad.is_empty() {
            return Err(bad);
        }
        for row in reader.records() {
            match row {
                Err(error) => {
                    let line = error.position().map_or(0, csv::Position::line);
                    bad.push(BadPrice { line, message: error.to_string() });
                }
                Ok(row) => {
                    let line = row.position().map_or(0, csv::Position::line);
                    match of_row(&row) {
                        Ok(one) => lines.push(one),
                        Err(message) => bad.push(BadPrice { line, message }),
                    }
                }
            }
        }
        let mut seen = std::collections::BTreeSet::new();
        for one in &lines {
            if !seen.insert((&one.item, one.from)) {
                let message = format!("`{}` has two prices from {} on", one.item, one.from);
                bad.push(BadPrice { line: 0, message });
            }
        }
        for rate in Rate::ALL {
            if !lines.iter().any(|one| one.item == rate.item()) {
                bad.push(BadPrice { line: 0, message: format!("`{}` is missing", rate.item()) });
            }
        }
        if bad.is_empty() { Ok(PriceBook { title: title(text), lines }) } else { Err(bad) }
    }

    /// The book as a CSV file that [`PriceBook::read`] takes: the same lines in the same order.
    pub fn write(&self) -> String {
        let mut out = format!("# {}\n{}\n", self.title, HEAD.join(","));
        for one in &self.lines {
            let cells = [
                one.item.clone(),
                one.unit.clone(),
                one.price.to_string(),
                one.from.to_string(),
                one.source.clone(),
            ];
            out.push_str(&cells.map(|cell| quoted(&cell)).join(","));
            out.push('\n');
        }
        out
    }

    /// All lines.
    pub fn lines(&self) -> &[PriceLine] {
        &self.lines
    }

    /// The line of an item that counts on a day: the last that is not after it.
    pub fn on(&self, item: &str, day: Date) -> Option<&PriceLine> {
        let known = self.lines.iter().filter(|one| one.item == item && one.from <= day);
        known.max_by_key(|one| one.from)
    }

    /// A price on a day.
    pub fn price(&self, item: &str, day: Date) -> Option<Cents> {
        self.on(item, day).map(|one| Cents::from_usd(one.price))
    }

    /// A rate on a day, dollars or percent. `None` where the book begins later.
    pub fn rate(&self, rate: Rate, day: Date) -> Option<f64> {
        self.on(rate.item(), day).map(|one| one.price)
    }

    /// Items whose price of a day is a year old or older, with the day from which it holds.
    pub fn old(&self, day: Date) -> BTreeMap<String, Date> {
        let items = self.lines.iter().filter_map(|one| self.on(&one.item, day));
        let age = |from: Date| day.since(from).map_or(0, |span| span.get_days());
        items.filter(|one| OLD_DAYS <= age(one.from)).map(|one| (one.item.clone(), one.from)).collect()
    }
}

/// The first remark.
fn title(text: &str) -> String {
    let first = text.lines().find(|line| line.starts_with('#'));
    first.map_or_else(
        || "the shop's price book".to_owned(),
        |line| line.trim_start_matches('#').trim().to_owned(),
    )
}

fn of_row(row: &csv::StringRecord) -> Result<PriceLine, String> {
    if row.len() != HEAD.len() {
        return Err(format!(
            "{} cells, {} are needed; put text with a comma in quotes",
            row.len(),
            HEAD.len()
        ));
    }
    let cell = |at: usize| row.get(at).unwrap_or_default().to_owned();
    let item = cell(0);
    let named = |c: char| c.is_ascii_lowercase() || c.is_ascii_digit() || "-/".contains(c);
    if item.is_empty() || !item.chars().all(named) {
        return Err(format!("`{item}` is no item: lower-case letters, digits, `-` and `/`"));
    }
    let price: f64 = cell(2).parse().map_err(|_| format!("`{}` is no price: write `12.50`", cell(2)))?;
    if !(0.0..=MOST).contains(&price) {
        return Err(format!("{price} is no price between 0 and {MOST}"));
    }
    if item.ends_with("-percent") && 100.0 < price {
        return Err(format!("{price} % of `{item}` is more than 100 %"));
    }
    let from: Date = cell(3).parse().map_err(|_| format!("`{}` is no day: write `2026-01-31`", cell(3)))?;
    Ok(PriceLine { item, unit: cell(1), price, from, source: cell(4) })
}

/// A cell, in quotes where it needs them.
fn quoted(cell: &str) -> String {
    if cell.contains([',', '"', '\n', '\r']) {
        format!("\"{}\"", cell.replace('"', "\"\""))
    } else {
        cell.to_owned()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_demo_book_is_whole_marked_and_comes_back_the_same() {
        let book = PriceBook::demo();
        assert!(book.invented());
        assert_eq!(PriceBook::read(&book.write()).as_ref(), Ok(&book));
    }

    #[test]
    fn the_price_of_a_day_is_the_last_one_before_it() {
        let book = PriceBook::demo();
        let price = |day| book.price("breaker-1p-plain", day);
        assert_eq!(price(Date::constant(2024, 12, 31)), None);
        assert_eq!(price(Date::constant(2026, 6, 30)), Some(Cents(950)));
        assert_eq!(price(Date::constant(2026, 7, 1)), Some(Cents(1050)));
        assert!(book.old(Date::constant(2026, 6, 30)).contains_key("breaker-1p-plain"));
        assert!(!book.old(Date::constant(2026, 7, 1)).contains_key("breaker-1p-plain"));
    }

    #[test]
    fn every_mistake_is_told_by_its_line() {
        let text = "# A\nitem,unit,price_usd,from,source\nRod,each,1,2026-01-01,x\nrod,each,-1,2026-01-01,x\nrod,each,1,soon,x\nrod,each,1\n";
        let bad = PriceBook::read(text).expect_err("all of it is wrong");
        let lines: Vec<u64> = bad.iter().map(|one| one.line).collect();
        assert_eq!(&lines[..4], [3, 4, 5, 6]);
        assert_eq!(bad.iter().filter(|one| one.message.contains("is missing")).count(), Rate::ALL.len());
        assert!(PriceBook::read("a,b\n").is_err());
    }
}
