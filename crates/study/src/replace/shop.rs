//! What a shop brings to its prices and days: its price book, its notice, its address cards, what its own jobs took and met.

use remedy::address::Cards;
use remedy::experience::Past;
use remedy::price::PriceBook;

/// What is the shop's.
#[derive(Debug, Clone, PartialEq)]
pub struct Shop {
    /// The price book in force.
    pub book: PriceBook,
    /// Whose it is, in a sentence.
    pub origin: String,
    /// Books that were in force before, the last one first.
    pub earlier: Vec<EarlierBook>,
    /// What the shop's state asks to be said of cancelling; empty: not given.
    pub notice: String,
    /// What utilities and permit offices told it.
    pub cards: Cards,
    /// Whose cards they are, in a sentence.
    pub cards_origin: String,
    /// What its own jobs took and met.
    pub past: Past,
}

/// A book that was in force once.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct EarlierBook {
    /// Which, from 1.
    pub number: i64,
    /// When it was put in force, as printed.
    pub made: String,
    /// Its title; of one that this program cannot read: that.
    pub title: String,
}

impl Default for Shop {
    fn default() -> Self {
        Shop {
            book: PriceBook::demo(),
            origin: "The invented book of the demo.".to_owned(),
            earlier: Vec::new(),
            notice: String::new(),
            cards: Cards::demo(),
            cards_origin: "The invented cards of the demo.".to_owned(),
            past: Past::default(),
        }
    }
}
