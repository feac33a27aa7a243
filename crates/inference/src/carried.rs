//! Draws as bytes: a chain that was run elsewhere is carried to where the judgement is concluded, the same to the last bit.

use crate::problem::{N_KNOBS, Problem};
use crate::sampler::{Chain, Draw, Draws};

/// Widths in the head: the number of draws, then of each list of a draw.
const N_WIDTHS: usize = 12;

impl Draws {
    /// The draws as bytes, for [`Draws::from_bytes`] of the same build of the program: no form to be stored.
    pub fn to_bytes(&self) -> Vec<u8> {
        let mut bytes = Vec::new();
        let widths = self.0.first().map_or([0; N_WIDTHS], |draw| widths(self.0.len(), draw));
        widths.iter().for_each(|&width| bytes.extend_from_slice(&(width as u32).to_le_bytes()));
        let mut put = |value: f64| bytes.extend_from_slice(&value.to_le_bytes());
        for draw in &self.0 {
            draw.ohm.iter().for_each(|&value| put(value));
            draw.own.iter().for_each(|&value| put(value));
            draw.condition.iter().for_each(|&class| put(f64::from(class)));
            draw.probability.iter().flatten().for_each(|&value| put(value));
            draw.at_ohm.iter().flatten().for_each(|&value| put(value));
            draw.loads.iter().for_each(|&value| put(value));
            draw.offsets.iter().for_each(|&value| put(value));
            draw.knobs.iter().flatten().for_each(|&value| put(value));
            draw.metal.iter().for_each(|&value| put(value));
            draw.finger.iter().for_each(|&is_bad| put(f64::from(u8::from(is_bad))));
            draw.predicted.iter().for_each(|&value| put(value));
            put(draw.prevalence as f64);
        }
        bytes
    }

    /// The draws of bytes; `None` where the bytes are not whole.
    pub fn from_bytes(bytes: &[u8]) -> Option<Draws> {
        let (head, body) = bytes.split_at_checked(4 * N_WIDTHS)?;
        let mut widths = [0; N_WIDTHS];
        for (width, four) in widths.iter_mut().zip(head.chunks_exact(4)) {
            *width = u32::from_le_bytes(four.try_into().ok()?) as usize;
        }
        let [
            n_draws,
            ohm,
            own,
            condition,
            probability,
            at_ohm,
            loads,
            offsets,
            knobs,
            metal,
            finger,
            predicted,
        ] = widths;
        let a_draw = ohm
            + own
            + condition
            + 3 * (probability + at_ohm)
            + loads
            + offsets
            + N_KNOBS * knobs
            + metal
            + finger
            + predicted
            + 1;
        if n_draws.checked_mul(8 * a_draw)? != body.len() {
            return None;
        }
        let mut values =
            body.chunks_exact(8).map(|eight| eight.try_into().map_or(f64::NAN, f64::from_le_bytes));
        let mut take = |n: usize| values.by_ref().take(n).collect::<Vec<f64>>();
        let mut draws = Vec::with_capacity(n_draws);
        for _ in 0..n_draws {
            draws.push(Draw {
                ohm: take(ohm),
                own: take(own),
                condition: take(condition).into_iter().map(|class| class as u8).collect(),
                probability: rows(&take(3 * probability)),
                at_ohm: rows(&take(3 * at_ohm)),
                loads: take(loads),
                offsets: take(offsets),
                knobs: rows(&take(N_KNOBS * knobs)),
                metal: take(metal),
                finger: take(finger).into_iter().map(|is_bad| 0.5 < is_bad).collect(),
                predicted: take(predicted),
                prevalence: take(1).first().map_or(0, |&level| level as usize),
            });
        }
        Some(Draws(draws))
    }
}

impl Problem {
    /// Are these the chains of this problem, by their number and their widths?
    pub fn has_such(&self, chains: &[Draws]) -> bool {
        let own = widths(self.options.n_sweeps, &Chain::new(self, self.options.seed, 0).draw());
        let is_such = |chain: &Draws| {
            chain.0.len() == self.options.n_sweeps
                && chain.0.iter().all(|draw| widths(chain.0.len(), draw) == own)
        };
        chains.len() == self.options.n_chains && chains.iter().all(is_such)
    }
}

fn widths(n_draws: usize, draw: &Draw) -> [usize; N_WIDTHS] {
    let Draw {
        ohm,
        own,
        condition,
        probability,
        at_ohm,
        loads,
        offsets,
        knobs,
        metal,
        finger,
        predicted,
        prevalence: _,
    } = draw;
    [
        n_draws,
        ohm.len(),
        own.len(),
        condition.len(),
        probability.len(),
        at_ohm.len(),
        loads.len(),
        offsets.len(),
        knobs.len(),
        metal.len(),
        finger.len(),
        predicted.len(),
    ]
}

fn rows<const N: usize>(values: &[f64]) -> Vec<[f64; N]> {
    values.as_chunks().0.to_vec()
}

#[cfg(test)]
mod tests {
    use crate::{Draws, JudgeOptions, OneThread, prepare, testjob};

    #[test]
    fn carried_draws_are_the_same_to_the_last_bit_and_half_of_them_are_none() {
        let job = testjob::eight_spaces();
        let problem = prepare(&job, &JudgeOptions { n_sweeps: 20, ..JudgeOptions::default() }, &OneThread)
            .expect("a panel");
        let chains: Vec<Draws> = (0..4).map(|number| problem.run_chain(number)).collect();
        let carried: Vec<Draws> =
            chains.iter().map(|chain| Draws::from_bytes(&chain.to_bytes()).expect("whole")).collect();
        assert_eq!(chains, carried);
        assert_ne!(chains[0], chains[1]);
        assert!(problem.has_such(&carried) && !problem.has_such(&carried[1..]));
        let bytes = chains[0].to_bytes();
        for n in [0, 7, 43, bytes.len() / 2, bytes.len() - 1] {
            assert_eq!(Draws::from_bytes(&bytes[..n]), None);
        }
    }
}
