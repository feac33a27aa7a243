//! Judging again after one new fact: is a warm start as good as a cold one, and how long does it take?

use crate::judge::{DAY, read};
use crate::runner::Plan;
use crate::sim::visit::Stage;
use model::assessment::Assessment;
use model::evidence::Observed;
use rayon::prelude::*;
use std::fmt::Write;
use std::time::Instant;

/// Chains on the threads of the pool.
struct Pool;

impl study::Run for Pool {
    fn run<T: Send>(&self, n_chains: usize, chain: impl Fn(usize) -> T + Send + Sync) -> Vec<T> {
        (0..n_chains).into_par_iter().map(chain).collect()
    }
}

/// Largest and root mean square difference of burnt probabilities over the joints.
fn differences(a: &Assessment, b: &Assessment) -> (f64, f64) {
    let pairs = a.joints.iter().zip(&b.joints);
    let all: Vec<f64> = pairs.map(|(a, b)| (a.probability.burnt - b.probability.burnt).abs()).collect();
    let largest = all.iter().copied().fold(0.0, f64::max);
    (largest, (all.iter().map(|d| d * d).sum::<f64>() / all.len().max(1) as f64).sqrt())
}

impl Plan {
    /// For each house with drops: judged without its last drop, then again with it, warm and cold; as Markdown. The measure is
    /// a cold judgement of four times the usual length.
    pub fn again(&self, n_sweeps: usize) -> String {
        let usual = study::Settings::on(DAY);
        let long = study::Settings { n_sweeps: 4 * usual.n_sweeps, ..usual.clone() };
        let other = study::Settings { seed: usual.seed + 1, ..usual.clone() };
        let short = study::Settings { n_sweeps, ..usual.clone() };
        let mut text = "| house | spaces | breakers | warm, ms | cold, ms | warm: largest, rms difference | cold: largest, rms |\n\
                        |---|---|---|---|---|---|---|\n"
            .to_owned();
        let mut sums = [0.0; 6];
        let mut n = 0.0;
        for house in self.houses() {
            let Ok(job) = read(&house.job_text(Stage::Drops)) else { continue };
            let is_drop = |at: &usize| matches!(job.observations[*at].what, Observed::Drop(_));
            let Some(last) = (0..job.observations.len()).rev().find(is_drop) else { continue };
            let mut before = job.clone();
            before.observations.remove(last);
            let Ok((_, kept)) = study::assess_keeping(&before, &usual, None, &Pool) else { continue };
            let timed = |settings: &study::Settings, warm| {
                let start = Instant::now();
                let found = study::assess_keeping(&job, settings, warm, &Pool);
                (found.map(|(assessment, _)| assessment), 1e3 * start.elapsed().as_secs_f64())
            };
            let (Ok(warm), warm_ms) = timed(&short, Some(&kept)) else { continue };
            let (Ok(cold), cold_ms) = timed(&other, None) else { continue };
            let (Ok(truth), _) = timed(&long, None) else { continue };
            let (by_warm, by_cold) = (differences(&warm, &truth), differences(&cold, &truth));
            let panels = &job.installation.panels;
            let spaces: usize = panels.iter().map(|panel| usize::from(panel.n_spaces)).sum();
            let breakers: usize = panels.iter().map(|panel| panel.breakers.len()).sum();
            let _ = writeln!(
                text,
                "| {} | {spaces} | {breakers} | {warm_ms:.0} | {cold_ms:.0} | {:.3}, {:.4} | {:.3}, {:.4} |",
                house.house.name, by_warm.0, by_warm.1, by_cold.0, by_cold.1
            );
            for (sum, value) in
                sums.iter_mut().zip([warm_ms, cold_ms, by_warm.0, by_warm.1, by_cold.0, by_cold.1])
            {
                *sum += value;
            }
            n += 1.0;
        }
        let mean = sums.map(|sum| sum / f64::max(n, 1.0));
        let _ = writeln!(
            text,
            "| mean | | | {:.0} | {:.0} | {:.3}, {:.4} | {:.3}, {:.4} |",
            mean[0], mean[1], mean[2], mean[3], mean[4], mean[5]
        );
        text
    }
}
