//! A thermal network: nodes with heat capacity, links with nonlinear laws, implicit steps in time.
//!
//! Each step solves (C/Δt + G)·T = C/Δt·T_old + P by conjugate gradients, with G at the last iterate. All links
//! are symmetric, so heat is conserved by construction.

/// How heat passes between two nodes. Temperatures in °C, differences in K.
#[derive(Debug, Clone, Copy)]
pub(crate) enum Law {
    /// Conductance, W/K.
    Conduction(f64),
    /// Free convection: W/K at 1 K difference, growing with the fourth root.
    Convection(f64),
    /// Radiation: emissivity times area times view, m².
    Radiation(f64),
    /// Air layer `a` under `b`: W/K where `a` is the warmer (turns over), W/K where it is the cooler (lies still).
    Layers { turning: f64, still: f64 },
}

const STEFAN_BOLTZMANN: f64 = 5.670_374_419e-8;
const ICE_K: f64 = 273.15;

impl Law {
    /// Conductance at these temperatures, W/K.
    fn conductance(self, a_c: f64, b_c: f64) -> f64 {
        match self {
            Law::Conduction(g) => g,
            Law::Convection(g) => g * (a_c - b_c).abs().max(0.3).sqrt().sqrt(),
            Law::Radiation(area) => {
                let (a, b) = (a_c + ICE_K, b_c + ICE_K);
                STEFAN_BOLTZMANN * area * (a * a + b * b) * (a + b)
            }
            Law::Layers { turning, still } => {
                // A smooth change over half a kelvin keeps the iteration from flapping.
                let share = 1.0 / (1.0 + (-(a_c - b_c) / 0.5).exp());
                still + (turning - still) * share
            }
        }
    }
}

/// Index of a node.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct Node(pub(crate) usize);

#[derive(Debug, Clone, Copy)]
struct Link {
    a: usize,
    b: usize,
    law: Law,
    /// Places of (a,b) and (b,a) in the matrix.
    at: [usize; 2],
}

/// The network.
#[derive(Debug, Clone, Default)]
pub(crate) struct Network {
    capacity: Vec<f64>,
    links: Vec<Link>,
    start: Vec<usize>,
    column: Vec<usize>,
    value: Vec<f64>,
    diagonal: Vec<f64>,
}

/// Heat capacity of what does not change: room and wall, J/K.
const ENDLESS: f64 = 1e15;

impl Network {
    /// A node with a heat capacity, J/K.
    pub(crate) fn node(&mut self, capacity_j_k: f64) -> Node {
        self.capacity.push(capacity_j_k);
        Node(self.capacity.len() - 1)
    }

    /// A node that keeps its temperature.
    pub(crate) fn reservoir(&mut self) -> Node {
        self.node(ENDLESS)
    }

    /// Links two nodes; returns the index of the link.
    pub(crate) fn link(&mut self, a: Node, b: Node, law: Law) -> usize {
        self.links.push(Link { a: a.0, b: b.0, law, at: [0; 2] });
        self.links.len() - 1
    }

    /// Changes the law of a link, as when a cover comes off.
    pub(crate) fn relink(&mut self, link: usize, law: Law) {
        self.links[link].law = law;
    }

    pub(crate) fn n_nodes(&self) -> usize {
        self.capacity.len()
    }

    /// Lays out the sparse matrix. To be called once all links are made.
    pub(crate) fn lay_out(&mut self) {
        let n = self.n_nodes();
        let mut count = vec![0; n + 1];
        for link in &self.links {
            count[link.a + 1] += 1;
            count[link.b + 1] += 1;
        }
        for idx in 0..n {
            count[idx + 1] += count[idx];
        }
        self.start = count.clone();
        self.column = vec![0; 2 * self.links.len()];
        self.value = vec![0.0; 2 * self.links.len()];
        self.diagonal = vec![0.0; n];
        let mut next = count;
        for link in &mut self.links {
            for (side, (from, to)) in [(link.a, link.b), (link.b, link.a)].into_iter().enumerate() {
                link.at[side] = next[from];
                self.column[next[from]] = to;
                next[from] += 1;
            }
        }
    }

    /// Net heat out of each node through its links at these temperatures, W.
    #[cfg(test)]
    pub(crate) fn outflow(&self, temperature_c: &[f64]) -> Vec<f64> {
        let mut out = vec![0.0; self.n_nodes()];
        for link in &self.links {
            let (a, b) = (temperature_c[link.a], temperature_c[link.b]);
            let flow = link.law.conductance(a, b) * (a - b);
            out[link.a] += flow;
            out[link.b] -= flow;
        }
        out
    }

    /// One implicit step of `seconds` from `temperature_c`, with the heat (W) that `heat` gives at a temperature.
    pub(crate) fn step(
        &mut self,
        temperature_c: &mut [f64],
        seconds: f64,
        heat: impl Fn(&[f64]) -> Vec<f64>,
    ) {
        let old = temperature_c.to_vec();
        for _ in 0..MOST_ITERATIONS {
            let before = temperature_c.to_vec();
            self.assemble(&before, seconds);
            let power = heat(&before);
            let right: Vec<f64> =
                (0..old.len()).map(|idx| self.capacity[idx] / seconds * old[idx] + power[idx]).collect();
            self.solve(temperature_c, &right);
            let change =
                before.iter().zip(temperature_c.iter()).map(|(a, b)| (a - b).abs()).fold(0.0, f64::max);
            if change < STEP_TOLERANCE_K {
                break;
            }
        }
    }

