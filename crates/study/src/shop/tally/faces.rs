//! Predictions beside findings, by day, by tenth and by bus.

use super::exact::Sum;
use super::members::{Members, Names};
use crate::shop::facing::{BusCount, Calibration, Faced, Trend};
use crate::shop::share::Share;
use inference::learning::{Score, log_cost};
use model::Date;
use model::job::Condition;
use std::collections::{BTreeMap, BTreeSet};

/// All joints that were opened and had been judged before.
#[derive(Debug, Clone, Default, PartialEq)]
pub(super) struct Faces {
    n: usize,
    found: usize,
    expected: Sum,
    square: Sum,
    tenths: [(usize, Sum, usize); 10],
    /// Joints and costs by the day of the opening.
    days: BTreeMap<Date, (usize, Sum)>,
    buses: BTreeMap<String, Bus>,
    /// Jobs with openings of a day.
    opened: BTreeMap<Date, BTreeSet<u32>>,
}

#[derive(Debug, Clone, Default, PartialEq)]
struct Bus {
    n: usize,
    burnt: usize,
    worn: usize,
    members: Members,
}

/// One more or one fewer.
fn step(n: &mut usize, sign: i128) {
    *n = if 0 < sign { *n + 1 } else { *n - 1 };
}

impl Faces {
    pub(super) fn put(&mut self, job: u32, one: &Faced) {
        self.change(one, 1);
        self.buses.entry(one.bus.clone()).or_default().members.put(job);
        self.opened.entry(one.day).or_default().insert(job);
    }

    /// Takes a joint away; all of its job go together.
    pub(super) fn take(&mut self, job: u32, one: &Faced) {
        self.change(one, -1);
        if let Some(bus) = self.buses.get_mut(&one.bus) {
            bus.members.take(job);
            if bus.n == 0 {
                self.buses.remove(&one.bus);
            }
        }
        if let Some(jobs) = self.opened.get_mut(&one.day) {
            jobs.remove(&job);
            if jobs.is_empty() {
                self.opened.remove(&one.day);
            }
        }
        if self.days.get(&one.day).is_some_and(|day| day.0 == 0) {
            self.days.remove(&one.day);
        }
    }

    fn change(&mut self, one: &Faced, sign: i128) {
        let (given, burnt) = (one.given.burnt, one.found == Condition::Burnt);
        let off = given - if burnt { 1.0 } else { 0.0 };
        step(&mut self.n, sign);
        self.expected.change(given, sign);
        self.square.change(off * off, sign);
        let tenth = &mut self.tenths[((given * 10.0) as usize).min(9)];
        step(&mut tenth.0, sign);
        tenth.1.change(given, sign);
        let day = self.days.entry(one.day).or_default();
        step(&mut day.0, sign);
        day.1.change(log_cost(given, burnt), sign);
        let bus = self.buses.entry(one.bus.clone()).or_default();
        step(&mut bus.n, sign);
        if burnt {
            step(&mut self.found, sign);
            step(&mut tenth.2, sign);
            step(&mut bus.burnt, sign);
        }
        if one.found == Condition::Worn {
            step(&mut bus.worn, sign);
        }
    }

    /// How predictions and findings stand to each other; `None` where nothing was opened.
    pub(super) fn calibration(&self, names: &Names, most: usize) -> Option<Calibration> {
        if self.n == 0 {
            return None;
        }
        let n = self.n as f64;
        let share = self.found as f64 / n;
        let (mut so_far, mut cost) = (0, 0.0);
        let trend: Vec<Trend> = self
            .days
            .iter()
            .map(|(day, (n, of_day))| {
                so_far += n;
                cost += of_day.value();
                Trend { day: *day, n: so_far, log_loss: cost / so_far as f64 }
            })
            .collect();
        let tenth =
            |(n, given, found): &(usize, Sum, usize)| (*n, given.value() / f64::max(*n as f64, 1.0), *found);
        let score = Score {
            n: self.n,
            expected: self.expected.value(),
            found: self.found,
            brier: self.square.value() / n,
            brier_of_share: share * (1.0 - share),
            log_loss: cost / n,
            tenths: self.tenths.iter().map(tenth).collect(),
        };
        let by_bus = self.buses.iter().map(|(words, bus)| BusCount {
            bus: words.clone(),
            burnt: Share { yes: bus.burnt, n: bus.n },
            worn: Share { yes: bus.worn, n: bus.n },
            jobs: names.first(&bus.members, most),
            n_jobs: bus.members.n(),
        });
        Some(Calibration { score, trend, by_bus: by_bus.collect() })
    }

    /// The joints opened last, at most so many: by day backwards, then by job and joint.
    pub(super) fn newest(
        &self,
        names: &Names,
        of: &BTreeMap<u32, (i64, Vec<Faced>)>,
        most: usize,
    ) -> Vec<Faced> {
        let mut newest = Vec::new();
        for (day, jobs) in self.opened.iter().rev() {
            if most <= newest.len() {
                break;
            }
            let mut members = Members::default();
            jobs.iter().for_each(|job| members.put(*job));
            for name in names.first(&members, most) {
                let faced = names.known(&name).and_then(|job| of.get(&job));
                let of_day = faced.into_iter().flat_map(|(_, faced)| faced).filter(|one| one.day == *day);
                let mut joints: Vec<&Faced> = of_day.collect();
                joints.sort_by(|one, other| one.joint.cmp(&other.joint));
                newest.extend(joints.into_iter().cloned());
            }
        }
        newest.truncate(most);
        newest
    }
}
