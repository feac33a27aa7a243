//! Cases with the answer that the trade expects: common practice where that is said, else it follows from the wiring.

use crate::house::{house, in_short, part_of};
use crate::isolation::isolate;
use model::isolation::{IsolationGoal, ProofPoint};

const SPLIT: &[(&str, &str)] = &[(
    "main",
    "upper lugs 1-6; lower main/9 7-12; 1,3 range; 2,4 dryer; 5,7 water heater; 6,8 air conditioner; 9,11 lower; \
     13 lights; 15 kitchen; 16 laundry",
)];
const MAIN: &[(&str, &str)] = &[("main", "whole main 1-6; 1,3 range; 2 lights; 4 kitchen; 5 hall")];
const LUGS: &[(&str, &str)] = &[("main", "whole lugs 1-4; 1,3 range; 2,4 dryer; 5 lights")];
const SUB: &[(&str, &str)] = &[
    ("main", "whole main 1-6; 1,3 range; 2,4 sub; 5 lights"),
    ("sub", "whole main/2 1-4; 1 bench; 2 garage lights"),
];
const SUB_OFF_THE_UPPER: &[(&str, &str)] = &[
    ("main", "upper lugs 1-3; lower main/5 4-6; 1,3 sub; 2,4 range; 5,6 lower; 7 lights; 8 hall"),
    ("sub", "whole main/1 1-2; 1 bench"),
];
const INLET: &[(&str, &str)] = &[("main", "whole main 1-6; 1,3 source generator inlet; 2 lights; 4 kitchen")];
const SOLAR_ON_SPLIT: &[(&str, &str)] =
    &[("main", "upper lugs 1-3; lower main/1 4-6; 1,3 lower; 2,4 range; 7,9 source solar; 8 lights")];
const MULTIWIRE: &[(&str, &str)] =
    &[("main", "whole main 1-6; 1 kitchen east partner 3; 3 kitchen west partner 1; 2 hall")];
const TANDEM: &[(&str, &str)] = &[("main", "whole lugs 1-3; 1a lights; 1b hall; 2,4 range; 3 porch")];
const ADDED: &[(&str, &str)] = &[(
    "main",
    "upper lugs 1-8; lower main/9 9-12; 1,3 range; 2,4 dryer; 5,7 water heater; 6,8 air; 9,11 lower; 10 shed; \
     12 freezer; 17 lights",
)];
const TWO_SERVICES: &[(&str, &str)] =
    &[("main", "whole main 1-3; 1 lights; 2 hall"), ("heat", "whole main 1-2; 1,3 heat")];
const OTHER_PANEL_UNKNOWN: &[(&str, &str)] = &[("sub", "whole house/7 1-2; 1 bench; 2 lights")];

/// House, goal (empty: everything), can hands do it, the movements in order, a part that must still be live.
type Case = (
    &'static str,
    &'static [(&'static str, &'static str)],
    &'static str,
    bool,
    &'static [&'static str],
    &'static str,
);

