//! Draws as bytes: a chain that was run elsewhere is carried to where the judgement is concluded, the same to the last bit.

use crate::problem::{N_KNOBS, Problem};
use crate::sampler::{Chain, Draw, Draws};

/// Lists of a draw.
const N_LISTS: usize = 12;

/// The draw as lists of numbers, in the order in which they are carried.
fn lists(draw: &Draw) -> [Vec<f64>; N_LISTS] {
    [
        draw.ohm.clone(),
        draw.own.clone(),
        draw.condition.iter().map(|&class| f64::from(class)).collect(),
        draw.probability.concat(),
        draw.at_ohm.concat(),
        draw.loads.clone(),
        draw.offsets.clone(),
        draw.knobs.concat(),
        draw.metal.clone(),
        draw.finger.iter().map(|&is_bad| f64::from(u8::from(is_bad))).collect(),
        draw.predicted.clone(),
        vec![draw.prevalence as f64],
    ]
}

fn of_lists(lists: [Vec<f64>; N_LISTS]) -> Draw {
    let [ohm, own, condition, probability, at_ohm, loads, offsets, knobs, metal, finger, predicted, level] =
        lists;
    Draw {
        ohm,
        own,
        condition: condition.into_iter().map(|class| class as u8).collect(),
        probability: rows(&probability),
        at_ohm: rows(&at_ohm),
        loads,
        offsets,
        knobs: rows::<N_KNOBS>(&knobs),
        metal,
        finger: finger.into_iter().map(|is_bad| 0.5 < is_bad).collect(),
        predicted,
        prevalence: level.first().map_or(0, |&level| level as usize),
    }
}

fn widths(draw: &Draw) -> [usize; N_LISTS] {
    lists(draw).map(|list| list.len())
}

fn rows<const N: usize>(values: &[f64]) -> Vec<[f64; N]> {
    values.as_chunks().0.to_vec()
}

impl Draws {
    /// The draws as bytes, for [`Draws::from_bytes`] of the same build of the program: no form to be stored. In the head stand the
    /// number of draws and the widths of their lists.
    pub fn to_bytes(&self) -> Vec<u8> {
        let mut bytes = Vec::new();
        let mut put_width = |width: usize| bytes.extend_from_slice(&(width as u32).to_le_bytes());
        put_width(self.0.len());
        self.0.first().map_or([0; N_LISTS], widths).into_iter().for_each(put_width);
        for value in self.0.iter().flat_map(lists).flatten() {
            bytes.extend_from_slice(&value.to_le_bytes());
        }
        bytes
    }

    /// The draws of bytes; `None` where the bytes are not whole.
    pub fn from_bytes(bytes: &[u8]) -> Option<Draws> {
        let (head, body) = bytes.split_at_checked(4 * (1 + N_LISTS))?;
        let (fours, _) = head.as_chunks();
        let mut head = fours.iter().map(|&four| u32::from_le_bytes(four) as usize);
        let n_draws = head.next()?;
        let widths: Vec<usize> = head.collect();
        let a_draw = widths.iter().try_fold(0_usize, |sum, &width| sum.checked_add(width))?;
        let is_whole = n_draws.checked_mul(a_draw)?.checked_mul(8)? == body.len();
        if !is_whole || a_draw == 0 && 0 < n_draws {
            return None;
        }
        let (eights, _) = body.as_chunks();
        let mut values = eights.iter().map(|&eight| f64::from_le_bytes(eight));
        let mut draw = || of_lists(std::array::from_fn(|at| values.by_ref().take(widths[at]).collect()));
        Some(Draws((0..n_draws).map(|_| draw()).collect()))
    }
}

impl Problem {
    /// Are these the chains of this problem, by their number and their widths?
    pub fn has_such(&self, chains: &[Draws]) -> bool {
        let own = widths(&Chain::new(self, self.options.seed, 0).draw());
        let is_such = |chain: &Draws| {
            chain.0.len() == self.options.n_sweeps && chain.0.iter().all(|draw| widths(draw) == own)
        };
        chains.len() == self.options.n_chains && chains.iter().all(is_such)
    }
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
