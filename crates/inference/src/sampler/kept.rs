//! What a chain keeps for the summary has the mean of what it drew, whichever of its moves were accepted.

use super::{Chain, Draw};
use crate::problem::Problem;
use crate::testjob::{self, add_state, bare, clamp, drop_between, leg_voltage, observe, slot};
use crate::{JudgeOptions, Priors};
use model::job::Job;
use model::place::Place;
use model::{Leg, PanelId};

const N_SWEEPS: usize = 24_000;
/// Means over stretches of so many sweeps are nearly independent.
const STRETCH: usize = 400;

/// Mean over the draws and its standard error, by the spread of stretches.
fn mean_and_error(draws: &[Draw], of: impl Fn(&Draw) -> f64) -> (f64, f64) {
    let mean = |part: &[Draw]| part.iter().map(&of).sum::<f64>() / part.len() as f64;
    let all = mean(draws);
    let parts: Vec<f64> = draws.chunks_exact(STRETCH).map(mean).collect();
    let n = parts.len() as f64;
    let spread: f64 = parts.iter().map(|part| (part - all) * (part - all)).sum::<f64>() / (n - 1.0);
    (all, libm::sqrt(spread / n))
}

/// The probability of burnt that is kept, averaged where that is steadier, against that at the resistance of each draw. Four
/// errors; some hundred joints are compared.
fn assert_kept_as_drawn(job: &Job) {
    let options = JudgeOptions { seed: 1, n_sweeps: 20, n_chains: 2, ..JudgeOptions::default() };
    let problem = Problem::new(job, Priors::built_in().expect("built-in files"), options);
    let draws = Chain::new(&problem, 1, 0).run(500, N_SWEEPS).0;
    for res in 0..problem.n_conditioned {
        let (away, error) = mean_and_error(&draws, |draw| draw.probability[res][2] - draw.at_ohm[res][2]);
        let kept = mean_and_error(&draws, |draw| draw.probability[res][2]).0;
        assert!(
            away.abs() < 4.0 * error + 1e-4,
            "{:?}: kept {kept:.4}, {away:+.4} ± {error:.4} beside what was drawn",
            problem.res[res].kind
        );
    }
}

/// The joint and all breakers of its maker change together.
#[test]
fn a_lone_drop_is_kept_as_drawn() {
    let mut job = bare(8, testjob::eight_spaces().installation.panels[0].breakers.clone());
    add_state(&mut job, "evening", 22.0);
    observe(&mut job, clamp(5, 10.0, "evening"));
    let lug = Place::Lug(PanelId::new("main"), Leg::A);
    observe(&mut job, drop_between(lug, Place::Load(slot(5)), 120.0, "evening"));
    assert_kept_as_drawn(&job);
}

/// The path of the supply and the loads behind it change together.
#[test]
fn uneven_legs_are_kept_as_drawn() {
    let mut job = testjob::eight_spaces();
    for (leg, volts) in [(Leg::A, 112.0), (Leg::B, 129.0)] {
        observe(&mut job, leg_voltage(leg, volts, "evening"));
    }
    assert_kept_as_drawn(&job);
}
