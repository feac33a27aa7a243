//! The lines behind the owner's questions, each with what it needs to be told on any day.

use super::exact::Figures;
use super::members::{Members, Names};
use crate::shop::answers::Line;
use crate::shop::share::Share;
use model::Date;
use std::collections::BTreeMap;

/// Which line: question, place within it, and what it is by, such as a town.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub(in crate::shop) struct Key {
    pub(in crate::shop) question: u8,
    pub(in crate::shop) place: u8,
    pub(in crate::shop) by: String,
}

/// What one thing in a job adds to a line.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(in crate::shop) enum Part {
    /// It was so, or not.
    Was(bool),
    /// It was not so, which is known from this day on; before it is not counted.
    NotFrom(Date),
    /// It is so from the one day to the other, both included; on others it is not.
    Within(Date, Date),
    /// A figure.
    Figure(f64),
}

/// One line as it is counted.
#[derive(Debug, Clone, Default, PartialEq)]
pub(super) struct Cell {
    n: usize,
    yes: usize,
    members: Members,
    figures: Figures,
    not_from: BTreeMap<Date, usize>,
    within: BTreeMap<(Date, Date), BTreeMap<u32, usize>>,
}

impl Cell {
    pub(super) fn put(&mut self, job: u32, part: Part) {
        match part {
            Part::Was(is) => {
                self.n += 1;
                self.yes += usize::from(is);
                if is {
                    self.members.put(job);
                }
            }
            Part::NotFrom(day) => *self.not_from.entry(day).or_default() += 1,
            Part::Within(from, to) => {
                self.n += 1;
                *self.within.entry((from, to)).or_default().entry(job).or_default() += 1;
            }
            Part::Figure(figure) => {
                self.n += 1;
                self.figures.put(figure);
                self.members.put(job);
            }
        }
    }

    /// Takes away what a job added; all that it added to this line goes together.
    pub(super) fn take(&mut self, job: u32, part: Part) {
        match part {
            Part::Was(is) => {
                self.n -= 1;
                self.yes -= usize::from(is);
                self.members.take(job);
            }
            Part::NotFrom(day) => fewer(&mut self.not_from, day),
            Part::Within(from, to) => {
                self.n -= 1;
                if let Some(jobs) = self.within.get_mut(&(from, to)) {
                    fewer(jobs, job);
                    if jobs.is_empty() {
                        self.within.remove(&(from, to));
                    }
                }
            }
            Part::Figure(figure) => {
                self.n -= 1;
                self.figures.take(figure);
                self.members.take(job);
            }
        }
    }

    /// The share on this day, with the first jobs behind it.
    pub(super) fn share(&self, words: String, today: Date, names: &Names, most: usize) -> Line {
        let n = self.n + self.not_from.range(..=today).map(|(_, n)| n).sum::<usize>();
        let now = self.within.iter().filter(|((from, to), _)| *from <= today && today <= *to);
        let (mut yes, mut members) = (self.yes, None);
        for (job, times) in now.flat_map(|(_, jobs)| jobs) {
            yes += times;
            members.get_or_insert_with(|| self.members.clone()).put(*job);
        }
        let members = members.as_ref().unwrap_or(&self.members);
        Line {
            words,
            share: Some(Share { yes, n }),
            n,
            figure: None,
            range: None,
            unit: "",
            jobs: names.first(members, most),
            n_jobs: members.n(),
        }
    }

    /// The median, with the first jobs behind it; `None` of no figure.
    pub(super) fn median(
        &self,
        words: String,
        unit: &'static str,
        names: &Names,
        most: usize,
    ) -> Option<Line> {
        let (_, middle, _) = self.figures.spread()?;
        Some(Line {
            words,
            share: None,
            n: self.n,
            figure: Some(middle),
            range: self.figures.range(),
            unit,
            jobs: names.first(&self.members, most),
            n_jobs: self.members.n(),
        })
    }
}

fn fewer<K: Ord>(counts: &mut BTreeMap<K, usize>, key: K) {
    if let Some(n) = counts.get_mut(&key) {
        *n -= 1;
        if *n == 0 {
            counts.remove(&key);
        }
    }
}
