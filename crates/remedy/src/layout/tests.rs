//! Layouts small enough to try every one, and wishes that cannot be met.

use crate::layout::cost::bill;
use crate::layout::option::{Put, puts};
use crate::layout::{Block, Board, DeciAmps, NoLayout, Pole, Proof, Want, Weights, Wish, lay_out};
use proptest::prelude::*;
use std::collections::BTreeSet;

const NODES: usize = 20_000;

fn board(n_spaces: usize) -> Board {
    Board {
        n_rows: n_spaces.div_ceil(2),
        n_columns: 2,
        n_legs: 2,
        first_leg: 0,
        n_spaces,
        fed_at_top: true,
        stab_limit: None,
    }
}

const WEIGHTS: Weights = Weights {
    splice: 100,
    leg_difference: 1,
    tolerance: 20,
    continuous_row: 2,
    continuous_pair: 30,
    electronic_pair: 3,
    moved_row: 1,
    apart_row: 4,
};

fn wish(n_spaces: usize, blocks: Vec<Block>) -> Wish {
    Wish {
        board: board(n_spaces),
        blocks,
        reserved: BTreeSet::new(),
        spare_pairs: 0,
        scenarios: vec!["evening".into(), "morning".into()],
        weights: WEIGHTS,
        groups: Vec::new(),
    }
}

fn block(id: &str, demands: &[DeciAmps]) -> Block {
    let pole = |&demand: &DeciAmps| Pole { rating: 200, demand: vec![demand, demand / 2], ..Pole::default() };
    Block {
        id: id.into(),
        poles: demands.iter().map(pole).collect(),
        turnable: false,
        locked: None,
        only: None,
    }
}

#[test]
fn equal_loads_end_on_different_legs() {
    let layout = lay_out(&wish(8, vec![block("a", &[100]), block("b", &[100])]), NODES).expect("it fits");
    assert_eq!(layout.proof, Proof::Optimal);
    assert_eq!(layout.bill.leg_difference, [0, 0]);
    let row = |k: usize| (layout.seats[k].spaces[0] - 1) / 2;
    assert_ne!(row(0) % 2, row(1) % 2, "{:?}", layout.seats);
}

#[test]
fn a_second_continuous_load_does_not_share_the_stab() {
    let mut blocks = vec![block("charger", &[200, 200]), block("water heater", &[190, 190])];
    blocks.iter_mut().flat_map(|block| &mut block.poles).for_each(|pole| pole.continuous = true);
    let layout = lay_out(&wish(12, blocks), NODES).expect("it fits");
    assert_eq!((layout.proof, layout.bill.n_continuous_pairs), (Proof::Optimal, 0));
    // Nearest to the feed that two pairs of rows can be: rows 0, 1 and 2, 3.
    assert_eq!(layout.bill.continuous_rows, 6);
}

#[test]
fn what_is_locked_stays_and_what_is_reserved_stays_free() {
    let mut asked = wish(8, vec![block("a", &[100]), block("b", &[90, 90]), block("c", &[10])]);
    asked.blocks[1].locked = Some(5);
    asked.reserved = BTreeSet::from([1, 2]);
    asked.spare_pairs = 1;
    let layout = lay_out(&asked, NODES).expect("it fits");
    assert_eq!(layout.seats[1].spaces, [5, 7]);
    let taken: BTreeSet<usize> = layout.seats.iter().flat_map(|seat| seat.spaces.clone()).collect();
    assert!(!taken.contains(&1) && !taken.contains(&2), "{taken:?}");
    let spare = layout.spares[0];
    assert!(!taken.contains(&spare) && !taken.contains(&(spare + 2)), "{spare} {taken:?}");
}

#[test]
fn a_stab_over_the_limit_of_its_label_is_never_given_out() {
    let mut asked = wish(4, vec![block("a", &[10]), block("b", &[10]), block("c", &[10])]);
    asked.board.stab_limit = Some(300);
    assert_eq!(lay_out(&asked, NODES), Err(NoLayout::Conflict(vec![Want::StabLimit(300)])));
    asked.blocks.pop();
    let layout = lay_out(&asked, NODES).expect("two stabs for two breakers");
    assert_ne!((layout.seats[0].spaces[0] - 1) / 2, (layout.seats[1].spaces[0] - 1) / 2);
}

