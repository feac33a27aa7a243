//! A general thermal network: nodes, solid paths, surfaces, an enclosure, and its steady state by Newton's method.

use super::film::{film_conductance_w_k, film_heat_w, film_slope_fixed_air_w_k};
use super::ldl::Ldl;

/// Index of a node.
pub type NodeIdx = usize;

/// Why a network has no solution.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum SolveError {
    /// A part of the network is not tied to any fixed temperature.
    #[error("node `{0}` is not tied to the room through any path")]
    Floating(String),
    /// Newton's method did not settle: the heat put in is beyond what the model is made for.
    #[error("no steady state within {iterations} steps: {residual_w} W are still unbalanced")]
    Diverged {
        /// Steps taken.
        iterations: usize,
        /// Largest unbalanced heat, W.
        residual_w: f64,
    },
}

#[derive(Debug, Clone)]
struct Surface {
    node: NodeIdx,
    /// `None`: the room.
    air: Option<NodeIdx>,
    area_m2: f64,
    height_m: f64,
    emissivity: f64,
}

/// Power law of an enclosure: θ = k·P^0.804 between its air and the room (IEC TR 60890).
#[derive(Debug, Clone)]
struct Enclosure {
    air: NodeIdx,
    k: f64,
}

const ENCLOSURE_EXPONENT: f64 = 0.804;
/// Below this heat the enclosure law is continued by its chord, since its slope at zero has no bound.
const ENCLOSURE_CHORD_W: f64 = 0.05;

/// A thermal network.
#[derive(Debug, Clone)]
pub struct Network {
    names: Vec<String>,
    capacity_j_k: Vec<f64>,
    links: Vec<(NodeIdx, NodeIdx, f64)>,
    to_room: Vec<(NodeIdx, f64)>,
    surfaces: Vec<Surface>,
    enclosures: Vec<Enclosure>,
    ldl: Option<Ldl>,
    pairs: Vec<(NodeIdx, NodeIdx)>,
}

/// A steady state.
#[derive(Debug, Clone, PartialEq)]
pub struct Solution {
    /// Temperature of each node, K.
    pub temperature_k: Vec<f64>,
    /// Largest unbalanced heat at a node, W.
    pub residual_w: f64,
    /// Newton steps taken.
    pub iterations: usize,
}

/// How one node answers to heat put in elsewhere, around a solution.
#[derive(Debug, Clone, PartialEq)]
pub struct Response {
    /// dT(node)/dP(each node), K/W.
    pub k_per_w: Vec<f64>,
}

impl Default for Network {
    fn default() -> Self {
        Network::new()
    }
}

impl Network {
    /// An empty network.
    pub fn new() -> Self {
        Network {
            names: Vec::new(),
            capacity_j_k: Vec::new(),
            links: Vec::new(),
            to_room: Vec::new(),
            surfaces: Vec::new(),
            enclosures: Vec::new(),
            ldl: None,
            pairs: Vec::new(),
        }
    }

    /// Adds a node with its heat capacity, J/K.
    pub fn node(&mut self, name: impl Into<String>, capacity_j_k: f64) -> NodeIdx {
        self.names.push(name.into());
        self.capacity_j_k.push(capacity_j_k);
        self.ldl = None;
        self.names.len() - 1
    }

    /// Adds a solid path between two nodes, W/K; its number serves to change it.
    pub fn link(&mut self, a: NodeIdx, b: NodeIdx, conductance_w_k: f64) -> usize {
        self.links.push((a, b, conductance_w_k));
        self.ldl = None;
        self.links.len() - 1
    }

    /// Gives a solid path another conductance, W/K.
    pub fn set_link(&mut self, link: usize, conductance_w_k: f64) {
        self.links[link].2 = conductance_w_k;
    }

    /// Adds a fixed path from a node to the room, W/K.
    pub fn link_room(&mut self, node: NodeIdx, conductance_w_k: f64) {
        self.to_room.push((node, conductance_w_k));
    }

