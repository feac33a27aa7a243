//! One run of a day, and many.

use super::{Arrival, Day, Minute, Outlook, Slot, Task, Visit};
use crate::dice::{Dice, quantile};

/// Step of the times for which a chance is told, minutes.
const QUARTER: f64 = 15.0;

/// Why a task began when it did.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Bound {
    /// Another task had to end: one before it, or the last one of a person.
    Task(usize),
    /// The start of the day, or somebody from outside.
    Outside,
}

/// What chance decides of a run.
trait Chance {
    fn pace(&mut self, day: &Day) -> f64;
    fn minutes(&mut self, task: &Task) -> f64;
    fn fails(&mut self, visit: &Visit) -> bool;
    /// Minute of arrival, for a crew that is ready at this minute; `None` where the visit is missed.
    fn arrival(&mut self, visit: &Visit, ready: Minute) -> Option<Minute>;
}

/// The day as usual: no surprise that is not known, everybody comes in the middle of the window.
struct Usual;

impl Chance for Usual {
    fn pace(&mut self, day: &Day) -> f64 {
        day.pace.usual
    }

    fn minutes(&mut self, task: &Task) -> f64 {
        let delays = task.delays.iter().map(|delay| f64::from(delay.n_yes) * delay.minutes.usual);
        task.minutes.usual + delays.sum::<f64>()
    }

    fn fails(&mut self, _: &Visit) -> bool {
        false
    }

    fn arrival(&mut self, visit: &Visit, ready: Minute) -> Option<Minute> {
        match visit.arrival {
            Arrival::Booked { from, to, until } => came(from + (to - from) / 2.0, until, ready),
            Arrival::Called { wait, latest } => Some(ready + wait.usual).filter(|at| *at <= latest),
        }
    }
}

impl Chance for Dice {
    fn pace(&mut self, day: &Day) -> f64 {
        self.three(day.pace)
    }

    fn minutes(&mut self, task: &Task) -> f64 {
        let mut minutes = self.three(task.minutes);
        for delay in &task.delays {
            let open = (0..delay.n_unknown).filter(|_| self.happens(delay.chance)).count();
            let n = f64::from(delay.n_yes) + open as f64;
            if 0.0 < n {
                minutes += n * self.three(delay.minutes);
            }
        }
        minutes
    }

    fn fails(&mut self, visit: &Visit) -> bool {
        self.happens(visit.no_show)
    }

    fn arrival(&mut self, visit: &Visit, ready: Minute) -> Option<Minute> {
        match visit.arrival {
            Arrival::Booked { from, to, until } => came(from + (to - from) * self.uniform(), until, ready),
            Arrival::Called { wait, latest } => Some(ready + self.three(wait)).filter(|at| *at <= latest),
        }
    }
}

/// Whoever came at `at` begins when the crew is ready, unless that is too late.
fn came(at: Minute, until: Minute, ready: Minute) -> Option<Minute> {
    (ready <= until).then(|| at.max(ready))
}

/// A run: the tasks as far as they come, why each began, and the task whose visit was missed.
struct Run {
    slots: Vec<Option<Slot>>,
    bounds: Vec<Bound>,
    missed: Option<usize>,
}

/// Tasks are taken in their order. Each goes to the people who are free first, and begins when the tasks before it are
/// done, its people are free, and whoever it waits for is there.
fn run(day: &Day, chance: &mut impl Chance) -> Run {
    let pace = chance.pace(day);
    let crew = day.crew.max(1) as usize;
    let mut free: Vec<(Minute, Bound)> = vec![(day.start, Bound::Outside); crew];
    let mut slots: Vec<Option<Slot>> = Vec::with_capacity(day.tasks.len());
    let mut bounds = Vec::with_capacity(day.tasks.len());
    let mut missed = None;
    for (idx, task) in day.tasks.iter().enumerate() {
        let minutes = chance.minutes(task) * pace;
        let fails = task.visit.as_ref().is_some_and(|visit| chance.fails(visit));
        let before: Option<Vec<Slot>> =
            task.after.iter().map(|&before| slots.get(before).copied().flatten()).collect();
        let Some(before) = before else {
            slots.push(None);
            bounds.push(Bound::Outside);
            continue;
        };
        let (mut ready, mut bound) = (day.start, Bound::Outside);
        for (&of, slot) in task.after.iter().zip(before) {
            if ready < slot.end {
                (ready, bound) = (slot.end, Bound::Task(of));
            }
        }
        free.sort_by(|a, b| a.0.total_cmp(&b.0));
        let people = (task.people as usize).clamp(1, crew);
        let (last_free, by) = free[people - 1];
        if ready < last_free {
            (ready, bound) = (last_free, by);
        }
        let start = match &task.visit {
            None => Some(ready),
            Some(_) if fails => None,
            Some(visit) => chance.arrival(visit, ready),
        };
        let Some(start) = start else {
            missed = missed.or(Some(idx));
            slots.push(None);
            bounds.push(bound);
            continue;
        };
        // Waiting for a call that was made when ready hangs on what made it late; a window does not.
        let window = task.visit.as_ref().is_some_and(|visit| matches!(visit.arrival, Arrival::Booked { .. }));
        if window && ready < start {
            bound = Bound::Outside;
        }
        let slot = Slot { start, end: start + minutes };
        for person in &mut free[..people] {
            *person = (slot.end, Bound::Task(idx));
        }
        slots.push(Some(slot));
        bounds.push(bound);
    }
    Run { slots, bounds, missed }
}