#[test]
fn two_half_width_breakers_fill_one_space_that_permits_them_and_each_is_counted() {
    let mut asked = wish(4, vec![block("a+b", &[70]), block("c", &[10, 10]), block("d", &[10])]);
    asked.blocks[0].only = Some(BTreeSet::from([3]));
    let reach = Some(BTreeSet::from([1]));
    asked.blocks[0].poles[0].half =
        Some(crate::layout::wish::Half { demand: vec![30, 15], reach, old: Some(1) });
    let layout = lay_out(&asked, NODES).expect("three spaces and one that two share");
    // The second conductor does not reach space 3, and comes from one row further up.
    assert_eq!(
        (&layout.seats[0].spaces[..], &layout.seats[0].spliced[..]),
        (&[3, 3][..], &[false, true][..])
    );
    assert_eq!((layout.proof, layout.bill.n_splices), (Proof::Optimal, 1));
    asked.blocks[0].only = Some(BTreeSet::new());
    assert_eq!(lay_out(&asked, NODES), Err(NoLayout::Conflict(Vec::new())));
}

#[test]
fn wishes_that_exclude_one_another_are_named_and_no_others() {
    let mut asked = wish(8, vec![block("a", &[10]), block("b", &[10, 10]), block("c", &[10])]);
    asked.blocks[0].locked = Some(3);
    asked.blocks[1].locked = Some(1);
    asked.blocks[2].locked = Some(8);
    asked.reserved = BTreeSet::from([6]);
    let Err(NoLayout::Conflict(wants)) = lay_out(&asked, NODES) else { panic!("it cannot fit") };
    assert_eq!(wants, [Want::Locked { id: "a".into(), space: 3 }, Want::Locked { id: "b".into(), space: 1 }]);
}

#[test]
fn more_poles_than_spaces_fit_whatever_is_given_up() {
    let asked = wish(4, (0..5).map(|k| block(&format!("{k}"), &[10])).collect());
    assert_eq!(lay_out(&asked, NODES), Err(NoLayout::Conflict(Vec::new())));
}

#[test]
fn a_wish_that_cannot_be_read_is_refused_in_words() {
    let twice = wish(4, vec![block("a", &[1]), block("a", &[1])]);
    assert!(matches!(lay_out(&twice, NODES), Err(NoLayout::Wrong(words)) if words.contains("`a`")));
    let tall = wish(4, vec![block("a", &[1, 1, 1])]);
    assert!(matches!(lay_out(&tall, NODES), Err(NoLayout::Wrong(words)) if words.contains("3 poles")));
}

#[test]
fn the_next_best_place_never_costs_less() {
    let asked = wish(12, (1..8).map(|k| block(&format!("{k}"), &[17 * k])).collect());
    let layout = lay_out(&asked, NODES).expect("it fits");
    assert_eq!(layout.proof, Proof::Optimal);
    assert!(layout.seats.iter().all(|seat| seat.next.as_ref().is_some_and(|next| 0 <= next.more)));
}

/// The least points of all layouts, by trying each.
fn by_trial(wish: &Wish) -> Option<i64> {
    fn deeper(wish: &Wish, all: &[Vec<Put>], chosen: &mut Vec<Put>, best: &mut Option<i64>) {
        let Some(ways) = all.get(chosen.len()) else {
            let bill = bill(wish, chosen);
            if bill.n_over == 0 && best.is_none_or(|least| bill.points < least) {
                *best = Some(bill.points);
            }
            return;
        };
        for way in ways {
            let block = &wish.blocks[chosen.len()];
            let free = way.poles(block).all(|(place, _)| {
                chosen
                    .iter()
                    .zip(&wish.blocks)
                    .all(|(put, held)| put.poles(held).all(|(other, _)| other != place))
            });
            if free {
                chosen.push(*way);
                deeper(wish, all, chosen, best);
                chosen.pop();
            }
        }
    }
    let all: Vec<Vec<Put>> = wish.blocks.iter().map(|block| puts(wish, block)).collect();
    let mut best = None;
    deeper(wish, &all, &mut Vec::new(), &mut best);
    best
}

prop_compose! {
    fn any_pole()(
        rating in prop::sample::select(vec![150, 200, 300]),
        demand in prop::collection::vec(0_i64..150, 2),
        continuous in prop::bool::weighted(0.3),
        electronic in any::<bool>(),
        reach in prop::option::of(prop::collection::btree_set(1_usize..=8, 1..8)),
        old in prop::option::of(1_usize..=8),
    ) -> Pole {
        Pole { rating, demand, continuous, electronic, reach, old, half: None }
    }
}

