//! State of a chain, its sweep, and the draws it keeps.

use super::block::{Block, Order};
use super::categorical::Showing;
use super::doubt::{Doubted, by_drops, by_temperatures, by_voltages};
use super::exchange::{Exchange, exchanges};
use super::frame::{Frame, frames};
use super::grid::{ConditionGrid, Grid, LoadGrid};
use super::house::unclamped;
use super::knobs;
use super::levels::Levels;
use super::pairs::{Shared, read_pairs};
use super::slide::{Slide, slides};
use super::stand::Stand;
use super::sums::slope_and_curvature;
use crate::problem::{CLASSES, Law, LoadLaw, Mode, N_KNOBS, Obs, PoleLaw, Problem, ResKind};
use crate::rng::Stream;
use crate::warm::Standing;

/// One kept draw.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Draw {
    pub(crate) ohm: Vec<f64>,
    /// Logarithm of how much more each pole has than its factors say.
    pub(crate) own: Vec<f64>,
    /// Class of each joint.
    pub(crate) condition: Vec<u8>,
    /// Conditional probability of sound, worn and burnt at this draw, the resistance averaged where that is steadier.
    pub(crate) probability: Vec<[f64; 3]>,
    /// Conditional probability of each condition at the resistances of this draw: what may be weighted by a function of them.
    pub(crate) at_ohm: Vec<[f64; 3]>,
    pub(crate) loads: Vec<f64>,
    pub(crate) offsets: Vec<f64>,
    pub(crate) knobs: Vec<[f64; N_KNOBS]>,
    /// Logarithm of how much more than the network says each piece of metal answers to its own heat.
    pub(crate) metal: Vec<f64>,
    pub(crate) finger: Vec<bool>,
    /// Damage level of the panels.
    pub(crate) prevalence: usize,
    /// Linearised prediction of each observation.
    pub(crate) predicted: Vec<f64>,
}

/// Sound, worn and burnt from the classes of the sampler.
fn three([sound, worn, mild, severe]: [f64; CLASSES]) -> [f64; 3] {
    [sound, worn, mild + severe]
}

/// Draws of one chain.
#[derive(Debug, Clone, PartialEq)]
pub struct Draws(pub(crate) Vec<Draw>);

impl Draws {
    /// Mean resistances and loads, for linearising.
    pub(crate) fn means(&self) -> (Vec<f64>, Vec<f64>) {
        let n = self.0.len().max(1) as f64;
        let mean = |pick: fn(&Draw) -> &Vec<f64>| -> Vec<f64> {
            let width = self.0.first().map_or(0, |draw| pick(draw).len());
            (0..width).map(|at| self.0.iter().map(|draw| pick(draw)[at]).sum::<f64>() / n).collect()
        };
        (mean(|draw| &draw.ohm), mean(|draw| &draw.loads))
    }
}

/// Sweeps after which everything derived is made anew, so that rounding never builds up.
const REFRESH_EVERY: usize = 25;

/// Sweeps after which pairs, loads and knobs are drawn. They are dear to move and move well: drawn at every sweep they made no
/// probability more exact in 16 simulated panels, only later.
const PAIRS_EVERY: usize = 2;
const LOADS_EVERY: usize = 2;
const KNOBS_EVERY: usize = 6;

/// Tables of the electrical observations, by resistance then observation: weights that go with the state's current, and
/// weights times a current clamped together with the reading.
fn path_tables(p: &Problem) -> (Vec<f64>, Vec<f64>) {
    let n_obs = p.obs.len();
    let (mut weight, mut own) = (vec![0.0; p.res.len() * n_obs], vec![0.0; p.res.len() * n_obs]);
    for (idx, obs) in p.obs.iter().enumerate() {
        for &(res, part) in &obs.weights {
            match obs.own_current.iter().find(|&&(at, _)| at == res) {
                Some(&(_, current)) => own[res * n_obs + idx] += part * current,
                None => weight[res * n_obs + idx] += part,
            }
        }
    }
    (weight, own)
}

