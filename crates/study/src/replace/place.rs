//! Rules of the place: what the cards of utility and permit office say of a day, and what the plan takes from them.

use super::outage::OutageAsk;
use model::Date;
use model::job::Job;
use remedy::address::{Card, CardKind, Found, Reconnect, working_days_before};
use remedy::outage::{Booking, clock};

/// One thing that a card says.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct PlaceRule {
    /// In a sentence.
    pub says: String,
    /// The card, by its name within the cards.
    pub card: String,
    /// Whose card it is.
    pub name: String,
    /// Who said so, or which paper.
    pub source: String,
    /// When.
    pub told: Date,
    /// Told a year ago or longer?
    pub old: bool,
    /// Does the plan reckon with it, because nothing else is booked?
    pub used: bool,
}

impl PlaceRule {
    /// Where it comes from, in words.
    pub fn origin(&self) -> String {
        let old = if self.old { "; old, ask again" } else { "" };
        format!("{}, told {}: {}{old}", self.name, self.told, self.source)
    }
}

/// A booking with what the cards say where nothing is booked.
pub(super) struct Placed {
    pub(super) booking: Booking,
    pub(super) rules: Vec<PlaceRule>,
    pub(super) notes: Vec<String>,
}

/// Puts the cards of the job's town under its booking. What is booked counts before what a card says.
pub(super) fn place(job: &Job, ask: &OutageAsk<'_>) -> Placed {
    let mut placed = Placed { booking: ask.booking.clone(), rules: Vec::new(), notes: Vec::new() };
    let mut first: Option<(Date, String)> = None;
    for kind in CardKind::ALL {
        let card = match ask.cards.of_town(kind, &job.town, job.invented) {
            Found::One(card) => card,
            Found::None => continue,
            Found::Several(all) => {
                let names: Vec<&str> = all.iter().map(|card| card.name.as_str()).collect();
                placed.notes.push(format!(
                    "Several address cards hold for {}: {}. None of them is used; put that right on the page Address cards.",
                    job.town,
                    names.join(", ")
                ));
                continue;
            }
        };
        match kind {
            CardKind::Utility => placed.utility(card, ask.today),
            CardKind::Permit => placed.permit(card, ask.today),
        }
        placed.days(card, ask, &mut first);
        placed.words(card, ask.today);
    }
    if let (None, Some((day, why))) = (ask.date, first) {
        placed.notes.push(format!(
            "Asked for today, the first day by the address cards is {day}: {why}. Holidays are not counted out."
        ));
    }
    let mut used: Vec<&str> =
        placed.rules.iter().filter(|rule| rule.used).map(|rule| rule.name.as_str()).collect();
    used.dedup();
    if !used.is_empty() {
        placed.notes.push(format!(
            "Not booked, and taken from the address cards of {}. A card is what somebody said once: have the day confirmed.",
            used.join(" and ")
        ));
    }
    let mut old: Vec<&str> =
        placed.rules.iter().filter(|rule| rule.old).map(|rule| rule.name.as_str()).collect();
    old.dedup();
    if !old.is_empty() {
        placed.notes.push(format!(
            "Older than a year: the address cards of {}. Ask again before the day is promised.",
            old.join(" and ")
        ));
    }
    placed
}

impl Placed {
    fn rule(&mut self, card: &Card, today: Date, used: bool, says: String) {
        self.rules.push(PlaceRule {
            says,
            card: card.id.clone(),
            name: card.name.clone(),
            source: card.source.clone(),
            told: card.told,
            old: card.is_old(today),
            used,
        });
    }

    fn utility(&mut self, card: &Card, today: Date) {
        if let Some((from, to)) = card.cut {
            let used = self.booking.cut.is_none();
            self.rule(card, today, used, format!("Cuts between {} and {}.", clock(from), clock(to)));
            if used {
                self.booking.cut = Some((from, to));
            }
        }
        let used = self.booking.reconnect_latest.is_none();
        match (card.reconnect, card.reconnect_by) {
            (Some(Reconnect::LaterDay), _) => {
                let says =
                    "Does not give the supply back on the day of the cut: plan for a night without power.";
                self.rule(card, today, used, says.to_owned());
                // Whoever is called after this does not come that day.
                self.booking.reconnect_latest.get_or_insert(0.0);
            }
            (on, Some(by)) => {
                let day = if on.is_some() { " on the same day" } else { "" };
                self.rule(
                    card,
                    today,
                    used,
                    format!("Gives the supply back{day}, by {} at the latest.", clock(by)),
                );
                self.booking.reconnect_latest.get_or_insert(by);
            }
            (Some(Reconnect::SameDay), None) => {
                self.rule(card, today, false, "Gives the supply back on the same day.".to_owned());
            }
            (None, None) => {}
        }
        if let Some(fee) = card.fee {
            self.rule(card, today, false, format!("Charges {} USD to cut and give back.", fee.exact()));
        }
        if !card.seal.is_empty() {
            self.rule(card, today, false, format!("Seal: {}", card.seal));
        }
    }

    fn permit(&mut self, card: &Card, today: Date) {
        if let Some((from, to)) = card.hours {
            let used = self.booking.inspector.is_none();
            self.rule(
                card,
                today,
                used,
                format!("The inspector comes between {} and {}.", clock(from), clock(to)),
            );
            if used {
                self.booking.inspector_latest = Some(to);
            }
        }
        if let Some(n) = card.inspections {
            self.rule(card, today, false, format!("{n} inspections."));
        }
        match card.before_power {
            Some(true) => {
                let says = "The inspector sees the work before the supply comes back.";
                self.rule(card, today, false, says.to_owned());
            }
            Some(false) => {
                let says = "The supply may come back before the inspection.";
                self.rule(card, today, false, says.to_owned());
            }
            None => {}
        }
        if let Some(fee) = card.fee {
            self.rule(card, today, false, format!("The permit costs {} USD.", fee.exact()));
        }
    }

    /// Notice before a cut, or days until a permit is there.
    fn days(&mut self, card: &Card, ask: &OutageAsk<'_>, first: &mut Option<(Date, String)>) {
        let Some(n) = card.notice_days else { return };
        let what = match card.kind {
            CardKind::Utility => format!("{n} working days of notice to {}", card.name),
            CardKind::Permit => format!("{n} working days for a permit of {}", card.name),
        };
        let by = ask.date.and_then(|day| working_days_before(day, i32::from(n)));
        let until = by.map(|by| format!("; for the booked day asked by {by}")).unwrap_or_default();
        self.rule(card, ask.today, false, format!("{}{until}.", crate::words::capital(&what)));
        if let (Some(day), Some(by)) = (ask.date, by)
            && by < ask.today
            && ask.today <= day
        {
            self.notes.push(format!(
                "{}: for {day} that had to be asked by {by}. If it was not, the day does not hold.",
                crate::words::capital(&what)
            ));
        }
        if let Some(day) = working_days_before(ask.today, -i32::from(n))
            && first.as_ref().is_none_or(|(known, _)| *known < day)
        {
            *first = Some((day, what));
        }
    }

    fn words(&mut self, card: &Card, today: Date) {
        for (what, text) in [("In an emergency: ", &card.emergency), ("", &card.words)] {
            if !text.is_empty() {
                self.rule(card, today, false, format!("{what}{text}"));
            }
        }
    }
}
