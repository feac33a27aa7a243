//! Numeric observations of the job as equations, with their errors; what cannot be used is said in a note.

use super::dead_leg::DEAD_V;
use super::electrical::Path;
use super::{Astray, Censored, Mode, Obs, Offset, Problem, ResKind, ThermalSpot, View, Wrong};
use crate::priors::Instrument;
use model::breaker::Protection;
use model::evidence::{
    ClampPlace, CurrentReading, DropReading, Observation, Observed, Surface, TemperatureMethod,
    TemperatureReading, TouchReading, TripEvent, VoltageReading,
};
use model::joint::JointId;
use model::place::Place;
use model::{Current, Leg, Slot, System, Temperature};
use physics::breaker::local_heat::Calibration;
use physics::emissivity::{apparent_temperature, surface_temperature};
use physics::touch::face_interval;
use std::collections::BTreeMap;

/// Widths of what a wrong reading could have shown: currents, voltages (from a probe that does not touch to both legs).
const LINEAR_WIDTH_A: f64 = 150.0;
const LINEAR_WIDTH_V: f64 = 240.0;

/// Name of the offset that is the voltage of the source, leg to neutral.
const SOURCE: &str = "source voltage";

impl Problem {
    fn wrong(&self, width: f64) -> Wrong {
        Wrong { chance: self.priors.instrument.wrong_chance, shows: Astray::Evenly(width) }
    }

    /// A temperature that is wrong: of another place in or about the panel, of another state, a slip of the pen. Most show little more than
    /// the room, since most places do.
    fn wrong_temperature(&self, room_c: f64) -> Wrong {
        let Instrument { wrong_chance, wrong_temperature_k, .. } = self.priors.instrument;
        let shows = Astray::Around { middle: room_c, scale: wrong_temperature_k };
        Wrong { chance: wrong_chance, shows }
    }

    /// A drop that is wrong: another place, the lead not seated, another load. Few show much.
    fn wrong_drop(&self) -> Wrong {
        let Instrument { wrong_chance, wrong_drop_mv, most_drop_mv, .. } = self.priors.instrument;
        let shows = Astray::OfAnyOrder { usual: 1e-3 * wrong_drop_mv, most: 1e-3 * most_drop_mv };
        Wrong { chance: wrong_chance, shows }
    }

    pub(super) fn build_observations(&mut self) {
        let mut bias_of: BTreeMap<(String, bool), usize> = BTreeMap::new();
        for source in 0..self.job.observations.len() {
            let observation = self.job.observations[source].clone();
            match &observation.what {
                Observed::Temperature(reading) => {
                    self.temperature(source, &observation, reading, &mut bias_of)
                }
                Observed::Touch(reading) => self.touch(source, &observation, reading),
                Observed::Current(reading) => self.clamp(source, &observation, reading),
                Observed::Voltage(reading) => self.voltage(source, &observation, reading),
                Observed::Drop(reading) => self.drop_reading(source, &observation, reading),
                Observed::Trip(event) => self.trip(source, &observation, event),
                Observed::Sign(_) => {}
            }
        }
    }

    fn state_named(&mut self, name: &str, source: usize) -> Option<usize> {
        let found = self.states.iter().position(|state| state.name == name);
        if found.is_none() {
            let subject = self.subject(source);
            self.note(
                subject,
                format!("load state \"{name}\" is not in the record; the reading is not used"),
            );
        }
        found
    }

    fn subject(&self, source: usize) -> String {
        format!("fact {}", self.job.observations[source].fact)
    }

    fn thermal_spot(&self, place: &Place, state: usize) -> Option<ThermalSpot> {
        let panel = self.job.installation.panels.iter().position(|panel| panel.id == *place.panel())?;
        let node = self.thermals[panel].networks[0].node_of(place)?;
        let view = self.views.iter().position(|view| view.panel == panel && view.state == state)?;
        Some(ThermalSpot { view, node, without: None })
    }

    /// Error of the network at a reading of its own.
    fn rise_error_k(&self, rise_k: f64) -> f64 {
        let discrepancy = &self.priors.discrepancy;
        let part = discrepancy.of_rise * rise_k.max(3.0);
        libm::sqrt(discrepancy.floor_k * discrepancy.floor_k + part * part)
    }

