//! Facts as devices send them: in parts, twice, in any order, and sometimes against each other.

use jiff::civil::{Date, date};
use model::{FactId, Space};
use record::fact::*;
use record::{Fact, Problem, Severity, fold, problems, read_job};

const FILE: &str = r#"
panelwright = 1

[job]
id = "2026-017"
opened = 2026-03-04
exposure = "cover-off"

[[panel]]
spaces = 12
main = "lugs"

[[panel.breaker]]
space = 5
rating_a = 20

[[state]]
name = "all on"
at = 2026-03-04T14:30
faces_c = { "5" = 41 }
"#;

fn facts() -> Vec<Fact> {
    read_job("job.toml", FILE, Date::constant(2026, 11, 25)).facts
}

fn of_kind(facts: &[Fact], kind: &str) -> Fact {
    facts.iter().find(|fact| fact.body.kind() == kind).expect("the file has one").clone()
}

fn later(body: Body, supersedes: Vec<FactId>) -> Fact {
    Fact::new(date(2026, 3, 4).at(18, 0, 0, 0), Some("second phone".to_owned()), supersedes, body)
}

fn codes(problems: &[Problem]) -> Vec<&'static str> {
    problems.iter().map(|problem| problem.code).collect()
}

#[test]
fn the_facts_of_a_file_fold_into_its_job() {
    let reading = read_job("job.toml", FILE, Date::constant(2026, 11, 25));
    assert_eq!(fold(&reading.facts).ok(), reading.job);
    assert!(reading.job.is_some());
}

#[test]
fn two_devices_may_describe_the_same_thing_alike() {
    let mut facts = facts();
    for kind in ["panel", "breaker", "state", "job"] {
        let again = later(of_kind(&facts, kind).body, vec![]);
        facts.push(again);
    }
    let job = fold(&facts).expect("nothing contradicts");
    assert_eq!(job.installation.panels.len(), 1);
    assert_eq!(job.installation.panels[0].breakers.len(), 1);
    assert_eq!(job.load_states.len(), 1);
}

#[test]
fn two_devices_that_differ_are_told_of_with_both_facts() {
    let mut facts = facts();
    let panel = of_kind(&facts, "panel");
    let Body::Panel(mut body) = panel.body.clone() else { unreachable!("asked for a panel") };
    body.spaces = 24;
    body.sections[0].rows = [1, 12];
    let other = later(body.clone().into(), vec![]);
    facts.push(other.clone());
    let problems = fold(&facts).expect_err("two descriptions of one panel");
    assert_eq!(codes(&problems), ["described-twice"]);
    assert_eq!(problems[0].file, format!("fact {}", other.id()));
    assert!(problems[0].message.contains(panel.id().as_str()), "{}", problems[0].message);
    // A third fact that supersedes both ends it.
    facts.push(later(body.into(), vec![panel.id().clone(), other.id().clone()]));
    assert_eq!(fold(&facts).expect("settled").installation.panels[0].n_spaces, 24);
}

#[test]
fn a_correction_stands_alone_and_a_retraction_leaves_nothing() {
    let mut facts = facts();
    let face = of_kind(&facts, "temperature");
    let Body::Temperature(mut body) = face.body.clone() else { unreachable!("asked for a temperature") };
    body.value = TemperatureAs::C(43.0);
    let corrected = later(body.into(), vec![face.id().clone()]);
    facts.push(corrected.clone());
    let job = fold(&facts).expect("a correction");
    assert_eq!(job.observations.len(), 1);
    assert_eq!(job.observations[0].fact, *corrected.id());
    let why = Retraction { words: "wrong panel".to_owned() };
    facts.push(later(why.into(), vec![corrected.id().clone()]));
    let job = fold(&facts).expect("a retraction");
    assert!(job.observations.is_empty(), "what the retracted fact superseded does not come back");
}

#[test]
fn a_correction_of_a_fact_on_another_device_waits_for_it() {
    let mut facts = facts();
    let face = of_kind(&facts, "temperature");
    facts.retain(|fact| fact.id() != face.id());
    facts.push(later(Retraction { words: String::new() }.into(), vec![face.id().clone()]));
    assert!(fold(&facts).is_ok());
    let told = problems(&facts, None);
    assert_eq!(codes(&told), ["unknown-id"]);
    assert_eq!(told[0].severity, Severity::Warning);
    facts.push(face);
    assert!(fold(&facts).expect("now it is there").observations.is_empty());
}

#[test]
fn circles_and_clashing_ids_are_told_of() {
    let mut facts = facts();
    let mut one = later(Retraction { words: "one".to_owned() }.into(), vec![FactId::new("two")]);
    let mut two = later(Retraction { words: "two".to_owned() }.into(), vec![FactId::new("one")]);
    one.id.0 = FactId::new("one");
    two.id.0 = FactId::new("two");
    facts.extend([one.clone(), two]);
    assert_eq!(codes(&fold(&facts).expect_err("a circle")), ["supersedes-circle", "supersedes-circle"]);
    one.supersedes.clear();
    facts.push(one);
    assert!(codes(&fold(&facts).expect_err("two facts of one id")).contains(&"duplicate-id"));
}

#[test]
fn what_a_program_should_not_send_is_refused() {
    let good = facts();
    let face = of_kind(&good, "temperature");
    let breaker = of_kind(&good, "breaker");
    let Body::Temperature(mut hot) = face.body.clone() else { unreachable!("asked for a temperature") };
    hot.value = TemperatureAs::C(f64::NAN);
    let Body::Breaker(mut bare) = breaker.body.clone() else { unreachable!("asked for a breaker") };
    bare.spaces.clear();
    let Body::Breaker(mut infinite) = breaker.body.clone() else { unreachable!("asked for a breaker") };
    infinite.spaces[0].0 = Space::whole(7);
    infinite.rating_a = f64::INFINITY;
    for (body, code) in [
        (Body::from(hot), "not-finite"),
        (Body::from(bare), "pole-count"),
        (Body::from(infinite), "rating-implausible"),
    ] {
        let mut facts = good.clone();
        facts.push(later(body, vec![]));
        assert_eq!(codes(&fold(&facts).expect_err(code)), [code]);
    }
    assert_eq!(codes(&fold(&[]).expect_err("nothing at all")), ["no-job"]);
}

/// One stored fact of every kind, as the program first wrote it. These lines never change; new kinds add theirs.
const FIRST_VERSION: &str = include_str!("facts-v1.jsonl");

#[test]
fn facts_of_the_first_version_open_and_write_the_same() {
    let mut kinds = std::collections::BTreeSet::new();
    for line in FIRST_VERSION.lines() {
        let fact = Fact::from_json(line).unwrap_or_else(|error| panic!("{line}: {error}"));
        assert_eq!(fact.to_json(), line);
        assert!(fact.has_derived_id(), "{line}");
        kinds.insert(fact.body.kind());
    }
    assert_eq!(kinds.len(), 48, "{kinds:?}");
}
