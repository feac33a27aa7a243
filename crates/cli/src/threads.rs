//! Chains on all cores.

use rayon::iter::{IntoParallelIterator, ParallelIterator};

/// Runs the chains of a judgement on the threads of the pool. Which thread runs which chain changes no result.
#[derive(Debug, Clone, Copy)]
pub(crate) struct AllCores;

impl study::Run for AllCores {
    fn run<T: Send>(&self, n_chains: usize, chain: impl Fn(usize) -> T + Send + Sync) -> Vec<T> {
        (0..n_chains).into_par_iter().map(chain).collect()
    }
}