/// Tables of the thermal slopes, by resistance then observation: as assumed, then the change with each knob.
fn slope_tables(p: &Problem) -> [Vec<f64>; N_KNOBS + 1] {
    let n_obs = p.obs.len();
    let mut tables = [const { Vec::new() }; N_KNOBS + 1];
    for (knob, table) in tables.iter_mut().enumerate() {
        table.resize(p.res.len() * n_obs, 0.0);
        for (idx, linear) in p.linear.iter().enumerate() {
            for (res, per_watt) in linear.slope.iter().enumerate() {
                table[res * n_obs + idx] = per_watt[knob];
            }
        }
    }
    tables
}

/// Factors of each resistance.
fn factors_of(p: &Problem) -> Vec<Vec<usize>> {
    let mut of = vec![Vec::new(); p.res.len()];
    for (idx, factor) in p.factors.iter().enumerate() {
        for &pole in &factor.poles {
            of[pole].push(idx);
        }
    }
    of
}

/// Poles of each factor that no millivolt reading ties down.
fn loose_poles(p: &Problem) -> Vec<Vec<usize>> {
    let tied = |res: usize| {
        p.obs.iter().any(|obs| obs.mode == Mode::Electrical && obs.weights.iter().any(|&(at, _)| at == res))
    };
    p.factors
        .iter()
        .map(|factor| factor.poles.iter().copied().filter(|&pole| !tied(pole)).collect())
        .collect()
}

/// A running chain.
pub(crate) struct Chain<'p> {
    pub(super) p: &'p Problem,
    pub(super) rng: Stream,
    pub(super) grids: Vec<ConditionGrid>,
    pub(super) grid_of: Vec<usize>,
    pub(super) load_grids: [LoadGrid; 2],
    pub(super) knob_grids: [Grid; N_KNOBS],
    pub(super) n_obs: usize,
    pub(super) ln_ohm: Vec<f64>,
    pub(super) ohm: Vec<f64>,
    pub(super) condition: Vec<u8>,
    /// Density of each class's law at the present resistance.
    pub(super) density: Vec<[f64; CLASSES]>,
    pub(super) probability: Vec<[f64; CLASSES]>,
    pub(super) loads: Vec<f64>,
    pub(super) offsets: Vec<f64>,
    pub(super) knobs: Vec<[f64; N_KNOBS]>,
    /// Logarithm of how much more than the network says each piece of metal answers to its own heat; in the slopes below.
    pub(super) metal: Vec<f64>,
    /// Value of each factor that poles share.
    pub(super) factors: Vec<f64>,
    /// Poles with bad contacts of their own, as drawn before the factors were.
    pub(super) is_bad: Vec<bool>,
    /// Factors of each pole.
    pub(super) factors_of: Vec<Vec<usize>>,
    /// Poles of each factor that no millivolt reading ties down.
    pub(super) loose: Vec<Vec<usize>>,
    /// Joints over which millivolts were read.
    pub(super) by_drops: Vec<Doubted>,
    /// Joints and supply paths that voltages tell of.
    pub(super) by_voltages: Vec<Doubted>,
    /// Joints of whose own metal a temperature was read.
    pub(super) by_temperatures: Vec<Doubted>,
    /// Loads that nobody clamped, by state.
    pub(super) unclamped: Vec<Vec<usize>>,
    /// Density of each of them at its present current, idle and busy.
    pub(super) load_density: Vec<[f64; 2]>,
    /// Loads under the clamp of a leg with what they take from one another.
    pub(super) exchanges: Vec<Exchange>,
    /// Supply paths with the loads they slide against.
    pub(super) slides: Vec<Slide>,
    /// Joints under a drop with the poles that go up or down together.
    pub(super) frames: Vec<Frame>,
    /// Largest current over the states through each joint, A; zero for the supply, whose voltage is not bounded.
    pub(super) largest: Vec<f64>,
    /// Damage levels and fingers, integrated out.
    pub(super) levels: Levels,
    pub(super) prevalence: usize,
    pub(super) finger: Vec<bool>,
    /// `current[state][res]`.
    pub(super) current: Vec<Vec<f64>>,
    /// Thermal slope as assumed, then its change with each knob, by resistance then observation.
    pub(super) per_watt: [Vec<f64>; N_KNOBS + 1],
    /// The same at the present knobs.
    pub(super) slope: Vec<f64>,
    /// dPrediction/dR, by resistance then observation.
    pub(super) coef: Vec<f64>,
    /// Weight of a resistance in an electrical observation, by resistance then observation.
    pub(super) path_weight: Vec<f64>,
    /// The same where the current was clamped together with the reading: weight times that current.
    pub(super) own_coef: Vec<f64>,
    pub(super) value: Vec<f64>,
    pub(super) predicted: Vec<f64>,
    /// Precision of each observation; zero where it tells nothing in this draw.
    pub(super) weight: Vec<f64>,
    /// Chance that no joint shows the sign.
    pub(super) quiet: Vec<f64>,
    pub(super) terms_of: Vec<Vec<Showing>>,
    /// Signs that both joints of a pair bear on, pair by pair.
    pub(super) shared: Vec<Shared>,
    /// Pairs that one drop was read over.
    pub(super) read_pairs: Vec<usize>,
    /// Resistances each load flows through, with sign.
    pub(super) carried_by: Vec<Vec<(usize, f64)>>,
    /// Observations that depend on the loads of a state, now or by its history.
    pub(super) obs_of_state: Vec<Vec<usize>>,
    /// By state, then by resistance and observation: part of the steady answer that the state gives by the history.
    pub(super) share: Vec<Vec<f64>>,
    /// By state, then by resistance and observation of the state: thermal slope at the present knobs times that part.
    pub(super) reach: Vec<Vec<f64>>,
    /// By state, then by resistance: places among the observations of the state of those whose voltage it is part of, with
    /// its weight.
    pub(super) path: Vec<Vec<Vec<(usize, f64)>>>,
    /// Squared current as a thermal observation feels it, by resistance then observation, A²; made anew for the knobs.
    pub(super) square: Vec<f64>,
    /// Precision of each heavy-tailed offset, times its squared spread.
    pub(super) offset_scale: Vec<f64>,
    /// Which offsets stand in which observations.
    pub(super) order: Order,
    /// The offsets' joint law while they are integrated out.
    pub(super) block: Option<Block>,
    /// Room for its lists while there is none.
    pub(super) pull: Vec<f64>,
    pub(super) along: Vec<f64>,
    n_sweeps: usize,
    pub(super) scratch: Vec<f64>,
    pub(super) scratch2: Vec<f64>,
}

