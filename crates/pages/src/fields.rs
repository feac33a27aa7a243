//! What a form sends, and what is wrong with it.

use jiff::civil::{Date, DateTime};
use model::PanelId;
use record::limits;
use record::text::Textual;
use std::collections::BTreeMap;

/// Fields of a form or of a query, each with one or more values.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Fields {
    values: BTreeMap<String, Vec<String>>,
}

impl Fields {
    /// Fields from pairs, in their order.
    pub fn from_pairs(pairs: impl IntoIterator<Item = (String, String)>) -> Self {
        let mut values: BTreeMap<String, Vec<String>> = BTreeMap::new();
        for (name, value) in pairs {
            values.entry(name).or_default().push(value);
        }
        Fields { values }
    }

    /// First value of a field, trimmed; `None` where it is missing or blank.
    pub fn text(&self, name: &str) -> Option<&str> {
        let value = self.values.get(name)?.first()?.trim();
        (!value.is_empty()).then_some(value)
    }

    /// All values of a field that are not blank, trimmed.
    pub fn all<'a>(&'a self, name: &str) -> impl Iterator<Item = &'a str> + use<'a> {
        let values = self.values.get(name).map(Vec::as_slice).unwrap_or_default();
        values.iter().map(|value| value.trim()).filter(|value| !value.is_empty())
    }

    /// Names of the fields that were sent.
    pub fn names(&self) -> impl Iterator<Item = &str> {
        self.values.keys().map(String::as_str)
    }
}

/// What is wrong with one field.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct FieldError {
    /// Name of the field; empty where it is about the whole form.
    pub field: String,
    /// What is wrong and what would be right.
    pub message: String,
}

/// A form that cannot be taken. Everything typed is kept and shown again.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Refusal {
    /// Every mistake.
    pub errors: Vec<FieldError>,
}

/// Reads typed values out of fields and keeps every mistake, so that all are told at once.
#[derive(Debug, Clone)]
pub(crate) struct Reader<'a> {
    fields: &'a Fields,
    errors: Vec<FieldError>,
}

impl<'a> Reader<'a> {
    /// A reader of these fields.
    pub(crate) fn new(fields: &'a Fields) -> Self {
        Reader { fields, errors: Vec::new() }
    }

