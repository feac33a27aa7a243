//! Thermal networks of the panels and their linearised answers.

use super::{Lag, Linear, Mode, N_KNOBS, Offset, Problem, ResKind, Thermals, View};
use crate::sampler::Draw;
use model::PanelId;
use model::joint::JointId;
use physics::thermal::{Knobs, PanelNetwork, Response, Solution, Source};

/// Step of a knob's logarithm for difference quotients.
const STEP: f64 = 0.15;
/// A stretch that gives less than this part of every answer is left out.
const LEAST_SHARE: f64 = 2e-3;

impl Problem {
    pub(super) fn build_thermals(&mut self) {
        let installation = self.job.installation.clone();
        for panel in &installation.panels {
            let mut plain = PanelNetwork::new(&installation, panel, &Knobs::default());
            plain.analyse();
            let networks: Vec<PanelNetwork> = (0..=N_KNOBS)
                .map(|turned| {
                    let mut logs = [0.0; N_KNOBS];
                    if turned > 0 {
                        logs[turned - 1] = STEP;
                    }
                    let mut network = plain.clone();
                    network.turn(&knobs(&logs));
                    network
                })
                .collect();
            let shares = self
                .res
                .iter()
                .map(|res| {
                    source_of(&res.kind, &panel.id)
                        .map_or_else(Vec::new, |source| networks[0].shares(&source))
                })
                .collect();
            let air = networks[0].air();
            self.thermals.push(Thermals { networks, shares, air });
            self.gradient_offset.push(self.offsets.len());
            let discrepancy = &self.priors.discrepancy;
            self.offsets.push(Offset::normal(
                format!("air gradient in {}", panel.id),
                discrepancy.gradient,
                discrepancy.gradient_spread,
            ));
        }
        for state in 0..self.states.len() {
            for panel in 0..installation.panels.len() {
                self.views.push(View { panel, state });
                self.air_offset.push(self.offsets.len());
                let (id, name) = (&installation.panels[panel].id, &self.states[state].name);
                self.offsets.push(Offset::normal(format!("cabinet air of {id} in \"{name}\""), 0.0, 1.0));
            }
        }
    }

    /// Heat of everything that is not a resistance of the problem: electronics, bus bars, W a node.
    fn background_of(&self, view: &View, loads: &[f64]) -> Vec<f64> {
        let panel = &self.job.installation.panels[view.panel];
        let network = &self.thermals[view.panel].networks[0];
        let mut heat = network.idle_heat();
        for section in &panel.sections {
            for &leg in panel.system.legs() {
                // Fed from the top: a bar carries what is connected at its row and below.
                let mut through = 0.0;
                for row in
                    (section.first_row..=section.last_row).rev().filter(|&row| panel.leg_of_row(row) == leg)
                {
                    for breaker in &panel.breakers {
                        for &space in breaker.spaces.iter().filter(|&&space| panel.row_of(space) == row) {
                            let pole = ResKind::Pole(model::Slot::new(panel.id.clone(), space));
                            if let Some(res) = self.find(&pole) {
                                through += self.current(view.state, res, loads);
                            }
                        }
                    }
                    network.add_heat(&mut heat, &Source::Bar(row), through * through * network.bar_ohm());
                }
            }
        }
        heat
    }

    /// Heat of each resistance in a state, W.
    pub(crate) fn heats(&self, state: usize, ohm: &[f64], loads: &[f64]) -> Vec<f64> {
        (0..self.res.len())
            .map(|res| {
                let current = self.current(state, res, loads);
                current * current * ohm[res]
            })
            .collect()
    }

    /// Heat of each resistance as it was over the history of a view, the stretches mixed by their mean parts, W.
    pub(crate) fn mixed_heats(&self, view: usize, ohm: &[f64], loads: &[f64]) -> Vec<f64> {
        let mut mixed = vec![0.0; self.res.len()];
        for &(state, part) in &self.mix[view] {
            for (sum, heat) in mixed.iter_mut().zip(self.heats(state, ohm, loads)) {
                *sum += part * heat;
            }
        }
        mixed
    }

