//! Address cards: what the utility and the permit office of a town said of cuts, notice, inspection and fees, by whom and
//! when. A card is what somebody told the shop; it is no rule of any code, and it grows old.

#[cfg(test)]
mod tests;
mod text;

pub use text::{BadCard, day_of, money_of};

use crate::outage::Minute;
use model::{Cents, Date};

const DEMO: &str = include_str!("../../data/address-cards.toml");

/// From so many days on a card counts as old.
const OLD_DAYS: i32 = 365;

/// Whose card it is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum CardKind {
    /// The utility, which cuts and gives back.
    Utility,
    /// The office that permits and inspects.
    Permit,
}

impl CardKind {
    /// Both.
    pub const ALL: [CardKind; 2] = [CardKind::Utility, CardKind::Permit];

    /// The word in files and forms.
    pub const fn word(self) -> &'static str {
        match self {
            CardKind::Utility => "utility",
            CardKind::Permit => "permit",
        }
    }

    /// For people.
    pub const fn title(self) -> &'static str {
        match self {
            CardKind::Utility => "Utility",
            CardKind::Permit => "Permit office",
        }
    }
}

/// When the supply is given back after the work.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Reconnect {
    /// On the day of the cut.
    SameDay,
    /// Not on that day.
    LaterDay,
}

impl Reconnect {
    /// Both.
    pub const ALL: [Reconnect; 2] = [Reconnect::SameDay, Reconnect::LaterDay];

    /// The word in files and forms.
    pub const fn word(self) -> &'static str {
        match self {
            Reconnect::SameDay => "same-day",
            Reconnect::LaterDay => "later-day",
        }
    }
}

/// What a utility or a permit office said. What is `None` or empty was not asked.
#[derive(Debug, Clone, PartialEq)]
pub struct Card {
    /// Name within the cards: small letters, digits, hyphens.
    pub id: String,
    /// Whose.
    pub kind: CardKind,
    /// Name of the utility or office.
    pub name: String,
    /// Towns for which it holds.
    pub towns: Vec<String>,
    /// Invented?
    pub invented: bool,
    /// Who said so, or which paper.
    pub source: String,
    /// When.
    pub told: Date,
    /// Window in which the utility cuts, minutes after midnight.
    pub cut: Option<(Minute, Minute)>,
    /// Working days: notice before a cut, or until a permit is there.
    pub notice_days: Option<u16>,
    /// Is the supply given back on the day of the cut?
    pub reconnect: Option<Reconnect>,
    /// Not later than this, minutes after midnight.
    pub reconnect_by: Option<Minute>,
    /// Hours in which the inspector comes, minutes after midnight.
    pub hours: Option<(Minute, Minute)>,
    /// How often the inspector comes.
    pub inspections: Option<u16>,
    /// Must the inspector have seen the work before the supply comes back?
    pub before_power: Option<bool>,
    /// What is charged, US dollars: cut and reconnection together, or the permit.
    pub fee: Option<Cents>,
    /// Who may cut the seal of the meter.
    pub seal: String,
    /// What holds in an emergency.
    pub emergency: String,
    /// What else was said.
    pub words: String,
}

impl Card {
    /// Was it told a year ago or longer on a day?
    pub fn is_old(&self, day: Date) -> bool {
        day.since(self.told).is_ok_and(|span| OLD_DAYS <= span.get_days())
    }

    fn is_of(&self, kind: CardKind, town: &str, invented: bool) -> bool {
        let same = |own: &String| own.trim().to_lowercase() == town.trim().to_lowercase();
        // An invented card bears on invented jobs alone.
        self.kind == kind && (invented || !self.invented) && self.towns.iter().any(same)
    }
}

/// The cards of a shop.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Cards(Vec<Card>);

/// The card for a place.
#[derive(Debug, Clone, PartialEq)]
pub enum Found<'a> {
    /// There is none.
    None,
    /// It.
    One(&'a Card),
    /// Several say that they hold for it: none of them counts.
    Several(Vec<&'a Card>),
}

impl Cards {
    /// The invented cards of the demo.
    pub fn demo() -> Cards {
        Cards::read(DEMO).expect("the demo's cards are read in a test")
    }

    /// All, by kind and name.
    pub fn all(&self) -> &[Card] {
        &self.0
    }

    /// Is one invented?
    pub fn invented(&self) -> bool {
        self.0.iter().any(|card| card.invented)
    }

    /// A card by its name within the cards.
    pub fn card(&self, id: &str) -> Option<&Card> {
        self.0.iter().find(|card| card.id == id)
    }

    /// The card of a kind for a town. `invented`: of an invented job.
    pub fn of_town(&self, kind: CardKind, town: &str, invented: bool) -> Found<'_> {
        let found: Vec<&Card> = self.0.iter().filter(|card| card.is_of(kind, town, invented)).collect();
        match found.as_slice() {
            [] => Found::None,
            [one] => Found::One(one),
            _ => Found::Several(found),
        }
    }

    /// The cards with one put in, in the place of the one of the same name where there is one.
    pub fn with(&self, card: Card) -> Cards {
        let mut all = self.without(&card.id).0;
        all.push(card);
        all.sort_by(|one, other| (one.kind, &one.name, &one.id).cmp(&(other.kind, &other.name, &other.id)));
        Cards(all)
    }

    /// The cards without one.
    pub fn without(&self, id: &str) -> Cards {
        Cards(self.0.iter().filter(|card| card.id != id).cloned().collect())
    }

    /// A name for a new card, from that of its utility or office.
    pub fn new_id(&self, name: &str) -> String {
        let letters = name
            .chars()
            .map(|letter| if letter.is_ascii_alphanumeric() { letter.to_ascii_lowercase() } else { '-' });
        let words: Vec<String> = letters
            .collect::<String>()
            .split('-')
            .filter(|word| !word.is_empty())
            .map(str::to_owned)
            .collect();
        let stem: String = words.join("-").chars().take(40).collect();
        let stem = if stem.is_empty() { "card".to_owned() } else { stem };
        let numbered = (2..).map(|n| format!("{stem}-{n}"));
        let mut all = std::iter::once(stem.clone()).chain(numbered);
        all.find(|id| self.card(id).is_none()).unwrap_or(stem)
    }
}

/// The day so many working days before or, with a negative number, after another. Saturdays and Sundays are none; of
/// holidays nothing is known here. `None` beyond the calendar.
pub fn working_days_before(day: Date, n: i32) -> Option<Date> {
    let mut day = day;
    for _ in 0..n.unsigned_abs() {
        loop {
            day = if 0 < n { day.yesterday() } else { day.tomorrow() }.ok()?;
            if day.weekday().to_monday_zero_offset() < 5 {
                break;
            }
        }
    }
    Some(day)
}