    /// The fields as they were sent.
    pub(crate) fn fields(&self) -> &'a Fields {
        self.fields
    }

    /// Notes a mistake.
    pub(crate) fn wrong(&mut self, field: &str, message: impl Into<String>) {
        self.errors.push(FieldError { field: field.to_owned(), message: message.into() });
    }

    /// Everything that is wrong so far.
    pub(crate) fn refusal(self) -> Refusal {
        Refusal { errors: self.errors }
    }

    /// Was nothing wrong?
    ///
    /// # Errors
    /// Every mistake so far.
    pub(crate) fn finish(self) -> Result<(), Refusal> {
        if self.errors.is_empty() { Ok(()) } else { Err(self.refusal()) }
    }

    fn needed<T>(&mut self, name: &str, value: Option<T>, missing: &str) -> Option<T> {
        if value.is_none() && self.fields.text(name).is_none() {
            self.wrong(name, missing);
        }
        value
    }

    /// Free text of at most `max` characters.
    pub(crate) fn text(&mut self, name: &str, max: usize) -> Option<String> {
        let text = self.fields.text(name)?;
        let length = text.chars().count();
        if max < length {
            self.wrong(name, format!("{length} characters are too many: {max} at most."));
            return None;
        }
        // Line breaks and tabs stay; other control characters have no place in a record.
        Some(
            text.replace("\r\n", "\n")
                .chars()
                .filter(|&c| !c.is_control() || c == '\n' || c == '\t')
                .collect(),
        )
    }

    /// A number, with a decimal point or comma, and its unit behind it if somebody types that.
    pub(crate) fn number(&mut self, name: &str, unit: &str, range: (f64, f64)) -> Option<f64> {
        let text = self.fields.text(name)?;
        match number_of(text, unit) {
            Err(message) => {
                self.wrong(name, message);
                None
            }
            Ok(value) if value < range.0 || range.1 < value => {
                let (low, high) = (plain(range.0), plain(range.1));
                let value = plain(value);
                self.wrong(
                    name,
                    format!("{value} {unit} cannot be: {low} to {high} {unit}. Look at the unit and the decimal point."),
                );
                None
            }
            Ok(value) => Some(value),
        }
    }

    /// As [`Reader::number`], and it must be there.
    pub(crate) fn need_number(
        &mut self,
        name: &str,
        unit: &str,
        range: (f64, f64),
        missing: &str,
    ) -> Option<f64> {
        let value = self.number(name, unit, range);
        self.needed(name, value, missing)
    }

    /// The rating on a handle. One that breakers are not made in is asked about, until the box `sure` is ticked.
    pub(crate) fn rating(&mut self, name: &str, sure: &str) -> Option<f64> {
        let rating = self.number(name, "A", limits::RATING_A)?;
        if let Some(nearest) = record::nearest_rating(rating).filter(|_| !self.ticked(sure)) {
            let (rating, nearest) = (plain(rating), plain(nearest));
            self.wrong(
                name,
                format!("Breakers are not made for {rating} A; the nearest is {nearest} A. If {rating} stands on the handle, tick “It really says so”."),
            );
            return None;
        }
        Some(rating)
    }

    /// A whole number.
    pub(crate) fn whole(&mut self, name: &str, range: (u16, u16)) -> Option<u16> {
        let text = self.fields.text(name)?;
        match text.parse::<u16>() {
            Ok(value) if range.0 <= value && value <= range.1 => Some(value),
            _ => {
                self.wrong(
                    name,
                    format!("“{}” cannot be: a whole number, {} to {}.", brief(text), range.0, range.1),
                );
                None
            }
        }
    }

    /// A thing that has one text form: a word of a list, a space, a joint. `home` is the panel meant where the text
    /// names none.
    pub(crate) fn thing<T: Textual>(&mut self, name: &str, home: Option<&PanelId>) -> Option<T> {
        let text = self.fields.text(name)?;
        match T::read(text, home) {
            Ok(thing) => Some(thing),
            Err(error) => {
                let hint = quoted(&error.hint());
                self.wrong(name, format!("“{}” is not {}: {hint}.", brief(text), T::WHAT));
                None
            }
        }
    }

    /// As [`Reader::thing`], and it must be there.
    pub(crate) fn need<T: Textual>(
        &mut self,
        name: &str,
        home: Option<&PanelId>,
        missing: &str,
    ) -> Option<T> {
        let value = self.thing(name, home);
        self.needed(name, value, missing)
    }

    /// Yes, no, or not said.
    pub(crate) fn yes_no(&mut self, name: &str) -> Option<bool> {
        match self.fields.text(name)? {
            "yes" => Some(true),
            "no" => Some(false),
            "unknown" => None,
            other => {
                let message = format!("“{}” is neither yes nor no.", brief(other));
                self.wrong(name, message);
                None
            }
        }
    }

    /// Is a box ticked?
    pub(crate) fn ticked(&self, name: &str) -> bool {
        self.fields.text(name).is_some()
    }

    /// When it was: the field `at`, or now.
    pub(crate) fn moment(&mut self, now: DateTime) -> DateTime {
        let whole = |at: DateTime| at.with().subsec_nanosecond(0).build().unwrap_or(at);
        match self.fields.text("at").map(str::parse::<DateTime>) {
            None => whole(now),
            Some(Ok(at)) if (1890..=2200).contains(&at.year()) => whole(at),
            Some(_) => {
                self.wrong("at", "This is not a time: write it as in 2026-03-04T14:30.");
                whole(now)
            }
        }
    }

    /// A day.
    pub(crate) fn day(&mut self, name: &str) -> Option<Date> {
        let text = self.fields.text(name)?;
        match text.parse::<Date>() {
            Ok(day) if (1890..=2200).contains(&day.year()) => Some(day),
            _ => {
                self.wrong(name, format!("“{}” is not a day: write it as in 2026-03-04.", brief(text)));
                None
            }
        }
    }
}

/// A hint as people read it: what a file marks as code stands in quotation marks.
pub(crate) fn quoted(hint: &str) -> String {
    let mut parts = hint.split('`');
    let mut out = parts.next().unwrap_or_default().to_owned();
    for (idx, part) in parts.enumerate() {
        out.push(if idx % 2 == 0 { '“' } else { '”' });
        out.push_str(part);
    }
    out
}

