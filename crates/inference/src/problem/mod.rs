//! A job turned into unknowns, observations and what ties them together.
//!
//! Unknowns are resistances (of joints, poles and the supply), load currents, offsets (room, instrument, source
//! voltage) and four knobs of each panel's thermal network. Every numeric observation is linear in the
//! resistances once currents and knobs are given; this is what makes the sampler fast.

mod contradictions;
mod currents;
mod dead_leg;
mod electrical;
mod feeder_volts;
pub(crate) mod fit;
mod history;
mod loads;
mod lone_drop;
mod metal;
mod observations;
mod off_voltage;
mod openings;
mod pole_law;
mod resistances;
mod straight;
mod terms;
mod thermal;

pub(crate) use metal::{Answers, Metal};
pub(crate) use openings::Eye;
pub(crate) use pole_law::PoleLaw;
pub(crate) use resistances::modifiers_of;
pub(crate) use thermal::ExactNetworks;

use crate::JudgeOptions;
use crate::priors::{Priors, Tail};
use crate::rng::normal_below;
use crate::warm::Warm;
use model::assessment::Cause;
use model::evidence::Observation;
use model::job::{Complaint, Job};
use model::joint::{Joint, JointId};
use model::trend::Trend;
use model::{FactId, Leg, Note, PanelId, Slot};
use physics::thermal::PanelNetwork;
use std::collections::BTreeMap;

/// Number of knobs of a panel's thermal network.
pub(crate) const N_KNOBS: usize = 4;

/// Which conductor piece a resistance is.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) enum ResKind {
    Joint(JointId),
    SupplyLeg(Leg),
    SupplyNeutral,
    Pole(Slot),
    Main(PanelId, Leg),
    /// First stretch of a branch wire; known, only warms its terminal.
    Wire(Slot),
}

/// Prior law of a resistance; logarithms of ohms.
#[derive(Debug, Clone, PartialEq)]
pub(crate) enum Law {
    /// Lognormal in each class; `odds` are worn and burnt against sound, before clusters; `mild` is the share of burnt
    /// that shows little.
    Conditioned { laws: Laws, odds: [f64; 2], mild: f64 },
    /// Of a pole.
    Pole(PoleLaw),
    /// Known.
    Known,
}

/// Classes of a joint in the sampler: sound, worn, and burnt that shows little or much.
pub(crate) const CLASSES: usize = 4;

/// Laws of a joint's resistance in each class, logarithms of ohms.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Laws {
    pub(crate) mean: [f64; CLASSES],
    pub(crate) sd: [f64; CLASSES],
    /// A part of the worst class of its own.
    pub(crate) film: FilmLaw,
}

/// Burnt joints that a film holds: their share of the worst class, and their logarithm of ohms.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct FilmLaw {
    pub(crate) share: f64,
    pub(crate) mean: f64,
    pub(crate) sd: f64,
}

/// A factor that several poles share, on the logarithm.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Factor {
    pub(crate) sd: f64,
    pub(crate) poles: Vec<usize>,
}

#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Res {
    pub(crate) kind: ResKind,
    pub(crate) law: Law,
    /// Rating behind "heat at rated load", A.
    pub(crate) rated_a: f64,
    /// First guess, or the value where known, Ω.
    pub(crate) typical_ohm: f64,
}

/// Prior law of a load current.
#[derive(Debug, Clone, PartialEq)]
pub(crate) enum LoadLaw {
    Zero,
    Measured {
        a: f64,
        sd: f64,
    },
    /// A share of a scale: of the breaker's rating, or of less where its leg was read dead.
    Unknown {
        scale_a: f64,
        heavy: bool,
    },
}

#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Load {
    pub(crate) state: usize,
    pub(crate) slots: Vec<Slot>,
    pub(crate) law: LoadLaw,
    /// Fact of the clamp reading.
    pub(crate) fact: Option<FactId>,
}