    /// Heat that the resistances inside the panel of each view gave off over its history, the stretches mixed by their mean
    /// parts, W.
    pub(crate) fn heat_in_views(&self, ohm: &[f64], loads: &[f64]) -> Vec<f64> {
        let in_panels = |state: usize| -> Vec<f64> {
            let heats = self.heats(state, ohm, loads);
            (0..self.thermals.len()).map(|panel| self.heat_inside(panel, &heats)).collect()
        };
        let by_state: Vec<Vec<f64>> = (0..self.carry.len()).map(in_panels).collect();
        let of_view = |(view, mix): (&View, &Vec<(usize, f64)>)| -> f64 {
            mix.iter().map(|&(state, part)| part * by_state[state][view.panel]).sum()
        };
        self.views.iter().zip(&self.mix).map(of_view).collect()
    }

    /// Heat put into each node of a panel's network, W.
    pub(crate) fn node_heat(&self, view: usize, heats: &[f64]) -> Vec<f64> {
        let mut nodes = self.background[view].clone();
        for (shares, watts) in self.thermals[self.views[view].panel].shares.iter().zip(heats) {
            for &(node, share) in shares {
                nodes[node] += share * watts;
            }
        }
        nodes
    }

    /// Recomputes the linearised answers around these resistances and loads.
    pub(crate) fn linearise(&mut self, ohm: &[f64], loads: &[f64]) {
        let all: Vec<usize> = (0..self.obs.len()).collect();
        self.linearise_some(&all, ohm, loads);
    }

    /// The same for some observations only; of the others nothing is known afterwards.
    pub(crate) fn linearise_some(&mut self, some: &[usize], ohm: &[f64], loads: &[f64]) {
        self.background = self.views.iter().map(|view| self.background_of(view, loads)).collect();
        if self.mix.is_empty() {
            self.mix = self.views.iter().map(|view| vec![(view.state, 1.0)]).collect();
        }
        let mut linear = vec![Linear::default(); self.obs.len()];
        for view in 0..self.views.len() {
            let is_here = |idx: &usize| self.obs[*idx].thermal.as_ref().is_some_and(|spot| spot.view == view);
            let spots: Vec<usize> = some.iter().copied().filter(is_here).collect();
            if spots.is_empty() {
                continue;
            }
            let View { panel, state } = self.views[view].clone();
            let heats = self.mixed_heats(view, ohm, loads);
            let room_k = self.offsets[self.states[state].room_offset].mean + 273.15;
            let node_heat = self.node_heat(view, &heats);
            let air = self.thermals[panel].air;
            let spot_nodes =
                spots.iter().map(|&idx| self.obs[idx].thermal.as_ref().map_or(0, |spot| spot.node));
            let nodes: Vec<usize> = spot_nodes.chain([air]).collect();
            for &idx in &spots {
                linear[idx].slope = vec![[0.0; N_KNOBS + 1]; self.res.len()];
            }
            let mut air_rise = 0.0;
            for turned in 0..=N_KNOBS {
                let network = &mut self.thermals[panel].networks[turned];
                let Ok(solution) = network.solve(&node_heat, room_k, None) else { continue };
                let Ok(responses) = network.responses(&solution, room_k, &nodes) else { continue };
                if turned == 0 {
                    air_rise = solution.temperature_k[air] - room_k;
                    let of_air = responses[spots.len()].k_per_w[air];
                    for (&idx, response) in spots.iter().zip(&responses) {
                        self.set_air(idx, view, air_rise, response.k_per_w[air] / of_air);
                    }
                    self.set_lags(view, &spots, &nodes, &solution, &responses, &mut linear);
                }
                for (&idx, response) in spots.iter().zip(&responses) {
                    let spot = self.obs[idx].thermal.clone().expect("chosen for having one");
                    let mut intercept = solution.temperature_k[spot.node] - room_k;
                    for (res, shares) in self.thermals[panel].shares.iter().enumerate() {
                        let slope: f64 =
                            shares.iter().map(|&(node, share)| share * response.k_per_w[node]).sum();
                        intercept -= slope * heats[res];
                        linear[idx].slope[res][turned] = if spot.without == Some(res) { 0.0 } else { slope };
                    }
                    linear[idx].intercept[turned] = intercept;
                }
            }
            for &idx in &spots {
                differences(&mut linear[idx]);
                self.set_gradient(idx, panel, air_rise);
            }
        }
        self.linear = linear;
    }