/// A text cut short for a message.
fn brief(text: &str) -> String {
    const SHOWN: usize = 40;
    if text.chars().count() <= SHOWN {
        return text.to_owned();
    }
    text.chars().take(SHOWN).chain(['…']).collect()
}

/// A number as it is typed: no more digits than it has.
pub(crate) fn plain(value: f64) -> String {
    value.to_string()
}

fn number_of(text: &str, unit: &str) -> Result<f64, String> {
    let shown = brief(text);
    let bare = text.strip_suffix(unit).unwrap_or(text).trim().replace('\u{2212}', "-");
    let digits = bare.strip_prefix(['-', '+']).unwrap_or(&bare);
    let shaped = digits.chars().any(|c| c.is_ascii_digit())
        && digits.chars().all(|c| c.is_ascii_digit() || c == '.' || c == ',');
    let marks: Vec<char> = digits.chars().filter(|c| !c.is_ascii_digit()).collect();
    if !shaped || 1 < marks.len() || 12 < digits.len() {
        return Err(format!("“{shown}” is not a number: write digits, as in 62.5."));
    }
    // 1,250 is a thousand and more to one reader, a little more than one to the next.
    if let Some((whole, rest)) = digits.split_once(',')
        && rest.len() == 3
        && whole != "0"
    {
        return Err(format!("“{shown}” can be read in two ways: write {whole}{rest} or {whole}.{rest}."));
    }
    match bare.replace(',', ".").parse::<f64>() {
        Ok(value) if value.is_finite() => Ok(if value == 0.0 { 0.0 } else { value }),
        _ => Err(format!("“{shown}” is not a number: write digits, as in 62.5.")),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use model::Leg;

    fn fields(pairs: &[(&str, &str)]) -> Fields {
        Fields::from_pairs(pairs.iter().map(|(name, value)| ((*name).to_owned(), (*value).to_owned())))
    }

    fn number(text: &str) -> Result<Option<f64>, String> {
        let fields = fields(&[("n", text)]);
        let mut reader = Reader::new(&fields);
        let value = reader.number("n", "A", (-50.0, 2000.0));
        match reader.refusal().errors.pop() {
            None => Ok(value),
            Some(error) => Err(error.message),
        }
    }

    #[test]
    fn numbers_are_read_as_people_type_them() {
        for (text, value) in
            [("62", 62.0), (" 62.5 ", 62.5), ("62,5", 62.5), ("0,125", 0.125), ("-3", -3.0), ("12 A", 12.0)]
        {
            assert_eq!(number(text), Ok(Some(value)), "{text}");
        }
        assert_eq!(number("  "), Ok(None));
    }

    #[test]
    fn what_is_no_number_is_refused_with_what_would_be_right() {
        for text in ["x", "1e3", "inf", "NaN", "1.2.3", "--4", ".", "12 V", "0x10", "9999999999999"] {
            let message = number(text).expect_err(text);
            assert!(message.contains("write digits"), "{text}: {message}");
        }
        assert!(number("1,250").expect_err("two readings").contains("1250 or 1.250"));
        let message = number("5000").expect_err("too much");
        assert!(message.contains("5000 A") && message.contains("2000 A"), "{message}");
    }

    #[test]
    fn all_mistakes_are_told_at_once() {
        let fields = fields(&[("leg", "D"), ("rows", "0"), ("at", "yesterday"), ("ok", "maybe")]);
        let mut reader = Reader::new(&fields);
        let now = jiff::civil::date(2026, 3, 4).at(14, 30, 0, 7);
        assert_eq!(reader.thing::<Leg>("leg", None), None);
        assert_eq!(reader.whole("rows", (1, 42)), None);
        assert_eq!(reader.yes_no("ok"), None);
        assert_eq!(reader.need_number("amps", "A", (0.0, 9.0), "Give the current."), None);
        assert_eq!(reader.moment(now), jiff::civil::date(2026, 3, 4).at(14, 30, 0, 0));
        let refusal = reader.finish().expect_err("five mistakes");
        let names: Vec<&str> = refusal.errors.iter().map(|error| error.field.as_str()).collect();
        assert_eq!(names, ["leg", "rows", "ok", "amps", "at"]);
        assert!(refusal.errors[0].message.contains("“A”"), "{}", refusal.errors[0].message);
    }
}