/// An offset, normal or now and then wider: room temperature, instrument bias, source voltage, air gradient.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Offset {
    pub(crate) name: String,
    pub(crate) mean: f64,
    pub(crate) sd: f64,
    /// How often and how much wider it is now and then; `None` for a normal one.
    pub(crate) tail: Option<Tail>,
}

impl Offset {
    pub(crate) fn normal(name: impl Into<String>, mean: f64, sd: f64) -> Self {
        Offset { name: name.into(), mean, sd, tail: None }
    }
}

/// A stretch of time before a reading, with the state that held, recorded or before the record; ages in seconds.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Segment {
    pub(crate) state: usize,
    pub(crate) from_s: f64,
    pub(crate) to_s: f64,
}

/// Part of the steady answer of an observation that a stretch of its history gives, by resistance.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Lag {
    pub(crate) state: usize,
    pub(crate) share: Vec<f64>,
}

/// How an observation depends on resistances.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Mode {
    /// Temperature: Σ a·I²·R.
    Thermal,
    /// Voltage: Σ a·I·R.
    Electrical,
    /// Sum of currents; no resistance.
    CurrentSum,
}

/// An observation whose value is known only to lie in an interval.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Censored {
    pub(crate) low: f64,
    pub(crate) high: f64,
    /// Chance that the event had another reason, so that it tells nothing.
    pub(crate) void_chance: f64,
}

/// Chance that a reading is wrong altogether, and what it could then have shown.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Wrong {
    pub(crate) chance: f64,
    pub(crate) shows: Astray,
}

/// What a reading that is wrong altogether shows.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) enum Astray {
    /// Anything over a width.
    Evenly(f64),
    /// Mostly near a middle, now and then far from it: a Cauchy law.
    Around { middle: f64, scale: f64 },
    /// A quantity whose size can be of any order, up to a largest: between one size and its double as often as between any
    /// other above `usual`.
    OfAnyOrder { usual: f64, most: f64 },
}

impl Wrong {
    /// Density of a value by the reading's being wrong altogether.
    pub(crate) fn density(&self, value: f64) -> f64 {
        let shows = match self.shows {
            Astray::Evenly(width) => 1.0 / width,
            Astray::Around { middle, scale } => {
                let away = (value - middle) / scale;
                1.0 / (core::f64::consts::PI * scale * (1.0 + away * away))
            }
            Astray::OfAnyOrder { usual, most } => {
                1.0 / ((usual + libm::fabs(value)) * libm::log1p(most / usual))
            }
        };
        self.chance * shows
    }
}

#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Obs {
    pub(crate) fact: FactId,
    /// Index into the job's observations.
    pub(crate) source: usize,
    pub(crate) state: usize,
    pub(crate) mode: Mode,
    pub(crate) value: f64,
    pub(crate) sigma: f64,
    pub(crate) censored: Option<Censored>,
    pub(crate) wrong: Wrong,
    pub(crate) offsets: Vec<(usize, f64)>,
    /// Constant part.
    pub(crate) constant: f64,
    /// For electrical ones: weight of each resistance touched.
    pub(crate) weights: Vec<(usize, f64)>,
    /// For electrical ones: resistances whose current was clamped together with the reading.
    pub(crate) own_current: Vec<(usize, f64)>,
    /// For current sums: weight of each load.
    pub(crate) load_weights: Vec<(usize, f64)>,
    /// For thermal ones: which thermal view (state and panel), node, and the pole whose own heat is left out.
    pub(crate) thermal: Option<ThermalSpot>,
}

#[derive(Debug, Clone, PartialEq)]
pub(crate) struct ThermalSpot {
    pub(crate) view: usize,
    pub(crate) node: usize,
    pub(crate) without: Option<usize>,
}

/// One panel in one load state.
#[derive(Debug, Clone)]
pub(crate) struct View {
    pub(crate) panel: usize,
    pub(crate) state: usize,
}

/// A panel's networks: as assumed, then with each knob turned up a little.
#[derive(Debug, Clone)]
pub(crate) struct Thermals {
    pub(crate) networks: Vec<PanelNetwork>,
    /// For each resistance, the nodes that take its heat.
    pub(crate) shares: Vec<Vec<(usize, f64)>>,
    /// Height of each node's row from −1 (bottom) to 1 (top) is in the spots; the air node here.
    pub(crate) air: usize,
}

