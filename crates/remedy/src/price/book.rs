//! The shop's price book: one CSV file of dated prices, in and out.

use model::{Cents, Date};
use std::collections::BTreeMap;

const DEMO: &str = include_str!("../../data/price-book.csv");
const HEAD: [&str; 5] = ["item", "unit", "price_usd", "from", "source"];
/// Units that a line may have.
const UNITS: [&str; 4] = ["each", "foot", "hour", "percent"];
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
#[error("{}: {message}", whereabouts(*line))]
pub struct BadPrice {
    /// Line, from 1; 0: the whole file.
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

    /// Is it invented: by its title, or because a line still says so of its source?
    pub fn invented(&self) -> bool {
        is_invented(&self.title) || 0 < self.n_invented()
    }

    /// Lines whose source says that they are invented.
    pub fn n_invented(&self) -> usize {
        self.lines.iter().filter(|one| is_invented(&one.source)).count()
    }

    /// Items that no price asks for, each with the one that is likely meant.
    pub fn unasked(&self) -> BTreeMap<String, Option<String>> {
        let known: Vec<String> = PriceBook::demo().lines.into_iter().map(|one| one.item).collect();
        let own = self.lines.iter().map(|one| &one.item).filter(|item| !known.contains(item));
        own.map(|item| (item.clone(), meant(item, &known))).collect()
    }

    /// Items that some price may ask for and that the book does not hold on a day.
    pub fn lacking(&self, day: Date) -> Vec<String> {
        let mut items: Vec<String> = PriceBook::demo().lines.into_iter().map(|one| one.item).collect();
        items.sort();
        items.dedup();
        items.retain(|item| self.on(item, day).is_none());
        items
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
            Ok(head) => {
                let line = head.position().map_or(1, csv::Position::line);
                bad.push(BadPrice { line, message: wrong_head(head) });
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
                        Ok(one) => lines.push((line, one)),
                        Err(wrong) => {
                            bad.extend(wrong.into_iter().map(|message| BadPrice { line, message }));
                        }
                    }
                }
            }
        }
        let mut seen: BTreeMap<(&str, Date), u64> = BTreeMap::new();
        for (line, one) in &lines {
            if let Some(first) = seen.insert((&one.item, one.from), *line) {
                let message = format!(
                    "`{}` has a price from {} on in line {first} already; give one of them another day, or take it out",
                    one.item, one.from
                );
                bad.push(BadPrice { line: *line, message });
            }
        }
        for rate in Rate::ALL.into_iter().filter(|rate| !is_named(rate.item(), &lines, text)) {
            let message = format!("`{0}` is missing; add a line `{0},unit,figure,day,source`", rate.item());
            bad.push(BadPrice { line: 0, message });
        }
        bad.sort_by_key(|one| (one.line == 0, one.line));
        let lines = lines.into_iter().map(|(_, one)| one).collect();
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

/// Where a mistake is.
fn whereabouts(line: u64) -> String {
    if line == 0 { "the whole file".to_owned() } else { format!("line {line}") }
}

fn is_invented(text: &str) -> bool {
    text.to_ascii_uppercase().starts_with("INVENTED")
}

/// Is there a line for the item, be it a wrong one? What is wrong there is told there.
fn is_named(item: &str, lines: &[(u64, PriceLine)], text: &str) -> bool {
    lines.iter().any(|(_, one)| one.item == item) || text.lines().any(|line| line.trim().starts_with(item))
}

/// What is wrong with a head, and what would be right.
fn wrong_head(head: &csv::StringRecord) -> String {
    let found: Vec<&str> = head.iter().collect();
    let found = found.join(",");
    let hint = if head.len() == 1 && found.contains(';') {
        "; the cells are parted by semicolons: save the table as CSV with commas"
    } else {
        ""
    };
    format!("the head is `{found}` and must be `{}`{hint}", HEAD.join(","))
}

