//! For which hour to book the inspector and the utility ahead, instead of calling them when all is ready.
//!
//! Who is called comes after a wait that lies in the dark. Who is booked comes at an hour named the day before: too early,
//! and the crew is not ready; too late, and the utility's last hour is gone. Every pair of hours is run through on the same
//! draws, so that two hours differ by what they are and not by chance.

use super::run::{back_that_day, quantile_of};
use super::{Booking, Day, Minute, minute_of};
use crate::work::{Steps, VisitText};

/// Step of the hours that are tried, minutes. An office names whole and half hours.
const STEP: f64 = 30.0;
/// Two chances that differ by less are alike: then the earlier power counts.
const ALIKE: f64 = 0.01;

/// An hour that was tried.
#[derive(Debug, Clone, PartialEq)]
pub struct BookingHour {
    /// Window of the inspector; `None` where the day has none, or he is called.
    pub inspector: Option<(Minute, Minute)>,
    /// Window in which the supply is given back; `None`: the utility is called.
    pub reconnect: Option<(Minute, Minute)>,
    /// Share of the days with the power back that day.
    pub that_day: f64,
    /// Time by which the power is back on half of all days, where it is.
    pub half: Option<Minute>,
}

impl BookingHour {
    /// What is booked, with these hours in it.
    pub fn of(&self, booking: &Booking) -> Booking {
        Booking { inspector: self.inspector, reconnect: self.reconnect, ..booking.clone() }
    }
}

/// Windows for which a visit can be booked ahead, earliest first; none where it cannot.
fn windows(visit: Option<&VisitText>, first: Minute, latest: Option<Minute>) -> Vec<(Minute, Minute)> {
    let Some((length, last)) = visit.and_then(|visit| {
        let own = visit.latest.as_deref().and_then(minute_of)?;
        Some((visit.ahead?, latest.map_or(own, |latest| latest)))
    }) else {
        return Vec::new();
    };
    let mut all = Vec::new();
    let mut from = last - length;
    while first <= from {
        all.push((from, from + length));
        from -= STEP;
    }
    all.reverse();
    all
}

/// The hours for the inspector, each with the hour of the utility that suits it best. Empty where nothing can be booked
/// ahead. `of` makes the day of a booking; `seed` and `n_runs` as for the outlook.
pub fn booking_hours(
    of: impl Fn(&Booking) -> Day,
    booking: &Booking,
    steps: &Steps,
    seed: u64,
    n_runs: usize,
) -> Vec<BookingHour> {
    let day = of(booking);
    let of_day = |id: &str| {
        let there = day.tasks.iter().any(|task| task.visit.as_ref().is_some_and(|visit| visit.id == id));
        steps.visits.iter().find(|visit| visit.id == id).filter(|_| there)
    };
    // Nobody is booked for an hour in which the supply is not even cut on the usual day.
    let dark = day.tasks.iter().position(|task| task.dark);
    let Some(cut) = dark.and_then(|idx| super::usual(&day)[idx]) else { return Vec::new() };
    let first = (cut.start / STEP).ceil() * STEP;
    let inspector = windows(of_day("inspector"), first, booking.inspector_latest);
    let supply = windows(of_day("reconnect"), first, booking.reconnect_latest);
    let whole = |window: (Minute, Minute)| Some(window);
    let inspector: Vec<_> =
        if inspector.is_empty() { vec![None] } else { inspector.into_iter().map(whole).collect() };
    let mut all = Vec::new();
    for looks in inspector {
        let after =
            |window: &(Minute, Minute)| looks.is_none_or(|looks: (Minute, Minute)| looks.0 < window.0);
        let supplies: Vec<_> =
            std::iter::once(None).chain(supply.iter().copied().filter(after).map(Some)).collect();
        let tried = supplies.into_iter().map(|reconnect| {
            let hour = BookingHour { inspector: looks, reconnect, that_day: 0.0, half: None };
            let backs = back_that_day(&of(&hour.of(booking)), seed, n_runs);
            let that_day = backs.len() as f64 / n_runs.max(1) as f64;
            BookingHour { that_day, half: quantile_of(&backs, 0.5, n_runs), ..hour }
        });
        all.extend(best_hour(&tried.collect::<Vec<_>>()).cloned());
    }
    all.retain(|hour| hour.inspector.is_some() || hour.reconnect.is_some());
    all
}

