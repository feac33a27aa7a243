//! The layout of a new panel against HiGHS, a solver of mixed-integer programs that shares no code with ours.

use remedy::layout::{Block, Board, Pole, Proof, Weights, Wish, lay_out};
use serde_json::Value;
use std::collections::BTreeSet;

/// Nodes of the search for each case, where `LAYOUT_NODES` says nothing.
const NODES: usize = 500;

/// Of the 30 cases, how many must be proven with so much work: a guard against a search that got worse.
const PROVEN: usize = 27;

fn whole(value: &Value) -> i64 {
    value.as_i64().expect("a whole number")
}

fn index(value: &Value) -> usize {
    usize::try_from(whole(value)).expect("not negative")
}

fn list(value: &Value) -> &[Value] {
    value.as_array().expect("a list")
}

fn pole(value: &Value) -> Pole {
    let mut reach = BTreeSet::new();
    for (column, rows) in list(&value["reach"]).iter().enumerate() {
        reach.extend((index(&rows[0])..=index(&rows[1])).map(|row| 2 * row + column + 1));
    }
    Pole {
        rating: whole(&value["rating"]),
        demand: list(&value["demand"]).iter().map(whole).collect(),
        continuous: value["continuous"] == true,
        electronic: value["electronic"] == true,
        reach: Some(reach),
        old: value["old"].as_i64().map(|old| usize::try_from(old).expect("a space")),
        half: None,
    }
}

fn wish(case: &Value) -> Wish {
    let n_spaces = index(&case["n_spaces"]);
    let weight = |name: &str| whole(&case["weights"][name]);
    let block = |value: &Value| Block {
        id: value["id"].as_str().expect("a name").to_owned(),
        poles: list(&value["poles"]).iter().map(pole).collect(),
        turnable: value["turnable"] == true,
        locked: None,
        only: None,
    };
    Wish {
        board: Board {
            n_rows: n_spaces / 2,
            n_columns: 2,
            n_legs: 2,
            first_leg: 0,
            n_spaces,
            fed_at_top: true,
            stab_limit: None,
        },
        blocks: list(&case["blocks"]).iter().map(block).collect(),
        reserved: BTreeSet::new(),
        spare_pairs: 0,
        scenarios: ["one", "two", "three"].map(str::to_owned).to_vec(),
        weights: Weights {
            splice: weight("splice"),
            leg_difference: weight("leg_difference"),
            tolerance: weight("tolerance"),
            continuous_row: weight("continuous_row"),
            continuous_pair: weight("continuous_pair"),
            electronic_pair: weight("electronic_pair"),
            moved_row: weight("moved_row"),
            apart_row: 0,
        },
        groups: Vec::new(),
    }
}

/// The least points of 30 invented panels of 12 to 84 spaces, each proven by HiGHS. Where ours is proven it is the
/// same; where it is not, the optimum lies between our bound and our layout.
///
/// - **Source:** HiGHS through `scipy.optimize.milp` 1.17.1, gap 0 (`scripts/layout_milp.py`, output in
///   `fixtures/layout/cases.json`).
/// - **Tolerance:** none.
#[test]
fn val_layouts_cost_what_another_solver_proved() {
    let cases: Value =
        serde_json::from_str(include_str!("../../fixtures/layout/cases.json")).expect("the fixture is JSON");
    let (mut n_proven, mut n_same) = (0, 0);
    for case in list(&cases) {
        assert!(case["highs"]["proven"] == true);
        let optimum = whole(&case["highs"]["points"]);
        let wish = wish(case);
        let begun = std::time::Instant::now();
        let layout = lay_out(&wish, super::nodes(NODES)).expect("it fits");
        let seconds = begun.elapsed().as_secs_f64();
        let points = layout.bill.points;
        let words = format!(
            "{} spaces, {} blocks: {points} after {seconds:.2} s, {optimum} by HiGHS",
            case["n_spaces"],
            layout.seats.len()
        );
        n_same += usize::from(points == optimum);
        match layout.proof {
            Proof::Optimal => {
                n_proven += 1;
                println!("{words}; proven");
                assert_eq!(points, optimum, "{words}");
            }
            Proof::Bounded { bound } => {
                println!("{words}; none below {bound}");
                assert!(bound <= optimum && optimum <= points, "{words}; none below {bound}");
            }
        }
    }
    println!("{n_proven} of {} proven, {n_same} the same", list(&cases).len());
    assert!(PROVEN <= n_proven, "{n_proven} proven");
}
