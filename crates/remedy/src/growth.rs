//! Drops that grew from one visit to the next.

use crate::situation::Situation;
use model::evidence::{DropReading, Observed};
use model::place::Place;
use model::trend::{Change, Compared, Trend, Visited};

/// A drop that grew by more than the errors of both readings.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Grown<'a> {
    pub(crate) first: &'a Visited,
    pub(crate) last: &'a Visited,
    pub(crate) place: &'a Place,
    /// By so much, mV, at the load of the last reading.
    pub(crate) by_mv: f64,
}

/// The drop that grew most.
pub(crate) fn most<'a>(situation: &Situation<'a>) -> Option<Grown<'a>> {
    let grown = situation.findings.trends.iter().filter_map(|trend| of(situation, trend));
    grown.max_by(|one, other| one.by_mv.total_cmp(&other.by_mv))
}

fn of<'a>(situation: &Situation<'a>, trend: &'a Trend) -> Option<Grown<'a>> {
    if trend.compared != Compared::Drop || trend.change != Change::More {
        return None;
    }
    let Trend { first, last, place, .. } = trend;
    let factor = trend.factor?.median;
    let now_mv = 1e3 * drop_of(situation, trend)?.value.v().abs();
    Some(Grown { first, last, place, by_mv: now_mv * (1.0 - 1.0 / factor) })
}

/// The drop behind the last reading of a trend.
fn drop_of<'a>(situation: &Situation<'a>, trend: &Trend) -> Option<&'a DropReading> {
    let job = situation.job;
    job.observations.iter().filter(|seen| seen.fact == trend.last.fact).find_map(|seen| match &seen.what {
        Observed::Drop(reading) => (*job.far_end(reading) == trend.place).then_some(reading),
        _ => None,
    })
}
