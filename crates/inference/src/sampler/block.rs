//! Offsets held open: resistances are drawn with every offset integrated out, then all offsets in one go.
//!
//! Room, instrument biases, cabinet air and the poles' own errors can each stand in for a little heat, and together for a
//! lot: drawn one at a time given the others, a hot lug and a warm room take hundreds of sweeps to change places.
//! Given scales, loads and knobs the offsets are exactly normal, so the likelihood of one resistance with the offsets
//! integrated out is again a parabola (partially collapsed Gibbs, van Dyk and Park 2008): with G = BᵀWa for the
//! coefficients a of the resistance, B of the offsets and weights W, and Q = S⁻¹ + BᵀWB the offsets' precision, the
//! slope loses GᵀQ⁻¹h and the curvature GᵀQ⁻¹G, where h = BᵀW(y − ŷ) + S⁻¹(mean − offset).

use super::state::Chain;
use nalgebra::{DMatrix, DVector};

/// The offsets' joint law at one moment of a sweep.
pub(super) struct Block {
    /// Lower triangle of the precision's factor: Q = L·Lᵀ.
    lower: DMatrix<f64>,
    /// L⁻¹h; moves with the resistances.
    pull: DVector<f64>,
    /// The resistance whose coefficients were projected last, and L⁻¹G for them.
    last: Option<(usize, DVector<f64>)>,
}

impl Chain<'_> {
    /// Takes the offsets out: until [`close_offsets`](Self::close_offsets) slopes and curvatures are those with the offsets
    /// integrated out. Weights, loads and knobs must stay meanwhile.
    pub(super) fn open_offsets(&mut self) {
        self.update_offset_scales();
        let n = self.offsets.len();
        let mut precision = DMatrix::zeros(n, n);
        for idx in 0..n {
            precision[(idx, idx)] = self.offset_precision(idx);
        }
        for (obs, &weight) in self.p.obs.iter().zip(&self.weight) {
            for &(a, of_a) in &obs.offsets {
                for &(b, of_b) in obs.offsets.iter().filter(|&&(b, _)| b <= a) {
                    precision[(a, b)] += weight * of_a * of_b;
                }
            }
        }
        // Its diagonal holds the priors' precisions, so the factor exists; were it not to, offsets stay where they are.
        let Some(factor) = precision.cholesky() else { return };
        self.block = Some(Block { lower: factor.unpack_dirty(), pull: DVector::zeros(n), last: None });
        self.renew_pull();
    }

    /// Makes the pull of the open offsets anew, after predictions or coefficients have changed by more than a resistance.
    pub(super) fn renew_pull(&mut self) {
        let Some(mut block) = self.block.take() else { return };
        for (idx, offset) in self.p.offsets.iter().enumerate() {
            block.pull[idx] = (offset.mean - self.offsets[idx]) * self.offset_precision(idx);
        }
        for (idx, obs) in self.p.obs.iter().enumerate() {
            let pulled = self.weight[idx] * (self.value[idx] - self.predicted[idx]);
            for &(offset, of) in &obs.offsets {
                block.pull[offset] += pulled * of;
            }
        }
        // The factor's diagonal is positive, so this cannot fail.
        block.lower.solve_lower_triangular_mut(&mut block.pull);
        block.last = None;
        self.block = Some(block);
    }

    /// Precision of an offset by its prior, at its present scale.
    fn offset_precision(&self, idx: usize) -> f64 {
        let sd = self.p.offsets[idx].sd;
        self.offset_scale[idx] / (sd * sd)
    }

    /// Draws all offsets given everything else.
    pub(super) fn close_offsets(&mut self) {
        let Some(Block { lower, mut pull, .. }) = self.block.take() else { return };
        for part in pull.iter_mut() {
            *part += self.rng.normal();
        }
        if !lower.tr_solve_lower_triangular_mut(&mut pull) {
            return;
        }
        for (offset, change) in self.offsets.iter_mut().zip(pull.iter()) {
            *offset += change;
        }
        for (obs, predicted) in self.p.obs.iter().zip(&mut self.predicted) {
            *predicted += obs.offsets.iter().map(|&(offset, weight)| weight * pull[offset]).sum::<f64>();
        }
    }

    /// What slope and curvature of a change lose when the offsets may follow, and the projection that says so.
    fn project(&self, block: &Block, column: &[f64]) -> DVector<f64> {
        let mut along = DVector::zeros(self.offsets.len());
        let weighted: Vec<f64> =
            column.iter().zip(&self.weight).map(|(coef, weight)| coef * weight).collect();
        for (along, of) in along.iter_mut().zip(&self.obs_of_offset) {
            *along = of.iter().map(|&(idx, of)| weighted[idx] * of).sum();
        }
        // The factor's diagonal is positive, so this cannot fail.
        block.lower.solve_lower_triangular_mut(&mut along);
        along
    }

    /// Slope and curvature of one resistance, less what the open offsets take of them.
    pub(super) fn with_offsets(&mut self, res: usize, plain: (f64, f64)) -> (f64, f64) {
        let Some(mut block) = self.block.take() else { return plain };
        if block.last.as_ref().is_none_or(|&(of, _)| of != res) {
            let along = self.project(&block, &self.coef[res * self.n_obs..(res + 1) * self.n_obs]);
            block.last = Some((res, along));
        }
        let less = block.last.as_ref().map_or(plain, |(_, along)| block.less(along, plain));
        self.block = Some(block);
        less
    }

    /// The same for a change with coefficients of its own; what comes beside them goes to
    /// [`follow_offsets`](Self::follow_offsets) when the change is made.
    pub(super) fn with_offsets_along(&self, column: &[f64], plain: (f64, f64)) -> ((f64, f64), Along) {
        let Some(block) = &self.block else { return (plain, Along(None)) };
        let along = self.project(block, column);
        (block.less(&along, plain), Along(Some(along)))
    }

    /// Moves the open offsets' pull with a change along a direction.
    pub(super) fn follow_offsets(&mut self, along: &Along, change: f64) {
        if let (Some(block), Along(Some(along))) = (&mut self.block, along) {
            block.pull.axpy(-change, along, 1.0);
        }
    }

    /// Moves the open offsets' pull with a change of one resistance, Ω.
    pub(super) fn pull_offsets(&mut self, res: usize, change: f64) {
        let Some(mut block) = self.block.take() else { return };
        if block.last.as_ref().is_none_or(|&(of, _)| of != res) {
            let along = self.project(&block, &self.coef[res * self.n_obs..(res + 1) * self.n_obs]);
            block.last = Some((res, along));
        }
        if let Some((_, along)) = &block.last {
            block.pull.axpy(-change, along, 1.0);
        }
        self.block = Some(block);
    }
}

/// A direction seen by the open offsets; empty where none are open.
pub(super) struct Along(Option<DVector<f64>>);

impl Block {
    fn less(&self, along: &DVector<f64>, (slope, curvature): (f64, f64)) -> (f64, f64) {
        (slope - along.dot(&self.pull), (curvature - along.norm_squared()).max(0.0))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::problem::Problem;
    use crate::{JudgeOptions, Priors, testjob};

    /// Slope and curvature with the offsets open are those of the marginal law, residuals ~ N(0, W⁻¹ + B·S·Bᵀ), worked the
    /// long way with a dense inverse.
    #[test]
    fn open_offsets_are_integrated_out() {
        let options = JudgeOptions { seed: 1, n_sweeps: 20, n_chains: 2, ..JudgeOptions::default() };
        let priors = Priors::built_in().expect("built-in files");
        let problem = Problem::new(&testjob::eight_spaces(), priors, options, None);
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
