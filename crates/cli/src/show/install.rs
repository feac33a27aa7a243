//! A new panel in words: what may be switched on, what is left to do, what does not agree.

use super::code::wrapped;
use model::Space;
use model::proving::{Branch, BranchBlock, NeutralSays, Outcome};
use serde_json::{Value, json};
use study::install::Proven;
use study::words::{capital, point_pair};

fn section(title: &str, lines: &[String]) -> String {
    if lines.is_empty() {
        return String::new();
    }
    let mut out = format!("\n{title}\n");
    lines.iter().for_each(|line| out.push_str(&wrapped(line, "  ")));
    out
}

fn spaces(spaces: &[Space]) -> String {
    spaces.iter().map(Space::to_string).collect::<Vec<_>>().join("/")
}

fn branch(one: &Branch) -> String {
    let legs: String = one.legs.iter().map(ToString::to_string).collect();
    let known = one.known.map_or_else(String::new, |amps| format!(", {:.1} A clamped", amps.a()));
    format!("{} (leg {legs}, {:.0} A{known}): {}", spaces(&one.spaces), one.rating.a(), one.words)
}

fn block(one: &BranchBlock) -> Vec<String> {
    one.branches.iter().map(branch).collect()
}

/// The sheet.
pub(crate) fn text(proven: &Proven) -> String {
    let order = &proven.order;
    let mut out = section("SUPPLY", std::slice::from_ref(&proven.now.supply));
    let readings: Vec<String> = order
        .readings
        .iter()
        .map(|need| {
            let shown = need.shown.map_or("not read".to_owned(), |shown| format!("{} V", shown.v()));
            let range = format!("{:.0} to {:.0} V", need.low.v(), need.high.v());
            format!("{}, {}: {shown} (plausible {range})", need.stage.word(), point_pair(need.pair))
        })
        .collect();
    out.push_str(&section("BEFORE ANY BRANCH", &readings));
    out.push_str(&section("NO BRANCH YET", &order.shut));
    let closed: Vec<String> = order
        .closed
        .iter()
        .map(|block| {
            let legs: Vec<String> =
                block.legs.iter().map(|(leg, amps)| format!("{leg} {:.1} A", amps.a())).collect();
            let faults = block.faults.join(" ");
            let list: Vec<String> = block.spaces.iter().map(Space::to_string).collect();
            format!("{} closed: {}. {faults}", list.join(", "), legs.join(", "))
        })
        .collect();
    out.push_str(&section("SWITCHED ON", &closed));
    if let Some(next) = &order.next {
        out.push_str(&section("NEXT BLOCK", &block(next)));
    }
    let later: Vec<String> = order.later.iter().flat_map(block).collect();
    out.push_str(&section("THEN", &later));
    let torque = &proven.torque;
    let mut lines = vec![format!(
        "{} terminations: {} without an entry, {} with a fault.",
        torque.lines.len(),
        torque.n_missing,
        torque.n_faulty
    )];
    let faulty = torque.lines.iter().filter(|line| line.fact.is_some() && !line.faults.is_empty());
    lines.extend(faulty.map(|line| format!("{}: {}", capital(&line.words), line.faults.join(" "))));
    out.push_str(&section("TORQUE", &lines));
    let neutrals: Vec<String> = proven.neutrals.iter().map(|one| one.sentence.clone()).collect();
    out.push_str(&section("SHARED NEUTRALS", &neutrals));
    let held: Vec<String> = proven
        .held
        .iter()
        .map(|one| match &one.outcome {
            Outcome::Comparable { sentence, .. } => format!("{}: {sentence}", capital(&one.words)),
            Outcome::NotComparable(why) => {
                format!("{}: not comparable. {}", capital(&one.words), why.join(" "))
            }
        })
        .collect();
    out.push_str(&section("AGAINST THE FIRST READINGS", &held));
    out.push_str(&section("LEFT TO DO", &proven.now.left));
    let wrong: Vec<String> = proven
        .mismatches
        .iter()
        .map(|one| format!("{}: {} {}", capital(&one.subject), one.sentence, one.mend))
        .collect();
    out.push_str(&section("DOES NOT AGREE", &wrong));
    out.push_str(&section("MIND", &proven.now.cautions));
    out
}

fn branch_json(one: &Branch) -> Value {
    json!({
        "spaces": spaces(&one.spaces),
        "legs": one.legs.iter().map(ToString::to_string).collect::<String>(),
        "rating_a": one.rating.a(),
        "feeds": one.words,
        "known_a": one.known.map(|amps| amps.a()),
    })
}

fn block_json(one: &BranchBlock) -> Value {
    one.branches.iter().map(branch_json).collect()
}

/// The same for another program.
pub(crate) fn json(proven: &Proven) -> Value {
    let order = &proven.order;
    let readings: Vec<Value> = order
        .readings
        .iter()
        .map(|need| {
            json!({
                "stage": need.stage.word(),
                "pair": point_pair(need.pair),
                "low_v": need.low.v(),
                "high_v": need.high.v(),
                "shown_v": need.shown.map(|shown| shown.v()),
                "met": need.is_met(),
            })
        })
        .collect();
    let closed: Vec<Value> = order
        .closed
        .iter()
        .map(|block| json!({ "spaces": spaces(&block.spaces), "faults": block.faults }))
        .collect();
    let torque: Vec<Value> = proven
        .torque
        .lines
        .iter()
        .map(|line| {
            json!({
                "terminal": line.terminal.to_string(),
                "on_record": line.fact.is_some(),
                "value": line.value,
                "faults": line.faults,
            })
        })
        .collect();
    let neutrals: Vec<Value> = proven
        .neutrals
        .iter()
        .map(|one| {
            let says = match one.says {
                NeutralSays::Difference => "difference",
                NeutralSays::Sum => "sum",
                NeutralSays::Neither => "neither",
                NeutralSays::CannotTell => "cannot-tell",
            };
            json!({ "spaces": spaces(&one.spaces), "says": says, "sentence": one.sentence })
        })
        .collect();
    let held: Vec<Value> = proven
        .held
        .iter()
        .map(|one| match &one.outcome {
            Outcome::Comparable { first_rise_k, rise_k, sentence, .. } => json!({
                "terminal": one.terminal.to_string(),
                "comparable": true,
                "first_rise_k": first_rise_k,
                "rise_k": rise_k,
                "sentence": sentence,
            }),
            Outcome::NotComparable(why) => {
                json!({ "terminal": one.terminal.to_string(), "comparable": false, "why": why })
            }
        })
        .collect();
    let wrong: Vec<Value> = proven
        .mismatches
        .iter()
        .map(|one| json!({ "subject": one.subject, "sentence": one.sentence, "mend": one.mend }))
        .collect();
    json!({
        "supply": proven.now.supply,
        "readings": readings,
        "no_branch_yet": order.shut,
        "switched_on": closed,
        "next": order.next.as_ref().map(block_json),
        "then": order.later.iter().map(block_json).collect::<Vec<_>>(),
        "torque": torque,
        "shared_neutrals": neutrals,
        "against_first_readings": held,
        "left": proven.now.left,
        "does_not_agree": wrong,
        "cautions": proven.now.cautions,
    })
}
