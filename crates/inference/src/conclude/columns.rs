//! Draws by resistance instead of by draw: what is asked of one joint over all draws then lies side by side.

use crate::run::Run;
use crate::sampler::Draw;

/// Values over all draws of each resistance with a condition.
pub(crate) struct Columns {
    n_draws: usize,
    ohm: Vec<f64>,
    burnt: Vec<f64>,
    burnt_at_ohm: Vec<f64>,
}

impl Columns {
    pub(crate) fn of(draws: &[&Draw], n_conditioned: usize, run: &impl Run) -> Columns {
        let n_draws = draws.len();
        let values: [fn(&Draw, usize) -> f64; 3] = [
            |draw, res| draw.ohm[res],
            |draw, res| draw.probability[res][2],
            |draw, res| draw.at_ohm[res][2],
        ];
        let mut columns = run.run(values.len(), |nth| {
            let mut column = vec![0.0; n_conditioned * n_draws];
            for (at, draw) in draws.iter().enumerate() {
                for (res, place) in column.iter_mut().skip(at).step_by(n_draws).enumerate() {
                    *place = values[nth](draw, res);
                }
            }
            column
        });
        let mut next = columns.drain(..);
        let mut column = || next.next().unwrap_or_default();
        Columns { n_draws, ohm: column(), burnt: column(), burnt_at_ohm: column() }
    }

    fn part<'c>(&self, of: &'c [f64], res: usize) -> &'c [f64] {
        &of[res * self.n_draws..(res + 1) * self.n_draws]
    }

    /// Resistance, Ω.
    pub(crate) fn ohm(&self, res: usize) -> &[f64] {
        self.part(&self.ohm, res)
    }

    /// Probability of burnt, averaged over the resistance where that is steadier.
    pub(crate) fn burnt(&self, res: usize) -> &[f64] {
        self.part(&self.burnt, res)
    }

    /// Probability of burnt at the resistance of each draw.
    pub(crate) fn burnt_at_ohm(&self, res: usize) -> &[f64] {
        self.part(&self.burnt_at_ohm, res)
    }
}