/// Follows from the wiring where nothing else is said.
const CASES: &[Case] = &[
    ("one main cuts off all circuits", MAIN, "", true, &["main/whole"], "main"),
    ("one main cuts off its bus", MAIN, "main/whole", true, &["main/whole"], "main"),
    ("a circuit by its own handle", MAIN, "main/2", true, &["main/2"], "main/whole"),
    ("line lugs: the utility alone", MAIN, "main", false, &["main/whole"], "main"),
    // Common practice: all handles off leaves the upper part live (job notes, danger list).
    (
        "split bus, everything: five movements",
        SPLIT,
        "",
        true,
        &["main/1", "main/2", "main/5", "main/6", "main/9"],
        "main/upper",
    ),
    ("split bus, lower bus: its own breaker", SPLIT, "main/lower", true, &["main/9"], "main/upper"),
    ("split bus, a lower circuit: its own breaker", SPLIT, "main/15", true, &["main/15"], "main/lower"),
    (
        "split bus, upper bus: the utility alone",
        SPLIT,
        "main/upper",
        false,
        &["main/1", "main/2", "main/5", "main/6", "main/9"],
        "main/upper",
    ),
    (
        "split bus, lugs: the utility alone",
        SPLIT,
        "main",
        false,
        &["main/1", "main/2", "main/5", "main/6", "main/9"],
        "main",
    ),
    ("split bus, an upper circuit", SPLIT, "main/1", true, &["main/1"], "main/upper"),
    ("split bus, the section main's load side", SPLIT, "main/9", true, &["main/9"], "main/upper"),
    ("main lugs only, everything", LUGS, "", true, &["main/1", "main/2", "main/5"], "main/whole"),
    (
        "main lugs only, bus: the utility alone",
        LUGS,
        "main/whole",
        false,
        &["main/1", "main/2", "main/5"],
        "main/whole",
    ),
    ("sub-panel, its bus: the feeding breaker", SUB, "sub/whole", true, &["main/2"], "main/whole"),
    ("sub-panel, everything: the main", SUB, "", true, &["main/whole"], "main"),
    ("sub-panel, a circuit of it", SUB, "sub/1", true, &["sub/1"], "sub/whole"),
    (
        "sub-panel off the upper section, everything",
        SUB_OFF_THE_UPPER,
        "",
        true,
        &["main/2", "main/1", "main/5"],
        "main/upper",
    ),
    (
        "sub-panel off the upper section, its bus",
        SUB_OFF_THE_UPPER,
        "sub/whole",
        true,
        &["main/1"],
        "main/upper",
    ),
    (
        "generator inlet: main and inlet breaker",
        INLET,
        "main/whole",
        true,
        &["main/1", "main/whole"],
        "main/1",
    ),
    ("generator inlet: everything, the bus too", INLET, "", true, &["main/1", "main/whole"], "main/1"),
    (
        "generator inlet, its own wires: never by hand here",
        INLET,
        "main/1",
        false,
        &["main/1", "main/whole"],
        "main/1",
    ),
    (
        "solar in the lower section, lower bus",
        SOLAR_ON_SPLIT,
        "main/lower",
        true,
        &["main/1", "main/7"],
        "main/7",
    ),
    ("solar in the lower section, everything", SOLAR_ON_SPLIT, "", true, &["main/2", "main/8"], "main/upper"),
    (
        "solar in the lower section, upper bus",
        SOLAR_ON_SPLIT,
        "main/upper",
        false,
        &["main/2", "main/8"],
        "main/upper",
    ),
    ("multiwire half: the other half stays live", MULTIWIRE, "main/1", true, &["main/1"], "main/3"),
    ("half-width pair: each half has its own handle", TANDEM, "main/1a", true, &["main/1a"], "main/1b"),
    (
        "half-width pair, everything",
        TANDEM,
        "",
        true,
        &["main/1a", "main/1b", "main/2", "main/3"],
        "main/whole",
    ),
    (
        "breakers added above the split: seven movements",
        ADDED,
        "",
        true,
        &["main/1", "main/2", "main/5", "main/6", "main/10", "main/12", "main/9"],
        "main/upper",
    ),
    ("two services, everything: both mains", TWO_SERVICES, "", true, &["main/whole", "heat/whole"], "heat"),
    (
        "two services, one bus: the other stays live",
        TWO_SERVICES,
        "main/whole",
        true,
        &["main/whole"],
        "heat/whole",
    ),
    (
        "feed not in the record: unknown means live",
        OTHER_PANEL_UNKNOWN,
        "sub/whole",
        false,
        &["sub/1", "sub/2"],
        "sub/whole",
    ),
    ("feed not in the record, a circuit", OTHER_PANEL_UNKNOWN, "sub/1", true, &["sub/1"], "sub/whole"),
];

fn goal(text: &str) -> IsolationGoal {
    if text.is_empty() { IsolationGoal::Everything } else { IsolationGoal::Part(part_of(text)) }
}

#[test]
fn the_answers_are_those_of_the_trade() {
    let mut wrong = Vec::new();
    for (name, panels, wanted, by_hand, movements, live) in CASES {
        let plan = isolate(&house(panels), &goal(wanted)).expect("the part is there");
        let mut found: Vec<String> =
            plan.movements.iter().map(|movement| in_short(&movement.opens)).collect();
        let mut asked: Vec<String> = movements.iter().map(|text| (*text).to_owned()).collect();
        let last_is_right = found.last() == asked.last() || asked.len() < 2;
        found.sort();
        asked.sort();
        if plan.by_hand != *by_hand || found != asked || !plan.stays_live.contains(&part_of(live)) {
            wrong.push(format!("{name}: {} {found:?} live {:?}", plan.by_hand, plan.stays_live));
        } else if !last_is_right && by_hand == &true && name.contains("split bus") {
            wrong.push(format!("{name}: the section main is not last"));
        }
    }
    assert!(wrong.is_empty(), "{wrong:#?}");
}

#[test]
fn what_hands_cannot_cut_is_said_to_be_the_utilitys() {
    for (name, panels, wanted, by_hand, ..) in CASES {
        let plan = isolate(&house(panels), &goal(wanted)).expect("the part is there");
        let says = plan.utility.as_deref().unwrap_or_default();
        assert_eq!(says.starts_with("No handle"), !by_hand, "{name}: {says}");
        assert!(plan.cautions.iter().any(|caution| caution.contains("Unknown means live")), "{name}");
    }
}

#[test]
fn a_part_that_is_not_there_is_refused() {
    let plan = isolate(&house(MAIN), &goal("main/lower"));
    assert_eq!(
        plan.expect_err("there is no lower section").to_string(),
        "the record does not hold the bus of the lower section with all its stabs"
    );
}