impl<'p> Chain<'p> {
    pub(crate) fn new(p: &'p Problem, seed: u64, number: u64) -> Self {
        let n_obs = p.obs.len();
        let n_res = p.res.len();
        let mut grids: Vec<ConditionGrid> = Vec::new();
        let mut grid_of = Vec::new();
        for res in p.res.iter().take(p.n_conditioned) {
            let Law::Conditioned { laws, .. } = res.law else { continue };
            let found = grids.iter().position(|grid| grid.laws == laws);
            grid_of.push(found.unwrap_or_else(|| {
                grids.push(ConditionGrid::new(laws));
                grids.len() - 1
            }));
        }
        let load_grids = [false, true].map(|heavy| LoadGrid::new(&p.priors.load, heavy));
        let mut terms_of: Vec<Vec<Showing>> = vec![Vec::new(); p.n_conditioned];
        for (term, content) in p.terms.iter().enumerate() {
            for &(res, shows) in &content.joints {
                terms_of[res].push(Showing::new(term, shows));
            }
        }
        let showings = |res: usize| terms_of.get(res).map_or(&[][..], Vec::as_slice);
        let read_pairs = read_pairs(p);
        let frames = frames(p, &read_pairs);
        let shared = p.pairs.iter().map(|&(a, b)| Shared::new(showings(a), showings(b))).collect();
        let mut carried_by: Vec<Vec<(usize, f64)>> = vec![Vec::new(); p.loads.len()];
        for carry in &p.carry {
            for (res, loads) in carry.iter().enumerate() {
                for &(load, weight) in loads {
                    carried_by[load].push((res, weight));
                }
            }
        }
        let (path_weight, own_coef) = path_tables(p);
        let mut share = vec![vec![0.0; n_res * n_obs]; p.carry.len()];
        let mut felt = vec![vec![false; n_obs]; p.carry.len()];
        for (idx, linear) in p.linear.iter().enumerate() {
            for lag in &linear.lags {
                felt[lag.state][idx] = true;
                for (res, part) in lag.share.iter().enumerate() {
                    share[lag.state][res * n_obs + idx] += part;
                }
            }
        }
        let obs_of_state: Vec<Vec<usize>> = (0..p.carry.len())
            .map(|state| {
                (0..n_obs)
                    .filter(|&idx| match p.obs[idx].mode {
                        Mode::Thermal => felt[state][idx],
                        Mode::Electrical | Mode::CurrentSum => p.obs[idx].state == state,
                    })
                    .collect()
            })
            .collect();
        let path = obs_of_state
            .iter()
            .map(|of| {
                let weights = |res: usize| {
                    let weight = |(at, &idx): (usize, &usize)| (at, path_weight[res * n_obs + idx]);
                    of.iter().enumerate().map(weight).filter(|&(_, weight)| weight != 0.0).collect()
                };
                (0..n_res).map(weights).collect()
            })
            .collect();
        let reach = obs_of_state.iter().map(|of| vec![0.0; n_res * of.len()]).collect();
        let mut chain = Chain {
            p,
            rng: Stream::new(seed, number),
            grids,
            grid_of,
            load_grids,
            knob_grids: p.knob_sd.map(knobs::grid),
            n_obs,
            ln_ohm: vec![0.0; n_res],
            ohm: vec![0.0; n_res],
            condition: vec![0; p.n_conditioned],
            density: vec![[0.0; CLASSES]; p.n_conditioned],
            probability: vec![[0.0; CLASSES]; p.n_conditioned],
            loads: vec![0.0; p.loads.len()],
            offsets: vec![0.0; p.offsets.len()],
            knobs: vec![[0.0; N_KNOBS]; p.thermals.len()],
            metal: vec![0.0; p.metals.len()],
            factors: vec![0.0; p.factors.len()],
            is_bad: vec![false; p.res.len()],
            factors_of: factors_of(p),
            loose: loose_poles(p),
            read_pairs,
            by_drops: by_drops(p),
            by_voltages: by_voltages(p),
            by_temperatures: by_temperatures(p),
            unclamped: unclamped(p),
            load_density: vec![[0.0; 2]; p.loads.len()],
            exchanges: exchanges(p),
            slides: slides(p),
            frames,
            largest: vec![0.0; p.n_conditioned],
            levels: Levels::new(p),
            prevalence: 0,
            finger: vec![false; p.n_fingers],
            current: vec![vec![0.0; n_res]; p.carry.len()],
            per_watt: slope_tables(p),
            slope: vec![0.0; n_res * n_obs],
            coef: vec![0.0; n_res * n_obs],
            path_weight,
            own_coef,
            value: p.obs.iter().map(|obs| obs.value).collect(),
            predicted: vec![0.0; n_obs],
            weight: p.obs.iter().map(|obs| 1.0 / (obs.sigma * obs.sigma)).collect(),
            quiet: vec![0.0; p.terms.len()],
            terms_of,
            shared,
            carried_by,
            obs_of_state,
            share,
            reach,
            path,
            square: vec![0.0; n_res * n_obs],
            offset_scale: vec![1.0; p.offsets.len()],
            order: Order::new(p),
            block: None,
            pull: Vec::new(),
            along: Vec::new(),
            n_sweeps: 0,
            scratch: Vec::new(),
            scratch2: Vec::new(),
        };
        chain.start(number);
        chain.refresh();
        chain
    }

