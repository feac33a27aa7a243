//! Metal far too hot for its load.

use super::{clamp, observe, slot, testjob, twelve};
use crate::{JudgeOptions, judge};
use model::evidence::Observed;
use model::joint::JointId;
use model::place::Place;

/// Probability that the load terminal of space 4 is burnt, which was read so warm with 12 A among cool faces.
fn burnt(value_c: f64, times: usize) -> f64 {
    let faces: Vec<(u16, f64)> =
        (1..=8).map(|number| (number, if number == 4 { 36.0 } else { 31.0 })).collect();
    let mut job = twelve(&faces, 6.0);
    job.observations.retain(|observation| observation.what != clamp(4, 6.0, "evening"));
    observe(&mut job, clamp(4, 12.0, "evening"));
    for _ in 0..times {
        let Observed::Temperature(lug) = testjob::taped_lug(model::Leg::A, value_c, "evening") else {
            continue;
        };
        let place = Place::Load(slot(4));
        observe(&mut job, Observed::Temperature(model::evidence::TemperatureReading { place, ..lug }));
    }
    let judgement =
        judge(&job, &JudgeOptions { seed: 5, ..JudgeOptions::default() }).expect("a panel is there");
    let of_terminal =
        |finding: &&model::assessment::JointFinding| finding.joint.id == JointId::Terminal(slot(4));
    judgement.joints.iter().find(of_terminal).expect("the terminal is there").probability.burnt
}

/// Twenty kelvin over its fellows may be a slip of the probe or a burnt terminal. So may sixty: a watt or two warm a terminal so
/// far whose strap and wire take little. Before metal had a factor of its own, 50 °C was told 0.43, 75 °C 0.05.
#[test]
fn a_terminal_is_not_the_less_burnt_the_hotter_it_was_read() {
    let told = [55.0, 75.0, 95.0].map(|value_c| burnt(value_c, 1));
    assert!(told.iter().all(|told| (0.15..0.9).contains(told)), "{told:?}");
    assert!(0.5 * told[0] < told[1] && 0.5 * told[0] < told[2], "{told:?}");
    let twice = burnt(75.0, 2);
    assert!(0.8 < twice, "read twice {twice:.3}");
}
