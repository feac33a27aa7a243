//! The clock and the zone of this machine.

use jiff::civil::{Date, DateTime};
use jiff::tz::TimeZone;
use jiff::{Timestamp, ZonedDateTime};

/// Civil time now.
pub(crate) fn now() -> DateTime {
    let now = ZonedDateTime::now().datetime();
    // Facts are timed to the second; a form that gives no time must not make ids of fractions.
    now.with().subsec_nanosecond(0).build().unwrap_or(now)
}

/// Time now as UTC, for what leaves this machine.
pub(crate) fn utc() -> DateTime {
    let now = TimeZone::UTC.to_datetime(Timestamp::now());
    now.with().subsec_nanosecond(0).build().unwrap_or(now)
}

/// The day here.
pub(crate) fn today() -> Date {
    ZonedDateTime::now().date()
}

/// Civil time of a moment of the store.
pub(crate) fn civil(epoch_ms: i64) -> DateTime {
    let moment = Timestamp::from_millisecond(epoch_ms).unwrap_or(Timestamp::UNIX_EPOCH);
    let civil = TimeZone::system().to_datetime(moment);
    civil.with().subsec_nanosecond(0).build().unwrap_or(civil)
}
