//! How busy the house is in a load state, integrated out of its loads.
//!
//! A house is found in one of a few ways, and in each a load that nobody clamped is idle with a chance of its own. Given the other
//! loads of the state each way has a weight, so a load is drawn with the mean chance; nothing has to be drawn of the house.

use super::state::Chain;
use crate::priors::House;
use crate::problem::{LoadLaw, Problem};

/// Chance that one more load is idle where others have these densities, idle and busy.
fn idle_beside(house: &[House], others: impl Iterator<Item = [f64; 2]> + Clone) -> f64 {
    // Beside the larger of the two, so that a product over hundreds of loads stays above zero: no chance of idle is near 0 or 1.
    let weight = |of: &House| -> f64 {
        let loads = others.clone();
        of.weight
            * loads
                .map(|[idle, busy]| (of.idle * idle + (1.0 - of.idle) * busy) / idle.max(busy))
                .product::<f64>()
    };
    let (all, idle) = house.iter().fold((0.0, 0.0), |(all, idle), of| {
        let weight = weight(of);
        (all + weight, idle + weight * of.idle)
    });
    idle / all
}

/// Loads of each state that nobody clamped, also of those before the record.
pub(super) fn unclamped(p: &Problem) -> Vec<Vec<usize>> {
    let is_of = |load: usize, state: usize| {
        p.loads[load].state == state && matches!(p.loads[load].law, LoadLaw::Unknown { .. })
    };
    let of = |state: usize| (0..p.loads.len()).filter(|&load| is_of(load, state)).collect();
    (0..p.carry.len()).map(of).collect()
}

impl Chain<'_> {
    /// Chances that a load is idle and that it is busy, given the other loads of its state.
    pub(super) fn idle_or_busy(&self, load: usize) -> [f64; 2] {
        let of_state = &self.unclamped[self.p.loads[load].state];
        let others = of_state.iter().filter(|&&other| other != load).map(|&other| self.load_density[other]);
        let idle = idle_beside(&self.p.priors.load.house, others);
        [idle, 1.0 - idle]
    }

    /// Densities of a load at a current, idle and busy, on the logarithm.
    pub(super) fn load_densities(&self, load: usize, value: f64) -> [f64; 2] {
        match self.p.loads[load].law {
            LoadLaw::Zero | LoadLaw::Measured { .. } => [0.0; 2],
            LoadLaw::Unknown { scale_a, heavy } => {
                self.load_grids[usize::from(heavy)].densities_at(libm::log(value / scale_a))
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Worked by hand: nine loads that can only be idle make a quiet house out of one in two, 0.9⁹ beside 0.1⁹.
    #[test]
    fn loads_that_are_idle_tell_of_a_quiet_house() {
        let house = [House { weight: 0.5, idle: 0.9 }, House { weight: 0.5, idle: 0.1 }];
        let beside = |n_idle: usize, n_busy: usize| {
            let idle = std::iter::repeat_n([2.0, 0.0], n_idle);
            idle_beside(&house, idle.chain(std::iter::repeat_n([0.0, 3.0], n_busy)))
        };
        assert!((beside(0, 0) - 0.5).abs() < 1e-12);
        assert!((beside(1, 0) - 0.82).abs() < 1e-12, "{}", beside(1, 0));
        assert!((beside(9, 0) - 0.9).abs() < 1e-6);
        assert!((beside(3, 3) - 0.5).abs() < 1e-12);
        assert!((beside(0, 400) - 0.1).abs() < 1e-12, "no product of many is nothing");
    }
}