/// Linearised answer of each observation: intercept and slopes, as assumed and per knob.
#[derive(Debug, Clone, PartialEq, Default)]
pub(crate) struct Linear {
    /// Intercepts: as assumed, then change per unit of each knob's logarithm.
    pub(crate) intercept: [f64; N_KNOBS + 1],
    /// Slopes over the heat of each resistance, K/W, same layout.
    pub(crate) slope: Vec<[f64; N_KNOBS + 1]>,
    /// What the squares and products of the knobs' logarithms add, K; `[a][b]` with b ≤ a.
    pub(crate) bent: [[f64; N_KNOBS]; N_KNOBS],
    /// Stretches of the history with their parts; a state that counts for nothing is left out.
    pub(crate) lags: Vec<Lag>,
}

impl Linear {
    /// What squares and products of the knobs add, K.
    pub(crate) fn bent_k(&self, knobs: &[f64; N_KNOBS]) -> f64 {
        let row = |(a, row): (usize, &[f64; N_KNOBS])| -> f64 {
            knobs[a] * row.iter().zip(knobs).take(a + 1).map(|(factor, knob)| factor * knob).sum::<f64>()
        };
        self.bent.iter().enumerate().map(row).sum()
    }

    /// The slope of that in one knob.
    pub(crate) fn bent_slope_k(&self, at: usize, knobs: &[f64; N_KNOBS]) -> f64 {
        (0..N_KNOBS)
            .map(|other| {
                let twice = if other == at { 2.0 } else { 1.0 };
                twice * self.bent[at.max(other)][at.min(other)] * knobs[other]
            })
            .sum()
    }
}

impl Obs {
    /// Is it a drop in millivolts? Such a reading shares no offset with others.
    pub(crate) fn is_drop(&self) -> bool {
        self.mode == Mode::Electrical && self.offsets.is_empty() && self.censored.is_none()
    }

    /// Is it a voltage? It stands against the source, which has offsets.
    pub(crate) fn is_voltage(&self) -> bool {
        self.mode == Mode::Electrical && !self.offsets.is_empty()
    }

    /// Density of what was read given the prediction: Student t, or anything if the reading is wrong. For an interval, its
    /// probability.
    pub(crate) fn density(&self, predicted: f64, errors: &StudentT) -> f64 {
        match self.censored {
            None => {
                let right = (1.0 - self.wrong.chance) * self.right_density(predicted, errors);
                self.wrong.density(self.value) + right
            }
            Some(censored) => {
                let inside = normal_below((censored.high - predicted) / self.sigma)
                    - normal_below((censored.low - predicted) / self.sigma);
                censored.void_chance + (1.0 - censored.void_chance) * inside
            }
        }
    }

    /// Density of a Student t around the prediction.
    pub(crate) fn right_density(&self, predicted: f64, errors: &StudentT) -> f64 {
        errors.density((self.value - predicted) / self.sigma) / self.sigma
    }
}

/// The law of Student's t, its constants worked out once.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct StudentT {
    pub(crate) nu: f64,
    peak: f64,
    /// ν + 1 where it is a small whole number: powers of a root are quicker then than exponential and logarithm.
    roots: Option<u32>,
}

impl StudentT {
    pub(crate) fn new(nu: f64) -> Self {
        let peak = libm::tgamma(0.5 * (nu + 1.0))
            / (libm::tgamma(0.5 * nu) * libm::sqrt(core::f64::consts::PI * nu));
        let roots = (1..=16).find(|&whole| f64::from(whole) == nu + 1.0);
        StudentT { nu, peak, roots }
    }

    pub(crate) fn density(&self, z: f64) -> f64 {
        let wide = 1.0 + z * z / self.nu;
        match self.roots {
            Some(roots) => {
                let root = 1.0 / libm::sqrt(wide);
                (0..roots).fold(self.peak, |density, _| density * root)
            }
            None => self.peak * libm::exp(-0.5 * (self.nu + 1.0) * libm::log(wide)),
        }
    }
}

