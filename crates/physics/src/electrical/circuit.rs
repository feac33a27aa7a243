//! Any network of phasors, solved by its loops.
//!
//! A dwelling's wiring is a tree but for its loads. Of all trees the one of least impedance is taken; every branch
//! beside it closes one loop, and the loop currents are the unknowns. So the currents at every node sum to zero
//! exactly, whatever the rounding, and the drop over a joint of microohms is its current times its impedance and not
//! the difference of two near voltages.

use nalgebra::{Complex, DMatrix, DVector};
use std::collections::VecDeque;

/// A node; [`Circuit::REFERENCE`] has voltage zero.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct NodeIdx(usize);

/// A branch.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct BranchIdx(usize);

impl BranchIdx {
    /// Is this the branch with this index in an error?
    pub(super) fn is(self, branch: usize) -> bool {
        self.0 == branch
    }
}

/// What connects two nodes. Currents count from the first to the second.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Branch {
    /// Impedance, Ω, with a source voltage in it that drives current from the first node to the second.
    Impedance {
        /// Impedance, Ω; zero is allowed.
        ohm: Complex<f64>,
        /// Source voltage, V rms.
        emf_v: Complex<f64>,
    },
    /// A given current, A rms.
    Current(Complex<f64>),
}

/// Why a circuit has no solution.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
pub enum CircuitError {
    /// A value that is no number, or a negative resistance.
    #[error("branch {branch} has an impedance or current that no passive branch has")]
    BadValue {
        /// Index of the branch.
        branch: usize,
    },
    /// A given current whose two ends are not connected otherwise.
    #[error("branch {branch} asks for a current, but nothing else connects its ends")]
    CurrentWithoutPath {
        /// Index of the branch.
        branch: usize,
    },
    /// A loop without impedance.
    #[error("a loop of the circuit has no impedance, so its current is not determined")]
    NoImpedance,
}

/// A network of branches between nodes.
#[derive(Debug, Clone, Default)]
pub struct Circuit {
    n_nodes: usize,
    branches: Vec<(usize, usize, Branch)>,
}

impl Circuit {
    /// The node of voltage zero.
    pub const REFERENCE: NodeIdx = NodeIdx(0);

    /// A circuit with nothing but the reference node.
    pub fn new() -> Self {
        Circuit { n_nodes: 1, branches: Vec::new() }
    }

    /// Adds a node.
    pub fn node(&mut self) -> NodeIdx {
        self.n_nodes += 1;
        NodeIdx(self.n_nodes - 1)
    }

    /// Adds a branch.
    pub fn connect(&mut self, from: NodeIdx, to: NodeIdx, branch: Branch) -> BranchIdx {
        self.branches.push((from.0, to.0, branch));
        BranchIdx(self.branches.len() - 1)
    }

    /// Sets the current of a branch that was added with a given current.
    pub fn set_current(&mut self, branch: BranchIdx, current: Complex<f64>) {
        self.branches[branch.0].2 = Branch::Current(current);
    }

    /// Number of nodes, the reference included.
    pub fn n_nodes(&self) -> usize {
        self.n_nodes
    }

    /// Number of branches.
    pub fn n_branches(&self) -> usize {
        self.branches.len()
    }

    /// Solves for all currents and voltages.
    pub fn solve(&self) -> Result<CircuitSolution, CircuitError> {
        self.check()?;
        let tree = Tree::of(self)?;
        let loops = tree.loops(self);
        let currents = self.loop_currents(&loops)?;
        let mut branch_a = vec![Complex::new(0.0, 0.0); self.branches.len()];
        for (ring, current) in loops.iter().zip(&currents) {
            for &(branch, sign) in &ring.branches {
                branch_a[branch] += current * sign;
            }
        }
        let voltages = tree.voltages(self, &branch_a);
        Ok(CircuitSolution { circuit: self.clone(), branch_a, voltages })
    }

    fn check(&self) -> Result<(), CircuitError> {
        for (branch, &(_, _, what)) in self.branches.iter().enumerate() {
            let finite = |value: Complex<f64>| value.re.is_finite() && value.im.is_finite();
            let good = match what {
                Branch::Impedance { ohm, emf_v } => finite(ohm) && finite(emf_v) && 0.0 <= ohm.re,
                Branch::Current(current) => finite(current),
            };
            if !good {
                return Err(CircuitError::BadValue { branch });
            }
        }
        Ok(())
    }

