//! The spanning tree of least impedance, the loops beside it, and the voltages along it.

use super::{Branch, Circuit, CircuitError};
use nalgebra::Complex;
use std::collections::VecDeque;

/// A loop: the branch that closes it, then the way back through the tree, with signs.
pub(super) struct Loop {
    /// Branches with the sign of the loop's direction in them.
    pub(super) branches: Vec<(usize, f64)>,
    /// Its current, where the closing branch has a given one.
    pub(super) given: Option<Complex<f64>>,
}

/// A spanning tree (a forest, where parts of the circuit hang apart).
pub(super) struct Tree {
    chords: Vec<usize>,
    /// Per node: branch to the parent, parent, depth. `None` at a root.
    up: Vec<Option<(usize, usize)>>,
    depth: Vec<usize>,
    order: Vec<usize>,
}

impl Tree {
    pub(super) fn of(circuit: &Circuit) -> Result<Self, CircuitError> {
        let size = |branch: usize| match circuit.branches[branch].2 {
            Branch::Impedance { ohm, .. } => ohm.re * ohm.re + ohm.im * ohm.im,
            Branch::Current(_) => f64::INFINITY,
        };
        let mut by_size: Vec<usize> = (0..circuit.branches.len()).collect();
        by_size.sort_by(|&one, &other| size(one).total_cmp(&size(other)).then(one.cmp(&other)));

        let mut root: Vec<usize> = (0..circuit.n_nodes).collect();
        let mut links: Vec<Vec<(usize, usize)>> = vec![Vec::new(); circuit.n_nodes];
        let mut chords = Vec::new();
        for branch in by_size {
            let (from, to, what) = circuit.branches[branch];
            let (one, other) = (find(&mut root, from), find(&mut root, to));
            if one == other {
                chords.push(branch);
            } else if matches!(what, Branch::Current(current) if current != Complex::new(0.0, 0.0)) {
                return Err(CircuitError::CurrentWithoutPath { branch });
            } else if !matches!(what, Branch::Current(_)) {
                root[one.max(other)] = one.min(other);
                links[from].push((branch, to));
                links[to].push((branch, from));
            }
        }
        chords.sort_unstable();
        let mut tree = Tree {
            chords,
            up: vec![None; circuit.n_nodes],
            depth: vec![usize::MAX; circuit.n_nodes],
            order: Vec::new(),
        };
        for start in 0..circuit.n_nodes {
            if tree.depth[start] == usize::MAX {
                tree.hang(start, &links);
            }
        }
        Ok(tree)
    }

    fn hang(&mut self, start: usize, links: &[Vec<(usize, usize)>]) {
        let mut waiting = VecDeque::from([start]);
        self.depth[start] = 0;
        while let Some(node) = waiting.pop_front() {
            self.order.push(node);
            for &(branch, next) in &links[node] {
                if self.depth[next] == usize::MAX {
                    self.depth[next] = self.depth[node] + 1;
                    self.up[next] = Some((branch, node));
                    waiting.push_back(next);
                }
            }
        }
    }

    pub(super) fn loops(&self, circuit: &Circuit) -> Vec<Loop> {
        self.chords
            .iter()
            .map(|&chord| {
                let (from, to, what) = circuit.branches[chord];
                let mut branches = vec![(chord, 1.0)];
                // Back from the chord's end to its start: up from both ends to where they meet.
                let (mut ahead, mut behind) = (to, from);
                while ahead != behind {
                    let lower_is_ahead = self.depth[behind] <= self.depth[ahead];
                    let node = if lower_is_ahead { ahead } else { behind };
                    let (branch, parent) = self.up[node].expect("a chord joins nodes of one tree");
                    let upward = if circuit.branches[branch].0 == node { 1.0 } else { -1.0 };
                    branches.push((branch, if lower_is_ahead { upward } else { -upward }));
                    if lower_is_ahead { ahead = parent } else { behind = parent }
                }
                let given = match what {
                    Branch::Current(current) => Some(current),
                    Branch::Impedance { .. } => None,
                };
                Loop { branches, given }
            })
            .collect()
    }

    /// Voltages against the reference; `None` for nodes that hang apart from it.
    pub(super) fn voltages(&self, circuit: &Circuit, branch_a: &[Complex<f64>]) -> Vec<Option<Complex<f64>>> {
        let mut voltages = vec![None; circuit.n_nodes];
        voltages[0] = Some(Complex::new(0.0, 0.0));
        for &node in &self.order {
            let Some((branch, parent)) = self.up[node] else { continue };
            let (from, _, what) = circuit.branches[branch];
            let Branch::Impedance { ohm, emf_v } = what else { continue };
            let drop = ohm * branch_a[branch] - emf_v;
            voltages[node] =
                voltages[parent].map(|v: Complex<f64>| if from == node { v + drop } else { v - drop });
        }
        voltages
    }
}

fn find(root: &mut [usize], mut node: usize) -> usize {
    while root[node] != node {
        root[node] = root[root[node]];
        node = root[node];
    }
    node
}