    /// Start away from one another: even chains near sound, odd chains from the prior with more damage.
    fn start(&mut self, number: u64) {
        for idx in 0..self.ohm.len() {
            self.ln_ohm[idx] = match &self.p.res[idx].law {
                Law::Conditioned { laws, .. } => {
                    let condition = if number % 2 == 1 && self.rng.uniform() < 0.2 { CLASSES - 1 } else { 0 };
                    self.condition[idx] = condition as u8;
                    laws.mean[condition] + 0.5 * laws.sd[condition] * self.rng.normal().clamp(-2.0, 2.0)
                }
                Law::Pole(law) => law.mean + law.sd * self.rng.normal(),
                Law::Known => libm::log(self.p.res[idx].typical_ohm),
            };
            self.ohm[idx] = libm::exp(self.ln_ohm[idx]);
        }
        for (idx, offset) in self.p.offsets.iter().enumerate() {
            self.offsets[idx] = offset.mean + 0.5 * offset.sd * self.rng.normal();
        }
        // Where both legs are low, a chain that starts at the usual voltage explains it by two failing legs and stays there.
        if let Some((source, volts)) = self.p.source_as_read() {
            self.offsets[source] = volts;
        }
        for (idx, load) in self.p.loads.iter().enumerate() {
            self.loads[idx] = match load.law {
                LoadLaw::Zero => 0.0,
                LoadLaw::Measured { a, .. } => a,
                LoadLaw::Unknown { scale_a, .. } => {
                    scale_a * libm::exp(-2.0 + 0.5 * self.rng.normal().clamp(-2.0, 2.0))
                }
            };
        }
        self.add_up();
    }

