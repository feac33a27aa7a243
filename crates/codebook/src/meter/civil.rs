//! Days and times of meter data without a time zone: an offset is given, or the file's own local labels are kept.

use jiff::civil::{Date, DateTime};

const EPOCH: Date = jiff::civil::date(1970, 1, 1);
/// Seconds of a day.
pub(crate) const DAY_S: i64 = 86_400;

/// The day at some seconds since 1970, shifted by an offset.
pub(crate) fn day_at(seconds: i64, offset_s: i32) -> Option<Date> {
    let days = i32::try_from((seconds + i64::from(offset_s)).div_euclid(DAY_S)).ok()?;
    EPOCH.checked_add(jiff::Span::new().try_days(days).ok()?).ok()
}

/// Seconds since 1970 of a date and time, as if it were UTC.
pub(crate) fn seconds_of(at: DateTime) -> i64 {
    let days = i64::from(EPOCH.until(at.date()).map_or(0, |span| span.get_days()));
    days * DAY_S + i64::from(at.hour()) * 3600 + i64::from(at.minute()) * 60 + i64::from(at.second())
}

/// Reads the dates and times that meter files print: `2018-01-31 14:15`, `1/31/2018`, `2:15 PM`.
pub(crate) fn read(text: &str) -> Option<DateTime> {
    let text = text.trim().trim_matches('"').trim_end_matches('Z').replace('T', " ");
    let mut words = text.split_whitespace();
    let date = words.next()?;
    let numbers: Vec<i16> = date.split(['-', '/']).map(|part| part.parse().ok()).collect::<Option<_>>()?;
    let [a, b, c] = numbers.as_slice() else { return None };
    let (year, month, day) = if date.contains('/') { (*c, *a, *b) } else { (*a, *b, *c) };
    if year < 1970 {
        return None;
    }
    let clock = words.next().unwrap_or("0:00");
    // An offset after the clock would be a time of another zone; only plain labels are read.
    let mut parts = clock.split(':').map(|part| part.parse::<i8>().ok());
    let mut hour = parts.next()??;
    let minute = parts.next().unwrap_or(Some(0))?;
    let second = parts.next().unwrap_or(Some(0))?;
    match words.next().map(str::to_ascii_uppercase).as_deref() {
        Some("PM") if hour < 12 => hour += 12,
        Some("AM") if hour == 12 => hour = 0,
        Some("AM" | "PM") | None => {}
        Some(_) => return None,
    }
    let date = Date::new(year, i8::try_from(month).ok()?, i8::try_from(day).ok()?).ok()?;
    // 24:00 is the end of the day.
    if hour == 24 && minute == 0 && second == 0 {
        return Some(date.tomorrow().ok()?.at(0, 0, 0, 0));
    }
    (0..24).contains(&hour).then_some(())?;
    (0..60).contains(&minute).then_some(())?;
    (0..60).contains(&second).then_some(())?;
    Some(date.at(hour, minute, second, 0))
}

/// Is it a day on which the clocks of the United States change, by the rule since 2007?
pub(crate) fn clocks_change(date: Date) -> bool {
    let sunday = date.weekday() == jiff::civil::Weekday::Sunday;
    sunday
        && ((date.month() == 3 && (8..=14).contains(&date.day()))
            || (date.month() == 11 && (1..=7).contains(&date.day())))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn dates_and_times_as_files_print_them() {
        for (text, want) in [
            ("2018-01-31 14:15:00", "2018-01-31T14:15:00"),
            ("2018-01-31T14:15", "2018-01-31T14:15:00"),
            ("1/31/2018 2:15 PM", "2018-01-31T14:15:00"),
            ("01/31/2018 12:00 AM", "2018-01-31T00:00:00"),
            ("2018-01-31", "2018-01-31T00:00:00"),
            ("2018-01-31 24:00", "2018-02-01T00:00:00"),
        ] {
            assert_eq!(read(text).map(|at| at.to_string()).as_deref(), Some(want), "{text}");
        }
        for text in ["", "31.1.2018", "2018-13-01", "18-01-01", "2018-01-01 25:00", "2018-01-01 10:00 +05:00"]
        {
            assert_eq!(read(text), None, "{text}");
        }
        let at = seconds_of(read("2018-03-11 03:00").expect("a time"));
        assert_eq!(at, 1_520_737_200);
        assert_eq!(day_at(at, 0), Date::new(2018, 3, 11).ok());
        assert_eq!(day_at(at, -4 * 3600), Date::new(2018, 3, 10).ok());
        assert!(
            clocks_change(jiff::civil::date(2018, 3, 11)) && clocks_change(jiff::civil::date(2018, 11, 4))
        );
        assert!(!clocks_change(jiff::civil::date(2018, 3, 18)));
    }
}