    /// Sets which part of each observation's steady answer comes from which stretch of its history, and the mean parts.
    fn set_lags(
        &mut self,
        view: usize,
        spots: &[usize],
        nodes: &[usize],
        solution: &Solution,
        steady: &[Response],
        linear: &mut [Linear],
    ) {
        let View { panel, state } = self.views[view].clone();
        let room_k = self.offsets[self.states[state].room_offset].mean + 273.15;
        let history = self.history[state].clone();
        let ages_s: Vec<f64> =
            history.iter().map(|segment| segment.to_s).filter(|age| age.is_finite()).collect();
        let network = &mut self.thermals[panel].networks[0];
        let Ok(after) = network.responses_after(solution, room_k, &nodes[..spots.len()], &ages_s) else {
            return;
        };
        let shares = &self.thermals[panel].shares;
        let n_res = self.res.len();
        let mut sums: Vec<(usize, f64)> = history.iter().map(|segment| (segment.state, 0.0)).collect();
        for (at, &idx) in spots.iter().enumerate() {
            let answer = |response: &Response, res: usize| -> f64 {
                shares[res].iter().map(|&(node, share)| share * response.k_per_w[node]).sum()
            };
            let whole: Vec<f64> = (0..n_res).map(|res| answer(&steady[at], res)).collect();
            let mut reached = vec![0.0; n_res];
            for (nth, segment) in history.iter().enumerate() {
                let until: Vec<f64> = (0..n_res)
                    .map(|res| match after.get(nth) {
                        Some(by_node) if 0.0 < whole[res] => {
                            (answer(&by_node[at], res) / whole[res]).clamp(reached[res], 1.0)
                        }
                        _ => 1.0,
                    })
                    .collect();
                let share: Vec<f64> =
                    until.iter().zip(&reached).map(|(until, reached)| until - reached).collect();
                let largest = whole.iter().copied().fold(0.0, f64::max);
                // Means go by the strongest sources, its own pole above all.
                let strong = (0..n_res).filter(|&res| 0.5 * largest < whole[res]);
                let (part, n) = strong.fold((0.0, 0.0), |(part, n), res| (part + share[res], n + 1.0));
                sums[nth].1 += part / f64::max(n, 1.0) / spots.len() as f64;
                reached = until;
                if share.iter().any(|share| LEAST_SHARE < *share) {
                    linear[idx].lags.push(Lag { state: segment.state, share });
                }
            }
        }
        self.mix[view] = sums.into_iter().filter(|&(_, part)| 0.0 < part).collect();
    }

    /// Sets how much the cabinet air of a view moves an observation: its spread in kelvin times the share that shows.
    fn set_air(&mut self, idx: usize, view: usize, air_rise: f64, shows: f64) {
        let discrepancy = &self.priors.discrepancy;
        let spread_k = libm::hypot(discrepancy.air_k, discrepancy.of_air * air_rise);
        let offset = self.air_offset[view];
        if let Some((_, weight)) = self.obs[idx].offsets.iter_mut().find(|(at, _)| *at == offset) {
            *weight = spread_k * shows;
        }
    }

    /// Sets how much the air gradient moves an observation: the air's rise times the height of the row, −1 to 1.
    fn set_gradient(&mut self, idx: usize, panel: usize, air_rise: f64) {
        let offset = self.gradient_offset[panel];
        let rows = f64::from(self.job.installation.panels[panel].n_rows().max(2) - 1);
        let row = self.row_of_obs(idx, panel);
        if let Some((_, weight)) = self.obs[idx].offsets.iter_mut().find(|(at, _)| *at == offset) {
            *weight = row.map_or(0.0, |row| air_rise * (1.0 - 2.0 * row / rows));
        }
    }

    fn row_of_obs(&self, idx: usize, panel: usize) -> Option<f64> {
        let place = self.place_of_obs(idx)?;
        let slot = place.slot()?;
        Some(f64::from(self.job.installation.panels[panel].row_of(slot.space)))
    }