prop_compose! {
    fn any_wish(max_poles: usize)(
        blocks in prop::collection::vec(
            (
                prop::collection::vec(any_pole(), 1..=max_poles),
                any::<bool>(),
                prop::option::weighted(0.2, 1_usize..=6),
                prop::option::weighted(0.3, any_pole()),
                prop::option::weighted(0.3, prop::collection::btree_set(1_usize..=8, 3..8)),
            ),
            1..=4,
        ),
        n_spaces in 6_usize..=8,
        n_legs in max_poles.max(2)..=3,
        first_leg in 0_usize..2,
        fed_at_top in any::<bool>(),
        stab_limit in prop::option::weighted(0.3, 350_i64..600),
        reserved in prop::collection::btree_set(1_usize..=8, 0..2),
    ) -> Wish {
        let blocks = blocks
            .into_iter()
            .enumerate()
            .map(|(k, (mut poles, turnable, locked, second, only))| {
                if let ([pole], Some(second)) = (&mut poles[..], second) {
                    // Rating and current of the space are those of both half-width breakers.
                    pole.rating += second.rating;
                    pole.demand.iter_mut().zip(&second.demand).for_each(|(sum, demand)| *sum += demand);
                    pole.half = Some(crate::layout::wish::Half { demand: second.demand, reach: second.reach, old: second.old });
                }
                Block { id: format!("{k}"), poles, turnable, locked, only }
            })
            .collect::<Vec<_>>();
        let groups = if 1 < blocks.len() { vec![vec![0, blocks.len() - 1]] } else { Vec::new() };
        let board = Board { n_legs, first_leg, fed_at_top, stab_limit, ..board(n_spaces) };
        Wish { board, reserved, groups, ..wish(n_spaces, blocks) }
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(150))]

    #[test]
    fn nothing_tried_by_hand_is_cheaper(asked in any_wish(3)) {
        let least = by_trial(&asked);
        match lay_out(&asked, 200_000) {
            Ok(layout) => {
                prop_assert_eq!(layout.proof, Proof::Optimal);
                prop_assert_eq!(Some(layout.bill.points), least);
            }
            Err(NoLayout::Conflict(_)) => prop_assert_eq!(least, None),
            Err(other) => prop_assert!(false, "{}", other),
        }
    }

    #[test]
    fn no_pole_is_lost_or_doubled_and_partners_stand_on_different_legs(asked in any_wish(2), nodes in 1_usize..40) {
        let Ok(layout) = lay_out(&asked, nodes) else { return Ok(()) };
        let mut taken = BTreeSet::new();
        for (seat, block) in layout.seats.iter().zip(&asked.blocks) {
            let n_halves = block.poles.iter().filter(|pole| pole.half.is_some()).count();
            prop_assert_eq!(seat.spaces.len(), block.poles.len() + n_halves);
            prop_assert_eq!(seat.spliced.len(), seat.spaces.len());
            prop_assert!(n_halves == 0 || seat.spaces[0] == seat.spaces[1], "both halves in one space");
            for &space in &seat.spaces[..block.poles.len()] {
                prop_assert!(block.only.as_ref().is_none_or(|only| seat.spaces.len() != 1 || only.contains(&space)));
                prop_assert!(taken.insert(space) && space <= asked.board.n_spaces && !asked.reserved.contains(&space));
            }
            // What was decided stays: the place of the uppermost pole.
            prop_assert!(block.locked.is_none_or(|locked| seat.spaces.iter().min() == Some(&locked)));
            if let ([one, other], 0) = (&seat.spaces[..], n_halves) {
                let (one, other) = (*one, *other);
                let row = |space: usize| (space - 1) / 2;
                prop_assert_eq!(one.abs_diff(other), 2, "one below the other in one column");
                prop_assert_ne!(asked.board.leg(row(one)), asked.board.leg(row(other)));
            }
        }
        // The currents of the legs are those of the seats.
        for (scenario, legs) in layout.legs.iter().enumerate() {
            let mut sums = vec![0; asked.board.n_legs];
            for (seat, block) in layout.seats.iter().zip(&asked.blocks) {
                for (&space, pole) in seat.spaces.iter().zip(&block.poles) {
                    sums[asked.board.leg((space - 1) / 2)] += pole.demand[scenario];
                }
            }
            prop_assert_eq!(&sums, legs);
        }
    }
}
