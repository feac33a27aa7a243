//! A layout of the demo's panel: every circuit once, partners on different legs, what is decided stays, and the currents
//! by which it was laid out are those that the network of the diagnosis finds.

use model::evidence::{ClampPlace, Observed};
use model::job::Job;
use model::panel::HalfWidth;
use model::replacement::Seated;
use model::{Current, Date, Space};
use std::collections::BTreeSet;
use study::{CannotLayOut, LaidOut, LayoutAsk, Origin};

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
    ask.locks = locks.iter().map(|&(from, to)| (from.into(), to)).collect();
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
    let of = Origin::Old(15);
    let moved = study::moved_seat(&study::moved_seat(&ask, &of, 40), &of, 38);
    assert_eq!(moved.locks, [(of, 38)], "the last word counts");
}

/// The demo without electronic devices, of which none is put on a half-width breaker unasked.
fn plain() -> String {
    let lines = CASE.lines().filter(|line| !line.starts_with("protection_after"));
    lines.collect::<Vec<_>>().join("\n")
}

/// A panel with two spaces fewer than the poles and the spare pair ask for.
fn short_of_spaces(job: &Job, half_width: HalfWidth) -> LayoutAsk {
    let poles: u16 = study::survey::circuits(job, &job.installation.panels[0].id)
        .iter()
        .map(|circuit| u16::from(circuit.poles))
        .sum();
    let mut ask = LayoutAsk::of_spaces(poles / 2 * 2);
    ask.max_nodes = 40;
    ask.new.half_width = half_width;
    ask
}

#[test]
fn where_spaces_are_short_circuits_share_those_that_permit_it_and_each_stands_once() {
    let electronic = short_of_spaces(&job(), HalfWidth::Everywhere);
    assert!(study::lay_out_panel(&job(), &electronic).is_err(), "one plain circuit alone shares with nobody");
    let job = record::read_job("case.toml", &plain(), TODAY).job.expect("the case has no errors");
    assert!(study::lay_out_panel(&job, &short_of_spaces(&job, HalfWidth::Nowhere)).is_err());
    let permitted: Vec<u16> = (9..=16).collect();
    let ask = short_of_spaces(&job, HalfWidth::In(permitted.clone()));
    let all = study::lay_out_panel(&job, &ask).expect("some share a space");
    let circuits = study::survey::circuits(&job, &all.panel);
    let circuit = |space: u16| circuits.iter().find(|one| one.spaces.iter().any(|own| own.number == space));
    for plan in 0..all.plans.len() {
        let chosen = study::chosen(&all, plan, "").expect("it is there");
        let places: Vec<Space> = chosen.seats.iter().flat_map(|seat| &seat.to).map(|space| space.0).collect();
        for (k, one) in places.iter().enumerate() {
            assert!(places[..k].iter().all(|other| !one.overlaps(*other)), "{one} twice");
            assert!(one.half.is_none() || permitted.contains(&one.number), "{one} permits no half");
        }
        let n_poles: usize = circuits.iter().map(|circuit| usize::from(circuit.poles)).sum();
        assert_eq!(places.len(), n_poles, "every pole once");
        // No two that share a space may share a neutral.
        for (it, block) in all.wish.blocks.iter().enumerate().filter(|(_, block)| block.only.is_some()) {
            assert!(block.poles[0].half.is_some());
            let both: Vec<_> = all.circuits[it].0.iter().filter_map(|old| circuit(*old)).collect();
            assert!(both.iter().any(|one| one.partner == Some(None)), "{:?}", all.circuits[it]);
        }
        // The networks carry both halves.
        for ((name, forecast), legs) in study::forecasts(&job, &all, plan).iter().zip(&all.plans[plan].1.legs)
        {
            let forecast = forecast.as_ref().unwrap_or_else(|why| panic!("{name}: {why}"));
            for ((leg, network), by_sum) in forecast.legs_a.iter().zip(legs) {
                let by_sum = *by_sum as f64 / 10.0;
                assert!((network - by_sum).abs() < TOLERANCE_A, "{name}, leg {leg}: {network} and {by_sum}");
            }
        }
    }
    // Chosen, written and read again, the same circuits share.
    let chosen = study::chosen(&all, 0, "").expect("it is there");
    // The last one of a panel counts.
    let entry = record::arrangement_entry(&chosen);
    let later = entry.replacen("[[arrangement]]", "[[arrangement]]\nat = 2026-01-02T12:00", 1);
    let text = format!("{}\n{later}", plain());
    let read = record::read_job("case.toml", &text, TODAY).job.expect("the entry has no errors");
    let again = study::current_layout(&read, &all.panel, 40).expect("it was chosen");
    assert!(!again.share.is_empty());
    let laid_out = study::lay_out_panel(&read, &again).expect("it fits again");
    assert_eq!(laid_out.wish.blocks.len(), all.wish.blocks.len());
}