    /// Goes on from where a chain of an earlier judgement stood; what is new begins as in a new chain.
    pub(crate) fn take(&mut self, standing: &Standing) {
        for (idx, res) in self.p.res.iter().enumerate() {
            let Some(&(ohm, class)) = standing.ohm.get(&res.kind) else { continue };
            if res.law == Law::Known {
                continue;
            }
            (self.ohm[idx], self.ln_ohm[idx]) = (ohm, libm::log(ohm));
            if let Some(condition) = self.condition.get_mut(idx) {
                *condition = class;
            }
            if let (ResKind::Joint(id), Some(finger)) =
                (&res.kind, self.p.finger_of.get(idx).copied().flatten())
                && let Some(damaged) = id.slot().and_then(|slot| standing.finger.get(slot))
            {
                self.finger[finger] = *damaged;
            }
        }
        for (idx, load) in self.p.loads.iter().enumerate() {
            let known = self.p.load_keys(idx).first().and_then(|key| standing.loads.get(key).copied());
            if let (Some(value), LoadLaw::Unknown { .. }) = (known.filter(|value| 0.0 < *value), &load.law) {
                self.loads[idx] = value;
            }
        }
        for (idx, offset) in self.p.offsets.iter().enumerate() {
            if let Some(value) = standing.offsets.get(&offset.name) {
                self.offsets[idx] = *value;
            }
        }
        for (panel, knobs) in self.p.job.installation.panels.iter().zip(&mut self.knobs) {
            if let Some(kept) = standing.knobs.get(&panel.id) {
                *knobs = *kept;
            }
        }
        self.prevalence = standing.prevalence;
        self.add_up();
        self.refresh();
        self.update_factors();
    }

    /// What is told of each of these standings.
    pub(crate) fn taken(mut self, standings: &[Standing]) -> Vec<Draw> {
        let told = |standing| {
            self.take(standing);
            self.draw()
        };
        standings.iter().map(told).collect()
    }

    /// How far what moves left behind is from what is derived anew.
    #[cfg(test)]
    pub(super) fn left_behind(&mut self) -> f64 {
        let moved = (self.predicted.clone(), self.coef.clone());
        self.refresh();
        let far = |one: &[f64], other: &[f64]| {
            one.iter().zip(other).map(|(one, other)| (one - other).abs()).fold(0.0, f64::max)
        };
        far(&moved.0, &self.predicted).max(far(&moved.1, &self.coef))
    }

