//! The resistances of a job, their priors, shared fingers and pairs that can stand in for each other.

use super::{Factor, FilmLaw, Law, Laws, PoleLaw, Problem, Res, ResKind};
use crate::priors::{ByCondition, Odds};
use model::breaker::LoadClass;
use model::conductor::Metal;
use model::installation::Installation;
use model::joint::JointId;
use model::panel::{Feed, Panel};
use model::{Current, PanelId, Slot, System};
use physics::breaker::loss::pole_resistance_prior;
use physics::thermal::{Knobs, PanelNetwork};
use std::collections::BTreeMap;

impl Problem {
    pub(super) fn build_resistances(&mut self) {
        for joint in self.joints.clone() {
            let res = self.joint_resistance(&joint.id);
            self.res.push(res);
        }
        let service_a = self.service_rating_a();
        let legs =
            self.job.installation.panels.first().map_or(System::SplitPhase, |panel| panel.system).legs();
        for &leg in legs {
            let (law, typical_ohm) = self.conditioned("supply-leg", &[]);
            self.res.push(Res { kind: ResKind::SupplyLeg(leg), law, rated_a: service_a, typical_ohm });
        }
        let (law, typical_ohm) = self.conditioned("supply-neutral", &[]);
        self.res.push(Res { kind: ResKind::SupplyNeutral, law, rated_a: service_a, typical_ohm });
        self.n_conditioned = self.res.len();
        self.build_poles();
        self.build_factors();
        self.build_fingers();
        self.build_pairs();
    }

    fn service_rating_a(&self) -> f64 {
        let installation = &self.job.installation;
        let main = installation.panels.iter().flat_map(|panel| &panel.sections).find_map(|section| {
            match section.feed {
                Feed::MainBreaker { rating } => Some(rating.a()),
                _ => None,
            }
        });
        let bus = installation.panels.first().and_then(|panel| panel.bus.rating).map(|rating| rating.a());
        installation.service.rating.map(|rating| rating.a()).or(main).or(bus).unwrap_or(100.0)
    }

    fn joint_resistance(&self, id: &JointId) -> Res {
        let installation = &self.job.installation;
        let panel = installation.panel(id.panel());
        let breaker = id.slot().and_then(|slot| installation.breaker_at(slot));
        let modifiers = modifiers_of(installation, id);
        let (law, typical_ohm) = self.conditioned(id.kind().word(), &modifiers);
        let rated_a = match (id, breaker, panel) {
            (JointId::Stab(_) | JointId::Terminal(_) | JointId::NeutralTerminal(_), Some(breaker), _) => {
                breaker.rating.a()
            }
            (JointId::Feeder(_, section, _), _, Some(panel)) => {
                match panel.section(section).map(|section| &section.feed) {
                    Some(Feed::MainBreaker { rating }) => rating.a(),
                    Some(Feed::Breaker { slot }) => {
                        installation.breaker_at(slot).map_or(60.0, |breaker| breaker.rating.a())
                    }
                    _ => self.service_rating_a(),
                }
            }
            (_, _, Some(panel)) => self.panel_rating_a(panel),
            _ => self.service_rating_a(),
        };
        Res { kind: ResKind::Joint(id.clone()), law, rated_a, typical_ohm }
    }

    fn panel_rating_a(&self, panel: &Panel) -> f64 {
        match panel.sections.first().map(|section| &section.feed) {
            Some(Feed::MainBreaker { rating }) => rating.a(),
            Some(Feed::Breaker { slot }) => {
                self.job.installation.breaker_at(slot).map_or(60.0, |breaker| breaker.rating.a())
            }
            _ => self.service_rating_a(),
        }
    }

    /// What the description of panel and breaker adds to the odds of burnt: words and factor.
    pub(crate) fn modifiers_for(&self, res: usize) -> Vec<(String, f64)> {
        let ResKind::Joint(id) = &self.res[res].kind else { return Vec::new() };
        modifiers_of(&self.job.installation, id)
            .into_iter()
            .map(|name| {
                let modifier = self.priors.modifier(name);
                (format!("{}: {}", name.replace('-', " "), modifier.because), modifier.burnt)
            })
            .collect()
    }