/// A noisy OR: a sign, a complaint, or what was found at a joint that was opened.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Term {
    /// What it is, for reasons.
    pub(crate) words: String,
    pub(crate) fact: FactId,
    /// Chance that each joint in each class shows it.
    pub(crate) joints: Vec<(usize, [f64; CLASSES])>,
    pub(crate) elsewhere: f64,
    /// Chance that whoever looked would have noticed none of them, for a reason common to all.
    pub(crate) missed: f64,
    pub(crate) present: bool,
    /// Complaint index, if it is one.
    pub(crate) complaint: Option<usize>,
}

impl Term {
    /// Chance of what was found, where no joint and no other reason shows the sign with the chance `none`.
    pub(crate) fn chance(&self, none: f64) -> f64 {
        let silent = self.missed + (1.0 - self.missed) * none;
        if self.present { 1.0 - silent } else { silent }
    }
}

/// Rival causes of a complaint with their chances.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Rivals {
    pub(crate) complaint: Complaint,
    pub(crate) term: usize,
    pub(crate) chances: Vec<(Cause, f64)>,
    /// What was read that speaks for one of them, in words.
    pub(crate) told: Vec<(Cause, String)>,
}

/// One load state of the problem.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct State {
    pub(crate) name: String,
    pub(crate) room_offset: usize,
}

/// A job made ready for sampling.
#[derive(Debug, Clone)]
pub struct Problem {
    pub(crate) priors: Priors,
    pub(crate) options: JudgeOptions,
    pub(crate) job: Job,
    pub(crate) joints: Vec<Joint>,
    pub(crate) res: Vec<Res>,
    /// The first so many resistances have a condition.
    pub(crate) n_conditioned: usize,
    pub(crate) states: Vec<State>,
    pub(crate) loads: Vec<Load>,
    /// `carry[state][res]`: loads that flow through the resistance, with sign.
    pub(crate) carry: Vec<Vec<Vec<(usize, f64)>>>,
    pub(crate) offsets: Vec<Offset>,
    pub(crate) gradient_offset: Vec<usize>,
    /// Offset of the cabinet air in each view.
    pub(crate) air_offset: Vec<usize>,
    /// Offset of each pole whose temperature was read.
    pub(crate) pole_offset: BTreeMap<Slot, usize>,
    /// History of each recorded state, the latest stretch first.
    pub(crate) history: Vec<Vec<Segment>>,
    /// Mean part of each stretch in each view: heats mixed so put the full network near the truth.
    pub(crate) mix: Vec<Vec<(usize, f64)>>,
    pub(crate) obs: Vec<Obs>,
    pub(crate) views: Vec<View>,
    pub(crate) thermals: Vec<Thermals>,
    pub(crate) knob_sd: [f64; N_KNOBS],
    /// Law of the errors of readings.
    pub(crate) errors: StudentT,
    pub(crate) linear: Vec<Linear>,
    /// Metal whose temperature can be read; which of it each observation is of, and in which of it the heat of each resistance arises.
    pub(crate) metals: Vec<Metal>,
    pub(crate) metal_of_obs: Vec<Option<usize>>,
    pub(crate) metal_of_res: Vec<Option<usize>>,
    /// Factors that poles share.
    pub(crate) factors: Vec<Factor>,
    /// Finger index of each conditioned resistance that sits on one.
    pub(crate) finger_of: Vec<Option<usize>>,
    pub(crate) n_fingers: usize,
    /// Pairs of resistances that can stand in for each other.
    pub(crate) pairs: Vec<(usize, usize)>,
    pub(crate) terms: Vec<Term>,
    pub(crate) rivals: Vec<Rivals>,
    pub(crate) notes: Vec<Note>,
    /// Places read at two visits or more.
    pub(crate) trends: Vec<Trend>,
    /// State in which the joints carry most, by first guesses.
    pub(crate) background: Vec<Vec<f64>>,
}