    /// Offset of a pole in all its temperatures, with its weight in one of them: the rise that was read.
    fn pole_part(&mut self, place: &Place, rise_k: f64) -> Option<(usize, f64)> {
        let (Place::Face(slot) | Place::Load(slot) | Place::Wire(slot)) = place else { return None };
        let discrepancy = &self.priors.discrepancy;
        let (sd, tail) = (discrepancy.of_rise_pole, Some(discrepancy.pole_tail));
        // The terminal hangs on its wire too: the inside of the pole moves it less.
        let weight = if matches!(place, Place::Face(_)) { 1.0 } else { 0.5 };
        let next = self.offsets.len();
        let offset = *self.pole_offset.entry(slot.clone()).or_insert(next);
        if offset == next {
            self.offsets.push(Offset { name: format!("pole {slot}"), mean: 0.0, sd, tail });
        }
        Some((offset, weight * rise_k.max(3.0)))
    }

    fn push_thermal(
        &mut self,
        source: usize,
        spot: ThermalSpot,
        (value_c, sigma): (f64, f64),
        censored: Option<Censored>,
        bias: Option<usize>,
        pole: Option<(usize, f64)>,
    ) {
        let View { panel, state } = self.views[spot.view];
        // Weights of the air offsets are set when the networks are linearised.
        let mut offsets = vec![
            (self.states[state].room_offset, 1.0),
            (self.gradient_offset[panel], 0.0),
            (self.air_offset[spot.view], 0.0),
        ];
        offsets.extend(bias.map(|bias| (bias, 1.0)));
        offsets.extend(pole);
        self.obs.push(Obs {
            fact: self.job.observations[source].fact.clone(),
            source,
            state,
            mode: Mode::Thermal,
            value: value_c,
            sigma,
            censored,
            wrong: self.wrong_temperature(self.offsets[self.states[state].room_offset].mean),
            offsets,
            constant: 0.0,
            weights: Vec::new(),
            own_current: Vec::new(),
            load_weights: Vec::new(),
            thermal: Some(spot),
        });
    }

    fn temperature(
        &mut self,
        source: usize,
        observation: &Observation,
        reading: &TemperatureReading,
        bias_of: &mut BTreeMap<(String, bool), usize>,
    ) {
        let subject = format!("{} in \"{}\"", reading.place, reading.state);
        let infrared = reading.method == TemperatureMethod::Infrared;
        if infrared && reading.surface == Surface::BareMetal {
            self.note(
                subject,
                "infrared on bare metal tells nothing; not used. Read the insulation within an inch instead.",
            );
            return;
        }
        let Some(state) = self.state_named(&reading.state, source) else { return };
        let Some(spot) = self.thermal_spot(&reading.place, state) else {
            self.note(subject, "the thermal network has no node there; the reading is kept but not used");
            return;
        };
        let name = reading
            .instrument
            .clone()
            .unwrap_or_else(|| if infrared { "infrared".into() } else { "probe".into() });
        let bias_k = self.priors.instrument.bias_k * if infrared { 1.0 } else { 0.4 };
        let next = self.offsets.len();
        let bias = *bias_of.entry((name.clone(), infrared)).or_insert(next);
        if bias == next {
            self.offsets.push(Offset::normal(format!("bias of {name}"), 0.0, bias_k));
        }
        let room_c = self.offsets[self.states[state].room_offset].mean;
        let noise = if infrared {
            self.priors.instrument.infrared_noise_k
        } else {
            self.priors.instrument.contact_noise_k
        };
        let value_c = self.surface_c(reading, room_c);
        let rise_k = value_c - room_c;
        let rise = self.rise_error_k(rise_k);
        let sigma = libm::sqrt(noise * noise + rise * rise);
        let pole = self.pole_part(&reading.place, rise_k);
        debug_assert_eq!(observation.fact, self.job.observations[source].fact);
        self.push_thermal(source, spot, (value_c, sigma), None, Some(bias), pole);
    }

