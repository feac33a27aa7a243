//! Clamps over whole legs of a house: what nobody clamped by itself is busy or idle together.

use super::quick;
use crate::testjob::{add_state, bare, breaker, clamped_line, leg_voltage, observe};
use crate::{JudgeOptions, Judgement, judge};
use model::Leg;
use model::breaker::LoadClass;
use model::job::Job;

/// Name of a load state, clamped currents of both legs, and volts.
type State<'a> = (&'a str, [f64; 2], Option<[f64; 2]>);

/// Two appliances of 240 V and ten circuits, and load states with this much through each leg and, where read, these volts.
fn house(states: &[State]) -> Job {
    let mut breakers = vec![
        breaker(&[1, 3], 30.0, Some(LoadClass::Dryer)),
        breaker(&[2, 4], 40.0, Some(LoadClass::Cooking)),
    ];
    breakers.extend((5..=14).map(|number| breaker(&[number], 20.0, Some(LoadClass::General))));
    let mut job = bare(20, breakers);
    for &(state, amps, volts) in states {
        add_state(&mut job, state, 22.0);
        for (leg, amps) in [Leg::A, Leg::B].into_iter().zip(amps) {
            observe(&mut job, clamped_line(leg, amps, state));
        }
        for (leg, volts) in [Leg::A, Leg::B].into_iter().zip(volts.into_iter().flatten()) {
            observe(&mut job, leg_voltage(leg, volts, state));
        }
    }
    job
}

fn failing(found: &Judgement) -> Vec<f64> {
    found.supply.iter().map(|path| path.failing).collect()
}

/// Nobody at home: about an ampere a leg is what the clocks and one refrigerator draw, and no slip of the clamp.
#[test]
fn a_house_may_be_idle() {
    let found = quick(&house(&[("night", [1.2, 0.8], None)]));
    assert!(found.unexplained.is_empty(), "{:?}", found.notes);
}

/// A heater of 12.2 A on leg A is switched on. Worked by hand: leg B rises by 2.4 V, so the neutral has 0.2 Ω; or leg A falls by 3.4 V
/// and leg B hardly moves, so leg A has 0.27 Ω, or the source fell by 1.5 V meanwhile, which a single step does not tell apart; or they move as in a healthy house.
#[test]
fn a_clean_load_step_tells_which_path_fails() {
    let rest = ("base", [2.0, 2.0], Some([121.0, 121.1]));
    for (volts, which) in
        [([118.4, 123.5], Some((2, 0.5))), ([117.6, 121.2], Some((0, 0.1))), ([120.4, 121.4], None)]
    {
        let job = house(&[rest, ("heater", [14.2, 2.0], Some(volts))]);
        for seed in [1, 2] {
            let found =
                judge(&job, &JudgeOptions { seed, ..JudgeOptions::default() }).expect("a panel is there");
            assert!(found.unexplained.is_empty(), "{volts:?}, seed {seed}: {:?}", found.notes);
            let failing = failing(&found);
            for (path, &chance) in failing.iter().enumerate() {
                let fine = match which {
                    Some((at, least)) if at == path => least < chance,
                    _ => chance < 0.05,
                };
                assert!(fine, "{volts:?}, seed {seed}: {failing:?}");
            }
        }
    }
}
