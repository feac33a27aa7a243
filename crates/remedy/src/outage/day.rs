//! The day of a job from the steps of its option, what is booked, and what may come as a surprise.

use super::{Arrival, Day, Delay, Minute, Task, Visit, minute_of};
use crate::materials::Design;
use crate::price::Risk;
use crate::work::{Contested, Steps, VisitKind, When};

/// What is booked of the day. What is `None` stands as the data have it.
#[derive(Debug, Clone, PartialEq)]
pub struct Booking {
    /// Start of the crew.
    pub start: Minute,
    /// People.
    pub crew: u32,
    /// Window of the cut.
    pub cut: Option<(Minute, Minute)>,
    /// Window of the inspector, where it is booked; otherwise he is called.
    pub inspector: Option<(Minute, Minute)>,
    /// The latest at which the inspector comes where he is called.
    pub inspector_latest: Option<Minute>,
    /// Window in which the utility gives the supply back, where it is booked; otherwise it is called.
    pub reconnect: Option<(Minute, Minute)>,
    /// The latest at which the utility gives the supply back.
    pub reconnect_latest: Option<Minute>,
    /// Steps that are done before the day, by their names.
    pub done: Vec<String>,
}

impl Default for Booking {
    fn default() -> Self {
        Booking {
            start: 420.0,
            crew: 2,
            cut: None,
            inspector: None,
            inspector_latest: None,
            reconnect: None,
            reconnect_latest: None,
            done: Vec::new(),
        }
    }
}

/// The day of a design.
pub fn day(design: &Design, steps: &Steps, risks: &[Risk], with: &[Contested], booking: &Booking) -> Day {
    let own: Vec<_> = steps
        .of(design.option)
        .filter(|step| step.when == When::Day && !booking.done.contains(&step.id))
        .map(|step| (step, crate::price::times(step, design)))
        .filter(|(step, n)| 0 < *n || risks.iter().any(|risk| risk.step == step.id))
        .collect();
    // A step that is left out, because it is done or there is none of it, hands on what it waited for.
    let left_out = |id: &str| !own.iter().any(|(step, _)| step.id == id);
    let mut tasks = Vec::new();
    for (step, n) in &own {
        let mut after = Vec::new();
        let mut open: Vec<&str> = step.after.iter().map(String::as_str).collect();
        while let Some(id) = open.pop() {
            if left_out(id) {
                let of = steps.step(id).filter(|before| before.options.contains(&design.option));
                open.extend(of.iter().flat_map(|before| before.after.iter().map(String::as_str)));
            } else if let Some(idx) = own.iter().position(|(other, _)| other.id == id)
                && !after.contains(&idx)
            {
                after.push(idx);
            }
        }
        after.sort_unstable();
        let per_person = 60.0 / f64::from(step.people.max(1));
        let of_risk = |risk: &Risk| Delay {
            n_yes: risk.n_yes,
            n_unknown: risk.n_unknown + risk.n_excluded,
            chance: risk.chance,
            minutes: risk.hours.times(per_person * risk.before_power),
        };
        let of_item = |item: &Contested| Delay {
            n_yes: 1,
            n_unknown: 0,
            chance: 0.0,
            minutes: item.hours.times(per_person),
        };
        let mut delays: Vec<Delay> = risks.iter().filter(|risk| risk.step == step.id).map(of_risk).collect();
        delays.extend(with.iter().filter(|item| item.step == step.id).map(of_item));
        tasks.push(Task {
            id: step.id.clone(),
            words: step.words.clone(),
            minutes: step.minutes.times(f64::from(*n)),
            people: step.people,
            after,
            visit: step.visit.as_ref().and_then(|id| visit(steps, booking, id)),
            delays,
            dark: step.dark,
            back: step.back,
        });
    }
    Day { start: booking.start, crew: booking.crew, pace: steps.pace, tasks }
}

fn visit(steps: &Steps, booking: &Booking, id: &str) -> Option<Visit> {
    let text = steps.visits.iter().find(|visit| visit.id == id)?;
    let minute = |text: &Option<String>| text.as_deref().and_then(minute_of);
    let booked = match id {
        "cut" => booking.cut,
        "inspector" => booking.inspector,
        "reconnect" => booking.reconnect,
        _ => None,
    };
    let arrival = match (booked, text.kind) {
        (Some((from, to)), _) => {
            Arrival::Booked { from, to, until: minute(&text.until).map_or(to, |until| until.max(to)) }
        }
        (None, VisitKind::Booked) => {
            let (from, to) = (minute(&text.from)?, minute(&text.to)?);
            Arrival::Booked { from, to, until: minute(&text.until).unwrap_or(to) }
        }
        (None, VisitKind::Called) => {
            let told = match id {
                "reconnect" => booking.reconnect_latest,
                "inspector" => booking.inspector_latest,
                _ => None,
            };
            let latest = told.or(minute(&text.latest))?;
            Arrival::Called { wait: text.wait?, latest }
        }
    };
    Some(Visit { id: id.to_owned(), words: text.words.clone(), arrival, no_show: text.no_show })
}
