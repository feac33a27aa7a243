//! Who does the parts of a judgement that do not wait for one another.

/// Runs parts of a judgement: on this thread, or on the threads of a caller that has some.
pub trait Run {
    /// Runs `part` with the numbers from 0 to `n_parts`, in any order on any threads, and gives the results in the order of
    /// the numbers.
    fn run<T: Send>(&self, n_parts: usize, part: impl Fn(usize) -> T + Send + Sync) -> Vec<T>;
}

/// One part after the other, on the calling thread.
#[derive(Debug, Clone, Copy, Default)]
pub struct OneThread;

impl Run for OneThread {
    fn run<T: Send>(&self, n_parts: usize, part: impl Fn(usize) -> T + Send + Sync) -> Vec<T> {
        (0..n_parts).map(part).collect()
    }
}

/// Stretches that a list is cut into. Always as many, so that who runs them changes no digit.
const N_STRETCHES: usize = 4;

/// The answers for a list, which is worked through in even stretches.
pub(crate) fn in_stretches<I: Sync, T: Send>(
    run: &impl Run,
    items: &[I],
    answers: impl Fn(&[I]) -> Vec<T> + Send + Sync,
) -> Vec<T> {
    let length = items.len().div_ceil(N_STRETCHES).max(1);
    let stretches: Vec<&[I]> = items.chunks(length).collect();
    run.run(stretches.len(), |nth| answers(stretches[nth])).into_iter().flatten().collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn stretches_keep_the_order_and_lose_nothing() {
        for n in [0, 1, 3, 4, 5, 41] {
            let items: Vec<usize> = (0..n).collect();
            let found = in_stretches(&OneThread, &items, |part| part.iter().map(|item| item * 2).collect());
            assert_eq!(found, items.iter().map(|item| item * 2).collect::<Vec<usize>>());
        }
    }
}
