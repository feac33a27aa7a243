//! Time stepping of a thermal network: the temperatures after a history of heats, with the steady state as limit.
//!
//! A second-order singly diagonally implicit Runge–Kutta rule of two stages (γ = 1 − 1/√2; Alexander 1977, SIAM J. Numer.
//! Anal. 14, 1006) is stable for any step and damps the fast parts fully, so the step follows the slow ones. Heats
//! are constant over a stretch; steps begin short after each change and grow.

use super::network::{Network, NodeIdx, Response, Solution, SolveError};

/// γ = 1 − 1/√2, exactly representable to the last digit of a double.
const GAMMA: f64 = 0.292_893_218_813_452_4;
/// First step after a change of heat, s.
const FIRST_STEP_S: f64 = 2.0;
/// Factor from one step to the next.
const GROWTH: f64 = 1.25;

/// A time over which heats and room temperature stay.
#[derive(Debug, Clone, PartialEq)]
pub struct Stretch {
    /// Heat put into each node, W.
    pub heat_w: Vec<f64>,
    /// Room temperature, K.
    pub room_k: f64,
    /// How long, s.
    pub seconds: f64,
}

/// Steps that fill a time, beginning short and growing by a factor to at most `longest_s`.
fn steps(seconds: f64, longest_s: f64, growth: f64) -> Vec<f64> {
    let mut all = Vec::new();
    let (mut step, mut left) = (FIRST_STEP_S.min(longest_s), seconds);
    while 0.0 < left {
        // A rest shorter than half a step is shared out, so that no sliver is left.
        let next = if left < 1.5 * step { left } else { step };
        all.push(next);
        left -= next;
        step = (step * growth).min(longest_s);
    }
    all
}

impl Network {
    /// Temperatures after the stretches, one after the other, from `start_k`; `seen` is shown the time since the
    /// beginning and the temperatures after every step.
    ///
    /// # Errors
    /// [`SolveError::Diverged`] where a step does not balance: the heat is beyond the model.
    pub fn march(
        &mut self,
        start_k: &[f64],
        stretches: &[Stretch],
        longest_step_s: f64,
        mut seen: impl FnMut(f64, &[f64]),
    ) -> Result<Vec<f64>, SolveError> {
        let mut temperature_k = start_k.to_vec();
        let mut time_s = 0.0;
        for stretch in stretches {
            for step_s in steps(stretch.seconds, longest_step_s, GROWTH) {
                temperature_k = self.step(&temperature_k, &stretch.heat_w, stretch.room_k, step_s)?;
                time_s += step_s;
                seen(time_s, &temperature_k);
            }
        }
        Ok(temperature_k)
    }

    /// One step of the two-stage rule.
    fn step(
        &mut self,
        from_k: &[f64],
        heat_w: &[f64],
        room_k: f64,
        step_s: f64,
    ) -> Result<Vec<f64>, SolveError> {
        let first = self.stage(from_k, from_k, heat_w, room_k, GAMMA * step_s)?;
        // What the first stage moved, divided by γ, is the step times its slope.
        let part = (1.0 - GAMMA) / GAMMA;
        let base: Vec<f64> =
            from_k.iter().zip(&first).map(|(from, first)| from + part * (first - from)).collect();
        self.stage(&base, &first, heat_w, room_k, GAMMA * step_s)
    }

    /// Solves C (T − base)/h + outflow(T) = heat by Newton's method.
    fn stage(
        &mut self,
        base_k: &[f64],
        guess_k: &[f64],
        heat_w: &[f64],
        room_k: f64,
        h_s: f64,
    ) -> Result<Vec<f64>, SolveError> {
        const MAX_STEPS: usize = 40;
        let mut temperature_k = guess_k.to_vec();
        let mut out = vec![0.0; self.n_nodes()];
        let storage: Vec<f64> = self.capacities_j_k().iter().map(|capacity| capacity / h_s).collect();
        let total_w: f64 = heat_w.iter().map(|w| libm::fabs(*w)).sum();
        let mut residual_w = f64::INFINITY;
        for _ in 0..MAX_STEPS {
            self.outflow_w(&temperature_k, room_k, &mut out);
            for node in 0..out.len() {
                out[node] = heat_w[node] - out[node] - storage[node] * (temperature_k[node] - base_k[node]);
            }
            residual_w = out.iter().fold(0.0, |worst: f64, r| worst.max(libm::fabs(*r)));
            if residual_w <= 1e-9 * (1.0 + total_w) {
                return Ok(temperature_k);
            }
            if !residual_w.is_finite() {
                break;
            }
            self.factor_with(&temperature_k, room_k, &storage)?;
            self.solve_factored(&mut out);
            for (t, change) in temperature_k.iter_mut().zip(&out) {
                *t += change;
            }
        }
        Err(SolveError::Diverged { iterations: MAX_STEPS, residual_w })
    }