    /// Recomputes everything derived.
    pub(super) fn refresh(&mut self) {
        for load in 0..self.p.loads.len() {
            self.load_density[load] = self.load_densities(load, self.loads[load]);
        }
        for state in 0..self.p.carry.len() {
            for res in 0..self.p.res.len() {
                self.current[state][res] = self.p.current(state, res, &self.loads);
            }
        }
        for res in 0..self.p.joints.len() {
            self.refresh_largest(res);
        }
        for res in 0..self.p.n_conditioned {
            self.density[res] = self.grids[self.grid_of[res]].densities_at(self.ln_ohm[res]);
        }
        self.refresh_levels();
        self.refresh_slopes();
        for res in 0..self.p.res.len() {
            self.refresh_squares(res);
            self.refresh_column(res);
        }
        self.refresh_predictions();
        self.quiet.fill(1.0);
        for (showings, condition) in self.terms_of.iter().zip(&self.condition) {
            for showing in showings {
                self.quiet[showing.term] *= showing.still[usize::from(*condition)];
            }
        }
    }

    /// Logarithm of how much more than that a pole has; of another resistance zero.
    pub(super) fn own(&self, res: usize) -> f64 {
        match &self.p.res[res].law {
            Law::Pole(law) => self.ln_ohm[res] - self.pole_mean(res, law),
            Law::Conditioned { .. } | Law::Known => 0.0,
        }
    }

    /// Recomputes the largest current through a joint.
    pub(super) fn refresh_largest(&mut self, res: usize) {
        let recorded = &self.current[..self.p.states.len()];
        self.largest[res] = recorded.iter().map(|of| libm::fabs(of[res])).fold(0.0, f64::max);
    }

    /// Relative chance of the voltage that a joint of this resistance would have at its largest current.
    pub(super) fn bound(&self, res: usize, ohm: f64) -> f64 {
        self.p.priors.bound.chance(self.largest_of(res) * ohm)
    }

    /// Resistance up to which that chance is one, Ω.
    pub(super) fn free_below(&self, res: usize) -> f64 {
        self.p.priors.bound.free_v / self.largest_of(res)
    }

    /// Largest current through a resistance; zero where its voltage is not bounded.
    pub(super) fn largest_of(&self, res: usize) -> f64 {
        self.largest.get(res).copied().unwrap_or(0.0)
    }

    /// Logarithm of ohms that a usual pole has by its factors.
    pub(super) fn pole_mean(&self, res: usize, law: &PoleLaw) -> f64 {
        law.mean + self.factors_of[res].iter().map(|&factor| self.factors[factor]).sum::<f64>()
    }

    pub(super) fn refresh_slopes(&mut self) {
        let n_obs = self.n_obs.max(1);
        let mut turned = [const { Vec::new() }; N_KNOBS];
        for (knob, turned) in turned.iter_mut().enumerate() {
            let of = |obs: &Obs| {
                obs.thermal.as_ref().map_or(0.0, |spot| self.knobs[self.p.views[spot.view].panel][knob])
            };
            turned.extend(self.p.obs.iter().map(of));
        }
        for (row, slopes) in self.slope.chunks_exact_mut(n_obs).enumerate() {
            let range = row * n_obs..(row + 1) * n_obs;
            let [plain, film, cabinet, path, neck] =
                self.per_watt.each_ref().map(|table| &table[range.clone()]);
            for (idx, slope) in slopes.iter_mut().enumerate() {
                let change = turned[0][idx] * film[idx]
                    + turned[1][idx] * cabinet[idx]
                    + turned[2][idx] * path[idx]
                    + turned[3][idx] * neck[idx];
                // The straight line in the knobs must not turn a heater into a cooler.
                *slope = (plain[idx] + change).max(0.1 * plain[idx]);
            }
        }
        self.answer_slopes();
        for ((reach, share), of) in self.reach.iter_mut().zip(&self.share).zip(&self.obs_of_state) {
            let n_of = of.len().max(1);
            for ((row, slope), share) in reach
                .chunks_exact_mut(n_of)
                .zip(self.slope.chunks_exact(self.n_obs.max(1)))
                .zip(share.chunks_exact(self.n_obs.max(1)))
            {
                for (reach, &idx) in row.iter_mut().zip(of) {
                    *reach = slope[idx] * share[idx];
                }
            }
        }
    }

