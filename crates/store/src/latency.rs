//! How long commits take: counted for whoever watches over the program.

use crate::{Error, Store};
use std::sync::atomic::{AtomicU64, Ordering};
use std::time::Duration;

/// Classes of durations: each ends at twice the end of the one before it, the first at 2⁻¹⁴ s.
const N_CLASSES: usize = 20;
const FIRST_END_S: f64 = 1.0 / 16_384.0;

/// Durations of commits since the store was opened.
#[derive(Debug, Default)]
pub struct Latency {
    classes: [AtomicU64; N_CLASSES],
    sum_us: AtomicU64,
}

impl Latency {
    pub(crate) fn add(&self, took: Duration) {
        let seconds = took.as_secs_f64();
        let mut class = 0;
        let mut end = FIRST_END_S;
        while end < seconds && class + 1 < N_CLASSES {
            end *= 2.0;
            class += 1;
        }
        self.classes[class].fetch_add(1, Ordering::Relaxed);
        self.sum_us.fetch_add(u64::try_from(took.as_micros()).unwrap_or(u64::MAX), Ordering::Relaxed);
    }

    /// Count, sum in seconds, and how many fall between one of these ends and the one before it. A duration counts at
    /// the end of its class, which is at most twice as long.
    pub fn up_to<const N: usize>(&self, ends_s: &[f64; N]) -> (u64, f64, [u64; N]) {
        let mut classes = [0; N];
        let (mut n, mut end) = (0, FIRST_END_S);
        for class in &self.classes {
            let of_class = class.load(Ordering::Relaxed);
            n += of_class;
            if let Some(at) = ends_s.iter().position(|wanted| end <= *wanted) {
                classes[at] += of_class;
            }
            end *= 2.0;
        }
        (n, self.sum_us.load(Ordering::Relaxed) as f64 / 1e6, classes)
    }
}

impl Store {
    /// How long commits took since the store was opened.
    pub fn commit_times(&self) -> &Latency {
        &self.inner.ears.commits
    }

    /// Does the database answer?
    ///
    /// # Errors
    /// It does not.
    pub async fn answers(&self) -> Result<(), Error> {
        let asked = sqlx::query("SELECT 1").execute(&self.inner.pool).await;
        asked.map(|_| ()).map_err(self.failed("asking whether it is there"))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn each_duration_counts_once() {
        let latency = Latency::default();
        for ms in [1, 3, 30, 700, 90_000] {
            latency.add(Duration::from_millis(ms));
        }
        let (n, sum_s, classes) = latency.up_to(&[0.005, 0.1, 1.0]);
        assert_eq!((n, classes), (5, [2, 1, 1]), "the longest is beyond the last end");
        assert!((sum_s - 90.734).abs() < 1e-6);
    }
}
