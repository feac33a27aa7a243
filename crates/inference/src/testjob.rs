//! Small invented jobs for the tests of this crate.

use model::breaker::{Attachment, Breaker, Circuit, Handle, LoadClass, Protection};
use model::conductor::{Conductor, Metal};
use model::evidence::*;
use model::job::{Complaint, ComplaintKind, Exposure, Job, Work};
use model::load::LoadState;
use model::panel::{Bus, Cabinet, Feed, HalfWidth, Panel, Section};
use model::place::Place;
use model::premises::Premises;
use model::{Current, FactId, Leg, PanelId, SectionId, Slot, Space, System, Temperature, Voltage};
use model::{Date, DateTime};

const AT: DateTime = DateTime::constant(2026, 11, 20, 9, 0, 0, 0);

pub(crate) fn slot(number: u16) -> Slot {
    Slot::new(PanelId::new("main"), Space::whole(number))
}

pub(crate) fn breaker(spaces: &[u16], rating_a: f64, class: Option<LoadClass>) -> Breaker {
    Breaker {
        spaces: spaces.iter().map(|&number| Space::whole(number)).collect(),
        rating: Current::from_a(rating_a),
        protection: Protection::ThermalMagnetic,
        attachment: Attachment::PlugOn,
        other_make: None,
        later: None,
        handle: Handle::On,
        circuit: Some(Circuit { class, ..Circuit::default() }),
    }
}

/// A plain main-lug panel without any reading.
pub(crate) fn bare(n_spaces: u16, breakers: Vec<Breaker>) -> Job {
    let panel = Panel {
        id: PanelId::new("main"),
        place: "invented".into(),
        system: System::SplitPhase,
        n_spaces,
        n_columns: 2,
        first_leg: Leg::A,
        bus: Bus { metal: Some(Metal::Aluminium), ..Bus::default() },
        cabinet: Cabinet::default(),
        half_width: HalfWidth::Nowhere,
        year: None,
        moisture: None,
        sections: vec![Section {
            id: SectionId::new("bus"),
            first_row: 0,
            last_row: n_spaces.div_ceil(2) - 1,
            feed: Feed::ServiceLugs,
            feeder: Conductor::default(),
        }],
        breakers,
    };
    Job {
        id: "invented".into(),
        invented: true,
        place: String::new(),
        town: String::new(),
        owner: String::new(),
        opened: Date::constant(2026, 11, 20),
        exposure: Exposure::CoverOff,
        default_panel: Some(PanelId::new("main")),
        calls: Vec::new(),
        complaints: Vec::new(),
        installation: model::installation::Installation { panels: vec![panel], ..Default::default() },
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
    }
}

pub(crate) fn add_state(job: &mut Job, name: &str, room_c: f64) {
    job.load_states.push(LoadState {
        fact: FactId::new(format!("state {name}")),
        name: name.into(),
        at: AT,
        words: String::new(),
        held_min: None,
        room: Some(Temperature::from_c(room_c)),
        unloaded: Vec::new(),
    });
}

pub(crate) fn observe(job: &mut Job, what: Observed) {
    let fact = FactId::new(format!("fact {}", job.observations.len()));
    job.observations.push(Observation { fact, at: AT, by: None, what });
}

/// Work that is meant to last, or a move.
pub(crate) fn work(at: DateTime, slots: &[u16], moved_to: &[u16]) -> Work {
    let slots_of = |numbers: &[u16]| numbers.iter().map(|&number| slot(number)).collect();
    Work {
        fact: FactId::new("work"),
        at,
        words: "breaker replaced".into(),
        slots: slots_of(slots),
        moved_to: slots_of(moved_to),
        expires: None,
        recheck: None,
    }
}

pub(crate) fn face(number: u16, value_c: f64, state: &str) -> Observed {
    Observed::Temperature(TemperatureReading {
        place: Place::Face(slot(number)),
        value: Temperature::from_c(value_c),
        method: TemperatureMethod::Infrared,
        surface: Surface::Matte,
        emissivity: None,
        reflected: None,
        instrument: Some("camera".into()),
        state: state.into(),
    })
}

