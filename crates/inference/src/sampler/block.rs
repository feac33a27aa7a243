//! Offsets held open: resistances are drawn with every offset integrated out, then all offsets in one go.
//!
//! Room, instrument biases, cabinet air and the poles' own errors can each stand in for a little heat, and together for a
//! lot: drawn one at a time given the others, a hot lug and a warm room take hundreds of sweeps to change places.
//! Given scales, loads and knobs the offsets are exactly normal, so the likelihood of one resistance with the offsets
//! integrated out is again a parabola (partially collapsed Gibbs, van Dyk and Park 2008): with G = BᵀWa for the
//! coefficients a of the resistance, B of the offsets and weights W, and Q = S⁻¹ + BᵀWB the offsets' precision, the
//! slope loses GᵀQ⁻¹h and the curvature GᵀQ⁻¹G, where h = BᵀW(y − ŷ) + S⁻¹(mean − offset).

use super::state::Chain;
use super::sums::dot;
use crate::problem::Problem;
use nalgebra::{DMatrix, DVectorViewMut};

/// Which offsets stand in which observations, in an order that keeps the factor sparse: made once for a problem.
///
/// Most offsets are a pole's own and stand in the readings of that pole alone. No reading holds two of the first `n_own`, so
/// their part of the precision is a diagonal, and only the few that many readings share need a dense factor.
pub(super) struct Order {
    /// Offsets in this order.
    offsets: Vec<usize>,
    n_own: usize,
    /// For each observation the places of its offsets, with their weights in it.
    held: Vec<Vec<(usize, f64)>>,
    /// Observations that have an own offset: their number, its place.
    with_own: Vec<(usize, usize)>,
}

impl Order {
    pub(super) fn new(p: &Problem) -> Self {
        let mut holders = vec![Vec::new(); p.offsets.len()];
        for (idx, obs) in p.obs.iter().enumerate() {
            obs.offsets.iter().for_each(|&(offset, _)| holders[offset].push(idx));
        }
        let mut by_count: Vec<usize> = (0..p.offsets.len()).collect();
        by_count.sort_by_key(|&offset| holders[offset].len());
        let (mut offsets, mut shared) = (Vec::new(), Vec::new());
        let mut is_taken = vec![false; p.obs.len()];
        for offset in by_count {
            if holders[offset].iter().any(|&idx| is_taken[idx]) {
                shared.push(offset);
            } else {
                holders[offset].iter().for_each(|&idx| is_taken[idx] = true);
                offsets.push(offset);
            }
        }
        let n_own = offsets.len();
        offsets.extend(shared);
        let mut place = vec![0; offsets.len()];
        offsets.iter().enumerate().for_each(|(at, &offset)| place[offset] = at);
        let placed = |&(offset, weight): &(usize, f64)| (place[offset], weight);
        let held: Vec<Vec<(usize, f64)>> =
            p.obs.iter().map(|obs| obs.offsets.iter().map(placed).collect()).collect();
        let own = |held: &Vec<(usize, f64)>| held.iter().map(|&(at, _)| at).find(|&at| at < n_own);
        let with_own =
            held.iter().enumerate().filter_map(|(idx, held)| own(held).map(|at| (idx, at))).collect();
        Order { offsets, n_own, held, with_own }
    }
}

/// The offsets' joint law at one moment of a sweep, in the order of [`Order`]: the precision's factor, Q = L·Lᵀ.
pub(super) struct Block {
    /// Diagonal of the factor over the own offsets.
    root: Vec<f64>,
    /// What stands below each of these in the rows of the shared offsets.
    below: Vec<f64>,
    /// Lower triangle of the factor over the shared offsets.
    lower: DMatrix<f64>,
    /// L⁻¹h; moves with the resistances.
    pull: Vec<f64>,
    /// L⁻¹BᵀW: of each observation that has an own offset the one entry in its row, then a row for each shared offset.
    own: Vec<f64>,
    shared: Vec<f64>,
    /// The resistance whose coefficients were projected last, and L⁻¹G for them.
    last: Option<usize>,
    along: Vec<f64>,
}

