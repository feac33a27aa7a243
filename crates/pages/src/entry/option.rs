//! The option that an entry is about: what a quote offers, what is done on the booked day.

use super::ask::Ask;
use super::taking::Taking;
use maud::Markup;

/// Name of the field.
pub(super) const FIELD: &str = "option";

/// A choice of one option, a new panel where nothing was chosen.
pub(super) fn show(ask: &Ask<'_>, label: &str, missing: &str) -> Markup {
    let options: Vec<(String, String)> = study::OPTIONS
        .iter()
        .map(|option| (option.word().to_owned(), study::option_words(*option).to_owned()))
        .collect();
    let usual = ask.values.text(FIELD).unwrap_or("replace-panel").to_owned();
    ask.choose(FIELD, label, "", missing, vec![(String::new(), options)], &usual)
}

/// The word of the option that was chosen; what is none is told with `missing`.
pub(super) fn read(taking: &mut Taking<'_>, missing: &str) -> String {
    let option = taking.text(FIELD).unwrap_or_default().to_owned();
    if study::option_of_word(&option).is_none() {
        taking.wrong(FIELD, missing);
    }
    option
}