    /// Adds a surface of a node that gives heat to an air node, or to the room; its number serves to change it.
    pub fn surface(
        &mut self,
        node: NodeIdx,
        air: Option<NodeIdx>,
        area_m2: f64,
        height_m: f64,
        emissivity: f64,
    ) -> usize {
        self.surfaces.push(Surface { node, air, area_m2, height_m, emissivity });
        self.ldl = None;
        self.surfaces.len() - 1
    }

    /// Gives a surface another area, m².
    pub fn set_area(&mut self, surface: usize, area_m2: f64) {
        self.surfaces[surface].area_m2 = area_m2;
    }

    /// Ties an air node to the room by the enclosure law θ = k·P^0.804; its number serves to change it.
    pub fn enclosure(&mut self, air: NodeIdx, k: f64) -> usize {
        self.enclosures.push(Enclosure { air, k });
        self.enclosures.len() - 1
    }

    /// Gives an enclosure another factor of its law.
    pub fn set_enclosure(&mut self, enclosure: usize, k: f64) {
        self.enclosures[enclosure].k = k;
    }

    /// Works out now, not with the first solution, in which order the nodes are eliminated: clones made after this share it.
    pub fn analyse(&mut self) {
        if self.ldl.is_none() {
            self.pairs = self
                .links
                .iter()
                .map(|&(a, b, _)| (a, b))
                .chain(self.surfaces.iter().filter_map(|s| s.air.map(|air| (s.node, air))))
                .collect();
            self.ldl = Some(Ldl::new(self.n_nodes(), &self.pairs));
        }
    }

    /// Number of nodes.
    pub fn n_nodes(&self) -> usize {
        self.names.len()
    }

    /// Name of a node.
    pub fn name(&self, node: NodeIdx) -> &str {
        &self.names[node]
    }

    /// Heat capacity of each node, J/K.
    pub fn capacities_j_k(&self) -> &[f64] {
        &self.capacity_j_k
    }

    /// Heat leaving each node along paths and surfaces at these temperatures, minus heat coming in, W.
    pub fn outflow_w(&self, temperature_k: &[f64], room_k: f64, out: &mut [f64]) {
        out.fill(0.0);
        for &(a, b, g) in &self.links {
            let flow = g * (temperature_k[a] - temperature_k[b]);
            out[a] += flow;
            out[b] -= flow;
        }
        for &(node, g) in &self.to_room {
            out[node] += g * (temperature_k[node] - room_k);
        }
        for s in &self.surfaces {
            let air_k = s.air.map_or(room_k, |air| temperature_k[air]);
            let flow = film_heat_w(s.area_m2, s.height_m, s.emissivity, temperature_k[s.node], air_k);
            out[s.node] += flow;
            if let Some(air) = s.air {
                out[air] -= flow;
            }
        }
        for e in &self.enclosures {
            out[e.air] += enclosure_flow(e.k, temperature_k[e.air] - room_k).0;
        }
    }

    /// Steady state with this heat put into each node and this room temperature. `start_k` is a first guess.
    ///
    /// # Errors
    /// [`SolveError`] where a part floats or the heat is beyond the model.
    pub fn solve(
        &mut self,
        heat_w: &[f64],
        room_k: f64,
        start_k: Option<&[f64]>,
    ) -> Result<Solution, SolveError> {
        self.solve_within(heat_w, room_k, start_k, 1e-12)
    }