    fn conditioned(&self, kind: &str, modifiers: &[&'static str]) -> (Law, f64) {
        let ByCondition { sound, worn, burnt } = self.priors.resistance(kind);
        let log_ohm = |median_mohm: f64| libm::log(median_mohm * 1e-3);
        let Odds { worn: mut worn_odds, burnt: mut burnt_odds, .. } = self.priors.odds(kind).clone();
        for name in modifiers {
            let modifier = self.priors.modifier(name);
            worn_odds *= modifier.worn;
            burnt_odds *= modifier.burnt;
        }
        let (mild, mild_ohm, mild_spread) =
            burnt.mild.map_or((0.0, burnt.median_mohm, burnt.spread), |mild| {
                (mild.share, mild.median_mohm, mild.spread)
            });
        let film = burnt
            .film
            .map_or(FilmLaw { share: 0.0, mean: log_ohm(burnt.median_mohm), sd: burnt.spread }, |film| {
                FilmLaw { share: film.share, mean: log_ohm(film.median_mohm), sd: film.spread }
            });
        let laws = Laws {
            mean: [sound.median_mohm, worn.median_mohm, mild_ohm, burnt.median_mohm].map(log_ohm),
            sd: [sound.spread, worn.spread, mild_spread, burnt.spread],
            film,
        };
        let law = Law::Conditioned { laws, odds: [worn_odds, burnt_odds], mild };
        (law, sound.median_mohm * 1e-3)
    }

    fn build_poles(&mut self) {
        let installation = self.job.installation.clone();
        let own_contacts = self.priors.pole.own_contacts;
        let mut add = |kind: ResKind, rated_a: f64, sd: f64, of_limit: f64| {
            let rating = Current::from_a(rated_a.clamp(0.5, 400.0));
            let typical_ohm =
                of_limit * pole_resistance_prior(rating).map_or(0.01, |prior| prior.median.ohm());
            let law = Law::Pole(PoleLaw { mean: libm::log(typical_ohm), sd, own_contacts });
            self.res.push(Res { kind, law, rated_a, typical_ohm });
        };
        let pole = self.priors.pole.clone();
        let of_limit = pole.of_limit;
        for panel in &installation.panels {
            for section in &panel.sections {
                if let Feed::MainBreaker { rating } = section.feed {
                    for &leg in panel.system.legs() {
                        add(ResKind::Main(panel.id.clone(), leg), rating.a(), pole.own_spread, of_limit);
                    }
                }
            }
            for breaker in &panel.breakers {
                let other = breaker.other_make == Some(true);
                let sd = if other { pole.own_spread_other_make } else { pole.own_spread };
                for &space in &breaker.spaces {
                    add(ResKind::Pole(Slot::new(panel.id.clone(), space)), breaker.rating.a(), sd, of_limit);
                }
            }
        }
        for panel in &installation.panels {
            let network = PanelNetwork::new(&installation, panel, &Knobs::default());
            for breaker in &panel.breakers {
                for &space in &breaker.spaces {
                    let typical_ohm = network.wire_ohm(space);
                    if typical_ohm > 0.0 {
                        let kind = ResKind::Wire(Slot::new(panel.id.clone(), space));
                        self.res.push(Res {
                            kind,
                            law: Law::Known,
                            rated_a: breaker.rating.a(),
                            typical_ohm,
                        });
                    }
                }
            }
        }
    }

    /// Factors shared by the poles of one frame in one panel, and by those of one rating among them.
    fn build_factors(&mut self) {
        let mut frames: BTreeMap<(PanelId, u8), Vec<usize>> = BTreeMap::new();
        let mut ratings: BTreeMap<(PanelId, u8, u32), Vec<usize>> = BTreeMap::new();
        for (idx, res) in self.res.iter().enumerate() {
            let (panel, frame) = match &res.kind {
                ResKind::Main(panel, _) => (panel, 2),
                ResKind::Pole(slot) => {
                    let breaker = self.job.installation.breaker_at(slot);
                    let other = breaker.is_some_and(|breaker| breaker.other_make == Some(true));
                    (&slot.panel, u8::from(other))
                }
                _ => continue,
            };
            frames.entry((panel.clone(), frame)).or_default().push(idx);
            if frame < 2 {
                let rating = (10.0 * res.rated_a) as u32;
                ratings.entry((panel.clone(), frame, rating)).or_default().push(idx);
            }
        }
        let pole = &self.priors.pole;
        let (frame_sd, rating_sd) = (pole.common_spread, pole.rating_spread);
        self.factors = frames
            .into_values()
            .map(|poles| Factor { sd: frame_sd, poles })
            .chain(ratings.into_values().map(|poles| Factor { sd: rating_sd, poles }))
            .collect();
    }

    /// Stabs of one row share a finger.
    fn build_fingers(&mut self) {
        self.finger_of = vec![None; self.n_conditioned];
        let mut fingers = BTreeMap::new();
        for (idx, res) in self.res.iter().enumerate().take(self.n_conditioned) {
            let ResKind::Joint(JointId::Stab(slot)) = &res.kind else { continue };
            let Some(panel) = self.job.installation.panel(&slot.panel) else { continue };
            let next = fingers.len();
            let finger = *fingers.entry((slot.panel.clone(), panel.row_of(slot.space))).or_insert(next);
            self.finger_of[idx] = Some(finger);
        }
        self.n_fingers = fingers.len();
    }

    fn build_pairs(&mut self) {
        let mut pairs = Vec::new();
        for idx in 0..self.n_conditioned {
            let ResKind::Joint(id) = &self.res[idx].kind else { continue };
            match id {
                JointId::Stab(slot) => {
                    let partners = [
                        self.find(&ResKind::Joint(JointId::Terminal(slot.clone()))),
                        self.find(&ResKind::Pole(slot.clone())),
                    ];
                    pairs.extend(partners.into_iter().flatten().map(|other| (idx, other)));
                    for other in idx + 1..self.n_conditioned {
                        if let ResKind::Joint(JointId::Stab(next)) = &self.res[other].kind
                            && self.are_close(slot, next)
                        {
                            pairs.push((idx, other));
                        }
                    }
                }
                JointId::Terminal(slot) => {
                    pairs.extend(self.find(&ResKind::Pole(slot.clone())).map(|other| (idx, other)));
                }
                JointId::Lug(panel, leg) => {
                    pairs.extend(self.find(&ResKind::SupplyLeg(*leg)).map(|other| (idx, other)));
                    pairs.extend(self.trunk_joints(panel, idx).map(|other| (idx, other)));
                }
                JointId::NeutralLug(_) => {
                    pairs.extend(self.find(&ResKind::SupplyNeutral).map(|other| (idx, other)));
                }
                // All neutral terminals warm one bar: each can stand in for the lug, and so for one another.
                JointId::NeutralTerminal(slot) => {
                    let lug = JointId::NeutralLug(slot.panel.clone());
                    pairs.extend(self.find(&ResKind::Joint(lug)).map(|other| (idx, other)));
                }
                JointId::Feeder(panel, _, leg) => {
                    pairs.extend(self.find(&ResKind::Main(panel.clone(), *leg)).map(|other| (idx, other)));
                    pairs.extend(self.trunk_joints(panel, idx).map(|other| (idx, other)));
                }
            }
        }
        self.pairs = pairs;
    }

    /// Lugs and feeder joints of a panel that come after this one: they carry the same currents and warm the same bars.
    fn trunk_joints(&self, panel: &PanelId, after: usize) -> impl Iterator<Item = usize> {
        (after + 1..self.n_conditioned).filter(move |&other| {
            matches!(&self.res[other].kind, ResKind::Joint(JointId::Lug(at, _) | JointId::Feeder(at, ..)) if at == panel)
        })
    }

    /// On one finger, or one above the other in a column.
    fn are_close(&self, a: &Slot, b: &Slot) -> bool {
        let Some(panel) = self.job.installation.panel(&a.panel) else { return false };
        if a.panel != b.panel {
            return false;
        }
        let rows = panel.row_of(a.space).abs_diff(panel.row_of(b.space));
        rows == 0 || rows == 1 && panel.column_of(a.space) == panel.column_of(b.space)
    }
}

/// What of the description changes the odds of a joint, as the data files name it.
pub(crate) fn modifiers_of(installation: &Installation, id: &JointId) -> Vec<&'static str> {
    let panel = installation.panel(id.panel());
    let breaker = id.slot().and_then(|slot| installation.breaker_at(slot));
    let mut names = Vec::new();
    let on_bus = matches!(id, JointId::Stab(_) | JointId::Feeder(..));
    if let (Some(panel), true) = (panel, on_bus) {
        match panel.bus.metal {
            Some(Metal::Aluminium | Metal::CopperCladAluminium) => names.push("aluminium-bus"),
            Some(Metal::Copper) => names.push("copper-bus"),
            None => {}
        }
    }
    if panel.is_some_and(|panel| panel.moisture == Some(true)) {
        names.push("moisture");
    }
    let Some(breaker) = breaker else { return names };
    if matches!(id, JointId::Stab(_)) {
        if breaker.other_make == Some(true) {
            names.push("other-make");
        }
        if breaker.later == Some(true) {
            names.push("later");
        }
    }
    let class = breaker.circuit.as_ref().and_then(|circuit| circuit.class);
    let slot = id.slot().cloned();
    let feeds_section = slot.is_some_and(|slot| installation.sections_fed_by(&slot).next().is_some());
    if feeds_section || class.is_some_and(LoadClass::is_heavy) {
        names.push("heavy-load");
    } else if class == Some(LoadClass::General) && breaker.rating.a() <= 20.0 {
        names.push("light-load");
    }
    if breaker.circuit.is_none() && !feeds_section || class == Some(LoadClass::Spare) {
        names.push("spare");
    }
    if let (JointId::Terminal(_) | JointId::NeutralTerminal(_), Some(circuit)) = (id, &breaker.circuit) {
        let aluminium =
            matches!(circuit.conductor.metal, Some(Metal::Aluminium | Metal::CopperCladAluminium));
        if aluminium {
            names.push("aluminium-wire");
        }
        if circuit.doubled == Some(true) {
            names.push("doubled-wire");
        }
    }
    names
}