    /// Recomputes what the loads of each state reach by the heat of one resistance.
    pub(super) fn refresh_reach(&mut self, res: usize) {
        let column = res * self.n_obs..(res + 1) * self.n_obs;
        let slope = &self.slope[column.clone()];
        for ((reach, share), of) in self.reach.iter_mut().zip(&self.share).zip(&self.obs_of_state) {
            let (row, share) = (&mut reach[res * of.len()..(res + 1) * of.len()], &share[column.clone()]);
            row.iter_mut().zip(of).for_each(|(reach, &idx)| *reach = slope[idx] * share[idx]);
        }
    }

    /// Recomputes the coefficients of one resistance in all observations.
    pub(super) fn refresh_column(&mut self, res: usize) {
        for idx in 0..self.n_obs {
            self.refresh_coef(res, idx);
        }
    }

    /// Recomputes the squared currents of one resistance as each thermal observation feels them: the stretches of its history by
    /// their parts.
    pub(super) fn refresh_squares(&mut self, res: usize) {
        let range = res * self.n_obs..(res + 1) * self.n_obs;
        self.square[range.clone()].fill(0.0);
        for (share, current) in self.share.iter().zip(&self.current) {
            let squared = current[res] * current[res];
            for (sum, share) in self.square[range.clone()].iter_mut().zip(&share[range.clone()]) {
                *sum += share * squared;
            }
        }
    }

    /// Moves the coefficients of one resistance with a change of its current in a state.
    pub(super) fn move_current(&mut self, state: usize, res: usize, change: f64) {
        let before = self.current[state][res];
        let squared = change * (2.0 * before + change);
        self.current[state][res] = before + change;
        let of = &self.obs_of_state[state];
        let range = res * of.len()..(res + 1) * of.len();
        let column = &mut self.coef[res * self.n_obs..(res + 1) * self.n_obs];
        for (&idx, reach) in of.iter().zip(&self.reach[state][range]) {
            column[idx] += reach * squared;
        }
        for &(at, path) in &self.path[state][res] {
            column[of[at]] += path * change;
        }
    }

    fn refresh_coef(&mut self, res: usize, idx: usize) {
        let at = res * self.n_obs + idx;
        self.coef[at] = match self.p.obs[idx].mode {
            Mode::Thermal => self.slope[at] * self.square[at],
            Mode::Electrical => {
                let current = self.current[self.p.obs[idx].state][res];
                self.path_weight[at] * current + self.own_coef[at]
            }
            Mode::CurrentSum => 0.0,
        };
    }

    pub(super) fn refresh_predictions(&mut self) {
        for idx in 0..self.n_obs {
            let obs = &self.p.obs[idx];
            let mut sum = obs.constant;
            sum += obs.offsets.iter().map(|&(offset, weight)| weight * self.offsets[offset]).sum::<f64>();
            sum += obs.load_weights.iter().map(|&(load, weight)| weight * self.loads[load]).sum::<f64>();
            if let Some(spot) = &obs.thermal {
                let knobs = &self.knobs[self.p.views[spot.view].panel];
                let linear = &self.p.linear[idx];
                sum += linear.intercept[0];
                sum +=
                    knobs.iter().zip(&linear.intercept[1..]).map(|(knob, change)| knob * change).sum::<f64>();
                sum += linear.bent_k(knobs);
            }
            self.predicted[idx] = sum;
        }
        for res in 0..self.p.res.len() {
            let ohm = self.ohm[res];
            let column = &self.coef[res * self.n_obs..(res + 1) * self.n_obs];
            for (predicted, coef) in self.predicted.iter_mut().zip(column) {
                *predicted += coef * ohm;
            }
        }
    }