    /// As [`Network::solve`], balanced at each node to this part of one watt and all the heat together.
    ///
    /// # Errors
    /// As [`Network::solve`].
    pub fn solve_within(
        &mut self,
        heat_w: &[f64],
        room_k: f64,
        start_k: Option<&[f64]>,
        tolerance: f64,
    ) -> Result<Solution, SolveError> {
        const MAX_STEPS: usize = 60;
        let n = self.n_nodes();
        let mut temperature_k = start_k.map_or_else(|| vec![room_k + 5.0; n], <[f64]>::to_vec);
        let mut out = vec![0.0; n];
        let mut residual_w = f64::INFINITY;
        let total_w: f64 = heat_w.iter().map(|w| libm::fabs(*w)).sum();
        let tolerance_w = tolerance * (1.0 + total_w);
        for iterations in 0..MAX_STEPS {
            self.outflow_w(&temperature_k, room_k, &mut out);
            for (o, heat) in out.iter_mut().zip(heat_w) {
                *o = heat - *o;
            }
            residual_w = out.iter().fold(0.0, |worst: f64, r| worst.max(libm::fabs(*r)));
            if residual_w <= tolerance_w {
                return Ok(Solution { temperature_k, residual_w, iterations });
            }
            if !residual_w.is_finite() {
                break;
            }
            self.factor_at(&temperature_k, room_k)?;
            self.ldl_mut().solve(&mut out);
            // A step longer than 60 K only happens far from the solution; shorten it.
            let longest = out.iter().fold(0.0, |worst: f64, r| worst.max(libm::fabs(*r)));
            let scale = if longest > 60.0 { 60.0 / longest } else { 1.0 };
            for (t, step) in temperature_k.iter_mut().zip(&out) {
                *t += scale * step;
            }
        }
        // Rounding may keep the residual just above the tolerance; accept what is balanced to 1e-10 of the heat.
        if residual_w <= 1e-10 * (1.0 + total_w) {
            return Ok(Solution { temperature_k, residual_w, iterations: MAX_STEPS });
        }
        Err(SolveError::Diverged { iterations: MAX_STEPS, residual_w })
    }

    /// Responses of the given nodes to heat put in anywhere, around a solution.
    ///
    /// # Errors
    /// [`SolveError::Floating`] where a part of the network floats.
    pub fn responses(
        &mut self,
        at: &Solution,
        room_k: f64,
        nodes: &[NodeIdx],
    ) -> Result<Vec<Response>, SolveError> {
        self.factor_at(&at.temperature_k, room_k)?;
        let n = self.n_nodes();
        let ldl = self.ldl_mut();
        Ok(nodes
            .iter()
            .map(|&node| {
                // The matrix is symmetric, so one solve per observed node gives its whole row.
                let mut row = vec![0.0; n];
                row[node] = 1.0;
                ldl.solve(&mut row);
                Response { k_per_w: row }
            })
            .collect())
    }

    fn ldl_mut(&mut self) -> &mut Ldl {
        self.ldl.as_mut().expect("factor_at ran before and leaves a factorisation")
    }

    fn factor_at(&mut self, temperature_k: &[f64], room_k: f64) -> Result<(), SolveError> {
        self.factor_with(temperature_k, room_k, &[])
    }

    /// Solves with the last factorisation, in place.
    pub(super) fn solve_factored(&mut self, values: &mut [f64]) {
        self.ldl_mut().solve(values);
    }

    /// Factorises the slopes at these temperatures with `more` added on the diagonal, W/K.
    pub(super) fn factor_with(
        &mut self,
        temperature_k: &[f64],
        room_k: f64,
        more: &[f64],
    ) -> Result<(), SolveError> {
        let n = self.n_nodes();
        self.analyse();
        let mut diagonal = vec![0.0; n];
        diagonal[..more.len()].copy_from_slice(more);
        let mut off = Vec::with_capacity(self.pairs.len());
        for &(a, b, g) in &self.links {
            diagonal[a] += g;
            diagonal[b] += g;
            off.push(-g);
        }
        for &(node, g) in &self.to_room {
            diagonal[node] += g;
        }
        for s in &self.surfaces {
            let surface_k = temperature_k[s.node];
            match s.air {
                Some(air) => {
                    let air_k = temperature_k[air];
                    let g = film_conductance_w_k(s.area_m2, s.height_m, s.emissivity, surface_k, air_k);
                    diagonal[s.node] += g;
                    diagonal[air] += g;
                    off.push(-g);
                }
                None => {
                    diagonal[s.node] +=
                        film_slope_fixed_air_w_k(s.area_m2, s.height_m, s.emissivity, surface_k, room_k);
                }
            }
        }
        for e in &self.enclosures {
            diagonal[e.air] += enclosure_flow(e.k, temperature_k[e.air] - room_k).1;
        }
        let names = &self.names;
        self.ldl
            .as_mut()
            .expect("made above")
            .factor(&diagonal, &off)
            .map_err(|error| SolveError::Floating(names[error.row].clone()))
    }
}