#[test]
fn half_of_a_multiwire_circuit_warns_of_its_neutral() {
    let plan = isolate(&house(MULTIWIRE), &goal("main/1")).expect("the part is there");
    assert!(
        plan.movements[0].mind[0].contains("space 3, which is still live"),
        "{:?}",
        plan.movements[0].mind
    );
    let both = isolate(&house(MULTIWIRE), &goal("main/whole")).expect("the part is there");
    assert!(both.movements.iter().all(|movement| movement.mind.is_empty()));
}

#[test]
fn more_than_six_movements_are_called_a_fault() {
    let text =
        |panels| isolate(&house(panels), &IsolationGoal::Everything).expect("a plan").notes[0].text.clone();
    assert!(text(ADDED).contains("By this record 7 hand movements") && text(ADDED).contains("More than six"));
    assert!(text(SPLIT).contains("5 hand movements") && !text(SPLIT).contains("More than six"));
}

#[test]
fn every_pair_is_proven() {
    let plan = isolate(&house(SPLIT), &goal("main/lower")).expect("the part is there");
    // Two legs, neutral, ground: six pairs. Source: each conductor to each other and to ground, NFPA 70E 120.5.
    assert_eq!(plan.proofs.len(), 1);
    assert_eq!(plan.proofs[0].pairs.len(), 6);
    let single = isolate(&house(SPLIT), &goal("main/15")).expect("the part is there");
    assert_eq!(single.proofs[0].pairs.len(), 3, "one leg, neutral, ground");
    assert!(single.proofs[0].pairs.contains(&(ProofPoint::Neutral, ProofPoint::Ground)));
}

#[test]
fn recorded_sources_stand_in_the_questions() {
    let mut installation = house(INLET);
    installation.service.other_sources =
        vec!["solar on the barn roof".to_owned(), "alarm transformer".to_owned()];
    let plan = isolate(&installation, &IsolationGoal::Everything).expect("a plan");
    let recorded: Vec<&str> = plan.sources.iter().filter_map(|source| source.recorded.as_deref()).collect();
    for words in ["solar on the barn roof", "alarm transformer", "source generator inlet"] {
        assert!(recorded.contains(&words), "{words}: {recorded:?}");
    }
}

/// Where the answer of a case comes from.
fn source(name: &str) -> &'static str {
    match name {
        name if name.contains("seven movements") => {
            "follows from the wiring; six movements: NFPA 70 230.71 before 2020, value from memory"
        }
        name if name.contains("split bus") => {
            "common practice, no source: all handles off leaves the upper part live"
        }
        name if name.contains("generator") || name.contains("solar") => {
            "common practice, no source: a source feeds from its own side"
        }
        name if name.contains("not in the record") => "common practice, no source: unknown means live",
        name if name.contains("utility alone") => "common practice, no source: no handle is in front of it",
        _ => "follows from the wiring as recorded",
    }
}

/// The page `docs/isolation-cases.md`: every case with its answer and where that comes from.
#[test]
fn the_page_of_cases_is_that_of_the_tests() {
    use crate::moving::tests::MOVES;
    let mut page = String::from(
        "# Cases of isolation and moves\n\nEach is a test (`crates/remedy`). This page is made from them by \
         `UPDATE_DOCS=1 cargo test -p remedy`. Panels, circuits and houses are invented.\n\n\
         ## Isolation\n\n| case | can hands do it | hand movements | still live at the end, among others | source |\n\
         |---|---|---|---|---|\n",
    );
    let mut n_refused = 0;
    for (name, _, _, by_hand, movements, live) in CASES {
        n_refused += usize::from(!by_hand);
        let hands = if *by_hand { "yes" } else { "**no**: the utility, or it stays live" };
        page.push_str(&format!(
            "| {name} | {hands} | {} | {live} | {} |\n",
            movements.join(", "),
            source(name)
        ));
    }
    page.push_str("\n## Moves\n\n| case | from | to | answer | source |\n|---|---|---|---|---|\n");
    for (name, _, _, _, from, to, refused_by, source) in MOVES {
        n_refused += usize::from(!refused_by.is_empty());
        let answer = match *refused_by {
            "" => "open, once everything asked and to be proven is answered".to_owned(),
            by => format!("**refused**: {by}"),
        };
        page.push_str(&format!("| {name} | {from} | {to} | {answer} | {source} |\n"));
    }
    let n_cases = CASES.len() + MOVES.len();
    page.push_str(&format!("\n{n_cases} cases, {n_refused} of them refusals.\n"));
    assert!(40 <= n_cases && 12 <= n_refused, "{n_cases} {n_refused}");
    let file = concat!(env!("CARGO_MANIFEST_DIR"), "/../../docs/isolation-cases.md");
    if std::env::var_os("UPDATE_DOCS").is_some() {
        std::fs::write(file, &page).expect("the folder docs");
    }
    let kept = std::fs::read_to_string(file).unwrap_or_default();
    assert!(kept == page, "docs/isolation-cases.md is stale: run `UPDATE_DOCS=1 cargo test -p remedy`");
}