    /// Responses of the given nodes to heat that has been put in anywhere for these times, around a solution; with a very
    /// long time they are those of [`Network::responses`]. `ages_s` rises. The result is by age, then by node.
    ///
    /// # Errors
    /// [`SolveError::Floating`] where a part of the network floats.
    pub fn responses_after(
        &mut self,
        at: &Solution,
        room_k: f64,
        nodes: &[NodeIdx],
        ages_s: &[f64],
    ) -> Result<Vec<Vec<Response>>, SolveError> {
        // Coarser than `march`: only shares of the steady response are wanted, to about one part in two hundred.
        const COARSE_FIRST: f64 = 30.0;
        const COARSE_GROWTH: f64 = 1.7;
        let n = self.n_nodes();
        let capacity = self.capacities_j_k().to_vec();
        let mut rows = vec![vec![0.0; n]; nodes.len()];
        let mut all = Vec::with_capacity(ages_s.len());
        let mut time_s = 0.0;
        for &age_s in ages_s {
            let mut step_s: f64 = COARSE_FIRST;
            while time_s + 1e-6 < age_s {
                let left = age_s - time_s;
                let step = if left < 1.5 * step_s { left } else { step_s };
                let storage: Vec<f64> = capacity.iter().map(|capacity| capacity / (GAMMA * step)).collect();
                self.factor_with(&at.temperature_k, room_k, &storage)?;
                for (row, &node) in rows.iter_mut().zip(nodes) {
                    let mut first: Vec<f64> = row.iter().zip(&storage).map(|(r, s)| r * s).collect();
                    first[node] += 1.0;
                    self.solve_factored(&mut first);
                    let part = (1.0 - GAMMA) / GAMMA;
                    for at in 0..n {
                        row[at] = storage[at] * (row[at] + part * (first[at] - row[at]));
                    }
                    row[node] += 1.0;
                    self.solve_factored(row);
                }
                time_s += step;
                step_s *= COARSE_GROWTH;
            }
            all.push(rows.iter().map(|row| Response { k_per_w: row.clone() }).collect());
        }
        Ok(all)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A body of 120 J/K and 0.1 W/K to the room, beside a heavier one.
    fn two() -> Network {
        let mut net = Network::new();
        let body = net.node("body", 120.0);
        let steel = net.node("steel", 2_000.0);
        net.link(body, steel, 0.05);
        net.link_room(body, 0.1);
        net.surface(steel, None, 0.05, 0.3, 0.9);
        net
    }

    fn hold(seconds: f64, watts: f64) -> Stretch {
        Stretch { heat_w: vec![watts, 0.0], room_k: 295.0, seconds }
    }

    #[test]
    fn one_node_follows_the_exponential() {
        let mut net = Network::new();
        net.node("body", 120.0);
        net.link_room(0, 0.1);
        let stretch = Stretch { heat_w: vec![3.0], room_k: 295.0, seconds: 1_800.0 };
        let mut worst: f64 = 0.0;
        net.march(&[295.0], &[stretch], 60.0, |t, at| {
            let exact = 295.0 + 30.0 * (1.0 - libm::exp(-t / 1_200.0));
            worst = worst.max((at[0] - exact).abs());
        })
        .expect("it balances");
        assert!(worst < 2e-3, "{worst} K");
    }

    #[test]
    fn halving_the_step_quarters_the_error() {
        // Bent by radiation; even steps, so that the order shows.
        let at = |longest: f64| {
            let mut net = two();
            let mut t = vec![295.0, 295.0];
            for _ in 0..(7_200.0 / longest) as usize {
                t = net.step(&t, &[6.0, 0.0], 295.0, longest).expect("it balances");
            }
            t[0]
        };
        let (coarse, middle, fine) = (at(900.0), at(450.0), at(225.0));
        let ratio = (coarse - middle) / (middle - fine);
        assert!((3.0..5.5).contains(&ratio), "{ratio}");
    }

    #[test]
    fn a_long_time_ends_at_the_steady_state() {
        let mut net = two();
        let steady = net.solve(&[6.0, 0.0], 295.0, None).expect("a steady state").temperature_k;
        let end = net.march(&[330.0, 280.0], &[hold(1e6, 6.0)], 1e5, |_, _| {}).expect("it balances");
        assert!(end.iter().zip(&steady).all(|(a, b)| (a - b).abs() < 1e-4), "{end:?} {steady:?}");
    }

    #[test]
    fn huge_steps_stay_bounded() {
        let mut net = two();
        let end = net.march(&[295.0, 295.0], &[hold(50.0, 6.0), hold(1e7, 0.0)], 1e7, |_, _| {});
        assert!(end.expect("it balances").iter().all(|t| (t - 295.0).abs() < 1.0));
    }

    #[test]
    fn linear_responses_agree_with_a_small_step_of_heat() {
        let mut net = two();
        let base = net.solve(&[4.0, 0.0], 295.0, None).expect("a steady state");
        let found = net.responses_after(&base, 295.0, &[1], &[1_200.0, 1e7]).expect("tied to the room");
        let more = hold(1_200.0, 4.0 + 1e-3);
        let end = net.march(&base.temperature_k, &[more], 30.0, |_, _| {}).expect("it balances");
        let quotient = (end[1] - base.temperature_k[1]) / 1e-3;
        assert!((found[0][0].k_per_w[0] / quotient - 1.0).abs() < 0.01, "{:?} {quotient}", found[0][0]);
        let steady = &net.responses(&base, 295.0, &[1]).expect("tied to the room")[0];
        assert!((found[1][0].k_per_w[0] / steady.k_per_w[0] - 1.0).abs() < 1e-3);
    }
}
