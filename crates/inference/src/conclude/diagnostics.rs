//! Convergence checks that can fail: split R-hat, effective sample size, standard errors.

use super::Posterior;
use model::Note;
use model::assessment::SamplingReport;

const WORST_R_HAT: f64 = 1.10;
const WORST_ERROR: f64 = 0.05;
/// Least effective part of the draws by the full networks, and of the sample that puts right what their fit leaves.
const LEAST_EFFECTIVE: f64 = 0.1;
const LEAST_FIT: f64 = 0.5;

/// How well a resistance and its condition are known.
pub(crate) struct Settled {
    /// Of the probability of burnt.
    pub(crate) standard_error: f64,
    /// Effective number of draws behind that probability.
    pub(crate) effective_draws: f64,
    /// Of the logarithm of the resistance.
    pub(crate) r_hat: f64,
}

impl Posterior<'_> {
    pub(super) fn settled(&self, res: usize) -> Settled {
        let mean = self.probabilities[res][2];
        let (steady, at_ohm) = (self.columns.burnt(res), self.columns.burnt_at_ohm(res));
        let part =
            |(at, (steady, at_ohm)): (usize, (&f64, &f64))| self.exact.burnt_part(at, *steady, *at_ohm, mean);
        let parts: Vec<f64> = steady.iter().zip(at_ohm).enumerate().map(part).collect();
        let effective_draws = effective_draws(&self.by_chain(&parts));
        let of_draws = libm::sqrt(variance(&parts) / effective_draws);
        let logs: Vec<f64> = self.columns.ohm(res).iter().map(|&ohm| libm::log(ohm)).collect();
        Settled {
            standard_error: libm::hypot(of_draws, self.exact.burnt_error(at_ohm)),
            effective_draws,
            r_hat: split_r_hat(&self.by_chain(&logs)),
        }
    }

    /// Values of all draws, chain by chain.
    fn by_chain<'v>(&self, values: &'v [f64]) -> Vec<&'v [f64]> {
        let mut left = values;
        self.chains.iter().map(|chain| left.split_off(..chain.0.len()).unwrap_or_default()).collect()
    }

    pub(crate) fn report(&self) -> SamplingReport {
        let p = self.p;
        let (mut r_hat, mut r_hat_at) = (1.0_f64, 0);
        let (mut error, mut error_at) = (0.0_f64, 0);
        let mut effective = self.draws.len() as f64;
        for (res, settled) in self.settled.iter().enumerate() {
            if r_hat < settled.r_hat {
                (r_hat, r_hat_at) = (settled.r_hat, res);
            }
            if error < settled.standard_error {
                (error, error_at) = (settled.standard_error, res);
            }
            // Where the probability hardly moves its effective number says nothing.
            if 1e-3 < settled.standard_error {
                effective = effective.min(settled.effective_draws);
            }
        }
        let name = |res: usize| match p.joints.get(res) {
            Some(joint) => joint.id.to_string(),
            None => "the supply".to_owned(),
        };
        let mut problems = Vec::new();
        if WORST_R_HAT < r_hat {
            problems.push(format!("chains disagree about {} (R-hat {r_hat:.2})", name(r_hat_at)));
        }
        if WORST_ERROR < error {
            problems.push(format!("standard error {error:.3} of the probability of {}", name(error_at)));
        }
        let effective_part = self.exact.effective_part;
        if effective_part < LEAST_EFFECTIVE || self.exact.fit < LEAST_FIT {
            let percent = 100.0 * effective_part.min(self.exact.fit);
            problems.push(format!(
                "the linearised networks fit the full ones in {percent:.0} % of the draws only"
            ));
        }
        SamplingReport {
            seed: p.options.seed,
            n_chains: self.chains.len(),
            n_draws: self.draws.len(),
            n_sweeps: self.chains.iter().map(|chain| chain.0.len()).max().unwrap_or(0),
            effective_draws: effective,
            r_hat,
            worst_standard_error: error,
            converged: problems.is_empty(),
            problem: (!problems.is_empty()).then(|| problems.join("; ")),
        }
    }

    pub(crate) fn notes(&self, report: &SamplingReport) -> Vec<Note> {
        let mut notes = Vec::new();
        if let Some(problem) = &report.problem {
            notes.push(Note::new(
                "sampling",
                format!(
                    "the probabilities are less exact than wanted: {problem}. Ask again with more sweeps."
                ),
            ));
        }
        notes
    }
}