impl Problem {
    /// Turns a job into a problem, its networks linearised at first guesses.
    #[cfg(test)]
    pub(crate) fn new(job: &Job, priors: Priors, options: JudgeOptions) -> Self {
        let mut problem = Problem::built(job, priors, options);
        problem.linearise_at(None);
        problem
    }

    /// Turns a job into a problem, its networks not linearised yet.
    pub(crate) fn built(job: &Job, priors: Priors, options: JudgeOptions) -> Self {
        let discrepancy = &priors.discrepancy;
        let knob_sd = [
            discrepancy.film_spread,
            discrepancy.cabinet_spread,
            discrepancy.path_spread,
            discrepancy.neck_spread,
        ];
        let mut problem = Problem {
            options,
            job: job.clone(),
            joints: model::joint::joints(&job.installation),
            res: Vec::new(),
            n_conditioned: 0,
            states: Vec::new(),
            loads: Vec::new(),
            carry: Vec::new(),
            offsets: Vec::new(),
            gradient_offset: Vec::new(),
            air_offset: Vec::new(),
            pole_offset: BTreeMap::new(),
            history: Vec::new(),
            mix: Vec::new(),
            obs: Vec::new(),
            views: Vec::new(),
            thermals: Vec::new(),
            knob_sd,
            errors: StudentT::new(priors.instrument.degrees_of_freedom),
            linear: Vec::new(),
            metals: Vec::new(),
            metal_of_obs: Vec::new(),
            metal_of_res: Vec::new(),
            factors: Vec::new(),
            finger_of: Vec::new(),
            n_fingers: 0,
            pairs: Vec::new(),
            terms: Vec::new(),
            rivals: Vec::new(),
            notes: Vec::new(),
            trends: Vec::new(),
            background: Vec::new(),
            priors,
        };
        problem.build_resistances();
        problem.build_loads();
        problem.build_thermals();
        problem.build_observations();
        problem.pair_what_drops_leave_open();
        problem.tell_of_feeders();
        problem.doubt_what_cannot_be_held();
        problem.flag_contradictions();
        problem.build_metals();
        problem.build_terms();
        problem.build_openings();
        problem
    }

    /// Linearises the networks where an earlier judgement ended, or at first guesses.
    pub(crate) fn linearise_at(&mut self, warm: Option<&Warm>) {
        let mean = warm.map(Warm::mean);
        let mean = mean.as_ref();
        let start: Vec<f64> = self
            .res
            .iter()
            .map(|res| mean.and_then(|mean| mean.ohm.get(&res.kind)).map_or(res.typical_ohm, |at| at.0))
            .collect();
        let currents: Vec<f64> = (0..self.loads.len())
            .map(|load| {
                let known = self.load_keys(load).first().and_then(|key| mean?.loads.get(key).copied());
                match self.loads[load].law {
                    LoadLaw::Unknown { .. } => known.unwrap_or_else(|| self.typical_load(&self.loads[load])),
                    LoadLaw::Zero | LoadLaw::Measured { .. } => self.typical_load(&self.loads[load]),
                }
            })
            .collect();
        self.linearise(&start, &currents);
    }

    /// Index of a resistance.
    pub(crate) fn find(&self, kind: &ResKind) -> Option<usize> {
        self.res.iter().position(|res| res.kind == *kind)
    }

    /// Current through a resistance in a state, A; signed for neutrals.
    pub(crate) fn current(&self, state: usize, res: usize, loads: &[f64]) -> f64 {
        self.carry[state][res].iter().map(|&(load, weight)| weight * loads[load]).sum()
    }

    /// The observation of the job behind an index.
    pub(crate) fn observation(&self, idx: usize) -> &Observation {
        &self.job.observations[idx]
    }

    fn note(&mut self, subject: impl Into<String>, text: impl Into<String>) {
        let note = Note::new(subject, text);
        if !self.notes.contains(&note) {
            self.notes.push(note);
        }
    }
}