    /// What the surface had by an infrared reading: as shown where the instrument was set as usual, else set right. A matte surface
    /// has an emissivity near 0.95 and mirrors the room.
    fn surface_c(&mut self, reading: &TemperatureReading, room_c: f64) -> f64 {
        const MATTE: f64 = 0.95;
        let shown_c = reading.value.c();
        if reading.method != TemperatureMethod::Infrared
            || reading.emissivity.is_none() && reading.reflected.is_none()
        {
            return shown_c;
        }
        let (set, room) = (reading.emissivity.unwrap_or(MATTE), Temperature::from_c(room_c));
        let apparent = apparent_temperature(reading.value, reading.reflected.unwrap_or(room), set).ok();
        let surface = apparent.and_then(|apparent| surface_temperature(apparent, room, MATTE).ok());
        let subject = format!("{} in \"{}\"", reading.place, reading.state);
        let Some(surface) = surface else {
            self.note(
                subject,
                "emissivity and reflected temperature as set cannot give this reading; taken as shown",
            );
            return shown_c;
        };
        if 0.5 < (surface.c() - shown_c).abs() {
            self.note(
                subject,
                format!(
                    "{shown_c:.1} °C shown at emissivity {set:.2} is {:.1} °C of a matte surface that mirrors a room of \
                     {room_c:.0} °C",
                    surface.c()
                ),
            );
        }
        surface.c()
    }

    fn touch(&mut self, source: usize, _observation: &Observation, reading: &TouchReading) {
        let subject = format!("touch at {} in \"{}\"", reading.slot, reading.state);
        let Ok(interval) = face_interval(reading) else {
            self.note(subject, "glove, callus, cold or wet hand, or less than a second: the touch is not used as a temperature");
            return;
        };
        let Some(state) = self.state_named(&reading.state, source) else { return };
        let Some(spot) = self.thermal_spot(&Place::Face(reading.slot.clone()), state) else { return };
        let low = interval.low.map_or(-20.0, |low| low.c());
        let high = interval.high.map_or(120.0, |high| high.c());
        let room_c = self.offsets[self.states[state].room_offset].mean;
        let middle = 0.5 * (low.max(room_c) + high.min(95.0));
        let rise = self.rise_error_k(middle - room_c);
        let pole = self.pole_part(&Place::Face(reading.slot.clone()), middle - room_c);
        // Skin differs from hand to hand by about 4 K at the face.
        let sigma = libm::sqrt(16.0 + rise * rise);
        self.push_thermal(
            source,
            spot,
            (middle, sigma),
            Some(Censored { low, high, void_chance: 0.03 }),
            None,
            pole,
        );
    }

    fn trip(&mut self, source: usize, _observation: &Observation, event: &TripEvent) {
        let subject = format!("trip of {}", event.slot);
        let state = match &event.state {
            Some(name) => self.state_named(name, source),
            None => None,
        };
        let (Some(current), Some(state)) = (event.current, state) else {
            self.note(subject, "a trip counts as a temperature only with its current and load state; kept as a complaint otherwise");
            return;
        };
        let place = Place::Face(event.slot.clone());
        let Some(mut spot) = self.thermal_spot(&place, state) else { return };
        let panel = self.views[spot.view].panel;
        let Some(node) = self.thermals[panel].networks[0].body_of(event.slot.space) else { return };
        let Some(breaker) = self.job.installation.breaker_at(&event.slot) else { return };
        spot.node = node;
        // The bimetal's calibration already contains the pole's own heat.
        spot.without = self.find(&ResKind::Pole(event.slot.clone()));
        let protection = breaker.protection;
        let needed_c = local_heat_for_trip_c(breaker.rating, current).filter(|needed| -20.0 <= *needed);
        let Some(needed_c) = needed_c else {
            self.note(
                subject,
                "the current alone explains the trip; it says nothing about heat at the breaker",
            );
            return;
        };
        let electronics = protection != Protection::ThermalMagnetic;
        let void_chance = if electronics { 0.40 } else { 0.12 };
        let censored = Censored { low: needed_c, high: 400.0, void_chance };
        let sigma = self.priors.discrepancy.body_trip_k;
        self.push_thermal(source, spot, (needed_c + sigma, sigma), Some(censored), None, None);
    }

