//! A layout of the demo's panel: every circuit once, partners on different legs, what is decided stays, and the currents
//! by which it was laid out are those that the network of the diagnosis finds.

use model::Date;
use model::job::Job;
use model::replacement::Seated;
use std::collections::BTreeSet;
use study::{LaidOut, LayoutAsk};

const CASE: &str = include_str!("../../../cases/1-burnt-stabs.toml");
const TODAY: Date = Date::constant(2026, 11, 26);

/// The network finds the angle of each current against its own voltage, so that sums differ a little from those of plain
/// numbers; what is shown is rounded to a tenth of an ampere, and this is half of that.
const TOLERANCE_A: f64 = 0.05;

fn job() -> Job {
    record::read_job("case.toml", CASE, TODAY).job.expect("the case has no errors")
}

fn laid_out(job: &Job, locks: &[(u16, u16)]) -> LaidOut {
    let mut ask = LayoutAsk::of_spaces(42);
    ask.max_nodes = 40;
    ask.locks = locks.to_vec();
    study::lay_out_panel(job, &ask).expect("it fits")
}

#[test]
fn the_currents_of_the_layout_are_those_of_the_network() {
    let job = job();
    let all = laid_out(&job, &[]);
    for plan in 0..all.plans.len() {
        let forecasts = study::forecasts(&job, &all, plan);
        assert_eq!(forecasts.len(), all.wish.scenarios.len());
        for ((name, forecast), legs) in forecasts.iter().zip(&all.plans[plan].1.legs) {
            let forecast = forecast.as_ref().unwrap_or_else(|why| panic!("{name}: {why}"));
            for ((leg, network), by_sum) in forecast.legs_a.iter().zip(legs) {
                let by_sum = *by_sum as f64 / 10.0;
                assert!((network - by_sum).abs() < TOLERANCE_A, "{name}, leg {leg}: {network} and {by_sum}");
            }
            let between = (legs[0] - legs[1]).abs() as f64 / 10.0;
            assert!(
                (forecast.neutral_a - between).abs() < TOLERANCE_A,
                "{name}: {} {between}",
                forecast.neutral_a
            );
            let heat = forecast.heat.as_ref().unwrap_or_else(|why| panic!("{name}: {why}"));
            assert!(heat.room_c < heat.face.1 && heat.room_c < heat.terminal.1, "{name}: {heat:?}");
        }
    }
}

#[test]
fn every_circuit_is_chosen_once_with_its_partner_on_the_other_leg_and_what_is_decided_stays() {
    let job = job();
    let all = laid_out(&job, &[(15, 40), (1, 2)]);
    let circuits = study::survey::circuits(&job, &all.panel);
    for plan in 0..all.plans.len() {
        let chosen = study::chosen(&all, plan, "").expect("it is there");
        let mut taken = BTreeSet::new();
        for seat in &chosen.seats {
            assert!(seat.to.iter().all(|space| taken.insert(space.0)), "a space twice: {seat:?}");
        }
        for circuit in &circuits {
            let mine: Vec<_> = chosen
                .seats
                .iter()
                .filter(|seat| seat.circuit.as_ref().is_some_and(|slot| slot.0 == circuit.slot))
                .collect();
            assert_eq!(mine.len(), 1, "{}", circuit.slot);
            assert_eq!(mine[0].to.len(), usize::from(circuit.poles));
        }
        assert_eq!(chosen.seats.len(), circuits.len(), "nothing that was not there");
        let first = |number: u16| {
            let is = |seat: &&record::fact::SeatChosen| {
                seat.circuit.as_ref().is_some_and(|slot| slot.0.space.number == number)
            };
            chosen.seats.iter().find(is).map(|seat| seat.to[0].0.number).expect("it has a place")
        };
        assert_eq!((first(15), first(1)), (40, 2));
        // 20 and 22 share a neutral: one below the other, so on different legs.
        assert_eq!(first(20).abs_diff(first(22)), 2, "plan {plan}");
        let seats = all.members.iter().flatten().filter(|member| matches!(member.what, Seated::Circuit(_)));
        assert_eq!(seats.count(), circuits.len());
    }
}

#[test]
fn what_was_chosen_comes_up_again_with_what_was_decided_by_hand() {
    let job = job();
    let chosen = job.replacement.arrangements.last().expect("the demo has one");
    let ask = study::current_layout(&job, &chosen.panel, 10).expect("it is there");
    assert_eq!(ask.new, chosen.new);
    assert!(ask.locks.is_empty() && ask.hold.len() == 1);
    let moved = study::moved_seat(&study::moved_seat(&ask, 15, 40), 15, 38);
    assert_eq!(moved.locks, [(15, 38)], "the last word counts");
}
