//! Any network of phasors, solved by its loops.
//!
//! A dwelling's wiring is a tree but for its loads. Of all trees the one of least impedance is taken; every branch
//! beside it closes one loop, and the loop currents are the unknowns. So the currents at every node sum to zero
//! exactly, whatever the rounding, and the drop over a joint of microohms is its current times its impedance and not
//! the difference of two near voltages.

mod tree;

use nalgebra::{Complex, DMatrix, DVector};
use tree::{Loop, Tree};

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