    /// One sweep over everything.
    pub(crate) fn sweep(&mut self) {
        if self.n_sweeps.is_multiple_of(REFRESH_EVERY) {
            self.refresh();
        }
        self.n_sweeps += 1;
        self.update_error_scales();
        self.update_by_voltages();
        self.update_by_temperatures();
        self.update_metals(self.n_sweeps.is_multiple_of(KNOBS_EVERY));
        self.open_offsets();
        self.update_by_drops();
        self.update_resistances();
        if self.n_sweeps.is_multiple_of(KNOBS_EVERY) {
            self.update_knobs();
        }
        self.close_offsets();
        if self.n_sweeps.is_multiple_of(PAIRS_EVERY) {
            self.update_pairs();
        } else {
            self.update_read_pairs();
        }
        if self.n_sweeps.is_multiple_of(LOADS_EVERY) {
            self.update_loads();
            self.update_exchanges();
            self.update_slides();
        }
        self.update_frames();
        self.update_factors();
        self.draw_levels();
    }

    pub(crate) fn draw(&self) -> Draw {
        Draw {
            ohm: self.ohm.clone(),
            own: (0..self.p.res.len()).map(|res| self.own(res)).collect(),
            condition: self.condition.clone(),
            probability: self.probability.iter().copied().map(three).collect(),
            at_ohm: (0..self.p.n_conditioned).map(|res| three(self.condition_at_ohm(res))).collect(),
            loads: self.loads.clone(),
            offsets: self.offsets.clone(),
            knobs: self.knobs.clone(),
            metal: self.metal.clone(),
            finger: self.finger.clone(),
            prevalence: self.prevalence,
            predicted: self.predicted.clone(),
        }
    }

    /// Runs `n_burn` sweeps unkept, then keeps `n_keep`.
    pub(crate) fn run(&mut self, n_burn: usize, n_keep: usize) -> Draws {
        self.run_thinned(n_burn, n_keep, 1)
    }

    /// The same with the last of each `every` sweeps kept.
    pub(crate) fn run_thinned(&mut self, n_burn: usize, n_keep: usize, every: usize) -> Draws {
        for _ in 0..n_burn {
            self.sweep();
        }
        let mut kept = Vec::with_capacity(n_keep);
        for _ in 0..n_keep {
            for _ in 0..every {
                self.sweep();
            }
            kept.push(self.draw());
        }
        Draws(kept)
    }

    /// Sums over observations that decide a change of one resistance: slope and curvature of the log-likelihood.
    pub(super) fn slope_and_curvature(&mut self, res: usize) -> (f64, f64) {
        let column = &self.coef[res * self.n_obs..(res + 1) * self.n_obs];
        let alone = slope_and_curvature(column, &self.weight, &self.value, &self.predicted);
        self.with_offsets(res, alone)
    }

    /// Where a joint stands.
    pub(super) fn stands(&self, res: usize) -> Stand {
        Stand { log: self.ln_ohm[res], ohm: self.ohm[res], density: self.density[res] }
    }

    /// Sets a resistance and moves the predictions, and the offsets where they are open, with it.
    pub(super) fn set_ohm(&mut self, res: usize, log: f64) {
        let density = match self.grid_of.get(res) {
            Some(&grid) => self.grids[grid].densities_at(log),
            None => [0.0; CLASSES],
        };
        self.settle(res, Stand { log, ohm: libm::exp(log), density });
    }

    /// The same where everything that goes with it is known. A pole has no classes.
    pub(super) fn settle(&mut self, res: usize, stand: Stand) {
        let change = stand.ohm - self.ohm[res];
        self.ln_ohm[res] = stand.log;
        self.ohm[res] = stand.ohm;
        if let Some(density) = self.density.get_mut(res) {
            *density = stand.density;
        }
        if change == 0.0 {
            return;
        }
        let column = &self.coef[res * self.n_obs..(res + 1) * self.n_obs];
        for (predicted, coef) in self.predicted.iter_mut().zip(column) {
            *predicted += coef * change;
        }
        self.pull_offsets(res, change);
    }
}
