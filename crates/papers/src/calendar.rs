//! Days as a calendar file by RFC 5545: all-day entries, text escaped, lines folded. Ours and not a library's: a pure
//! crate cannot take one that draws chance for its ids and reads the clock.

use crate::clean::clean;
use model::{Date, DateTime};

/// Octets of a line without its break (RFC 5545, section 3.1).
const LINE_MAX: usize = 75;

/// One day of the calendar.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct CalendarDay {
    /// Unique for ever, and the same for the same thing: a calendar replaces what it has under this name.
    pub uid: String,
    /// The day.
    pub day: Date,
    /// One line.
    pub summary: String,
    /// More.
    pub description: String,
    /// Kind of the day, a word.
    pub category: String,
    /// Address of the record, where there is one.
    pub url: Option<String>,
}

/// The file. `made` is the time of making, as UTC.
pub fn calendar(name: &str, days: &[CalendarDay], made: DateTime) -> String {
    let mut out = Lines::default();
    out.line("BEGIN", "VCALENDAR");
    out.line("VERSION", "2.0");
    out.line("PRODID", "-//Panelwright//EN");
    out.line("CALSCALE", "GREGORIAN");
    out.line("METHOD", "PUBLISH");
    out.text("X-WR-CALNAME", name);
    let stamp = made.strftime("%Y%m%dT%H%M%SZ").to_string();
    for day in days {
        out.line("BEGIN", "VEVENT");
        out.text("UID", &day.uid);
        out.line("DTSTAMP", &stamp);
        out.line("DTSTART;VALUE=DATE", &day.day.strftime("%Y%m%d").to_string());
        let after = day.day.tomorrow().unwrap_or(day.day);
        out.line("DTEND;VALUE=DATE", &after.strftime("%Y%m%d").to_string());
        out.text("SUMMARY", &day.summary);
        if !day.description.is_empty() {
            out.text("DESCRIPTION", &day.description);
        }
        out.text("CATEGORIES", &day.category);
        if let Some(url) = &day.url {
            // An address is no text: nothing in it is escaped, and it holds no break.
            out.line("URL", &url.replace(['\r', '\n'], ""));
        }
        out.line("TRANSP", "TRANSPARENT");
        out.line("END", "VEVENT");
    }
    out.line("END", "VCALENDAR");
    out.0
}

#[derive(Default)]
struct Lines(String);

impl Lines {
    /// A line whose value is text of a person.
    fn text(&mut self, name: &str, value: &str) {
        self.line(name, &escaped(value));
    }

    /// A line, folded: after 75 octets a break and a space, never within a letter.
    fn line(&mut self, name: &str, value: &str) {
        let whole = format!("{name}:{value}");
        let mut room = LINE_MAX;
        for letter in whole.chars() {
            if room < letter.len_utf8() {
                self.0.push_str("\r\n ");
                // The space counts.
                room = LINE_MAX - 1;
            }
            room -= letter.len_utf8();
            self.0.push(letter);
        }
        self.0.push_str("\r\n");
    }
}

/// Backslash, semicolon and comma with a backslash before them, a break as `\n` (RFC 5545, section 3.3.11); other
/// controls are left out.
fn escaped(text: &str) -> String {
    let lines: Vec<String> = text
        .lines()
        .map(|line| {
            let line = clean(line);
            line.replace('\\', "\\\\").replace(';', "\\;").replace(',', "\\,")
        })
        .collect();
    lines.join("\\n")
}

#[cfg(test)]
mod tests {
    use super::*;

    fn day(summary: &str, description: &str) -> CalendarDay {
        CalendarDay {
            uid: "Q-0117-promise-1-promise@panelwright".to_owned(),
            day: Date::constant(2026, 12, 31),
            summary: summary.to_owned(),
            description: description.to_owned(),
            category: "recheck".to_owned(),
            url: Some("http://192.168.7.20:7117/jobs/Q-0117/plan".to_owned()),
        }
    }

    fn made() -> DateTime {
        Date::constant(2026, 11, 26).at(19, 30, 0, 0)
    }

    /// As a reader does it: a break and a space are taken out.
    fn unfolded(text: &str) -> Vec<String> {
        text.replace("\r\n ", "").split("\r\n").filter(|line| !line.is_empty()).map(str::to_owned).collect()
    }

    #[test]
    fn every_line_ends_as_the_standard_asks_and_none_is_too_long() {
        let long = "Überlanger Text, mit „Zeichen“ und 漢字; \\ ".repeat(20);
        let text = calendar("Board", &[day(&long, &long)], made());
        assert!(text.ends_with("END:VCALENDAR\r\n"));
        for line in text.split("\r\n") {
            assert!(line.len() <= 75, "{} octets: {line}", line.len());
            assert!(!line.contains('\n') && !line.contains('\r'));
        }
        let summary =
            unfolded(&text).into_iter().find(|line| line.starts_with("SUMMARY:")).expect("a summary");
        let back = summary["SUMMARY:".len()..].replace("\\;", ";").replace("\\,", ",").replace("\\\\", "\\");
        assert_eq!(back, clean(&long));
    }

    #[test]
    fn what_a_person_wrote_adds_no_line() {
        let nasty = "a\r\nEND:VEVENT\r\nBEGIN:VEVENT\nUID:x";
        let text = calendar("Board", &[day(nasty, nasty)], made());
        let lines = unfolded(&text);
        assert_eq!(lines.iter().filter(|line| *line == "END:VEVENT").count(), 1);
        assert!(lines.contains(&"SUMMARY:a\\nEND:VEVENT\\nBEGIN:VEVENT\\nUID:x".to_owned()), "{lines:?}");
    }

    #[test]
    fn a_day_is_whole_and_the_last_of_a_year_ends_in_the_next() {
        let lines = unfolded(&calendar("Board", &[day("x", "")], made()));
        for wanted in ["DTSTART;VALUE=DATE:20261231", "DTEND;VALUE=DATE:20270101", "DTSTAMP:20261126T193000Z"]
        {
            assert!(lines.contains(&wanted.to_owned()), "{lines:?}");
        }
        assert!(!lines.iter().any(|line| line.starts_with("DESCRIPTION")));
    }
}