#[test]
fn partners_never_share_a_space_and_nothing_shares_where_no_half_may_go() {
    let job = job();
    let refused = |half_width: HalfWidth, share: (u16, u16)| {
        let mut ask = short_of_spaces(&job, half_width);
        ask.share = vec![share];
        study::lay_out_panel(&job, &ask).expect_err("it must not be").to_string()
    };
    assert!(refused(HalfWidth::Everywhere, (20, 22)).contains("cannot share a space"));
    assert!(refused(HalfWidth::Nowhere, (15, 17)).contains("half-width"));
}

#[test]
fn the_fill_of_the_cabinet_is_told_with_what_the_adopted_code_permits() {
    let job = job();
    let all = laid_out(&job, &[]);
    let code = study::code::Book::built_in();
    let chosen =
        study::code::Chosen::of(&job, &code, Some(study::code::Edition::Y2023), TODAY).expect("it is read");
    let law = chosen.law(&code).expect("it is read");
    let words = study::fill_words(&all, 0, Some(&law)).join(" ");
    assert!(words.contains("Permitted: 40 % and 75 %") && words.contains("312.8"), "{words}");
    let without = study::fill_words(&all, 0, None).join(" ");
    assert!(without.contains("no edition is adopted"), "{without}");
    for gutter in &all.fills[0] {
        assert!(0.0 < gutter.wires_in2 && gutter.wires_in2 < gutter.space_in2, "{gutter:?}");
    }
    let n_splices: usize = all.fills[0].iter().map(|gutter| gutter.n_splices).sum();
    assert_eq!(n_splices, all.plans[0].1.bill.n_splices);
}

/// The demo with two circuits that are added: one of two poles, one of one.
fn with_new() -> Job {
    let new = "\n[site]\n[[site.new_circuit]]\nname = \"car - garage\"\namps = 40\nis_120_v = false\n\
               [[site.new_circuit]]\nname = \"freezer\"\namps = 20\n";
    let reading = record::read_job("case.toml", &format!("{CASE}{new}"), TODAY);
    reading.job.expect("the case has no errors")
}

fn ask_of(locks: &[(Origin, u16)]) -> LayoutAsk {
    LayoutAsk { max_nodes: 40, locks: locks.to_vec(), ..LayoutAsk::of_spaces(42) }
}

#[test]
fn a_new_circuit_is_locked_like_another_and_comes_up_again_with_its_place() {
    let mut job = with_new();
    let (car, freezer) = (Origin::New("car - garage".to_owned()), Origin::New("freezer".to_owned()));
    // Partners are decided with them: they go in as one piece, and come up again as one.
    let locks = [(car.clone(), 5), (freezer, 36), (Origin::Old(20), 10), (Origin::Old(15), 40)];
    let all = study::lay_out_panel(&job, &ask_of(&locks)).expect("it fits");
    for plan in 0..all.plans.len() {
        let chosen = study::chosen(&all, plan, "").expect("it is there");
        let new = |name: &str| {
            let seat = chosen.seats.iter().find(|seat| seat.new.as_deref() == Some(name)).expect("a place");
            assert!(seat.locked, "{seat:?}");
            seat.to.iter().map(|space| space.0.number).collect::<Vec<_>>()
        };
        assert_eq!((new("car - garage"), new("freezer")), (vec![5, 7], vec![36]), "plan {plan}");
    }
    let chosen = study::chosen(&all, 0, "as the owner likes it").expect("it is there");
    let fact = record::Fact::new(TODAY.at(9, 0, 0, 0), None, vec![], Box::new(chosen).into());
    let text = record::arrangement_entry(match &fact.body {
        record::Body::Arrangement(body) => body,
        other => panic!("{other:?}"),
    });
    assert!(text.contains("new = \"car - garage\"\nto = [5, 7]\nlocked = true"), "{text}");
    let mut facts = record::read_job("case.toml", CASE, TODAY).facts;
    facts.push(fact);
    let site = job.premises.site.take();
    let mut job = record::settle(&facts, None).job.expect("a job");
    job.premises.site = site;
    let again = study::current_layout(&job, &all.panel, 40).expect("it was chosen");
    let mut back = again.locks.clone();
    back.sort();
    let mut asked = locks.to_vec();
    asked.sort();
    assert_eq!(back, asked, "of partners the first alone");
    assert_eq!(study::lay_out_panel(&job, &again).expect("it fits").plans[0].1.seats, all.plans[0].1.seats);
    // Given up since then, it is said; and put elsewhere, the last word counts.
    assert_eq!(study::moved_seat(&again, &car, 9).locks.last(), Some(&(car.clone(), 9)));
    job.premises.site = None;
    let told = study::lay_out_panel(&job, &again).expect_err("it is not planned any more").to_string();
    assert!(told.contains("no new circuit `"), "{told}");
}