    /// Solves `Z·I = E` over the loops whose current is not given.
    fn loop_currents(&self, loops: &[Loop]) -> Result<Vec<Complex<f64>>, CircuitError> {
        let mut currents: Vec<Complex<f64>> =
            loops.iter().map(|ring| ring.given.unwrap_or_default()).collect();
        let unknown: Vec<usize> = (0..loops.len()).filter(|&idx| loops[idx].given.is_none()).collect();
        let mut column = vec![None; loops.len()];
        unknown.iter().enumerate().for_each(|(at, &idx)| column[idx] = Some(at));

        let mut through: Vec<Vec<(usize, f64)>> = vec![Vec::new(); self.branches.len()];
        for (idx, ring) in loops.iter().enumerate() {
            ring.branches.iter().for_each(|&(branch, sign)| through[branch].push((idx, sign)));
        }
        let mut z = DMatrix::<Complex<f64>>::zeros(unknown.len(), unknown.len());
        let mut e = DVector::<Complex<f64>>::zeros(unknown.len());
        for (users, &(_, _, what)) in through.iter().zip(&self.branches) {
            let Branch::Impedance { ohm, emf_v } = what else { continue };
            for &(one, sign) in users {
                let Some(row) = column[one] else { continue };
                e[row] += emf_v * sign;
                for &(other, other_sign) in users {
                    let shared = ohm * (sign * other_sign);
                    match column[other] {
                        Some(at) => z[(row, at)] += shared,
                        None => e[row] -= shared * currents[other],
                    }
                }
            }
        }
        if !unknown.is_empty() {
            let solved = z.lu().solve(&e).ok_or(CircuitError::NoImpedance)?;
            if solved.iter().any(|value| !value.re.is_finite() || !value.im.is_finite()) {
                return Err(CircuitError::NoImpedance);
            }
            unknown.iter().zip(solved.iter()).for_each(|(&idx, &value)| currents[idx] = value);
        }
        Ok(currents)
    }
}

/// A loop: the branch that closes it, then the way back through the tree, with signs.
struct Loop {
    branches: Vec<(usize, f64)>,
    given: Option<Complex<f64>>,
}

/// A spanning tree (a forest, where parts of the circuit hang apart).
struct Tree {
    chords: Vec<usize>,
    /// Per node: branch to the parent, parent, depth. `None` at a root.
    up: Vec<Option<(usize, usize)>>,
    depth: Vec<usize>,
    order: Vec<usize>,
}

impl Tree {
    fn of(circuit: &Circuit) -> Result<Self, CircuitError> {
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

    fn loops(&self, circuit: &Circuit) -> Vec<Loop> {
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
    fn voltages(&self, circuit: &Circuit, branch_a: &[Complex<f64>]) -> Vec<Option<Complex<f64>>> {
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

/// Currents and voltages of a solved circuit.
#[derive(Debug, Clone)]
pub struct CircuitSolution {
    circuit: Circuit,
    branch_a: Vec<Complex<f64>>,
    voltages: Vec<Option<Complex<f64>>>,
}

impl CircuitSolution {
    /// Voltage of a node against the reference, V rms; `None` where nothing connects it to the reference.
    pub fn voltage(&self, node: NodeIdx) -> Option<Complex<f64>> {
        self.voltages[node.0]
    }

    /// Current of a branch from its first node to its second, A rms.
    pub fn current(&self, branch: BranchIdx) -> Complex<f64> {
        self.branch_a[branch.0]
    }

    /// Voltage over a branch from its first node to its second, V rms. For a given current this is the difference of
    /// the node voltages, `None` where they are not known.
    pub fn drop(&self, branch: BranchIdx) -> Option<Complex<f64>> {
        let (from, to, what) = self.circuit.branches[branch.0];
        match what {
            Branch::Impedance { ohm, emf_v } => Some(ohm * self.branch_a[branch.0] - emf_v),
            Branch::Current(_) => Some(self.voltages[from]? - self.voltages[to]?),
        }
    }

    /// Active power turned to heat or work in a branch, W.
    pub fn consumed_w(&self, branch: BranchIdx) -> f64 {
        let current = self.branch_a[branch.0];
        match self.circuit.branches[branch.0].2 {
            Branch::Impedance { ohm, .. } => ohm.re * (current.re * current.re + current.im * current.im),
            Branch::Current(_) => self.drop(branch).map_or(0.0, |v| v.re * current.re + v.im * current.im),
        }
    }

    /// Active power that the source in a branch gives, W.
    pub fn supplied_w(&self, branch: BranchIdx) -> f64 {
        let current = self.branch_a[branch.0];
        match self.circuit.branches[branch.0].2 {
            Branch::Impedance { emf_v, .. } => emf_v.re * current.re + emf_v.im * current.im,
            Branch::Current(_) => 0.0,
        }
    }

    /// Active power that all sources give and that all branches consume, W. They agree but for rounding.
    pub fn balance_w(&self) -> (f64, f64) {
        let all = || (0..self.circuit.n_branches()).map(BranchIdx);
        (all().map(|branch| self.supplied_w(branch)).sum(), all().map(|branch| self.consumed_w(branch)).sum())
    }
}

#[cfg(test)]
mod tests;