/// Times of the power back of the runs in which it comes back that day, sorted. Every run has draws of its own, so that two
/// days with other windows meet the same chance.
pub(super) fn back_that_day(day: &Day, seed: u64, n_runs: usize) -> Vec<Minute> {
    let Some(back) = back_idx(day) else { return Vec::new() };
    let own =
        |run_idx: usize| Dice::new(seed.wrapping_mul(0x9E37_79B9_7F4A_7C15).wrapping_add(run_idx as u64));
    let end = |run_idx: usize| run(day, &mut own(run_idx)).slots[back].map(|slot| slot.end);
    let mut backs: Vec<Minute> = (0..n_runs).filter_map(end).collect();
    backs.sort_by(f64::total_cmp);
    backs
}

/// The time by which a share of all runs has the power back; `None` where it is fewer that day.
pub(super) fn quantile_of(backs: &[Minute], share: f64, n_runs: usize) -> Option<Minute> {
    let rank = (share * n_runs.saturating_sub(1) as f64).round() as usize;
    backs.get(rank).copied()
}

fn back_idx(day: &Day) -> Option<usize> {
    day.tasks.iter().position(|task| task.back)
}

/// Tasks from the end of the last one to the first that waits for nothing of the crew's, last first.
fn path(day: &Day, run: &Run) -> Vec<usize> {
    let mut path = Vec::new();
    let mut next = back_idx(day).or_else(|| run.slots.iter().rposition(Option::is_some));
    while let Some(idx) = next {
        path.push(idx);
        next = match run.bounds[idx] {
            Bound::Task(before) => Some(before),
            Bound::Outside => None,
        };
    }
    path
}

/// Each task on the usual day.
pub fn usual(day: &Day) -> Vec<Option<Slot>> {
    run(day, &mut Usual).slots
}

/// The day, run through often.
pub fn outlook(day: &Day, seed: u64, n_runs: usize) -> Outlook {
    let mut dice = Dice::new(seed);
    let back_idx = back_idx(day);
    let (mut backs, mut dark) = (Vec::new(), Vec::new());
    let mut critical = vec![0usize; day.tasks.len()];
    let mut missed = vec![0usize; day.tasks.len()];
    for _ in 0..n_runs {
        let run = run(day, &mut dice);
        let back = back_idx.and_then(|idx| run.slots[idx]);
        match back {
            Some(slot) => {
                backs.push(slot.end);
                let first = day
                    .tasks
                    .iter()
                    .zip(&run.slots)
                    .filter(|(task, _)| task.dark)
                    .find_map(|(_, slot)| *slot);
                dark.push((slot.end - first.map_or(slot.end, |first| first.start)) / 60.0);
                for idx in path(day, &run) {
                    critical[idx] += 1;
                }
            }
            None => {
                if let Some(idx) = run.missed {
                    missed[idx] += 1;
                }
            }
        }
    }
    backs.sort_by(f64::total_cmp);
    dark.sort_by(f64::total_cmp);
    let share = |n: usize| n as f64 / n_runs.max(1) as f64;
    let at = |q: f64| quantile_of(&backs, q, n_runs);
    let usual_run = run(day, &mut Usual);
    let mut usual_path = if back_idx.is_none_or(|idx| usual_run.slots[idx].is_some()) {
        path(day, &usual_run)
    } else {
        Vec::new()
    };
    usual_path.reverse();
    Outlook {
        n_runs,
        seed,
        back_by: by_quarters(&backs, n_runs),
        back: [at(0.1), at(0.5), at(0.9)],
        dark_h: [quantile(&dark, 0.1), quantile(&dark, 0.5), quantile(&dark, 0.9)],
        missed: day
            .tasks
            .iter()
            .zip(&missed)
            .filter_map(|(task, n)| Some((task.visit.as_ref()?.id.clone(), share(*n))))
            .collect(),
        critical: critical.iter().map(|n| *n as f64 / backs.len().max(1) as f64).collect(),
        usual: usual_run.slots,
        path: usual_path,
    }
}

/// The share of all runs with the power back, at each quarter of an hour from the first to the last.
fn by_quarters(backs: &[Minute], n_runs: usize) -> Vec<(Minute, f64)> {
    let (Some(first), Some(last)) = (backs.first(), backs.last()) else { return Vec::new() };
    let mut at = (first / QUARTER).ceil() * QUARTER;
    let mut rows = Vec::new();
    loop {
        let n = backs.partition_point(|back| *back <= at);
        rows.push((at, n as f64 / n_runs as f64));
        if *last <= at {
            return rows;
        }
        at += QUARTER;
    }
}