#[test]
fn a_new_circuit_that_cannot_stand_there_is_refused_in_one_sentence() {
    use model::replacement::HeldFor;
    let job = with_new();
    let (car, freezer) = (Origin::New("car - garage".to_owned()), Origin::New("freezer".to_owned()));
    let refused = |locks: &[(Origin, u16)]| match study::lay_out_panel(&job, &ask_of(locks)) {
        Err(error @ (CannotLayOut::NotThere { .. } | CannotLayOut::NoSuchNew(_))) => error.to_string(),
        other => panic!("{other:?}"),
    };
    for (locks, words) in [
        (vec![(car.clone(), 43)], "car - garage cannot go into space 43: the new panel has spaces 1 to 42"),
        (vec![(car.clone(), 42)], "its 2 poles stand one below the other, and there is no space 44"),
        (
            vec![(car.clone(), 5), (freezer.clone(), 7)],
            "freezer cannot go into space 7: space 7 is given to the new circuit car - garage already",
        ),
        (vec![(Origin::New("sauna".to_owned()), 5)], "no new circuit `sauna` is planned"),
    ] {
        let told = refused(&locks);
        assert!(told.contains(words), "{told}");
    }
    let hold = vec![(HeldFor::Generator, vec![6, 8])];
    let held = LayoutAsk { hold, ..ask_of(&[(freezer.clone(), 8)]) };
    let told = study::lay_out_panel(&job, &held).expect_err("held").to_string();
    assert!(told.contains("space 8 is held for a generator"), "{told}");
    // A usual place gives way to what is decided, to its second pole, too.
    let surge = LayoutAsk { hold: vec![(HeldFor::Surge, Vec::new())], ..ask_of(&[(car, 1)]) };
    let laid_out = study::lay_out_panel(&job, &surge).expect("it fits");
    assert!(
        laid_out.held[0].spaces.iter().all(|space| ![1, 3].contains(&space.number)),
        "{:?}",
        laid_out.held
    );
    // With a place that somebody wants free, the wishes that exclude one another are named.
    let free = LayoutAsk { reserved: [36].into(), ..ask_of(&[(freezer, 36)]) };
    let told = study::lay_out_panel(&job, &free).expect_err("it is to stay free").to_string();
    assert!(told.contains("the new circuit freezer into space 36; space 36 kept free"), "{told}");
}

/// A dryer that was off when it was clamped draws something when everything runs: half of its rating, and a note says so.
#[test]
fn a_heavy_load_that_was_off_when_it_was_clamped_does_not_count_as_none() {
    let mut job = job();
    for observation in &mut job.observations {
        if let Observed::Current(reading) = &mut observation.what
            && let ClampPlace::Pole(slot) = &reading.place
            && [2, 4].contains(&slot.space.number)
        {
            reading.value = Current::from_a(0.0);
        }
    }
    let all = laid_out(&job, &[]);
    let at = all.wish.scenarios.iter().position(|name| name == "everything at once").expect("it is there");
    let dryer = all.wish.blocks.iter().find(|block| block.id == "2/4").expect("the dryer is there");
    assert_eq!(dryer.poles.iter().map(|pole| pole.demand[at]).collect::<Vec<_>>(), [150, 150]);
    let said = all.notes.iter().find(|note| note.contains("while a heavy load was off"));
    assert!(said.is_some_and(|note| note.contains('2') && note.contains('4')), "{:?}", all.notes);
}
