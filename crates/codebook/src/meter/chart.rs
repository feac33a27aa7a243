//! The year at a glance: the peak of each day, and the days with the highest peaks.

use super::civil::day_at;
use super::series::Series;
use jiff::civil::Date;
use std::collections::BTreeMap;

/// A day of the series.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct DayPeak {
    /// Day.
    pub day: Date,
    /// Greatest mean power of a reading, kW.
    pub kw: f64,
    /// Energy, kWh.
    pub kwh: f64,
    /// Part of the day that has readings, hours.
    pub covered_h: f64,
}

impl Series {
    /// Every day with a reading, in order; the offset places midnight.
    pub fn days(&self, offset_s: i32) -> Vec<DayPeak> {
        let mut days = BTreeMap::<Date, DayPeak>::new();
        for reading in &self.readings {
            let Some(day) = day_at(reading.start_s, offset_s) else { continue };
            let entry = days.entry(day).or_insert(DayPeak { day, kw: 0.0, kwh: 0.0, covered_h: 0.0 });
            entry.kw = entry.kw.max(reading.kw());
            entry.kwh += reading.wh / 1000.0;
            entry.covered_h += f64::from(reading.seconds) / 3600.0;
        }
        days.into_values().collect()
    }

    /// The days with the highest peaks, highest first.
    pub fn peak_days(&self, offset_s: i32, n_days: usize) -> Vec<DayPeak> {
        let mut days = self.days(offset_s);
        days.sort_by(|a, b| b.kw.total_cmp(&a.kw).then(a.day.cmp(&b.day)));
        days.truncate(n_days);
        days
    }
}