    fn assemble(&mut self, at_c: &[f64], seconds: f64) {
        for (diagonal, capacity) in self.diagonal.iter_mut().zip(&self.capacity) {
            *diagonal = capacity / seconds;
        }
        for link in &self.links {
            let g = link.law.conductance(at_c[link.a], at_c[link.b]);
            self.diagonal[link.a] += g;
            self.diagonal[link.b] += g;
            self.value[link.at[0]] = -g;
            self.value[link.at[1]] = -g;
        }
    }

    fn times(&self, vector: &[f64], out: &mut [f64]) {
        for row in 0..vector.len() {
            let mut sum = self.diagonal[row] * vector[row];
            for at in self.start[row]..self.start[row + 1] {
                sum += self.value[at] * vector[self.column[at]];
            }
            out[row] = sum;
        }
    }

    /// Conjugate gradients, preconditioned by the diagonal, from the present temperatures.
    fn solve(&self, solution: &mut [f64], right: &[f64]) {
        let n = solution.len();
        let mut image = vec![0.0; n];
        self.times(solution, &mut image);
        let mut residual: Vec<f64> = right.iter().zip(&image).map(|(r, i)| r - i).collect();
        let mut scaled: Vec<f64> = residual.iter().zip(&self.diagonal).map(|(r, d)| r / d).collect();
        let mut direction = scaled.clone();
        let mut product = dot(&residual, &scaled);
        for _ in 0..MOST_GRADIENTS {
            // Largest correction a plain Jacobi sweep would still make, K.
            if scaled.iter().fold(0.0, |most: f64, value| most.max(value.abs())) < SOLVE_TOLERANCE_K {
                break;
            }
            self.times(&direction, &mut image);
            let length = product / dot(&direction, &image);
            for idx in 0..n {
                solution[idx] += length * direction[idx];
                residual[idx] -= length * image[idx];
                scaled[idx] = residual[idx] / self.diagonal[idx];
            }
            let next = dot(&residual, &scaled);
            let turn = next / product;
            product = next;
            for idx in 0..n {
                direction[idx] = scaled[idx] + turn * direction[idx];
            }
        }
    }
}

const MOST_ITERATIONS: usize = 5;
const MOST_GRADIENTS: usize = 600;
/// A step has settled when no node moves more than this in an iteration.
const STEP_TOLERANCE_K: f64 = 0.01;
const SOLVE_TOLERANCE_K: f64 = 1e-5;

fn dot(a: &[f64], b: &[f64]) -> f64 {
    a.iter().zip(b).map(|(x, y)| x * y).sum()
}

#[cfg(test)]
mod tests {
    use super::*;

    /// One node against a room: T(t) = P/G·(1 − e^(−t·G/C)), textbook.
    #[test]
    fn verif_one_node_warms_as_the_exponential_says() {
        let mut network = Network::default();
        let (body, room) = (network.node(125.0), network.reservoir());
        network.link(body, room, Law::Conduction(0.1));
        network.lay_out();
        let mut temperature = vec![20.0, 20.0];
        for _ in 0..1250 {
            network.step(&mut temperature, 1.0, |_| vec![2.0, 0.0]);
        }
        let exact = 20.0 + 20.0 * (1.0 - (-1.0f64).exp());
        // First order in the step: half a step's worth of slope.
        assert!((temperature[0] - exact).abs() < 0.5 * 2.0 / 125.0 * 1.05, "{} {exact}", temperature[0]);
    }

    /// In the steady state, all heat that goes in comes out at the reservoir.
    #[test]
    fn verif_heat_is_conserved_with_every_law() {
        let mut network = Network::default();
        let room = network.reservoir();
        let nodes: Vec<Node> = (0..6).map(|idx| network.node(5.0 + f64::from(idx))).collect();
        for pair in nodes.windows(2) {
            network.link(pair[0], pair[1], Law::Conduction(0.2));
            network.link(pair[0], pair[1], Law::Convection(0.05));
        }
        network.link(nodes[0], nodes[5], Law::Radiation(0.01));
        network.link(nodes[1], nodes[4], Law::Layers { turning: 1.0, still: 0.1 });
        network.link(nodes[3], room, Law::Convection(0.1));
        network.lay_out();
        let mut temperature = vec![21.0; network.n_nodes()];
        let heat = |_: &[f64]| vec![0.0, 1.5, 0.0, 0.7, 0.0, 0.0, 2.0];
        for _ in 0..60 {
            network.step(&mut temperature, 1e4, heat);
        }
        let out = network.outflow(&temperature);
        assert!((out[room.0] + 4.2).abs() < 1e-3, "{}", out[room.0]);
        for (idx, put_in) in heat(&temperature).iter().enumerate().skip(1) {
            assert!((out[idx] - put_in).abs() < 1e-3, "node {idx}: {} against {put_in}", out[idx]);
        }
    }
}
