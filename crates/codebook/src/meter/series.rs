//! A cleaned series of one channel: sorted, duplicates dropped, gaps and conflicts counted.

use model::Note;

/// One reading.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Reading {
    /// Start, seconds since 1970 in UTC; of CSV files in the file's own local time.
    pub start_s: i64,
    /// Length, s.
    pub seconds: u32,
    /// Energy, Wh.
    pub wh: f64,
    /// Quality code of the file; 0 where it gives none.
    pub quality: u8,
}

impl Reading {
    /// End, s.
    pub fn end_s(&self) -> i64 {
        self.start_s + i64::from(self.seconds)
    }

    /// Mean power, kW.
    pub fn kw(&self) -> f64 {
        self.wh * 3.6 / f64::from(self.seconds)
    }

    /// Do quality codes 7 to 13 mark it as edited, estimated, questionable, derived, projected or mixed?
    pub fn is_estimated(&self) -> bool {
        (7..=13).contains(&self.quality)
    }
}

/// A cleaned series.
#[derive(Debug, Clone, PartialEq)]
pub struct Series {
    /// Readings in order of time, without duplicates.
    pub readings: Vec<Reading>,
    /// Readings in the file, before cleaning.
    pub n_read: usize,
    /// Equal readings that were dropped.
    pub n_duplicates: usize,
    /// Starts with several different values; the largest is kept.
    pub conflicts: Vec<i64>,
    /// Time within the span without a reading, s.
    pub gap_s: i64,
    /// Longest run without a gap, s.
    pub longest_run_s: i64,
    /// Readings of exactly nothing.
    pub n_zero: usize,
    /// Readings marked as estimated.
    pub n_estimated: usize,
    /// Most common length of a reading, s.
    pub interval_s: u32,
    /// Remarks for the page.
    pub notes: Vec<Note>,
}

impl Series {
    /// Cleans readings in any order.
    pub fn clean(mut readings: Vec<Reading>) -> Series {
        let n_read = readings.len();
        let mut notes = vec![];
        let n_before = readings.len();
        // A reading of no length is the hour that a clock change takes away.
        readings.retain(|reading| 0 < reading.seconds);
        if readings.len() < n_before {
            notes.push(Note::new(
                "meter data",
                format!("{} readings of no length were left out", n_before - readings.len()),
            ));
        }
        readings.sort_by(|a, b| {
            a.start_s.cmp(&b.start_s).then(a.seconds.cmp(&b.seconds)).then(b.wh.total_cmp(&a.wh))
        });
        let (mut kept, mut n_duplicates, mut conflicts) =
            (Vec::<Reading>::with_capacity(readings.len()), 0, vec![]);
        for reading in readings {
            match kept.last() {
                Some(last) if last.start_s == reading.start_s => {
                    if last.wh == reading.wh && last.seconds == reading.seconds {
                        n_duplicates += 1;
                    } else if conflicts.last() != Some(&reading.start_s) {
                        conflicts.push(reading.start_s);
                    }
                }
                _ => kept.push(reading),
            }
        }
        if 0 < n_duplicates {
            notes.push(Note::new(
                "meter data",
                format!("{n_duplicates} repeated equal readings were dropped"),
            ));
        }
        if !conflicts.is_empty() {
            notes.push(Note::new(
                "meter data",
                format!(
                    "{} starts have several different values; the largest of each is kept",
                    conflicts.len()
                ),
            ));
        }
        let (mut gap_s, mut overlap_s, mut run_from, mut longest_run_s) = (0, 0, None, 0);
        let mut end: Option<i64> = None;
        for reading in &kept {
            match end {
                Some(end) if end < reading.start_s => {
                    gap_s += reading.start_s - end;
                    run_from = Some(reading.start_s);
                }
                Some(end) if reading.start_s < end => overlap_s += end - reading.start_s,
                _ => {}
            }
            let from = *run_from.get_or_insert(reading.start_s);
            let now = reading.end_s();
            end = Some(end.map_or(now, |end| end.max(now)));
            longest_run_s = longest_run_s.max(now - from);
        }
        if 0 < gap_s {
            notes.push(Note::new(
                "meter data",
                format!(
                    "{:.2} hours are missing within the span; a peak may lie in them",
                    gap_s as f64 / 3600.0
                ),
            ));
        }
        if 0 < overlap_s {
            notes.push(Note::new("meter data", format!("readings overlap by {overlap_s} s in all")));
        }
        let n_zero = kept.iter().filter(|reading| reading.wh == 0.0).count();
        if 0 < n_zero {
            notes.push(Note::new(
                "meter data",
                format!("{n_zero} readings are exactly zero: an outage, or a gap filled with zeros"),
            ));
        }
        let n_estimated = kept.iter().filter(|reading| reading.is_estimated()).count();
        if 0 < n_estimated {
            notes.push(Note::new(
                "meter data",
                format!("{n_estimated} readings are marked as estimated or edited"),
            ));
        }
        let interval_s = common_length(&kept);
        Series {
            readings: kept,
            n_read,
            n_duplicates,
            conflicts,
            gap_s,
            longest_run_s,
            n_zero,
            n_estimated,
            interval_s,
            notes,
        }
    }

    /// Energy, kWh.
    pub fn kwh(&self) -> f64 {
        self.readings.iter().map(|reading| reading.wh).sum::<f64>() / 1000.0
    }

    /// The reading with the greatest mean power.
    pub fn peak(&self) -> Option<&Reading> {
        self.readings.iter().max_by(|a, b| a.kw().total_cmp(&b.kw()))
    }

    /// From the first start to the last end, s.
    pub fn span_s(&self) -> i64 {
        let end = self.readings.iter().map(Reading::end_s).max().unwrap_or(0);
        self.readings.first().map_or(0, |first| end - first.start_s)
    }
}

fn common_length(readings: &[Reading]) -> u32 {
    let mut counts = std::collections::BTreeMap::<u32, usize>::new();
    for reading in readings {
        *counts.entry(reading.seconds).or_default() += 1;
    }
    counts.into_iter().max_by_key(|(_, count)| *count).map_or(0, |(seconds, _)| seconds)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn at(start_s: i64, wh: f64) -> Reading {
        Reading { start_s, seconds: 3600, wh, quality: 0 }
    }

    #[test]
    fn order_duplicates_conflicts_and_gaps() {
        let series =
            Series::clean(vec![at(10_800, 4.0), at(0, 1.0), at(3600, 2.0), at(0, 1.0), at(3600, 5.0)]);
        assert_eq!((series.n_read, series.n_duplicates, series.gap_s), (5, 1, 3600));
        assert_eq!(series.conflicts, [3600]);
        assert_eq!(series.readings.iter().map(|reading| reading.wh).collect::<Vec<_>>(), [1.0, 5.0, 4.0]);
        assert_eq!((series.span_s(), series.longest_run_s), (14_400, 7200));
    }

    #[test]
    fn a_clock_change_with_0_and_7200_seconds() {
        let mut none = at(3600, 0.0);
        none.seconds = 0;
        let mut long = at(7200, 8.0);
        long.seconds = 7200;
        let series = Series::clean(vec![at(0, 1.0), at(3600, 1.0), none, long]);
        assert_eq!((series.readings.len(), series.gap_s, series.interval_s), (3, 0, 3600));
        assert_eq!(series.readings[2].kw(), 0.004);
    }
}