    fn clamp(&mut self, source: usize, observation: &Observation, reading: &CurrentReading) {
        let Some(state) = self.state_named(&reading.state, source) else { return };
        let find = |kind: ResKind| self.find(&kind).map(|res| self.carry[state][res].clone());
        let load_weights = match &reading.place {
            ClampPlace::Pole(slot) => {
                let weights = find(ResKind::Pole(slot.clone())).unwrap_or_default();
                let own = weights.len() == 1
                    && self.loads[weights[0].0].slots.contains(slot)
                    && self.loads[weights[0].0].fact.as_ref() == Some(&observation.fact);
                if own {
                    return;
                }
                weights
            }
            ClampPlace::Line(panel, leg) => find(ResKind::Joint(JointId::Lug(panel.clone(), *leg)))
                .or_else(|| self.feed_of(panel, *leg).and_then(|res| find(self.res[res].kind.clone())))
                .unwrap_or_default(),
            ClampPlace::Neutral(panel) => {
                find(ResKind::Joint(JointId::NeutralLug(panel.clone()))).unwrap_or_default()
            }
            ClampPlace::Electrode(panel) => {
                let subject = format!("electrode conductor of {panel}");
                self.note(
                    subject,
                    "current on the electrode conductor is kept; it is weighed by hand, not by the network",
                );
                return;
            }
        };
        if load_weights.is_empty() {
            return;
        }
        let neutral = matches!(reading.place, ClampPlace::Neutral(_));
        // A clamp shows no sign: on a neutral take the one that fits the first guess.
        let typical: f64 =
            load_weights.iter().map(|&(load, weight)| weight * self.typical_load(&self.loads[load])).sum();
        let value = if neutral && typical < 0.0 { -reading.value.a().abs() } else { reading.value.a().abs() };
        self.push_current(source, observation, state, value, load_weights);
    }

    /// A current as a sum of loads.
    fn push_current(
        &mut self,
        source: usize,
        observation: &Observation,
        state: usize,
        value: f64,
        load_weights: Vec<(usize, f64)>,
    ) {
        self.obs.push(Obs {
            fact: observation.fact.clone(),
            source,
            state,
            mode: Mode::CurrentSum,
            value,
            sigma: self.priors.instrument.clamp_error_a(value),
            censored: None,
            wrong: self.wrong(LINEAR_WIDTH_A),
            offsets: Vec::new(),
            constant: 0.0,
            weights: Vec::new(),
            own_current: Vec::new(),
            load_weights,
            thermal: None,
        });
    }

    fn feed_of(&self, panel: &model::PanelId, leg: Leg) -> Option<usize> {
        self.res.iter().position(|res| {
            matches!(&res.kind, ResKind::Joint(JointId::Feeder(at, _, on)) if at == panel && *on == leg)
        })
    }

    fn voltage(&mut self, source: usize, observation: &Observation, reading: &VoltageReading) {
        let subject = format!("voltage {} to {} in \"{}\"", reading.from, reading.to, reading.state);
        let Some(state) = self.state_named(&reading.state, source) else { return };
        let (Some(from), Some(to)) = (self.path_to(&reading.from), self.path_to(&reading.to)) else {
            self.note(
                subject,
                "one end is earth or not a conductor of the network; the reading is kept but not used",
            );
            return;
        };
        let system = self.job.installation.panels.first().map_or(System::SplitPhase, |panel| panel.system);
        if system != System::SplitPhase {
            self.note(subject, "leg voltages are weighed for 120/240 V single-phase systems only; not used");
            return;
        }
        if self.job.is_read_off(reading) {
            self.note(subject, "both legs are without voltage: the panel is off, and nothing is told of its supply. Not used.");
            return;
        }
        let signed = |path: &Path, sign: f64| -> Vec<(usize, f64)> {
            // On leg A the neutral's drop adds to the leg's, on leg B it takes away.
            path.through.iter().map(|&res| (res, sign)).collect()
        };
        let (times, mut weights) = match (from.leg, to.leg) {
            (Some(leg), None) | (None, Some(leg)) => {
                let (hot, neutral) = if from.leg.is_some() { (&from, &to) } else { (&to, &from) };
                let mut weights = signed(hot, -1.0);
                weights.extend(signed(neutral, if leg == Leg::A { -1.0 } else { 1.0 }));
                (1.0, weights)
            }
            (Some(a), Some(b)) if a != b => {
                let mut weights = signed(&from, -1.0);
                weights.extend(signed(&to, -1.0));
                (2.0, weights)
            }
            _ => {
                self.note(subject, "both ends are on one conductor; give it as a drop in millivolts");
                return;
            }
        };
        weights.sort_by_key(|&(res, _)| res);
        let instrument = self.priors.instrument.clone();
        let mut sigma = libm::sqrt(times) * instrument.volt_v;
        if from.beyond_panel || to.beyond_panel {
            sigma = libm::sqrt(sigma * sigma + instrument.branch_v * instrument.branch_v);
        }
        let mut value = reading.value.v();
        if self.is_fed_back(reading) {
            self.note(
                subject,
                "this leg swings with the other one, not against it: it is fed back through a 240 V load, and weighed so",
            );
            value = -value.abs();
        }
        let source_v = self.named_offset(SOURCE, instrument.source_v, instrument.source_spread_v);
        let drift = self.named_offset(&format!("drift in \"{}\"", reading.state), 0.0, instrument.drift_v);
        self.obs.push(Obs {
            fact: observation.fact.clone(),
            source,
            state,
            mode: Mode::Electrical,
            value,
            sigma,
            censored: None,
            wrong: self.wrong(LINEAR_WIDTH_V * Self::settles(reading)),
            offsets: vec![(source_v, times), (drift, times)],
            constant: 0.0,
            weights,
            own_current: Vec::new(),
            load_weights: Vec::new(),
            thermal: None,
        });
    }

