//! Price, quote, the day without power, and what was built against what was quoted.

use crate::program::{arg, folder, root, run};
use serde_json::Value;
use std::fs;

const JOB: &str = "cases/1-burnt-stabs.toml";
const DAY: &str = "--day=2026-11-26";

fn json(args: &[&str]) -> Value {
    let ran = run(args);
    assert_eq!(ran.code, 0, "{}", ran.err);
    serde_json::from_str(&ran.out).expect("JSON")
}

#[test]
fn every_option_is_an_interval_and_the_contested_items_make_a_second_one() {
    let told = json(&["price", JOB, DAY, "--json"]);
    assert_eq!(told["invented_book"], true);
    let options = told["options"].as_array().expect("options");
    let names: Vec<&str> = options.iter().map(|one| one["option"].as_str().expect("a word")).collect();
    assert_eq!(names, ["make-safe", "move-circuit", "replace-interior", "replace-panel", "replace-service"]);
    let cents = |price: &Value, end: &str| price[end].as_i64().expect("cents");
    let mut last = 0;
    for one in options {
        let price = &one["without"];
        assert!(cents(price, "low_cents") < cents(price, "high_cents"), "{one}");
        // The five options of this case stand in the order of their cost.
        assert!(last < cents(price, "mean_cents"), "{one}");
        last = cents(price, "mean_cents");
        let groups: i64 =
            price["groups"].as_array().expect("groups").iter().map(|group| cents(group, "cents")).sum();
        assert_eq!(groups, last);
        if let Some(with) = one.get("with").filter(|with| !with.is_null()) {
            assert!(last < cents(with, "mean_cents"));
        }
    }
}

#[test]
fn a_price_book_with_mistakes_is_told_by_its_lines() {
    let folder = folder("offer-book");
    let book = folder.join("shop.csv");
    let text = run(&["schema", "prices"]).out;
    fs::write(&book, text.replace("rod,each,31.00", "rod,each,many")).expect("written");
    let ran = run(&["price", JOB, DAY, "--book", arg(&book)]);
    assert_eq!(ran.code, 1);
    assert!(ran.err.contains("`many` is no price"), "{}", ran.err);
    let unknown = run(&["price", JOB, "--option", "gold-plated"]);
    assert!(unknown.err.contains("replace-panel"), "{}", unknown.err);
}

#[test]
fn the_quote_says_what_is_not_in_it_and_how_to_cancel() {
    let folder = folder("offer-quote");
    let out = arg(&folder);
    let ran = run(&["price", JOB, DAY, "--out", out]);
    assert_eq!(ran.code, 0, "{}", ran.err);
    let text = fs::read_to_string(folder.join("quote-q-0117.txt")).expect("the quote");
    for words in
        ["INVENTED", "2026-12-26", "What is not in it", "three business days", "State rules differ", "proven"]
    {
        assert!(text.contains(words), "{words}: {text}");
    }
    assert!(folder.join("quote-q-0117.pdf").exists());
}

#[test]
fn the_day_has_its_chances_its_needs_and_a_calendar() {
    let folder = folder("offer-day");
    let (out, calendar) = (arg(&folder), folder.join("day.ics"));
    let args = ["outage", JOB, DAY, "--json", "--date", "2026-12-03", "--done", "trace", "--done", "ground"];
    let more = ["--crew", "3", "--out", out, "--calendar", arg(&calendar)];
    let told = json(&[&args[..], &more[..]].concat());
    let shares: Vec<f64> = told["back_by"]
        .as_array()
        .expect("a list")
        .iter()
        .map(|row| row[1].as_f64().expect("a share"))
        .collect();
    assert!(shares.windows(2).all(|pair| pair[0] <= pair[1]), "{shares:?}");
    let never = told["not_that_day"].as_f64().expect("a share");
    assert!((shares.last().expect("some") + never - 1.0).abs() < 1e-9);
    assert_eq!(told["needs"].as_array().map(Vec::len), Some(4));
    let text = fs::read_to_string(&calendar).expect("the calendar");
    assert!(text.contains("DTSTART;VALUE=DATE:20261203") && text.contains("(invented)"), "{text}");
    let sheet = fs::read_to_string(folder.join("outage-plan-q-0117.txt")).expect("the sheet");
    assert!(
        sheet.contains("Service conductors stay live") && sheet.contains("What the house needs"),
        "{sheet}"
    );
}

#[test]
fn ticked_steps_become_hours_and_stand_against_the_quote() {
    let folder = folder("offer-built");
    let file = folder.join("job.toml");
    let facts = r#"
[[quote]]
at = 2025-11-21T09:00
option = "replace-panel"
low_usd = 3000
usual_usd = 3600
high_usd = 4300
valid_until = 2025-12-21

[[outage]]
at = 2025-11-22T09:00
option = "replace-panel"
date = 2025-12-02
cut_from = "08:00"
cut_to = "09:00"

[[tick]]
at = 2025-12-02T07:00
step = "arrive"
done = false

[[tick]]
at = 2025-12-02T07:30
step = "arrive"
done = true

[[tick]]
at = 2025-12-02T09:00
step = "trace"
done = true

[[used]]
at = 2025-12-02T18:00
part = "rod"
count = 2
"#;
    let job = fs::read_to_string(root().join(JOB)).expect("the case");
    fs::write(&file, job + facts).expect("written");
    let told = json(&["built", arg(&file), DAY, "--json"]);
    // Two people for half an hour, then from that end for an hour and a half.
    assert_eq!(told["hours"].as_f64(), Some(4.0));
    // (4 h × 115 + 2 × 31 × 1.20 × 1.06) × 1.04 + 253 = 813.42 USD.
    assert_eq!(told["cents"].as_i64(), Some(81_342));
    assert_eq!(told["quoted_usd"][1].as_i64(), Some(3600));
    let text = run(&["built", arg(&file), DAY]).out;
    assert!(text.contains("below the range") && text.contains("Not timed"), "{text}");
}
