//! What was built: the hours and parts of a job at the prices of a day, to be held against what was quoted.

use super::{NoPrice, PriceBook, Rate};
use model::{Cents, Date};

/// What hours and parts come to, by the same sum as a price: rate, markup, tax, reserve, fees.
///
/// # Errors
/// See [`NoPrice`].
pub fn built(
    book: &PriceBook,
    day: Date,
    person_hours: f64,
    parts: &[(String, u32)],
    fees: bool,
) -> Result<Cents, NoPrice> {
    let rate = |rate: Rate| book.rate(rate, day);
    let mut items: Vec<String> =
        Rate::ALL.into_iter().filter(|one| rate(*one).is_none()).map(|one| one.item().to_owned()).collect();
    items.extend(parts.iter().filter(|(part, _)| book.on(part, day).is_none()).map(|(part, _)| part.clone()));
    if !items.is_empty() {
        return Err(NoPrice::NotInTheBook { day, items });
    }
    let percent = |one: Rate| 1.0 + rate(one).unwrap_or_default() / 100.0;
    let usd = |one: Rate| rate(one).unwrap_or_default();
    let of_parts: f64 =
        parts.iter().map(|(part, n)| book.on(part, day).map_or(0.0, |line| line.price) * f64::from(*n)).sum();
    let work = person_hours * usd(Rate::PersonHour) + of_parts * percent(Rate::Markup) * percent(Rate::Tax);
    let fees = if fees { usd(Rate::Permit) + usd(Rate::Utility) } else { 0.0 };
    Ok(Cents::from_usd(work * percent(Rate::Reserve) + fees))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn hours_and_parts_are_summed_as_on_paper() {
        let day = Date::constant(2026, 11, 26);
        let parts = [("rod".to_owned(), 2), ("label-set".to_owned(), 1)];
        // By hand: (10 h × 115 + (2 × 31 + 12) × 1.20 × 1.06) × 1.04 + 125 + 128 = 1,546.89 USD.
        assert_eq!(built(&PriceBook::demo(), day, 10.0, &parts, true), Ok(Cents(154_689)));
        let unknown = [("no-such-part".to_owned(), 1)];
        assert!(built(&PriceBook::demo(), day, 1.0, &unknown, false).is_err());
    }
}