impl Block {
    /// L⁻¹ times a vector, in place.
    fn forth(&self, vector: &mut [f64]) {
        let (own, shared) = vector.split_at_mut(self.root.len());
        let n_shared = shared.len();
        for (at, (own, root)) in own.iter_mut().zip(&self.root).enumerate() {
            *own /= root;
            for (shared, below) in shared.iter_mut().zip(&self.below[at * n_shared..]) {
                *shared -= below * *own;
            }
        }
        // The factor's diagonal is positive, so this cannot fail.
        self.lower.solve_lower_triangular_mut(&mut DVectorViewMut::from_slice(shared, n_shared));
    }

    /// L⁻ᵀ times a vector, in place.
    fn back(&self, vector: &mut [f64]) {
        let (own, shared) = vector.split_at_mut(self.root.len());
        let n_shared = shared.len();
        self.lower.tr_solve_lower_triangular_mut(&mut DVectorViewMut::from_slice(shared, n_shared));
        for (at, (own, root)) in own.iter_mut().zip(&self.root).enumerate() {
            let below = self.below[at * n_shared..].iter().zip(&*shared);
            *own = (*own - below.map(|(below, shared)| below * shared).sum::<f64>()) / root;
        }
    }

    fn less(&self, along: &[f64], (slope, curvature): (f64, f64)) -> (f64, f64) {
        (slope - dot(along, &self.pull), (curvature - dot(along, along)).max(0.0))
    }

    fn follow(&mut self, change: f64) {
        for (pull, along) in self.pull.iter_mut().zip(&self.along) {
            *pull -= change * along;
        }
    }
}

