//! The year at a glance: the peak of each day, and the days with the highest peaks.

use super::civil::{DAY_S, day_at};
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

    /// The readings of one day: hours from midnight and mean power, kW.
    pub fn course(&self, day: Date, offset_s: i32) -> Vec<(f64, f64)> {
        let of_day = self.readings.iter().filter(|reading| day_at(reading.start_s, offset_s) == Some(day));
        of_day
            .map(|reading| {
                let second = (reading.start_s + i64::from(offset_s)).rem_euclid(DAY_S);
                (second as f64 / 3600.0, reading.kw())
            })
            .collect()
    }
}
