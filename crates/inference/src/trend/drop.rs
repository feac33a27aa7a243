//! Two drops along one path, at the current of the last one: how much its resistance has changed.

use super::readings::Read;
use super::{Held, begun, told};
use model::Voltage;
use model::assessment::Interval;
use model::trend::{Change, Compared, Trend};
use model::working::Working;
use physics::runaway::{Growth, ONSET_CHANGE_MV, growth, onset_cite};

/// Standard deviations of a 90 % interval.
const Z_90: f64 = 1.645;

pub(super) fn held_against(
    held: &Held<'_>,
    (first, before_v): (&Read<'_>, f64),
    (last, now_v): (&Read<'_>, f64),
) -> Trend {
    let words = |read: &Read<'_>, volts: f64| match read.current_a {
        Some(amps) => format!("{:.1} mV at {amps:.1} A", 1e3 * volts),
        None => format!("{:.1} mV, current not known", 1e3 * volts),
    };
    let mut trend = begun(Compared::Drop, (first, words(first, before_v)), (last, words(last, now_v)));
    let (Some(first_a), Some(last_a)) = (first.current_a, last.current_a) else {
        return told(trend, vec!["the current is not known at both visits".to_owned()]);
    };
    let limits = &held.limits.drop;
    if first_a < limits.least_a || last_a < limits.least_a {
        return told(trend, vec![format!("below {} A a drop is too small to be compared", limits.least_a)]);
    }
    if limits.ratio < (first_a / last_a).max(last_a / first_a) {
        return told(trend, vec![format!("the loads are too far apart, {first_a:.1} A and {last_a:.1} A")]);
    }
    // One-sigma errors of each drop as a share of the value it would have at the last current.
    let share = |read: &Read<'_>, amps: f64, volts: f64| {
        let meter = held.instrument.drop_relative;
        let floor = 1e-3 * held.instrument.drop_mv / volts.max(1e-6);
        let clamp = if read.together {
            limits.together
        } else {
            held.instrument.clamp_relative + held.instrument.clamp_a / amps
        };
        libm::sqrt(meter * meter + floor * floor + clamp * clamp)
    };
    let carried_v = before_v * last_a / first_a;
    let (of_first, of_last) = (share(first, first_a, before_v), share(last, last_a, now_v));
    let noise_v = Z_90 * libm::hypot(of_first * carried_v, of_last * now_v);
    let change_v = now_v - carried_v;
    let spread = Z_90 * libm::sqrt(of_first * of_first + of_last * of_last);
    let factor = now_v / carried_v.max(1e-6);
    let interval =
        Interval { low: factor * libm::exp(-spread), median: factor, high: factor * libm::exp(spread) };
    let [carried, now, noise] = [carried_v, now_v, noise_v].map(Voltage::from_v);
    let grown = growth(carried, now, noise);
    let band = format!("{:.0} to {:.0} mV", ONSET_CHANGE_MV.low, ONSET_CHANGE_MV.high);
    let (change, says) = match grown {
        Growth::None if change_v < -noise_v => {
            (Change::Less, "Less than at the first visit: find out what was done in between.".to_owned())
        }
        Growth::None => (Change::NotShown, "No growth that these readings can show.".to_owned()),
        Growth::Growing => (
            Change::More,
            format!("It grows. Tinned contacts in tests became unstable once they had gained {band}."),
        ),
        Growth::OnsetBand => (
            Change::More,
            format!("It grows, and is where tinned contacts in tests became unstable: a gain of {band}."),
        ),
        Growth::Unstable => (
            Change::More,
            format!(
                "It grows, and has gained more than the {band} at which tinned contacts in tests became unstable."
            ),
        ),
    };
    trend.sentence = format!(
        "{} on {}, {} on {}. At equal load that is {:.1} times the resistance ({:.1} to {:.1} with nine chances in ten), {:+.0} mV \
         at {last_a:.0} A. {says}",
        trend.first.reading,
        first.day,
        trend.last.reading,
        last.day,
        factor,
        interval.low,
        interval.high,
        1e3 * change_v,
    );
    trend.change = change;
    trend.working = Some(working(&trend, held, (first_a, last_a), &interval));
    trend.factor = Some(interval);
    trend
}

fn working(trend: &Trend, held: &Held<'_>, (first_a, last_a): (f64, f64), factor: &Interval) -> Working {
    let input = super::input;
    Working {
        title: "resistance at the last visit over that at the first".to_owned(),
        subject: trend.place.to_string(),
        formula: "k = (V₂ / I₂) / (V₁ / I₁)".to_owned(),
        inputs: vec![
            input("V₁", "drop at the first visit", &trend.first.reading, "measured"),
            input("V₂", "drop at the last visit", &trend.last.reading, "measured"),
            input("I₁", "current then", &format!("{first_a:.1} A"), "clamped"),
            input("I₂", "current now", &format!("{last_a:.1} A"), "clamped"),
        ],
        result: format!("{:.2} ({:.2} to {:.2})", factor.median, factor.low, factor.high),
        validity: format!(
            "same two points, steady current; errors of meter and clamp as in the priors. {}",
            held.limits.drop.source
        ),
        cite: onset_cite(),
    }
}
