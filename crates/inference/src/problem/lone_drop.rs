//! Joints and poles that a drop shows together and no other drop tells apart.

use super::Problem;

impl Problem {
    /// Pairs what lies on the path of a drop and of no other, or of the same others: from a lug through a main breaker and one branch, each of
    /// them could be what loses so much.
    pub(super) fn pair_what_drops_leave_open(&mut self) {
        for drop in (0..self.obs.len()).filter(|&idx| self.obs[idx].is_drop()) {
            let path: Vec<usize> = self.obs[drop].weights.iter().map(|&(res, _)| res).collect();
            let joints = path.iter().filter(|&&res| res < self.joints.len());
            let pairs: Vec<(usize, usize)> = joints
                .flat_map(|&a| path.iter().map(move |&b| (a, b)))
                .filter(|&(a, b)| a < b && self.are_read_together(a, b))
                .filter(|&(a, b)| !self.pairs.contains(&(a, b)) && !self.pairs.contains(&(b, a)))
                .collect();
            self.pairs.extend(pairs);
        }
    }

    /// Does each drop that passes through one of them pass through the other, too?
    pub(crate) fn are_read_together(&self, a: usize, b: usize) -> bool {
        let passes = |drop: usize, res: usize| self.obs[drop].weights.iter().any(|&(at, _)| at == res);
        (0..self.obs.len())
            .filter(|&idx| self.obs[idx].is_drop())
            .all(|drop| passes(drop, a) == passes(drop, b))
    }
}
