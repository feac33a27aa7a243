//! Fixed grids on the logarithm of a quantity and the prior densities on them.

use super::class::by_class;
use super::near::{exp_each, exp_near};
use super::sums::dot;
use crate::priors::{LoadPrior, Share};
use crate::problem::{CLASSES, FilmLaw, Laws};
use crate::rng::{Stream, normal_below};

/// The class that shows most; a film may hold a part of it.
const WORST: usize = CLASSES - 1;

/// A grid of cells of equal width on a logarithm.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Grid {
    pub(crate) low: f64,
    pub(crate) step: f64,
    /// exp of each cell's middle.
    pub(crate) value: Vec<f64>,
}

impl Grid {
    pub(crate) fn new(low: f64, high: f64, n_cells: usize) -> Self {
        let step = (high - low) / n_cells as f64;
        let value = (0..n_cells).map(|idx| libm::exp(low + (idx as f64 + 0.5) * step)).collect();
        Grid { low, step, value }
    }

    pub(crate) fn n_cells(&self) -> usize {
        self.value.len()
    }

    /// Number of cells whose middle is not above a value.
    pub(crate) fn n_below(&self, value: f64) -> usize {
        self.value.partition_point(|&middle| middle <= value)
    }

    pub(crate) fn middle(&self, idx: usize) -> f64 {
        self.low + (idx as f64 + 0.5) * self.step
    }

    /// Cell of a logarithm; `None` outside.
    pub(crate) fn cell(&self, log: f64) -> Option<usize> {
        let at = (log - self.low) / self.step;
        (0.0 <= at && at < self.n_cells() as f64).then_some(at as usize)
    }
}

/// Density of a standard normal at its middle.
pub(crate) const NORMAL_PEAK: f64 = 0.398_942_280_401_432_7;

/// Density of a normal.
pub(crate) fn normal_density(x: f64, mean: f64, sd: f64) -> f64 {
    let z = (x - mean) / sd;
    NORMAL_PEAK / sd * libm::exp(-0.5 * z * z)
}

impl Laws {
    /// Density of a logarithm in each class.
    pub(crate) fn densities(&self, log: f64) -> [f64; CLASSES] {
        let mut of = by_class(|class| normal_density(log, self.mean[class], self.sd[class]));
        let FilmLaw { share, mean, sd } = self.film;
        of[WORST] = (1.0 - share) * of[WORST] + share * normal_density(log, mean, sd);
        of
    }

    /// Lognormal parts of a class: share, mean and spread.
    pub(crate) fn parts(&self, class: usize) -> impl Iterator<Item = (f64, f64, f64)> + use<> {
        let FilmLaw { share, mean, sd } = self.film;
        let film = if class == WORST { share } else { 0.0 };
        let metal = (1.0 - film, self.mean[class], self.sd[class]);
        std::iter::once(metal).chain((0.0 < film).then_some((film, mean, sd)))
    }

    /// Draws a logarithm in a class.
    pub(crate) fn draw(&self, class: usize, rng: &mut Stream) -> f64 {
        let is_film = class == WORST && rng.uniform() < self.film.share;
        let (mean, sd) =
            if is_film { (self.film.mean, self.film.sd) } else { (self.mean[class], self.sd[class]) };
        mean + sd * rng.normal()
    }
}

/// A resistance prior on its grid: density of each condition in each cell.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct ConditionGrid {
    pub(crate) grid: Grid,
    pub(crate) laws: Laws,
    pub(crate) density: [Vec<f64>; CLASSES],
    /// Sum of each over the cells.
    pub(crate) total: [f64; CLASSES],
    /// Median of the worst class, Ω.
    pub(crate) severe_ohm: f64,
    /// Density of each class at its middle, and one over its spread.
    peak: [f64; CLASSES],
    sharpness: [f64; CLASSES],
    film: FilmShape,
}

/// Density of what a film holds at its middle, its share in it, and one over its spread.
#[derive(Debug, Clone, PartialEq)]
struct FilmShape {
    peak: f64,
    sharpness: f64,
}

impl ConditionGrid {
    pub(crate) fn new(laws: Laws) -> Self {
        const CELLS: usize = 60;
        let low = laws.mean[0] - 4.0 * laws.sd[0];
        let high = laws.mean[WORST] + 4.0 * laws.sd[WORST];
        let high = if 0.0 < laws.film.share { high.max(laws.film.mean + 2.5 * laws.film.sd) } else { high };
        let grid = Grid::new(low, high, CELLS);
        let density = by_class(|class| -> Vec<f64> {
            (0..CELLS).map(|idx| laws.densities(grid.middle(idx))[class]).collect()
        });
        let total = density.each_ref().map(|of| of.iter().sum());
        let peak = by_class(|class| normal_density(0.0, 0.0, laws.sd[class]));
        let sharpness = laws.sd.map(|sd| 1.0 / sd);
        let film = FilmShape {
            peak: laws.film.share * normal_density(0.0, 0.0, laws.film.sd),
            sharpness: 1.0 / laws.film.sd,
        };
        ConditionGrid {
            grid,
            laws,
            density,
            total,
            severe_ohm: libm::exp(laws.mean[WORST]),
            peak,
            sharpness,
            film,
        }
    }

