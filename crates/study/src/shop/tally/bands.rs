//! Readings at sound joints, by rating and load.

use super::exact::Figures;
use super::members::{Members, Names};
use crate::shop::healthy::{Band, Healthy};
use std::collections::BTreeMap;

/// Share of the rating within which two loads count as alike.
const ALIKE: f64 = 0.1;

/// Loads are told apart to a ten-thousandth of the rating.
const FINE: f64 = 10_000.0;

/// All readings.
#[derive(Debug, Clone, Default, PartialEq)]
pub(super) struct Bands {
    /// By rating in tenths of an ampere and fifth of the load.
    cells: BTreeMap<(i64, i64), (Figures, Members)>,
    /// By rating and load.
    loads: BTreeMap<(i64, i64), Figures>,
}

fn rating(rating_a: f64) -> i64 {
    (rating_a * 10.0).round() as i64
}

fn keys(reading: &Healthy) -> ((i64, i64), (i64, i64)) {
    let rating = rating(reading.rating_a);
    let fifth = (reading.load * 5.0).floor() as i64;
    ((rating, fifth), (rating, (reading.load * FINE).round() as i64))
}

impl Bands {
    pub(super) fn put(&mut self, job: u32, reading: &Healthy) {
        let (cell, load) = keys(reading);
        let cell = self.cells.entry(cell).or_default();
        cell.0.put(reading.rise_k);
        cell.1.put(job);
        self.loads.entry(load).or_default().put(reading.rise_k);
    }

    /// Takes a reading away; all of its job go together.
    pub(super) fn take(&mut self, job: u32, reading: &Healthy) {
        let (cell, load) = keys(reading);
        if let Some((figures, members)) = self.cells.get_mut(&cell) {
            figures.take(reading.rise_k);
            members.take(job);
            if figures.n() == 0 {
                self.cells.remove(&cell);
            }
        }
        if let Some(figures) = self.loads.get_mut(&load) {
            figures.take(reading.rise_k);
            if figures.n() == 0 {
                self.loads.remove(&load);
            }
        }
    }

    /// By rating and fifth of the load, in that order.
    pub(super) fn told(&self, names: &Names, most: usize) -> Vec<Band> {
        let band = |((rating, fifth), (figures, members)): (&(i64, i64), &(Figures, Members))| {
            Some(Band {
                rating_a: *rating as f64 / 10.0,
                load: (*fifth as f64 / 5.0, (*fifth + 1) as f64 / 5.0),
                n: figures.n(),
                rise_k: figures.spread()?,
                range_k: figures.range(),
                jobs: names.first(members, most),
                n_jobs: members.n(),
            })
        };
        self.cells.iter().filter_map(band).collect()
    }

    /// Of the readings at this rating and about this load: how many are lower, and how many there are.
    pub(super) fn rank(&self, rating_a: f64, load: f64, rise_k: f64) -> (usize, usize) {
        let (rating, load) = (rating(rating_a), load * FINE);
        let from = (load - ALIKE * FINE).round() as i64;
        let to = (load + ALIKE * FINE).round() as i64;
        let alike = self.loads.range((rating, from)..=(rating, to.max(from)));
        alike.fold((0, 0), |(below, n), (_, figures)| (below + figures.below(rise_k), n + figures.n()))
    }
}
