//! Jobs and findings made by hand, for the tests of this crate.

use crate::{Decision, Findings, Policy, decide};
use model::assessment::{
    Cause, CauseFinding, ComplaintFinding, ConditionProbability, Interval, JointFinding, SupplyFinding,
};
use model::breaker::{Attachment, Breaker, Circuit, Handle, LoadClass, Protection};
use model::conductor::{Conductor, Metal};
use model::evidence::{Observation, Observed, Sign, SignReading, SignScope, VoltageReading};
use model::id::{FactId, PanelId, SectionId, Slot, Space};
use model::installation::Installation;
use model::job::{Complaint, ComplaintKind, Exposure, Job};
use model::joint::joints;
use model::panel::{Bus, Cabinet, Feed, HalfWidth, Panel, Section};
use model::place::Place;
use model::premises::Premises;
use model::quantity::{Current, Voltage};
use model::service::Service;
use model::system::{Leg, System};
use model::trend::Trend;
use model::{Date, DateTime};

/// A job with its findings, to be altered by a test.
pub(crate) struct Sample {
    pub(crate) job: Job,
    pub(crate) joints: Vec<JointFinding>,
    pub(crate) supply: Vec<SupplyFinding>,
    pub(crate) causes: Vec<ComplaintFinding>,
    pub(crate) unexplained: Vec<FactId>,
    pub(crate) trends: Vec<Trend>,
}

fn noon() -> DateTime {
    DateTime::constant(2025, 11, 20, 12, 0, 0, 0)
}

fn breaker(spaces: &[u16], rating: f64, feeds: &str, class: Option<LoadClass>) -> Breaker {
    let circuit = Circuit {
        feeds: feeds.to_owned(),
        class,
        uses_neutral: Some(spaces.len() == 1),
        ..Circuit::default()
    };
    Breaker {
        spaces: spaces.iter().map(|&number| Space::whole(number)).collect(),
        rating: Current::from_a(rating),
        protection: Protection::ThermalMagnetic,
        attachment: Attachment::PlugOn,
        other_make: Some(false),
        later: Some(false),
        handle: Handle::On,
        circuit: Some(circuit),
    }
}

/// Panel `main` with one main breaker, 12 spaces, copper bus: lights in 1 and 2, a dryer in 3/5, a kitchen in 4.
/// Every joint sound and observed.
pub(crate) fn sound_panel() -> Sample {
    let rating = Current::from_a(100.0);
    let section = Section {
        id: SectionId::new("whole"),
        first_row: 0,
        last_row: 5,
        feed: Feed::MainBreaker { rating },
        feeder: Conductor::default(),
    };
    let panel = Panel {
        id: PanelId::new("main"),
        place: "cellar".to_owned(),
        system: System::SplitPhase,
        n_spaces: 12,
        n_columns: 2,
        first_leg: Leg::A,
        bus: Bus { metal: Some(Metal::Copper), plating: None, rating: None },
        cabinet: Cabinet::default(),
        half_width: HalfWidth::Nowhere,
        year: None,
        moisture: Some(false),
        sections: vec![section],
        breakers: vec![
            breaker(&[1], 15.0, "lights, upstairs", Some(LoadClass::General)),
            breaker(&[2], 15.0, "lights, downstairs", Some(LoadClass::General)),
            breaker(&[3, 5], 30.0, "dryer", Some(LoadClass::Dryer)),
            breaker(&[4], 20.0, "kitchen", Some(LoadClass::SmallAppliance)),
        ],
    };
    Sample::of(vec![panel])
}

/// The same panel split: rows 0 and 1 are the upper section on service lugs, with the section main in 2/4; the
/// rest hangs on it.
pub(crate) fn split_bus() -> Sample {
    let mut panel = sound_panel().job.installation.panels.remove(0);
    let main = PanelId::new("main");
    let lower = Section {
        first_row: 2,
        feed: Feed::Breaker { slot: Slot::new(main, Space::whole(2)) },
        id: SectionId::new("lower"),
        ..panel.sections[0].clone()
    };
    panel.sections[0] = Section {
        last_row: 1,
        feed: Feed::ServiceLugs,
        id: SectionId::new("upper"),
        ..panel.sections[0].clone()
    };
    panel.sections.push(lower);
    let mut section_main = breaker(&[2, 4], 60.0, "", None);
    section_main.circuit = None;
    panel.breakers = vec![
        breaker(&[1, 3], 30.0, "water heater", Some(LoadClass::WaterHeater)),
        section_main,
        breaker(&[5], 15.0, "lights", Some(LoadClass::General)),
        breaker(&[6], 20.0, "kitchen", Some(LoadClass::SmallAppliance)),
    ];
    Sample::of(vec![panel])
}