fn mean(values: &[f64]) -> f64 {
    values.iter().sum::<f64>() / values.len().max(1) as f64
}

fn variance(values: &[f64]) -> f64 {
    let centre = mean(values);
    values.iter().map(|value| (value - centre) * (value - centre)).sum::<f64>()
        / (values.len().max(2) - 1) as f64
}

/// Split R-hat (Gelman et al., Bayesian Data Analysis, 3rd edition, section 11.4): 1 where all halves agree.
pub(crate) fn split_r_hat(chains: &[impl AsRef<[f64]>]) -> f64 {
    let halves: Vec<&[f64]> = chains
        .iter()
        .map(AsRef::as_ref)
        .flat_map(|chain: &[f64]| chain.chunks(chain.len() / 2).take(2))
        .filter(|half| half.len() > 1)
        .collect();
    if halves.len() < 2 {
        return f64::INFINITY;
    }
    let n = halves.iter().map(|half| half.len()).min().unwrap_or(1) as f64;
    let means: Vec<f64> = halves.iter().map(|half| mean(half)).collect();
    let within = mean(&halves.iter().map(|half| variance(half)).collect::<Vec<f64>>());
    if within <= 1e-12 {
        return 1.0;
    }
    let between = n * variance(&means);
    libm::sqrt(((n - 1.0) / n * within + between / n) / within)
}

/// Effective number of draws over chains by Geyer's initial positive sequence of the mean autocorrelation.
pub(crate) fn effective_draws(chains: &[impl AsRef<[f64]>]) -> f64 {
    let chains: Vec<&[f64]> = chains.iter().map(AsRef::as_ref).collect();
    let n = chains.iter().map(|chain| chain.len()).min().unwrap_or(0);
    let total = (n * chains.len()) as f64;
    let all: Vec<f64> = chains.iter().copied().flatten().copied().collect();
    let (centre, spread) = (mean(&all), variance(&all));
    if n < 4 || spread <= 1e-14 {
        return total.max(1.0);
    }
    let correlation = |lag: usize| {
        let mut sum = 0.0;
        for chain in &chains {
            for at in 0..n - lag {
                sum += (chain[at] - centre) * (chain[at + lag] - centre);
            }
        }
        sum / (chains.len() as f64 * n as f64 * spread)
    };
    let mut time = 1.0;
    let mut lag = 1;
    while lag + 1 < n / 2 {
        let pair = correlation(lag) + correlation(lag + 1);
        if pair <= 0.0 {
            break;
        }
        time += 2.0 * pair;
        lag += 2;
    }
    (total / time).clamp(1.0, total)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::rng::Stream;

    fn walk(n: usize, rho: f64, number: u64) -> Vec<f64> {
        let mut stream = Stream::new(3, number);
        let mut at = 0.0;
        (0..n)
            .map(|_| {
                at = rho * at + libm::sqrt(1.0 - rho * rho) * stream.normal();
                at
            })
            .collect()
    }

    #[test]
    fn correlated_draws_count_less() {
        // An autoregressive chain of coefficient ρ is worth (1−ρ)/(1+ρ) of its draws.
        let chains: Vec<Vec<f64>> = (0..4).map(|number| walk(2_000, 0.8, number)).collect();
        let found = effective_draws(&chains) / 8_000.0;
        assert!((0.07..0.17).contains(&found), "{found} against 0.111");
    }

    #[test]
    fn chains_apart_are_caught() {
        let near: Vec<Vec<f64>> = (0..4).map(|number| walk(500, 0.0, number)).collect();
        assert!(split_r_hat(&near) < 1.02);
        let mut apart = near;
        apart[2].iter_mut().for_each(|value| *value += 2.0);
        assert!(1.2 < split_r_hat(&apart));
    }
}
