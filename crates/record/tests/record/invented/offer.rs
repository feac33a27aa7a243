//! Invented facts of price and day.

use super::{Dice, Facts, OPENED};
use jiff::civil::Date;
use model::offer::Clock;
use record::fact::*;
use record::text::AsText;

impl Facts {
    /// A quote, the booked day, ticks, used parts.
    pub(super) fn offer(&mut self, dice: &mut Dice<'_>) {
        if !dice.coin() {
            return;
        }
        let low = 1_000 + dice.below(3_000) as u32;
        let quote = QuoteGiven {
            option: "replace-panel".to_owned(),
            with: if dice.coin() { vec!["surge".to_owned()] } else { Vec::new() },
            low_usd: low,
            usual_usd: low + 500,
            high_usd: low + 1_200,
            valid_until: Date::constant(2027, 3, 1),
            book: dice.words(),
            words: dice.words(),
        };
        self.add(dice, OPENED.at(16, 50, 0, 0), quote);
        let clock = |dice: &mut Dice<'_>, hour: u16| dice.maybe(|_| AsText(Clock(hour * 60 + 30)));
        let outage = OutageBooked {
            option: "replace-panel".to_owned(),
            date: Date::constant(2027, 1, 15),
            asked: dice.maybe(|_| OPENED),
            start: clock(dice, 7),
            crew: dice.maybe(|dice| 1 + dice.below(3) as u8),
            cut_from: clock(dice, 8),
            cut_to: clock(dice, 10),
            inspector_from: clock(dice, 13),
            inspector_to: clock(dice, 15),
            reconnect_from: clock(dice, 15),
            reconnect_to: clock(dice, 16),
            reconnect_by: clock(dice, 17),
            done: if dice.coin() { vec!["trace".to_owned()] } else { Vec::new() },
            told: dice.words(),
        };
        self.add(dice, OPENED.at(16, 51, 0, 0), Box::new(outage));
        for (minute, done) in [(52, false), (53, true)] {
            let people = dice.maybe(|dice| 1 + dice.below(3) as u8);
            let tick = StepTicked { step: "trace".to_owned(), done, people, words: dice.words() };
            self.add(dice, OPENED.at(16, minute, 0, 0), tick);
        }
        let used = PartUsed { part: "rod".to_owned(), count: dice.below(4) as u32, words: dice.words() };
        self.add(dice, OPENED.at(16, 54, 0, 0), used);
    }
}