/// The hour with the best chance; of hours that are alike, the one with the power back first.
pub fn best_hour(hours: &[BookingHour]) -> Option<&BookingHour> {
    let most = hours.iter().map(|hour| hour.that_day).fold(0.0, f64::max);
    let late = |hour: &BookingHour| {
        let end = |window: Option<(Minute, Minute)>| window.map_or(0.0, |(_, to)| to);
        hour.half.unwrap_or(f64::INFINITY).min(1e6) + 1e-3 * (end(hour.reconnect) + end(hour.inspector))
    };
    let alike = hours.iter().filter(|hour| most - hour.that_day < ALIKE);
    alike.min_by(|one, other| late(one).total_cmp(&late(other)))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::dice::Three;
    use crate::outage::{Arrival, Task, Visit};
    use crate::work::steps;

    fn task(id: &str, minutes: f64, after: &[usize], arrival: Option<Arrival>) -> Task {
        Task {
            id: id.to_owned(),
            words: id.to_owned(),
            minutes: Three::certain(minutes),
            people: 1,
            after: after.to_vec(),
            visit: arrival.map(|arrival| Visit {
                id: id.to_owned(),
                words: String::new(),
                arrival,
                no_show: 0.0,
            }),
            delays: Vec::new(),
            dark: id != "cut",
            back: id == "reconnect",
        }
    }

    /// Cut at 8:00, work till 14:10, then the inspector, then the supply.
    fn of(booking: &Booking) -> Day {
        let wait = Three::certain(60.0);
        let called = |booked: Option<(Minute, Minute)>, latest| match booked {
            Some((from, to)) => Some(Arrival::Booked { from, to, until: to }),
            None => Some(Arrival::Called { wait, latest }),
        };
        let at = Arrival::Booked { from: 480.0, to: 480.0, until: 480.0 };
        Day {
            start: 420.0,
            crew: 1,
            pace: Three::certain(1.0),
            tasks: vec![
                task("cut", 10.0, &[], Some(at)),
                task("work", 360.0, &[0], None),
                task("inspector", 20.0, &[1], called(booking.inspector, 990.0)),
                task("reconnect", 10.0, &[2], called(booking.reconnect, 1080.0)),
            ],
        }
    }

    #[test]
    fn the_hour_after_the_work_is_the_best_and_an_hour_before_its_end_is_missed() {
        let hours = booking_hours(of, &Booking::default(), &steps(), 5, 400);
        let at =
            |from: f64| hours.iter().find(|hour| hour.inspector == Some((from, from + 60.0))).expect("tried");
        // Ready at 14:10: the window that ends at 14:00 is missed, the next one never is.
        assert_eq!((at(780.0).that_day, at(810.0).that_day), (0.0, 1.0));
        let best = best_hour(&hours).expect("one");
        assert_eq!(best.inspector, Some((810.0, 870.0)), "{best:?}");
        // He comes at 14:30 at the latest, is done by 14:50; called, the utility would come an hour later.
        assert_eq!(best.reconnect, Some((840.0, 900.0)), "{best:?}");
        assert!(best.half.is_some_and(|half| half < 910.0 + 1.0), "{best:?}");
    }

    #[test]
    fn a_chance_is_that_of_the_outlook() {
        let hours = booking_hours(of, &Booking::default(), &steps(), 5, 400);
        for hour in &hours {
            let outlook = crate::outage::outlook(&of(&hour.of(&Booking::default())), 5, 4_000);
            // Of 400 and of 4,000 runs: four standard errors of the difference, at most.
            let away = (1.0 - outlook.not_that_day() - hour.that_day).abs();
            assert!(away <= 4.0 * (0.25_f64 / 400.0 + 0.25 / 4_000.0).sqrt(), "{hour:?}");
        }
    }
}