pub(crate) fn clamp(number: u16, amps: f64, state: &str) -> Observed {
    Observed::Current(CurrentReading {
        place: ClampPlace::Pole(slot(number)),
        value: Current::from_a(amps),
        instrument: None,
        state: state.into(),
    })
}

pub(crate) fn drop(from: u16, to: u16, mv: f64, state: &str) -> Observed {
    drop_between(Place::Load(slot(from)), Place::Load(slot(to)), mv, state)
}

pub(crate) fn drop_between(from: Place, to: Place, mv: f64, state: &str) -> Observed {
    let (value, state) = (Voltage::from_mv(mv), state.into());
    Observed::Drop(DropReading { from, to, value, current: None, instrument: None, state })
}

/// Line lug of a leg against the neutral bar.
pub(crate) fn leg_voltage(leg: Leg, volts: f64, state: &str) -> Observed {
    let panel = || PanelId::new("main");
    Observed::Voltage(VoltageReading {
        from: Place::Lug(panel(), leg),
        to: Place::NeutralBar(panel()),
        value: Voltage::from_v(volts),
        instrument: None,
        state: state.into(),
    })
}

pub(crate) fn taped_lug(leg: Leg, value_c: f64, state: &str) -> Observed {
    Observed::Temperature(TemperatureReading {
        place: Place::Lug(PanelId::new("main"), leg),
        value: Temperature::from_c(value_c),
        method: TemperatureMethod::Contact,
        surface: Surface::Matte,
        emissivity: None,
        reflected: None,
        instrument: Some("probe".into()),
        state: state.into(),
    })
}

pub(crate) fn clamped_line(leg: Leg, amps: f64, state: &str) -> Observed {
    Observed::Current(CurrentReading {
        place: ClampPlace::Line(PanelId::new("main"), leg),
        value: Current::from_a(amps),
        instrument: None,
        state: state.into(),
    })
}

pub(crate) fn sign(sign: Sign, number: u16, present: bool) -> Observed {
    Observed::Sign(SignReading {
        sign,
        scope: SignScope::Slot(slot(number)),
        present,
        words: String::new(),
        photo: None,
    })
}

/// The breakers of [`eight_spaces`] and one reading: so many millivolts from lug A to the load terminal of space 5, with 10 A.
pub(crate) fn lone_drop(mv: f64) -> Job {
    let mut job = bare(8, eight_spaces().installation.panels[0].breakers.clone());
    add_state(&mut job, "evening", 22.0);
    observe(&mut job, clamp(5, 10.0, "evening"));
    let lug = Place::Lug(PanelId::new("main"), Leg::A);
    observe(&mut job, drop_between(lug, Place::Load(slot(5)), mv, "evening"));
    job
}

/// Eight single poles, one state, faces, some clamps, a drop, a touch, signs and a complaint: every kind of evidence.
pub(crate) fn eight_spaces() -> Job {
    let breakers =
        (1..=8).map(|number| breaker(&[number], if number % 3 == 0 { 30.0 } else { 20.0 }, None)).collect();
    let mut job = bare(8, breakers);
    add_state(&mut job, "evening", 22.0);
    job.load_states[0].unloaded.push(slot(8));
    for (number, amps) in [(1, 11.0), (2, 6.0), (3, 19.0), (5, 13.0), (6, 8.0)] {
        observe(&mut job, clamp(number, amps, "evening"));
    }
    for number in 1..=7 {
        observe(&mut job, face(number, 35.0, "evening"));
    }
    // Spaces 3, 4, 7 and 8 are on one leg; 8 is the tap.
    observe(&mut job, drop(8, 3, 120.0, "evening"));
    observe(
        &mut job,
        Observed::Touch(TouchReading {
            slot: slot(3),
            feel: Feel::Warm,
            void: false,
            state: "evening".into(),
        }),
    );
    observe(&mut job, sign(Sign::Discoloration, 5, false));
    observe(&mut job, sign(Sign::Smell, 3, true));
    job.complaints.push(Complaint {
        fact: FactId::new("call"),
        kind: ComplaintKind::Heat,
        slot: Some(slot(3)),
        at: AT,
        words: "it is hot".into(),
    });
    job
}
