//! All jobs counted for the owner's questions and for predictions against findings, kept up by the job that changed: what
//! it added before is taken away, and what it adds now is added. The order in which jobs come does not count.

mod bands;
mod exact;
mod faces;
mod lines;
mod members;
mod parts;

pub(super) use lines::{Key, Part};

use super::answers::Line;
use super::facing::{Calibration, Faced};
use super::healthy::{Band, Healthy};
use super::scored::{NEWEST, Scored};
use super::{Answer, JobNotes};
use bands::Bands;
use faces::Faces;
use lines::Cell;
use members::{Members, Names};
use model::Date;
use std::collections::{BTreeMap, BTreeSet};

/// What is counted over all jobs.
#[derive(Debug, Clone, Default)]
pub struct Tally {
    names: Names,
    /// What each job added, so that it can be taken away.
    jobs: BTreeMap<u32, Added>,
    keys: BTreeMap<Key, usize>,
    cells: Vec<Cell>,
    bands: Bands,
    faces: Faces,
    /// What had been predicted, with the revision of its facts. It counts while that is the revision of the notes.
    faced: BTreeMap<u32, (i64, Vec<Faced>)>,
    counted: BTreeSet<u32>,
    waiting: BTreeSet<u32>,
    not_judged: Members,
}

/// What a job added.
#[derive(Debug, Clone)]
struct Added {
    revision: i64,
    opened: bool,
    parts: Vec<(u32, Part)>,
    healthy: Vec<Healthy>,
}

impl Tally {
    /// Counts a job, in place of what was counted of it before; `revision` is that of its facts.
    pub fn put(&mut self, revision: i64, notes: &JobNotes) {
        self.take(&notes.job);
        let job = self.names.number(&notes.job);
        let mut parts = Vec::new();
        for (key, part) in parts::parts(notes) {
            let next = self.keys.len();
            let cell = *self.keys.entry(key).or_insert(next);
            if self.cells.len() <= cell {
                self.cells.push(Cell::default());
            }
            self.cells[cell].put(job, part);
            parts.push((cell as u32, part));
        }
        for reading in &notes.healthy {
            self.bands.put(job, reading);
        }
        let (opened, healthy) = (!notes.opened.is_empty(), notes.healthy.clone());
        self.jobs.insert(job, Added { revision, opened, parts, healthy });
        self.face(job);
    }

    /// Counts a job no more.
    pub fn take(&mut self, job: &str) {
        let Some(job) = self.names.known(job) else { return };
        let Some(added) = self.jobs.remove(&job) else { return };
        for (cell, part) in added.parts {
            self.cells[cell as usize].take(job, part);
        }
        for reading in &added.healthy {
            self.bands.take(job, reading);
        }
        self.unface(job);
    }

    /// Keeps what had been predicted in a job; `revision` is that of the facts it was made from.
    pub fn put_faced(&mut self, job: &str, revision: i64, faced: Vec<Faced>) {
        let job = self.names.number(job);
        self.unface(job);
        self.faced.insert(job, (revision, faced));
        self.face(job);
    }

    /// How many jobs are counted.
    pub fn n_jobs(&self) -> usize {
        self.jobs.len()
    }

    /// Jobs with joints that were opened on a proof.
    pub fn opened_jobs(&self) -> Vec<String> {
        let opened = self.jobs.iter().filter(|(_, added)| added.opened);
        let mut names: Vec<String> =
            opened.filter_map(|(job, _)| self.names.name(*job)).map(|name| name.to_string()).collect();
        names.sort_unstable();
        names
    }

    /// How many jobs with openings are to be judged as they were before.
    pub fn n_waiting(&self) -> usize {
        self.waiting.len()
    }

    /// Jobs with openings that are to be judged as they were before, with their revision; the first in the order of names.
    pub fn waiting(&self) -> Vec<(String, i64)> {
        let mut waiting: Vec<(String, i64)> = self
            .waiting
            .iter()
            .filter_map(|job| Some((self.names.name(*job)?.to_string(), self.jobs.get(job)?.revision)))
            .collect();
        waiting.sort_unstable();
        waiting
    }