impl Chain<'_> {
    /// Takes the offsets out: until [`close_offsets`](Self::close_offsets) slopes and curvatures are those with the offsets
    /// integrated out. Weights, loads and knobs must stay meanwhile.
    pub(super) fn open_offsets(&mut self) {
        self.update_offset_scales();
        let (n, n_own) = (self.order.offsets.len(), self.order.n_own);
        let n_shared = n - n_own;
        let precision = |at: usize| self.offset_precision(self.order.offsets[at]);
        let mut root: Vec<f64> = (0..n_own).map(precision).collect();
        let mut below = vec![0.0; n_own * n_shared];
        let mut shared = DMatrix::zeros(n_shared, n_shared);
        (0..n_shared).for_each(|at| shared[(at, at)] = precision(n_own + at));
        for (held, &weight) in self.order.held.iter().zip(&self.weight) {
            for &(a, of_a) in held {
                for &(b, of_b) in held.iter().filter(|&&(b, _)| b <= a) {
                    let part = weight * of_a * of_b;
                    if a < n_own {
                        root[a] += part;
                    } else if b < n_own {
                        below[b * n_shared + a - n_own] += part;
                    } else {
                        shared[(a - n_own, b - n_own)] += part;
                    }
                }
            }
        }
        for (at, root) in root.iter_mut().enumerate() {
            *root = libm::sqrt(*root);
            let below = &mut below[at * n_shared..(at + 1) * n_shared];
            below.iter_mut().for_each(|below| *below /= *root);
            for (b, of_b) in below.iter().enumerate() {
                for (a, of_a) in below.iter().enumerate().skip(b) {
                    shared[(a, b)] -= of_a * of_b;
                }
            }
        }
        // Its diagonal holds the priors' precisions, so the factor exists; were it not to, offsets stay where they are.
        let Some(factor) = shared.cholesky() else { return };
        let pull = std::mem::take(&mut self.pull);
        let along = std::mem::take(&mut self.along);
        let lower = factor.unpack_dirty();
        let mut block =
            Block { root, below, lower, own: Vec::new(), shared: Vec::new(), pull, last: None, along };
        self.see_offsets(&mut block);
        self.block = Some(block);
        self.renew_pull();
    }

    /// Makes L⁻¹BᵀW of a block, so that a projection is a few plain sums.
    fn see_offsets(&self, block: &mut Block) {
        let (n_own, n_shared) = (block.root.len(), block.lower.nrows());
        let mut seen = DMatrix::zeros(n_shared, self.n_obs);
        for ((held, &weight), mut column) in
            self.order.held.iter().zip(&self.weight).zip(seen.column_iter_mut())
        {
            for &(at, of) in held.iter().filter(|&&(at, _)| n_own <= at) {
                column[at - n_own] += weight * of;
            }
        }
        for &(idx, place) in &self.order.with_own {
            let own = self.order.held[idx].iter().filter(|&&(at, _)| at == place);
            let part = self.weight[idx] * own.map(|&(_, of)| of).sum::<f64>() / block.root[place];
            block.own.push(part);
            let below = &block.below[place * n_shared..(place + 1) * n_shared];
            for (entry, below) in seen.column_mut(idx).iter_mut().zip(below) {
                *entry -= below * part;
            }
        }
        // The factor's diagonal is positive, so this cannot fail.
        block.lower.solve_lower_triangular_mut(&mut seen);
        block.shared.extend(seen.transpose().iter());
    }

    /// Makes the pull of the open offsets anew, after predictions or coefficients have changed by more than a resistance.
    pub(super) fn renew_pull(&mut self) {
        let Some(mut block) = self.block.take() else { return };
        let alone = |&offset: &usize| {
            (self.p.offsets[offset].mean - self.offsets[offset]) * self.offset_precision(offset)
        };
        let mut pull = std::mem::take(&mut block.pull);
        pull.clear();
        pull.extend(self.order.offsets.iter().map(alone));
        for (idx, held) in self.order.held.iter().enumerate() {
            let pulled = self.weight[idx] * (self.value[idx] - self.predicted[idx]);
            held.iter().for_each(|&(at, of)| pull[at] += pulled * of);
        }
        block.forth(&mut pull);
        (block.pull, block.last) = (pull, None);
        self.block = Some(block);
    }

    /// Precision of an offset by its prior, at its present scale.
    fn offset_precision(&self, idx: usize) -> f64 {
        let sd = self.p.offsets[idx].sd;
        self.offset_scale[idx] / (sd * sd)
    }

    /// Draws all offsets given everything else.
    pub(super) fn close_offsets(&mut self) {
        let Some(mut block) = self.block.take() else { return };
        let mut pull = std::mem::take(&mut block.pull);
        pull.iter_mut().for_each(|part| *part += self.rng.normal());
        block.back(&mut pull);
        for (&offset, change) in self.order.offsets.iter().zip(&pull) {
            self.offsets[offset] += change;
        }
        for (held, predicted) in self.order.held.iter().zip(&mut self.predicted) {
            *predicted += held.iter().map(|&(at, weight)| weight * pull[at]).sum::<f64>();
        }
        (self.pull, self.along) = (pull, block.along);
    }

    /// L⁻¹G of a change with these coefficients: what the open offsets see of it.
    fn project(&self, block: &Block, column: &[f64], along: &mut Vec<f64>) {
        along.clear();
        along.resize(block.root.len(), 0.0);
        for (&(idx, place), own) in self.order.with_own.iter().zip(&block.own) {
            along[place] += own * column[idx];
        }
        along.extend(block.shared.chunks_exact(self.n_obs.max(1)).map(|row| dot(row, column)));
    }

    /// Has the block's projection be that of a resistance.
    fn look_along(&self, block: &mut Block, res: usize) {
        if block.last != Some(res) {
            let mut along = std::mem::take(&mut block.along);
            self.project(block, &self.coef[res * self.n_obs..(res + 1) * self.n_obs], &mut along);
            (block.along, block.last) = (along, Some(res));
        }
    }

    /// Slope and curvature of one resistance, less what the open offsets take of them.
    pub(super) fn with_offsets(&mut self, res: usize, plain: (f64, f64)) -> (f64, f64) {
        let Some(mut block) = self.block.take() else { return plain };
        self.look_along(&mut block, res);
        let less = block.less(&block.along, plain);
        self.block = Some(block);
        less
    }

    /// The same for a change with coefficients of its own; what comes beside them goes to
    /// [`follow_offsets`](Self::follow_offsets) when the change is made.
    pub(super) fn with_offsets_along(&self, column: &[f64], plain: (f64, f64)) -> ((f64, f64), Along) {
        let Some(block) = &self.block else { return (plain, Along(Vec::new())) };
        let mut along = Vec::new();
        self.project(block, column, &mut along);
        (block.less(&along, plain), Along(along))
    }

    /// Moves the open offsets' pull with a change along a direction.
    pub(super) fn follow_offsets(&mut self, along: &Along, change: f64) {
        if let Some(block) = &mut self.block {
            block.pull.iter_mut().zip(&along.0).for_each(|(pull, along)| *pull -= change * along);
        }
    }

    /// Moves the open offsets' pull with a change of one resistance, Ω.
    pub(super) fn pull_offsets(&mut self, res: usize, change: f64) {
        let Some(mut block) = self.block.take() else { return };
        self.look_along(&mut block, res);
        block.follow(change);
        self.block = Some(block);
    }
}