    /// Turns what stands in the cells beside the prior into the whole, the classes having these weights, and sums it up by class.
    pub(super) fn mixed(&self, weights: [f64; CLASSES], cells: &mut [f64]) -> [f64; CLASSES] {
        let sums = by_class(|class| weights[class] * dot(&self.density[class], cells));
        let [sound, worn, mild, severe] = self.density.each_ref();
        let [of_sound, of_worn, of_mild, of_severe] = weights;
        for ((((cell, sound), worn), mild), severe) in
            cells.iter_mut().zip(sound).zip(worn).zip(mild).zip(severe)
        {
            *cell *= of_sound * sound + of_worn * worn + of_mild * mild + of_severe * severe;
        }
        sums
    }

    /// Densities in a cell.
    pub(crate) fn densities_in(&self, cell: usize) -> [f64; CLASSES] {
        by_class(|class| self.density[class][cell])
    }

    /// Densities between the middles of cells by straight lines: good enough for a proposal; zeros outside the grid.
    pub(crate) fn densities_near(&self, log: f64) -> [f64; CLASSES] {
        let Some(cell) = self.grid.cell(log) else { return [0.0; CLASSES] };
        let offset = (log - self.grid.middle(cell)) / self.grid.step;
        let next =
            if offset < 0.0 { cell.saturating_sub(1) } else { (cell + 1).min(self.grid.n_cells() - 1) };
        let part = offset.abs();
        by_class(|condition| {
            self.density[condition][cell] * (1.0 - part) + self.density[condition][next] * part
        })
    }

    pub(crate) fn densities_at(&self, log: f64) -> [f64; CLASSES] {
        let squares = by_class(|class| {
            let z = (log - self.laws.mean[class]) * self.sharpness[class];
            -0.5 * z * z
        });
        let shape = exp_each(squares);
        let mut of = by_class(|class| self.peak[class] * shape[class]);
        if 0.0 < self.film.peak {
            let z = (log - self.laws.film.mean) * self.film.sharpness;
            of[WORST] = (1.0 - self.laws.film.share) * of[WORST] + self.film.peak * exp_near(-0.5 * z * z);
        }
        of
    }
}

/// An unknown load as a share of its rating, on a grid.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct LoadGrid {
    pub(crate) grid: Grid,
    /// Density of the logarithm of the share in each cell, where it is idle and where it is busy.
    pub(crate) density: Vec<[f64; 2]>,
    parts: [LoadPart; 2],
}

/// A lognormal part of a load's law, cut at the ends of the grid: mean and spread of the logarithm, and what lies inside.
#[derive(Debug, Clone, Copy, PartialEq)]
struct LoadPart {
    mean: f64,
    sd: f64,
    inside: f64,
}

impl LoadGrid {
    pub(crate) fn new(prior: &LoadPrior, heavy: bool) -> Self {
        const CELLS: usize = 44;
        let (low, high) = (libm::log(prior.least), libm::log(prior.most));
        let part = |share: &Share| {
            let (mean, sd) = (libm::log(share.median), share.spread);
            LoadPart { mean, sd, inside: normal_below((high - mean) / sd) - normal_below((low - mean) / sd) }
        };
        let of = if heavy { [&prior.heavy_idle, &prior.heavy_busy] } else { [&prior.idle, &prior.busy] };
        let grid = Grid::new(low, high, CELLS);
        let mut made = LoadGrid { grid, density: Vec::new(), parts: of.map(part) };
        made.density = (0..CELLS).map(|idx| made.densities_at(made.grid.middle(idx))).collect();
        made
    }

    /// Density of the logarithm of the share, where it is idle and where it is busy; nothing outside the grid.
    pub(crate) fn densities_at(&self, log_share: f64) -> [f64; 2] {
        if self.grid.cell(log_share).is_none() {
            return [0.0; 2];
        }
        self.parts.map(|LoadPart { mean, sd, inside }| normal_density(log_share, mean, sd) / inside)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn laws(share: f64) -> Laws {
        Laws {
            mean: [-8.0, -7.0, -6.3, -5.0],
            sd: [0.6, 0.5, 0.85, 0.85],
            film: FilmLaw { share, mean: -2.8, sd: 0.9 },
        }
    }

    #[test]
    fn a_film_takes_its_share_of_the_worst_class_and_of_no_other() {
        for share in [0.0, 0.2] {
            let (laws, step) = (laws(share), 0.01);
            let at = |nth: usize| -14.0 + step * nth as f64;
            let sums = (0..2_000).fold([0.0; CLASSES], |sums, nth| {
                let here = laws.densities(at(nth));
                by_class(|class| sums[class] + step * here[class])
            });
            assert!(sums.iter().all(|sum| (sum - 1.0).abs() < 1e-6), "{sums:?}");
            let mean: f64 = (0..2_000).map(|nth| step * at(nth) * laws.densities(at(nth))[WORST]).sum();
            assert!((mean - (-5.0 + 2.2 * share)).abs() < 1e-3, "{mean}");
            let mut stream = Stream::new(3, 0);
            let drawn: f64 = (0..40_000).map(|_| laws.draw(WORST, &mut stream)).sum::<f64>() / 40_000.0;
            assert!((drawn - mean).abs() < 0.03, "{drawn} {mean}");
        }
    }

    #[test]
    fn the_quick_densities_are_the_densities() {
        for share in [0.0, 0.2] {
            let laws = laws(share);
            let grid = ConditionGrid::new(laws);
            for log in [-9.0, -6.5, -4.0, -2.5, -1.0] {
                let (quick, exact) = (grid.densities_at(log), laws.densities(log));
                for (quick, exact) in quick.into_iter().zip(exact) {
                    assert!((quick - exact).abs() <= 1e-6 * exact + 1e-12, "{log}: {quick} {exact}");
                }
            }
        }
    }
}