    /// The answers on a day, each line with the first `most` of the jobs behind it.
    pub fn answers(&self, today: Date, most: usize) -> Vec<Answer> {
        super::answers::told(&Told { tally: self, today, most })
    }

    /// What the page of predicted and found shows, with the first `most` of the jobs behind each count.
    pub fn scored(&self, most: usize) -> Scored {
        Scored {
            calibration: self.calibration(most),
            newest: self.faces.newest(&self.names, &self.faced, NEWEST),
            bands: self.bands(most),
            not_judged: self.names.first(&self.not_judged, most),
            n_not_judged: self.not_judged.n(),
        }
    }

    /// Predictions against findings; `None` where nothing was opened.
    pub fn calibration(&self, most: usize) -> Option<Calibration> {
        self.faces.calibration(&self.names, most)
    }

    /// Readings at sound joints by rating and fifth of the load.
    pub fn bands(&self, most: usize) -> Vec<Band> {
        self.bands.told(&self.names, most)
    }

    /// Of the healthy readings at this rating and about this load: how many are lower than `rise_k`, and how many there are.
    pub fn rank(&self, rating_a: f64, load: f64, rise_k: f64) -> (usize, usize) {
        self.bands.rank(rating_a, load, rise_k)
    }

    fn face(&mut self, job: u32) {
        let Some(added) = self.jobs.get(&job).filter(|added| added.opened) else { return };
        match self.faced.get(&job).filter(|(revision, _)| *revision == added.revision) {
            None => drop(self.waiting.insert(job)),
            Some((_, faced)) if faced.is_empty() => self.not_judged.put(job),
            Some((_, faced)) => {
                faced.iter().for_each(|one| self.faces.put(job, one));
                self.counted.insert(job);
            }
        }
    }

    fn unface(&mut self, job: u32) {
        if self.counted.remove(&job)
            && let Some((_, faced)) = self.faced.get(&job)
        {
            faced.iter().for_each(|one| self.faces.take(job, one));
        }
        self.waiting.remove(&job);
        self.not_judged.take(job);
    }
}

/// The tally as it is told on a day.
pub(super) struct Told<'a> {
    tally: &'a Tally,
    today: Date,
    most: usize,
}

impl Told<'_> {
    fn cell(&self, question: u8, place: u8, by: &str) -> Option<&Cell> {
        let key = Key { question, place, by: by.to_owned() };
        self.tally.keys.get(&key).and_then(|cell| self.tally.cells.get(*cell))
    }

    /// A share; of nothing where nothing was counted.
    pub(super) fn share(&self, question: u8, place: u8, words: &str) -> Line {
        self.share_by(question, place, "", words.to_owned())
    }

    /// The same by something.
    pub(super) fn share_by(&self, question: u8, place: u8, by: &str, words: String) -> Line {
        let none = Cell::default();
        let cell = self.cell(question, place, by).unwrap_or(&none);
        cell.share(words, self.today, &self.tally.names, self.most)
    }

    /// A median, where there is a figure.
    pub(super) fn median(
        &self,
        question: u8,
        place: u8,
        by: &str,
        words: &str,
        unit: &'static str,
    ) -> Option<Line> {
        let cell = self.cell(question, place, by)?;
        cell.median(words.to_owned(), unit, &self.tally.names, self.most)
    }

    /// What a line is told by, in order.
    pub(super) fn by(&self, question: u8, place: u8) -> Vec<&str> {
        let from = Key { question, place, by: String::new() };
        let keys = self.tally.keys.range(from..);
        let keys = keys.take_while(|(key, _)| key.question == question && key.place == place);
        keys.map(|(key, _)| key.by.as_str()).collect()
    }

    /// Readings at sound joints.
    pub(super) fn bands(&self) -> Vec<Band> {
        self.tally.bands(self.most)
    }
}

#[cfg(test)]
mod tests;
