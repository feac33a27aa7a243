//! Days and times as people write them: civil time at the site.

use jiff::civil::{Date, DateTime, Time};

/// A day, a time of day, or both.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Moment {
    Day(Date),
    Time(Time),
    Both(DateTime),
}

impl Moment {
    /// The full time. A time alone is on `day`; a day alone is its first minute.
    pub(crate) fn on(self, day: Date) -> DateTime {
        match self {
            Moment::Day(own) => own.to_datetime(Time::midnight()),
            Moment::Time(time) => day.to_datetime(time),
            Moment::Both(both) => both,
        }
    }
}

const DAY_HINT: &str = "year, month, day: `2026-03-04`";
const MOMENT_HINT: &str = "`2026-03-04T14:30`, or a day alone, or a time alone: `14:30`";

/// Reads a day.
pub(crate) fn day(text: &str) -> Result<Date, String> {
    if text.len() > 10 && text.get(..10).is_some_and(|front| plain_day(front).is_some()) {
        return Err(format!("a day only, without a time: `{}`", &text[..10]));
    }
    plain_day(text).ok_or_else(|| DAY_HINT.to_owned())
}

/// Four, two and two digits; nothing looser, so that a file means the same to every program.
fn plain_day(text: &str) -> Option<Date> {
    let bytes = text.as_bytes();
    let shape = bytes.len() == 10
        && bytes.iter().enumerate().all(|(idx, byte)| match idx {
            4 | 7 => *byte == b'-',
            _ => byte.is_ascii_digit(),
        });
    if shape { text.parse().ok() } else { None }
}

fn plain_time(text: &str) -> Option<Time> {
    let (clock, fraction) = match text.split_once('.') {
        Some((clock, fraction)) => (clock, Some(fraction)),
        None => (text, None),
    };
    let bytes = clock.as_bytes();
    let shape = matches!(bytes.len(), 5 | 8)
        && bytes.iter().enumerate().all(|(idx, byte)| match idx {
            2 | 5 => *byte == b':',
            _ => byte.is_ascii_digit(),
        });
    let fraction_fits = fraction.is_none_or(|digits| {
        bytes.len() == 8
            && !digits.is_empty()
            && digits.len() <= 9
            && digits.bytes().all(|byte| byte.is_ascii_digit())
    });
    if shape && fraction_fits { text.parse().ok() } else { None }
}

/// Reads a day, a time of day, or both.
pub(crate) fn moment(text: &str) -> Result<Moment, String> {
    if let Some(day) = plain_day(text) {
        return Ok(Moment::Day(day));
    }
    if let Some(time) = plain_time(text) {
        return Ok(Moment::Time(time));
    }
    let (Some(front), Some(back)) = (text.get(..10), text.get(11..)) else {
        return Err(MOMENT_HINT.to_owned());
    };
    let separator = matches!(text.as_bytes()[10], b'T' | b't' | b' ');
    match (plain_day(front), separator) {
        (Some(day), true) => match plain_time(back) {
            Some(time) => Ok(Moment::Both(day.to_datetime(time))),
            None if has_offset(back) => Err(format!(
                "local time at the site, without `Z` or an offset: `{front}T{}`",
                back.get(..5).unwrap_or("14:30")
            )),
            None => Err(MOMENT_HINT.to_owned()),
        },
        _ => Err(MOMENT_HINT.to_owned()),
    }
}

fn has_offset(time: &str) -> bool {
    time.ends_with(['Z', 'z']) || time.get(5..).is_some_and(|tail| tail.contains(['+', '-']))
}

#[cfg(test)]
mod tests {
    use super::*;
    use jiff::civil::date;

    #[test]
    fn days_and_times_are_read() {
        assert_eq!(day("2026-03-04"), Ok(date(2026, 3, 4)));
        assert_eq!(moment("2026-03-04T14:30"), Ok(Moment::Both(date(2026, 3, 4).at(14, 30, 0, 0))));
        assert_eq!(moment("2026-03-04 14:30:05"), Ok(Moment::Both(date(2026, 3, 4).at(14, 30, 5, 0))));
        assert_eq!(moment("14:30").map(|m| m.on(date(2026, 3, 4))), Ok(date(2026, 3, 4).at(14, 30, 0, 0)));
        assert_eq!(moment("2026-03-04").map(|m| m.on(date(2020, 1, 1))), Ok(date(2026, 3, 4).at(0, 0, 0, 0)));
    }

    #[test]
    fn anything_else_is_refused_with_the_right_form() {
        for text in
            ["", "4.3.2026", "03/04/2026", "2026-3-4", "2026-02-30", "20260304", "yesterday", "2026-03-0é"]
        {
            assert_eq!(day(text), Err(DAY_HINT.to_owned()), "{text}");
            assert!(moment(text).is_err(), "{text}");
        }
        assert_eq!(day("2026-03-04T10:00"), Err("a day only, without a time: `2026-03-04`".to_owned()));
        for text in ["25:00", "14:3", "2026-03-04T", "2026-03-04T14", "2026-03-04x14:30", "2026-03-04T14:30+"]
        {
            assert!(moment(text).is_err(), "{text}");
        }
        let zulu = moment("2026-03-04T14:30:00Z").expect_err("an offset");
        assert!(zulu.contains("without `Z`") && zulu.contains("2026-03-04T14:30"), "{zulu}");
        assert!(moment("2026-03-04T14:30-05:00").expect_err("an offset").contains("offset"));
    }
}