/// The known item that is nearest to one, if it is near.
fn meant(item: &str, known: &[String]) -> Option<String> {
    let best = known.iter().map(|one| (strsim::damerau_levenshtein(item, one), one)).min()?;
    (best.0 <= 3).then(|| best.1.clone())
}

/// A line, or everything that is wrong with it.
fn of_row(row: &csv::StringRecord) -> Result<PriceLine, Vec<String>> {
    if row.len() != HEAD.len() {
        return Err(vec![format!(
            "{} cells, {} are needed: {}; put text with a comma in quotes",
            row.len(),
            HEAD.len(),
            HEAD.join(", ")
        )]);
    }
    let cell = |at: usize| row.get(at).unwrap_or_default().to_owned();
    let mut wrong = Vec::new();
    let (item, unit) = (cell(0), cell(1));
    let named = |c: char| c.is_ascii_lowercase() || c.is_ascii_digit() || "-/".contains(c);
    if item.is_empty() || !item.chars().all(named) {
        wrong.push(format!("`{item}` is no item: lower-case letters, digits, `-` and `/`"));
    }
    if !UNITS.contains(&unit.as_str()) {
        wrong.push(format!("`{unit}` is no unit: write one of {}", UNITS.join(", ")));
    }
    let price = match cell(2).parse::<f64>() {
        Err(_) => {
            wrong.push(format!("`{}` is no price: write `12.50`, without a sign of the currency", cell(2)));
            0.0
        }
        Ok(price) if !(0.0..=MOST).contains(&price) => {
            wrong.push(format!("{price} is no price: write a figure between 0 and {MOST}"));
            0.0
        }
        Ok(price) => price,
    };
    if item.ends_with("-percent") && 100.0 < price {
        wrong.push(format!("{price} % of `{item}` is more than 100 %: write percent, `20` for a fifth"));
    }
    let from = cell(3).parse::<Date>();
    if from.is_err() {
        wrong.push(format!("`{}` is no day: write `2026-01-31`", cell(3)));
    }
    if cell(4).is_empty() {
        wrong.push(
            "no source: write where the price comes from, for example `supplier, list of July`".to_owned(),
        );
    }
    match from {
        Ok(from) if wrong.is_empty() => Ok(PriceLine { item, unit, price, from, source: cell(4) }),
        _ => Err(wrong),
    }
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
        let text = "# A\nitem,unit,price_usd,from,source\nRod,each,1,2026-01-01,x\nrod,each,-1,2026-01-01,x\n\
                    rod,box,1,soon,x\nrod,each,1\nseal,each,1,2026-01-01,x\nseal,each,2,2026-01-01,x\n";
        let bad = PriceBook::read(text).expect_err("all of it is wrong");
        let lines: Vec<u64> = bad.iter().map(|one| one.line).collect();
        assert_eq!(&lines[..6], [3, 4, 5, 5, 6, 8], "{bad:?}");
        assert!(bad[5].message.contains("in line 7 already"), "{bad:?}");
        let missing = bad.iter().filter(|one| one.to_string().starts_with("the whole file"));
        assert_eq!(missing.count(), Rate::ALL.len());
        let bad = PriceBook::read("item;unit;price_usd;from;source\n").expect_err("semicolons");
        assert!(bad[0].to_string().contains("with commas"), "{bad:?}");
    }

    #[test]
    fn a_book_is_the_shops_own_when_no_line_says_invented() {
        let own = PriceBook::demo_text().replace("INVENTED price book", "Price book");
        let half = PriceBook::read(&own).expect("it is fine");
        assert!(half.invented() && half.n_invented() == half.lines().len());
        let own = own.replace("invented", "supplier").replace("rod,", "rods,");
        let own = PriceBook::read(&own).expect("it is fine");
        assert!(!own.invented());
        assert_eq!(own.unasked(), BTreeMap::from([("rods".to_owned(), Some("rod".to_owned()))]));
        assert_eq!(own.lacking(Date::constant(2026, 11, 27)), ["rod"]);
    }
}
