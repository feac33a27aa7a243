//! Judging again after one new fact: is what earlier draws tell of it, or a warm start, as good as a cold one, and how long does it take?

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
fn away(a: &Assessment, b: &Assessment) -> (f64, f64) {
    let pairs = a.joints.iter().zip(&b.joints);
    let all: Vec<f64> = pairs.map(|(a, b)| (a.probability.burnt - b.probability.burnt).abs()).collect();
    let largest = all.iter().copied().fold(0.0, f64::max);
    (largest, (all.iter().map(|d| d * d).sum::<f64>() / all.len().max(1) as f64).sqrt())
}

impl Plan {
    /// For each house with drops: judged without its last drop and without its last temperature, then again with it, by what the earlier
    /// draws tell of it, by chains that go on (warm) and anew (cold); as Markdown. The measure is a cold judgement of four times
    /// the usual length.
    pub fn again(&self, n_sweeps: usize) -> String {
        let of_drops = self.again_with("a drop", n_sweeps, |what| matches!(what, Observed::Drop(_)));
        let of_faces =
            self.again_with("a temperature", n_sweeps, |what| matches!(what, Observed::Temperature(_)));
        format!("{of_drops}\n{of_faces}")
    }

    fn again_with(&self, kind: &str, n_sweeps: usize, is_new: impl Fn(&Observed) -> bool) -> String {
        let usual = study::Settings::on(DAY);
        let long = study::Settings { n_sweeps: 4 * usual.n_sweeps, ..usual.clone() };
        let other = study::Settings { seed: usual.seed + 1, ..usual.clone() };
        let short = study::Settings { n_sweeps, ..usual.clone() };
        let mut text = format!(
            "After {kind}:\n\n| house | spaces | breakers | told, ms | warm, ms | cold, ms | told: largest, rms difference | \
             warm: largest, rms | cold: largest, rms |\n|---|---|---|---|---|---|---|---|---|\n"
        );
        // Time, largest and root mean square difference; of those that were told, of all warm ones, of all cold ones.
        let mut sums = [[0.0; 4]; 3];
        for house in self.houses() {
            let Ok(job) = read(&house.job_text(Stage::Drops)) else { continue };
            let is_last = |at: &usize| is_new(&job.observations[*at].what);
            let Some(last) = (0..job.observations.len()).rev().find(is_last) else { continue };
            let mut before = job.clone();
            before.observations.remove(last);
            let Ok((_, kept)) = study::assess_keeping(&before, &usual, None, &Pool) else { continue };
            let timed = |settings: &study::Settings, warm| {
                let start = Instant::now();
                let found = study::assess_keeping(&job, settings, warm, &Pool);
                (found.map(|(assessment, _)| assessment), 1e3 * start.elapsed().as_secs_f64())
            };
            let start = Instant::now();
            let Ok(told) = study::assess_told(&job, &usual, &kept, &Pool) else { continue };
            let told_ms = 1e3 * start.elapsed().as_secs_f64();
            let told = told.filter(study::may_be_shown);
            let (Ok(warm), warm_ms) = timed(&short, Some(&kept)) else { continue };
            let (Ok(cold), cold_ms) = timed(&other, None) else { continue };
            let (Ok(truth), _) = timed(&long, None) else { continue };
            let panels = &job.installation.panels;
            let spaces: usize = panels.iter().map(|panel| usize::from(panel.n_spaces)).sum();
            let breakers: usize = panels.iter().map(|panel| panel.breakers.len()).sum();
            let ways = [(told.as_ref(), told_ms), (Some(&warm), warm_ms), (Some(&cold), cold_ms)];
            let (mut times, mut differences) = (String::new(), String::new());
            for ((judged, ms), sums) in ways.into_iter().zip(&mut sums) {
                let Some(judged) = judged else {
                    let _ = write!(times, "| not told ({ms:.0}) ");
                    differences.push_str("| – ");
                    continue;
                };
                let (largest, rms) = away(judged, &truth);
                let _ = write!(times, "| {ms:.0} ");
                let _ = write!(differences, "| {largest:.3}, {rms:.4} ");
                sums.iter_mut().zip([1.0, ms, largest, rms]).for_each(|(sum, value)| *sum += value);
            }
            let name = &house.house.name;
            let _ = writeln!(text, "| {name} | {spaces} | {breakers} {times}{differences}|");
        }
        let [told, warm, cold] = sums.map(|[n, ms, largest, rms]| (n, ms / n, largest / n, rms / n));
        let _ = writeln!(
            text,
            "| mean of {}, {}, {} | | | {:.0} | {:.0} | {:.0} | {:.3}, {:.4} | {:.3}, {:.4} | {:.3}, {:.4} |",
            told.0, warm.0, cold.0, told.1, warm.1, cold.1, told.2, told.3, warm.2, warm.3, cold.2, cold.3
        );
        text
    }
}