    /// The offset that is the voltage of the source, and what the middle one of the voltages that were read would have it, V.
    pub(crate) fn source_as_read(&self) -> Option<(usize, f64)> {
        let source = self.offsets.iter().position(|offset| offset.name == SOURCE)?;
        let of_source = |obs: &Obs| {
            let held = obs.offsets.iter().find(|&&(at, _)| at == source);
            held.map(|&(_, times)| obs.value / times)
        };
        let mut volts: Vec<f64> = self.obs.iter().filter_map(of_source).collect();
        // A dead leg tells nothing of the source.
        if volts.iter().any(|&volts| DEAD_V <= volts) {
            volts.retain(|&volts| DEAD_V <= volts);
        }
        volts.sort_by(f64::total_cmp);
        Some((source, *volts.get(volts.len() / 2)?))
    }

    fn named_offset(&mut self, name: &str, mean: f64, sd: f64) -> usize {
        if let Some(found) = self.offsets.iter().position(|offset| offset.name == name) {
            return found;
        }
        self.offsets.push(Offset::normal(name, mean, sd));
        self.offsets.len() - 1
    }

    fn drop_reading(&mut self, source: usize, observation: &Observation, reading: &DropReading) {
        let subject = format!("drop {} to {} in \"{}\"", reading.from, reading.to, reading.state);
        let Some(state) = self.state_named(&reading.state, source) else { return };
        if let (Some(current), Some(slot)) = (reading.current, reading.to.slot())
            && self.is_contested(&reading.state, slot)
        {
            let load_weights =
                self.find(&ResKind::Pole(slot.clone())).map(|res| self.carry[state][res].clone());
            self.push_current(
                source,
                observation,
                state,
                current.a().abs(),
                load_weights.unwrap_or_default(),
            );
        }
        let (Some(from), Some(to)) = (self.path_to(&reading.from), self.path_to(&reading.to)) else {
            self.note(subject, "one end is not a conductor of the network; the drop is kept but not used");
            return;
        };
        if from.leg != to.leg {
            self.note(
                subject,
                "the two ends are not on one conductor; a drop between them means nothing. Not used.",
            );
            return;
        }
        if from.beyond_panel != to.beyond_panel || reading.from.panel() != reading.to.panel() {
            self.note(
                subject,
                "wiring outside of the panel lies between the two ends, a branch's or a feeder's, and takes volts of its own; the \
                 drop is kept but not used. Read from the lug of the same panel, or from a tap in it.",
            );
            return;
        }
        // Further from the source means lower; on the neutral side the load end is the higher one.
        let mut weights: BTreeMap<usize, f64> = BTreeMap::new();
        for &res in &to.through {
            *weights.entry(res).or_insert(0.0) += 1.0;
        }
        for &res in &from.through {
            *weights.entry(res).or_insert(0.0) -= 1.0;
        }
        weights.retain(|_, weight| *weight != 0.0);
        if weights.is_empty() {
            return;
        }
        if from.leg.is_none() {
            self.follow_current(&mut weights, state, &reading.to);
        }
        if self.is_lone_of_another_make(reading) {
            self.note(
                reading.to.to_string(),
                "the breaker is of another make and the only one of its kind that was measured here: its own pole may \
                 lose more than the others do, so this drop alone does not settle whether the stab is burnt",
            );
        }
        let beside = match (reading.current, reading.to.slot()) {
            (Some(current), Some(slot)) => self.own_current(slot, current.a().abs()),
            _ => Vec::new(),
        };
        let current_error = if beside.is_empty() { 0.0 } else { 0.02 };
        let mut own_current = beside;
        own_current.extend(self.at_the_tap(reading));
        let instrument = &self.priors.instrument;
        let value = reading.value.v().abs();
        let relative =
            libm::sqrt(instrument.drop_relative * instrument.drop_relative + current_error * current_error);
        let floor =
            instrument.drop_mv * 1e-3 + if weights.len() > 2 { instrument.bar_mv * 1e-3 } else { 0.0 };
        let sigma = libm::sqrt(relative * relative * value * value + floor * floor);
        self.obs.push(Obs {
            fact: observation.fact.clone(),
            source,
            state,
            mode: Mode::Electrical,
            value,
            sigma,
            censored: None,
            wrong: self.wrong_drop(),
            offsets: Vec::new(),
            constant: 0.0,
            weights: weights.into_iter().collect(),
            own_current,
            load_weights: Vec::new(),
            thermal: None,
        });
    }

