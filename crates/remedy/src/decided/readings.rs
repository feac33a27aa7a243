//! Readings that press by themselves: drops, touches, unlike poles, growth between visits.

use super::{choice, urgency};
use crate::sample::{Sample, sound_panel};
use model::advice::{ChoiceKind, Standing, Urgency};
use model::assessment::Interval;
use model::evidence::{
    ClampPlace, CurrentReading, DropReading, Feel, Observed, Surface, TemperatureMethod, TemperatureReading,
    TouchReading,
};
use model::id::{FactId, PanelId, Slot, Space};
use model::load::LoadState;
use model::place::Place;
use model::quantity::{Current, Temperature, Voltage};
use model::trend::{Change, Compared, Trend, Visited};
use model::{Date, Leg};

fn main() -> PanelId {
    PanelId::new("main")
}

fn slot(number: u16) -> Slot {
    Slot::new(main(), Space::whole(number))
}

fn state() -> String {
    "evening".to_owned()
}

/// With the readings' state on record, in a room of 21 °C.
fn in_the_evening(readings: Vec<Observed>) -> Sample {
    let mut sample = readings.into_iter().fold(sound_panel(), |sample, what| sample.observed(what));
    sample.job.load_states.push(LoadState {
        fact: FactId::new("evening"),
        name: state(),
        at: jiff::civil::date(2026, 3, 4).at(18, 0, 0, 0),
        words: String::new(),
        held_min: None,
        room: Some(Temperature::from_c(21.0)),
        unloaded: Vec::new(),
    });
    sample
}

fn drop(from: Place, to: Place, mv: f64, amps: f64) -> Observed {
    let value = Voltage::from_v(1e-3 * mv);
    let current = Some(Current::from_a(amps));
    Observed::Drop(DropReading { from, to, value, current, instrument: None, state: state() })
}

fn clamp(number: u16, amps: f64) -> Observed {
    let (place, value) = (ClampPlace::Pole(slot(number)), Current::from_a(amps));
    Observed::Current(CurrentReading { place, value, instrument: None, state: state() })
}

fn face(number: u16, value_c: f64) -> Observed {
    Observed::Temperature(TemperatureReading {
        place: Place::Face(slot(number)),
        value: Temperature::from_c(value_c),
        method: TemperatureMethod::Infrared,
        surface: Surface::Matte,
        emissivity: None,
        reflected: None,
        instrument: None,
        state: state(),
    })
}

/// With all findings held, a larger drop is never less urgent; the largest are as urgent as a burnt joint there.
#[test]
fn a_worse_drop_is_never_less_urgent() {
    let sweep = |from: &Place, to: &Place, amps: f64, worst: Urgency| {
        let mut before = Urgency::NoAction;
        for mv in (50..=1000).step_by(50) {
            let sample = in_the_evening(vec![drop(from.clone(), to.clone(), f64::from(mv), amps)]);
            let now = urgency(&sample);
            assert!(now <= before, "{mv} mV at {to}: {now:?} after {before:?}");
            before = now;
        }
        assert_eq!(before, worst, "{to}");
    };
    let lug = |leg| Place::Lug(main(), leg);
    sweep(&Place::Load(slot(4)), &Place::Wire(slot(4)), 11.0, Urgency::Within72Hours);
    sweep(&Place::Line(main(), Leg::A), &lug(Leg::A), 32.0, Urgency::Now);
    sweep(&lug(Leg::B), &Place::Load(slot(4)), 15.0, Urgency::Within72Hours);
}

#[test]
fn a_drop_across_one_joint_presses_by_its_watts() {
    let terminal = |mv: f64| {
        in_the_evening(vec![drop(Place::Wire(slot(4)), Place::Load(slot(4)), mv, 11.0)]).decide().verdict
    };
    // 70 mV at 20 A is what a sound one may lose: 38 mV at 11 A. 130 mV is 1.01 W beyond that.
    assert_eq!(terminal(125.0).urgency, Urgency::NoAction);
    let told = terminal(600.0);
    assert_eq!(told.urgency, Urgency::Within72Hours);
    assert!(
        told.rules[0].because.contains("600 mV across the load terminal of space 4 at 11.0 A")
            && told.rules[0].because.contains("about 6 W more"),
        "{:?}",
        told.rules
    );
    let lug = |mv: f64| {
        let lug = Place::Lug(main(), Leg::A);
        in_the_evening(vec![drop(Place::Line(main(), Leg::A), lug, mv, 32.0)])
    };
    // 22 mV at 32 A of 100 A could be a sound one.
    assert_eq!(urgency(&lug(110.0)), Urgency::NoAction);
    let decision = lug(400.0).decide();
    assert_eq!(decision.verdict.urgency, Urgency::Now);
    // It is remade with the service cut, and no handle helps.
    assert_eq!(choice(&decision, ChoiceKind::RemakeJoint).standing, Standing::Conditional);
    assert_eq!(choice(&decision, ChoiceKind::MakeSafe).standing, Standing::Refused);
}