/// A direction seen by the open offsets; empty where none are open.
pub(super) struct Along(Vec<f64>);

impl Along {
    pub(super) fn dot(&self, other: &Along) -> f64 {
        dot(&self.0, &other.0)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{JudgeOptions, Priors, testjob};
    use nalgebra::DVector;

    /// Slope and curvature with the offsets open are those of the marginal law, residuals ~ N(0, W⁻¹ + B·S·Bᵀ), worked the
    /// long way with a dense inverse.
    #[test]
    fn open_offsets_are_integrated_out() {
        let options = JudgeOptions { seed: 1, n_sweeps: 20, n_chains: 2, ..JudgeOptions::default() };
        let priors = Priors::built_in().expect("built-in files");
        let problem = Problem::new(&testjob::eight_spaces(), priors, options);
        let mut chain = Chain::new(&problem, 3, 0);
        chain.run(5, 0);
        // A reading that tells nothing has no finite error; the long way needs one.
        chain.weight.iter_mut().for_each(|weight| *weight = weight.max(1e-3));
        chain.open_offsets();
        let (n_obs, n) = (chain.n_obs, chain.offsets.len());
        let of = DMatrix::from_fn(n_obs, n, |idx, offset| {
            let weights = problem.obs[idx].offsets.iter().filter(|&&(at, _)| at == offset);
            weights.map(|&(_, weight)| weight).sum::<f64>()
        });
        let spread =
            DMatrix::from_fn(n, n, |a, b| if a == b { 1.0 / chain.offset_precision(a) } else { 0.0 });
        let error = DMatrix::from_fn(n_obs, n_obs, |a, b| if a == b { 1.0 / chain.weight[a] } else { 0.0 });
        let inverse = (error + &of * spread * of.transpose()).try_inverse().expect("positive definite");
        let away = DVector::from_fn(n, |idx, _| problem.offsets[idx].mean - chain.offsets[idx]);
        let residual = DVector::from_fn(n_obs, |idx, _| chain.value[idx] - chain.predicted[idx]) - of * away;
        for res in 0..problem.n_conditioned {
            let column = DVector::from_column_slice(&chain.coef[res * n_obs..(res + 1) * n_obs]);
            let (slope, curvature) = chain.slope_and_curvature(res);
            let long = (&inverse * &column).dot(&residual);
            let long_curvature = (&inverse * &column).dot(&column);
            assert!((slope - long).abs() <= 1e-7 * (1.0 + long.abs()), "{slope} {long}");
            assert!((curvature - long_curvature).abs() <= 1e-7 * (1.0 + long_curvature), "{curvature}");
        }
        // The pull follows a resistance that moves.
        let moved = chain.ln_ohm[2] + 0.3;
        chain.set_ohm(2, moved);
        let followed = chain.slope_and_curvature(1);
        chain.renew_pull();
        let anew = chain.slope_and_curvature(1);
        assert!((followed.0 - anew.0).abs() <= 1e-7 * (1.0 + anew.0.abs()), "{followed:?} {anew:?}");
    }
}