/// Heat through the enclosure and its slope at an air rise, W and W/K.
fn enclosure_flow(k: f64, theta: f64) -> (f64, f64) {
    let chord_theta = k * libm::pow(ENCLOSURE_CHORD_W, ENCLOSURE_EXPONENT);
    if libm::fabs(theta) <= chord_theta {
        let slope = ENCLOSURE_CHORD_W / chord_theta;
        return (slope * theta, slope);
    }
    let magnitude = libm::pow(libm::fabs(theta) / k, 1.0 / ENCLOSURE_EXPONENT);
    let slope = magnitude / (ENCLOSURE_EXPONENT * libm::fabs(theta));
    (libm::copysign(magnitude, theta), slope)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn chain() -> Network {
        let mut net = Network::new();
        let air = net.node("air", 100.0);
        net.enclosure(air, 1.3);
        let mut last = None;
        for idx in 0..8 {
            let body = net.node(format!("body {idx}"), 120.0);
            net.surface(body, Some(air), 5e-3, 0.07, 0.9);
            net.surface(body, None, 1.2e-3, 0.06, 0.92);
            if let Some(last) = last {
                net.link(last, body, 0.1);
            }
            last = Some(body);
        }
        net
    }

    #[test]
    fn steady_state_balances_and_cools_outward() {
        let mut net = chain();
        let mut heat = vec![0.0; net.n_nodes()];
        heat[1] = 6.0;
        heat[4] = 2.0;
        let solution = net.solve(&heat, 295.0, None).expect("a steady state");
        let mut out = vec![0.0; net.n_nodes()];
        net.outflow_w(&solution.temperature_k, 295.0, &mut out);
        for (o, h) in out.iter().zip(&heat) {
            assert!((o - h).abs() < 1e-9, "{o} {h}");
        }
        assert!(solution.temperature_k.windows(2).skip(1).take(2).all(|pair| pair[0] > pair[1]));
        assert!(solution.temperature_k.iter().all(|t| *t > 295.0));
    }

    #[test]
    fn response_agrees_with_a_difference() {
        let mut net = chain();
        let mut heat = vec![0.0; net.n_nodes()];
        heat[2] = 5.0;
        let base = net.solve(&heat, 295.0, None).expect("a steady state");
        let response = net.responses(&base, 295.0, &[3]).expect("tied to the room").remove(0);
        heat[2] += 1e-3;
        let more = net.solve(&heat, 295.0, None).expect("a steady state");
        let quotient = (more.temperature_k[3] - base.temperature_k[3]) / 1e-3;
        // Keeping the matrix symmetric leaves out how radiation between two nodes depends on their mean: 4 % at this rise of 50 K.
        assert!((quotient / response.k_per_w[2] - 1.0).abs() < 0.05, "{quotient} {}", response.k_per_w[2]);
    }

    #[test]
    fn no_heat_means_room_temperature() {
        let mut net = chain();
        let heat = vec![0.0; net.n_nodes()];
        let solution = net.solve(&heat, 288.15, None).expect("a steady state");
        assert!(solution.temperature_k.iter().all(|t| (t - 288.15).abs() < 1e-6));
    }
}