    /// Temperatures of all nodes in a view at a draw by the full network, K; `None` where it has no steady state.
    pub(crate) fn exact(&self, networks: &mut ExactNetworks, view: usize, draw: &Draw) -> Option<Solution> {
        let View { panel, state } = self.views[view];
        let room_k = draw.offsets[self.states[state].room_offset] + 273.15;
        let heats = self.mixed_heats(view, &draw.ohm, &draw.loads);
        networks.turn(panel, &draw.knobs[panel]);
        networks.solve(view, panel, &self.node_heat(view, &heats), room_k)
    }

    /// Rise above the room that the straight line of a thermal observation tells at a draw, without offsets, K.
    pub(crate) fn line_rise_k(&self, obs: usize, draw: &Draw) -> f64 {
        let offsets = self.obs[obs].offsets.iter();
        draw.predicted[obs] - offsets.map(|&(offset, weight)| weight * draw.offsets[offset]).sum::<f64>()
    }

    /// Does any observation depend on the thermal networks?
    pub(crate) fn has_thermal(&self) -> bool {
        self.obs.iter().any(|obs| obs.mode == Mode::Thermal)
    }
}

/// Full networks turned to one draw after the other, with the last temperatures as first guesses.
pub(crate) struct ExactNetworks {
    panels: Vec<(PanelNetwork, [f64; N_KNOBS])>,
    starts: Vec<Option<Vec<f64>>>,
}

impl ExactNetworks {
    /// Heat that may stay unbalanced at a node, as a part of it all: some 1e-5 K.
    const TOLERANCE: f64 = 1e-8;

    pub(crate) fn new(problem: &Problem) -> Self {
        let panels =
            problem.thermals.iter().map(|thermals| (thermals.networks[0].clone(), [0.0; N_KNOBS])).collect();
        ExactNetworks { panels, starts: vec![None; problem.views.len()] }
    }

    fn turn(&mut self, panel: usize, logs: &[f64; N_KNOBS]) {
        let (network, turned) = &mut self.panels[panel];
        if turned != logs {
            network.turn(&knobs(logs));
            *turned = *logs;
        }
    }

    fn solve(&mut self, view: usize, panel: usize, heat_w: &[f64], room_k: f64) -> Option<Solution> {
        let (network, _) = &mut self.panels[panel];
        let solution =
            network.solve_within(heat_w, room_k, self.starts[view].as_deref(), Self::TOLERANCE).ok()?;
        self.starts[view] = Some(solution.temperature_k.clone());
        Some(solution)
    }
}

/// Turns values at 0 and at one step of each knob into a value and slopes.
fn differences(linear: &mut Linear) {
    let turn = |values: &mut [f64; N_KNOBS + 1]| {
        for knob in 1..=N_KNOBS {
            values[knob] = (values[knob] - values[0]) / STEP;
        }
    };
    turn(&mut linear.intercept);
    for slope in &mut linear.slope {
        turn(slope);
    }
}

fn knobs(logs: &[f64; N_KNOBS]) -> Knobs {
    let [film, cabinet, path, neck] = logs.map(libm::exp);
    Knobs { film, cabinet, path, neck }
}

/// Where the heat of a resistance arises in a panel; `None` where it does not arise there.
fn source_of(kind: &ResKind, panel: &PanelId) -> Option<Source> {
    let (at, source) = match kind {
        ResKind::Joint(id) => (
            id.panel(),
            match id {
                JointId::Stab(slot) => Source::Stab(slot.space),
                JointId::Terminal(slot) => Source::Terminal(slot.space),
                JointId::Lug(_, leg) => Source::Lug(*leg),
                JointId::Feeder(_, section, leg) => Source::Feeder(section.clone(), *leg),
                JointId::NeutralLug(_) | JointId::NeutralTerminal(_) => Source::Neutral,
            },
        ),
        ResKind::Pole(slot) => (&slot.panel, Source::Pole(slot.space)),
        ResKind::Wire(slot) => (&slot.panel, Source::Terminal(slot.space)),
        ResKind::Main(at, leg) => (at, Source::Main(*leg)),
        ResKind::SupplyLeg(_) | ResKind::SupplyNeutral => return None,
    };
    (at == panel).then_some(source)
}
