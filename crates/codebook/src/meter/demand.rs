//! The demand that meter data support, as an interval, or why they support none.

use super::import::Import;
use super::series::{Reading, Series};
use crate::load::{Basis, MeasuredDemand};
use model::Note;

/// Shortest span that is taken as a year: exports of twelve billing months are a few days short of 365.
const YEAR_LEAST_DAYS: i64 = 360;
/// Part of the span that may be missing in a year of data.
const YEAR_MOST_GAP: f64 = 0.02;
/// Averaging time of the rule, s.
const QUARTER_S: i64 = 900;
/// Mean power above this multiple of the service's rating is an error of scale, not a load.
const MOST_OVER_RATING: f64 = 2.0;

/// Why meter data support no demand.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum NoDemand {
    /// Intervals longer than an hour.
    #[error("the readings are of {hours} hours each: they tell energy, not demand")]
    TooCoarse {
        /// Length of the common interval, h.
        hours: f64,
    },
    /// Too short.
    #[error("the longest run without a gap is {days} days; the least is 30")]
    TooShort {
        /// Days.
        days: i64,
    },
    /// Energy fed back.
    #[error(
        "the meter shows energy that the house fed back: what it drew at the same time is hidden, so the data are no demand"
    )]
    Generation,
    /// More than the service can carry.
    #[error(
        "a mean of {kw:.1} kW is more than twice what a service of {service_a} A carries: check the unit and the power of ten"
    )]
    Impossible {
        /// Peak.
        kw: f64,
        /// Rating.
        service_a: f64,
    },
    /// Nothing in it.
    #[error("there are no readings")]
    Empty,
}

/// The demand of meter data.
#[derive(Debug, Clone, PartialEq)]
pub struct MeterDemand {
    /// The fifteen-minute demand was at least this, kW.
    pub least_kw: f64,
    /// And at most this, for fifteen minutes that start with the meter's intervals, kW.
    pub most_kw: f64,
    /// At most this for any fifteen minutes, two intervals together, kW.
    pub straddling_kw: f64,
    /// Start of the reading with the peak, s.
    pub peak_start_s: i64,
    /// What the data are good for.
    pub basis: Basis,
    /// Remarks.
    pub notes: Vec<Note>,
}

impl MeterDemand {
    /// The demand as the load calculation takes it; what the meter cannot know stays to be asked.
    pub fn measured(&self) -> MeasuredDemand {
        MeasuredDemand {
            least_kw: self.least_kw,
            most_kw: self.most_kw,
            basis: self.basis,
            own_generation: None,
            occupied: None,
            season_included: None,
            power_factor: None,
        }
    }
}

impl Import {
    /// The demand of one channel. `service_a` and `volts` catch a wrong scale where they are known.
    pub fn demand(
        &self,
        series: &Series,
        service_a: Option<f64>,
        volts: f64,
    ) -> Result<MeterDemand, NoDemand> {
        if self.shows_generation() {
            return Err(NoDemand::Generation);
        }
        demand(series, service_a, volts)
    }
}

fn demand(series: &Series, service_a: Option<f64>, volts: f64) -> Result<MeterDemand, NoDemand> {
    let peak = series.peak().ok_or(NoDemand::Empty)?;
    if 3600 < series.interval_s {
        return Err(NoDemand::TooCoarse { hours: f64::from(series.interval_s) / 3600.0 });
    }
    if series.readings.iter().any(|reading| reading.wh < 0.0) {
        return Err(NoDemand::Generation);
    }
    if let Some(service_a) = service_a
        && MOST_OVER_RATING * service_a * volts / 1000.0 < peak.kw()
    {
        return Err(NoDemand::Impossible { kw: peak.kw(), service_a });
    }
    let days = series.span_s() / super::civil::DAY_S;
    let run_days = series.longest_run_s / super::civil::DAY_S;
    let interval_min = series.interval_s / 60;
    let mut notes = series.notes.clone();
    let whole = series.gap_s as f64 <= YEAR_MOST_GAP * series.span_s() as f64;
    let basis = if YEAR_LEAST_DAYS <= days && whole {
        if days < 365 {
            notes.push(Note::new(
                "meter data",
                format!("the data span {days} days, a little less than a year: ask the inspector"),
            ));
        }
        Basis::Year { interval_min }
    } else if 30 <= run_days {
        notes.push(Note::new(
            "meter data",
            format!("{run_days} days without a gap are no year; they may stand as a recording"),
        ));
        Basis::Recording { days: run_days as u32, interval_min }
    } else {
        return Err(NoDemand::TooShort { days: run_days });
    };
    let Bounds { least_kw, most_kw, straddling_kw } = bounds(series);
    if peak.is_estimated() {
        notes.push(Note::new(
            "meter data",
            format!("the reading with the peak is marked as estimated or edited (code {}): it is not a measurement", peak.quality),
        ));
    }
    if least_kw < most_kw {
        notes.push(Note::new(
            "meter data",
            format!(
                "readings of {interval_min} min tell the mean only: the fifteen-minute demand lies between {least_kw:.2} and \
                 {most_kw:.2} kW, and up to {straddling_kw:.2} kW if the fifteen minutes lie across two readings"
            ),
        ));
    }
    Ok(MeterDemand { least_kw, most_kw, straddling_kw, peak_start_s: peak.start_s, basis, notes })
}

struct Bounds {
    least_kw: f64,
    most_kw: f64,
    straddling_kw: f64,
}

/// Bounds of the greatest fifteen-minute mean. Energy is never negative here, so all of a reading's energy in a
/// quarter of an hour is the most that it can have been.
fn bounds(series: &Series) -> Bounds {
    let quarter_kw = |wh: f64| wh * 3.6 / QUARTER_S as f64;
    let mut bounds = Bounds { least_kw: 0.0, most_kw: 0.0, straddling_kw: 0.0 };
    let readings = &series.readings;
    for (idx, reading) in readings.iter().enumerate() {
        let (least, most) = if QUARTER_S <= i64::from(reading.seconds) {
            let most =
                if i64::from(reading.seconds) == QUARTER_S { reading.kw() } else { quarter_kw(reading.wh) };
            (reading.kw(), most)
        } else {
            // Shorter readings make up the quarter of an hour themselves.
            let mean = quarter_of(readings, idx);
            (mean, mean)
        };
        bounds.least_kw = bounds.least_kw.max(least);
        bounds.most_kw = bounds.most_kw.max(most);
        let next = readings.get(idx + 1).filter(|next| next.start_s == reading.end_s());
        let both = if QUARTER_S < i64::from(reading.seconds) {
            quarter_kw(reading.wh + next.map_or(0.0, |next| next.wh))
        } else {
            most
        };
        bounds.straddling_kw = bounds.straddling_kw.max(both);
    }
    bounds
}

/// Mean power of the quarter of an hour that starts with a reading; what is missing counts as nothing.
fn quarter_of(readings: &[Reading], from: usize) -> f64 {
    let start = readings[from].start_s;
    let wh: f64 = readings[from..]
        .iter()
        .take_while(|reading| reading.end_s() <= start + QUARTER_S)
        .map(|reading| reading.wh)
        .sum();
    wh * 3.6 / QUARTER_S as f64
}