    /// A meter shows a drop on the neutral as positive either way, and the trunk of the neutral carries what the legs differ by,
    /// counted positive from leg A: turned to where the circuit's current goes, or, without one, to the first guess.
    fn follow_current(&self, weights: &mut BTreeMap<usize, f64>, state: usize, to: &Place) {
        let is_circuit =
            |res: &usize| matches!(self.res[*res].kind, ResKind::Joint(JointId::NeutralTerminal(_)));
        let turns = match to.slot().and_then(|slot| self.leg_of(slot)) {
            Some(leg) => leg == Leg::B,
            None => {
                let typical: Vec<f64> = self.loads.iter().map(|load| self.typical_load(load)).collect();
                let volts = |(&res, weight): (&usize, &f64)| {
                    weight * self.current(state, res, &typical) * self.res[res].typical_ohm
                };
                weights.iter().map(volts).sum::<f64>() < 0.0
            }
        };
        for (_, weight) in weights.iter_mut().filter(|(res, _)| turns && !is_circuit(res)) {
            *weight = -*weight;
        }
    }

    /// Does a drop pass the pole of a breaker of another make, with no second such breaker of the panel to compare with?
    fn is_lone_of_another_make(&self, reading: &DropReading) -> bool {
        let other_make = |slot: &Slot| {
            let breaker = self.job.installation.breaker_at(slot);
            breaker.is_some_and(|breaker| breaker.other_make == Some(true))
        };
        let Some(slot) = reading.to.slot().filter(|slot| other_make(slot)) else { return false };
        !self.job.observations.iter().any(|observation| match &observation.what {
            Observed::Drop(next) => next
                .to
                .slot()
                .is_some_and(|at| at.panel == slot.panel && at.space != slot.space && other_make(at)),
            _ => false,
        })
    }

    /// Place of a thermal observation.
    pub(crate) fn place_of_obs(&self, idx: usize) -> Option<Place> {
        match &self.observation(self.obs[idx].source).what {
            Observed::Temperature(reading) => Some(reading.place.clone()),
            Observed::Touch(reading) => Some(Place::Face(reading.slot.clone())),
            Observed::Trip(event) => Some(Place::Face(event.slot.clone())),
            _ => None,
        }
    }
}

/// Local temperature at which a breaker opens at a share of its rating, °C; the spread of calibration and opening
/// temperature is the error of the observation. `None` where the current alone explains it.
fn local_heat_for_trip_c(rating: Current, tripped: Current) -> Option<f64> {
    // Held for an hour up to somewhere between 1.05 and 1.35 of the rating at 25 °C: the middle carries the scale.
    const PICKUP: f64 = 1.2;
    let calibration = Calibration { ambient: Temperature::from_c(25.0), opening: Temperature::from_c(110.0) };
    let at_pickup = Current::from_a(rating.a() * PICKUP);
    calibration.local_temperature(at_pickup, tripped).ok().map(|local| local.c())
}