#[test]
fn a_face_that_burns_the_hand_at_little_load_presses() {
    let felt = |feel: Feel, amps: f64, void: bool| {
        let touch = Observed::Touch(TouchReading { slot: slot(4), feel, void, state: state() });
        vec![touch, clamp(4, amps)]
    };
    let verdict = in_the_evening(felt(Feel::Withdrawn, 4.0, false)).decide().verdict;
    assert_eq!(verdict.urgency, Urgency::Within72Hours);
    assert!(verdict.summary.contains("felt at no less than 69 °C with 4.0 A"), "{}", verdict.summary);
    // A sound breaker may be too hot to hold at its rating; a glove tells nothing; warm is not hot.
    for readings in
        [felt(Feel::Withdrawn, 20.0, false), felt(Feel::Withdrawn, 4.0, true), felt(Feel::Warm, 4.0, false)]
    {
        assert_eq!(urgency(&in_the_evening(readings)), Urgency::NoAction);
    }
    // What an instrument read in the same state is the better measure.
    let mut measured = felt(Feel::Withdrawn, 4.0, false);
    measured.push(face(4, 35.0));
    assert_eq!(urgency(&in_the_evening(measured)), Urgency::NoAction);
}

#[test]
fn poles_of_one_breaker_are_alike() {
    let dryer = |warm: f64, cool: f64, amps: [f64; 2]| {
        in_the_evening(vec![face(3, warm), face(5, cool), clamp(3, amps[0]), clamp(5, amps[1])])
    };
    for warm in [57.0, 62.0, 66.0, 70.0] {
        assert_eq!(urgency(&dryer(warm, 41.0, [22.5, 22.3])), Urgency::Within72Hours, "{warm} °C");
    }
    let because = dryer(66.0, 41.0, [22.5, 22.3]).decide().verdict.rules[0].because.clone();
    assert!(because.contains("space 3 at 66 °C with 22.5 A") && because.contains("25 K warmer"), "{because}");
    assert_eq!(urgency(&dryer(55.0, 41.0, [22.5, 22.3])), Urgency::NoAction);
    assert_eq!(urgency(&dryer(66.0, 41.0, [22.5, 17.0])), Urgency::NoAction);
    // The current of the one says nothing of the other, and two breakers are not one.
    let one = in_the_evening(vec![face(3, 66.0), face(5, 41.0), clamp(3, 22.5)]);
    assert_eq!(urgency(&one), Urgency::NoAction);
    let two = in_the_evening(vec![face(1, 60.0), face(2, 35.0), clamp(1, 12.0), clamp(2, 12.0)]);
    assert_eq!(urgency(&two), Urgency::NoAction);
}

#[test]
fn a_drop_that_grew_between_visits_is_looked_at_this_month() {
    let grown = |mv: f64, factor: f64, change: Change| {
        let far = Place::Load(slot(4));
        let mut sample = in_the_evening(vec![drop(Place::Lug(main(), Leg::B), far.clone(), mv, 12.0)]);
        let visited = |year: i16, reading: &str| Visited {
            fact: FactId::new("f1"),
            day: Date::constant(year, 3, 4),
            reading: reading.to_owned(),
        };
        sample.trends.push(Trend {
            compared: Compared::Drop,
            place: far,
            slot: Some(slot(4)),
            first: visited(2025, "92.0 mV at 12.0 A"),
            last: visited(2026, "128.0 mV at 12.0 A"),
            factor: Some(Interval { low: factor - 0.1, median: factor, high: factor + 0.1 }),
            change,
            sentence: String::new(),
            working: None,
        });
        sample.decide().verdict
    };
    let verdict = grown(128.0, 1.39, Change::More);
    assert_eq!(verdict.urgency, Urgency::ThisMonth);
    assert!(verdict.summary.contains("grew by 36 mV at equal load"), "{}", verdict.summary);
    assert!(!verdict.summary.contains("Nothing"), "{}", verdict.summary);
    // Within the errors, or by less than small contacts bear, it is no reason.
    assert_eq!(grown(128.0, 1.39, Change::NotShown).urgency, Urgency::NoAction);
    assert_eq!(grown(30.0, 1.39, Change::More).urgency, Urgency::NoAction);
}