impl Sample {
    pub(crate) fn of(panels: Vec<Panel>) -> Sample {
        let installation = Installation { service: Service::default(), panels };
        let small = Interval { low: 0.01, median: 0.05, high: 0.2 };
        let finding = |joint| JointFinding {
            joint,
            probability: ConditionProbability {
                sound: 0.97,
                worn: 0.02,
                burnt: 0.01,
                burnt_standard_error: 0.001,
            },
            prior_burnt: 0.02,
            resistance_mohm: Interval { low: 0.05, median: 0.2, high: 0.5 },
            heat_now_w: Some(small),
            current_now_a: Some(Interval { low: 9.0, median: 10.0, high: 11.0 }),
            heat_rated_w: small,
            current_rated_a: 20.0,
            hot_spot_c: None,
            reasons: Vec::new(),
            observed: true,
        };
        let joints = joints(&installation).into_iter().map(finding).collect();
        let job = Job {
            id: "T-1".to_owned(),
            invented: true,
            place: "a house".to_owned(),
            town: "Invented".to_owned(),
            owner: "the owner".to_owned(),
            opened: Date::constant(2025, 11, 20),
            exposure: Exposure::CoverOn,
            default_panel: Some(PanelId::new("main")),
            calls: Vec::new(),
            complaints: Vec::new(),
            installation,
            load_states: Vec::new(),
            observations: Vec::new(),
            photos: Vec::new(),
            decisions: Vec::new(),
            work: Vec::new(),
            openings: Vec::new(),
            handles: Vec::new(),
            cuts: Vec::new(),
            sources: Vec::new(),
            proofs: Vec::new(),
            premises: Premises::default(),
            interims: Vec::new(),
            promises: Vec::new(),
            kept: Vec::new(),
            replacement: model::replacement::Replacement::default(),
            install: model::install::Install::default(),
            doubts: Vec::new(),
        };
        Sample {
            job,
            joints,
            supply: Vec::new(),
            causes: Vec::new(),
            unexplained: Vec::new(),
            trends: Vec::new(),
        }
    }

    /// Sets the probability of burnt of a joint.
    pub(crate) fn burnt(mut self, id: &str, burnt: f64) -> Sample {
        let finding = self.joints.iter_mut().find(|finding| finding.joint.id.to_string() == id);
        let finding = finding.unwrap_or_else(|| unreachable!("the sample has no joint {id}"));
        finding.probability = ConditionProbability {
            sound: (1.0 - burnt) * 0.8,
            worn: (1.0 - burnt) * 0.2,
            burnt,
            burnt_standard_error: 0.004,
        };
        self
    }

    /// Adds a sign that was found.
    pub(crate) fn sign(mut self, sign: Sign) -> Sample {
        let scope = SignScope::Panel(PanelId::new("main"));
        let what =
            Observed::Sign(SignReading { sign, scope, present: true, words: String::new(), photo: None });
        self.job.observations.push(observation(what));
        self
    }

    /// Adds what was observed.
    pub(crate) fn observed(mut self, what: Observed) -> Sample {
        self.job.observations.push(observation(what));
        self
    }

    /// Adds a voltage from the lug of leg A to the neutral bar.
    pub(crate) fn leg_voltage(mut self, volts: f64) -> Sample {
        let panel = PanelId::new("main");
        let what = Observed::Voltage(VoltageReading {
            from: Place::Lug(panel.clone(), Leg::A),
            to: Place::NeutralBar(panel),
            value: Voltage::from_v(volts),
            instrument: None,
            state: "evening".to_owned(),
        });
        self.job.observations.push(observation(what));
        self
    }

    /// Adds a failing path of the supply.
    pub(crate) fn failing(mut self, path: &str, failing: f64) -> Sample {
        let resistance_mohm = Interval { low: 100.0, median: 200.0, high: 300.0 };
        self.supply.push(SupplyFinding {
            path: path.to_owned(),
            resistance_mohm,
            failing,
            reasons: Vec::new(),
        });
        self
    }

    /// Adds a complaint about space 4 with one cause.
    pub(crate) fn cause(mut self, cause: Cause, probability: f64) -> Sample {
        let found = CauseFinding {
            cause,
            probability,
            reasons: vec!["26 A on a 20 A breaker".to_owned()],
            joints: Vec::new(),
        };
        self.causes.push(ComplaintFinding {
            kind: ComplaintKind::Trips,
            words: "it trips".to_owned(),
            slot: Some(Slot::new(PanelId::new("main"), Space::whole(4))),
            causes: vec![found],
            separates: None,
        });
        self
    }

    /// Adds a complaint about the whole house with its causes.
    pub(crate) fn complaint(mut self, kind: ComplaintKind, causes: &[(Cause, f64)]) -> Sample {
        let words = "as the caller said".to_owned();
        let fact = FactId::new("c1");
        self.job.complaints.push(Complaint { fact, kind, slot: None, at: noon(), words: words.clone() });
        let of = |&(cause, probability): &(Cause, f64)| CauseFinding {
            cause,
            probability,
            reasons: Vec::new(),
            joints: Vec::new(),
        };
        let causes = causes.iter().map(of).collect();
        self.causes.push(ComplaintFinding { kind, words, slot: None, causes, separates: None });
        self
    }

    /// What was found.
    pub(crate) fn findings(&self) -> Findings<'_> {
        Findings {
            joints: &self.joints,
            supply: &self.supply,
            causes: &self.causes,
            next_checks: &[],
            unexplained: &self.unexplained,
            trends: &self.trends,
        }
    }

    /// The decision under the standard policy.
    pub(crate) fn decide(&self) -> Decision {
        self.decide_under(&Policy::standard())
    }

    /// The decision under a policy.
    pub(crate) fn decide_under(&self, policy: &Policy) -> Decision {
        decide(&self.job, &self.findings(), policy)
    }
}

fn observation(what: Observed) -> Observation {
    Observation { fact: FactId::new("f1"), at: noon(), by: None, what }
}
