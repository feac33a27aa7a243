//! Loads, sizes, what the code asks, editions and meter data, as a person and as another program asks for them.

use crate::program::{CASES, arg, folder, root, run, run_with_input};
use serde_json::Value;
use std::fs;

const DAY: [&str; 2] = ["--day", "2025-12-01"];

fn told(args: &[&str]) -> String {
    let run = run(&[args, &DAY].concat());
    assert_eq!(run.code, 0, "{args:?}: {}{}", run.out, run.err);
    run.out
}

fn json(args: &[&str]) -> Value {
    serde_json::from_str(&told(&[args, &["--json"]].concat())).expect("one line of JSON")
}

#[test]
fn loads_stand_side_by_side() {
    insta::assert_snapshot!("load-of-a-house", told(&["load", CASES[1], "--summary"]));
}

#[test]
fn what_the_code_asks_is_told_point_by_point() {
    insta::assert_snapshot!("asks-of-a-house", told(&["asks", CASES[1]]));
}

#[test]
fn editions_are_compared() {
    insta::assert_snapshot!("editions-of-a-house", told(&["editions", CASES[1]]));
}

#[test]
fn sizes_are_told() {
    insta::assert_snapshot!("sizes-of-a-house", told(&["sizes", CASES[1], "--summary"]));
}

/// NFPA 70 Table 314.16(B), public pages: 2.25 in³ for 12 AWG, 2.00 for 14. Eight of 12 and two of 14 are 22 in³; four
/// grounds count once at 12 (2.25), inside clamps once at 12 (2.25): 26.5 in³.
#[test]
fn a_box_for_splices_is_large_enough_or_not() {
    let told = |volume: &str| {
        let box_of = ["--box", "12x8, 14x2", "--box-grounds", "12x4", "--box-clamps", "--box-volume", volume];
        told(&[&["sizes", CASES[1], "--summary"], &box_of[..]].concat())
    };
    assert!(told("26.5").contains("26.50 in³ needed: 26.5 in³ is enough"), "{}", told("26.5"));
    assert!(told("22.5").contains("22.5 in³ is too small"), "{}", told("22.5"));
    let wrong = run(&["sizes", CASES[1], "--box", "twelve"]);
    assert_eq!(wrong.code, 1);
    assert!(wrong.err.contains("write `12x4`"), "{}", wrong.err);
}

#[test]
fn the_day_of_the_permit_decides_which_edition_holds() {
    let code = |day: &str| {
        let run = run(&["load", CASES[1], "--json", "--day", day]);
        let value: Value = serde_json::from_str(&run.out).expect("JSON");
        value["code"].as_str().expect("a code").to_owned()
    };
    assert!(code("2026-06-30").contains("2020 edition"), "the day before the ordinance");
    assert!(code("2026-07-01").contains("2023 edition"), "its first day");
}

#[test]
fn no_edition_is_assumed() {
    let run = run(&["load", CASES[0], "--day", "2025-12-01"]);
    assert_eq!(run.code, 1, "{}", run.out);
    assert!(run.err.contains("none is assumed"), "{}", run.err);
    let named = json(&["load", CASES[0], "--edition", "2020"]);
    let methods = named["methods"].as_array().expect("methods");
    assert!(methods.iter().all(|one| one["blocked"]["ask"].is_array()), "{named}");
}

#[test]
fn a_later_edition_is_refused_where_its_text_was_not_verified() {
    let value = json(&["load", CASES[1], "--edition", "2026"]);
    for method in value["methods"].as_array().expect("methods") {
        assert!(method["blocked"]["refused"]["confirm"].is_string(), "{method}");
        assert!(method["sheet"].is_null());
    }
}

/// Source: the sum of the sheet's own lines, added up here.
#[test]
fn every_figure_of_a_sheet_adds_up_and_carries_its_source() {
    let value = json(&["load", CASES[1]]);
    for method in value["methods"].as_array().expect("methods") {
        let sheet = &method["sheet"];
        let lines = sheet["lines"].as_array().expect("lines");
        let sum: f64 = lines.iter().map(|line| line["va"].as_f64().expect("a load")).sum();
        let total = sheet["total_va"].as_f64().expect("a sum");
        assert!((sum - total).abs() < 1e-6, "{sum} {total}");
        assert!((total / 240.0 - sheet["amps"].as_f64().expect("amperes")).abs() < 1e-9);
        for line in lines {
            let cite = &line["working"]["cite"];
            let place = cite["place"].as_str().expect("a place");
            assert!(!place.is_empty() && cite["standing"].is_string(), "{line}");
        }
    }
}

#[test]
fn papers_for_a_permit_are_written_and_say_the_same_twice() {
    let (first, again) = (folder("permit-1"), folder("permit-2"));
    for out in [&first, &again] {
        told(&["load", CASES[1], "--summary", "--out", arg(out)]);
    }
    let names = [
        "load-calculation-q-0121.pdf",
        "load-calculation-q-0121.txt",
        "one-line-q-0121.pdf",
        "one-line-q-0121.svg",
    ];
    for name in names {
        let (one, two) = (fs::read(first.join(name)).expect(name), fs::read(again.join(name)).expect(name));
        assert!(one == two && !one.is_empty(), "{name}");
    }
    let sheet = fs::read_to_string(first.join("load-calculation-q-0121.txt")).expect("the sheet");
    for words in ["INVENTED EXAMPLE", "from memory", "Service conductors stay live", "Not signed"] {
        assert!(sheet.contains(words), "{words}");
    }
    insta::assert_snapshot!(
        "one-line-of-a-house",
        fs::read_to_string(first.join("one-line-q-0121.txt")).expect("the diagram")
    );
}

/// A day of hourly readings in ESPI, all of 1 kWh and one of 4 kWh.
fn espi(days: u32) -> String {
    let mut text = "<feed><entry><link rel=\"self\" href=\"/ReadingType/1\"/><content><ReadingType><uom>72</uom>\
                    <powerOfTenMultiplier>0</powerOfTenMultiplier></ReadingType></content></entry><entry>\
                    <link rel=\"self\" href=\"/UsagePoint/1/MeterReading/1/IntervalBlock/1\"/><content><IntervalBlock>"
        .to_owned();
    for hour in 0..days * 24 {
        let value = if hour == 30 { 4000 } else { 1000 };
        text.push_str(&format!(
            "<IntervalReading><timePeriod><duration>3600</duration><start>{}</start></timePeriod><value>{value}</value>\
             </IntervalReading>",
            1_600_000_000 + 3600 * i64::from(hour)
        ));
    }
    text + "</IntervalBlock></content></entry></feed>"
}

#[test]
fn hourly_meter_data_give_an_interval() {
    let run = run_with_input(&["meter", "-", "--json"], espi(400).as_bytes());
    assert_eq!(run.code, 0, "{}{}", run.out, run.err);
    let value: Value = serde_json::from_str(&run.out).expect("JSON");
    let demand = &value["channels"][0]["demand"];
    // 4 kWh in an hour: at least 4 kW, and 16 kW if all of it fell into one quarter.
    assert_eq!((demand["least_kw"].as_f64(), demand["most_kw"].as_f64()), (Some(4.0), Some(16.0)), "{value}");
}

#[test]
fn what_is_no_demand_is_refused_with_its_reason() {
    for (input, why) in [
        (espi(5), "the least is 30"),
        ("<html></html>".to_owned(), "the root element is `html`"),
        ("%PDF-1.7".to_owned(), "ask the utility for interval data"),
        ("{\"a\": 1}".to_owned(), "JSON"),
        ("name,street\nA,B\n".to_owned(), "no header was found"),
        (String::new(), "empty"),
    ] {
        let run = run_with_input(&["meter", "-"], input.as_bytes());
        assert_eq!(run.code, 1, "{}", run.out);
        assert!(run.out.contains(why), "{why}: {}", run.out);
    }
}

#[test]
fn a_chart_is_written_and_a_missing_file_is_told() {
    let out = folder("meter-chart");
    fs::write(out.join("a.xml"), espi(40)).expect("a file");
    let (file, chart) = (out.join("a.xml"), out.join("a.svg"));
    let run = run(&["meter", arg(&file), "--chart", arg(&chart)]);
    assert_eq!(run.code, 0, "{}{}", run.out, run.err);
    assert!(fs::read_to_string(&chart).expect("the chart").starts_with("<svg"));
    assert_eq!(crate::program::run(&["meter", "no-such.xml"]).code, 3);
}

#[test]
fn the_files_of_a_shop_can_be_copied_and_are_read() {
    let out = folder("shop-files");
    let (adoption, refusals) = (out.join("city.toml"), out.join("refusals.toml"));
    fs::write(&adoption, run(&["schema", "adoption"]).out).expect("a file");
    fs::write(&refusals, run(&["schema", "refusals"]).out).expect("a file");
    let value = json(&["load", CASES[1], "--adoption", arg(&adoption), "--book", arg(&refusals)]);
    assert!(value["code"].as_str().is_some_and(|code| code.contains("Harrow Falls")), "{value}");
    fs::write(&adoption, "name = \"x\"\nadopted = []\n").expect("a file");
    let bad = run(&["load", CASES[1], "--adoption", arg(&adoption)]);
    assert_eq!(bad.code, 1, "{}", bad.out);
    assert!(bad.err.contains("city.toml"), "{}", bad.err);
    assert!(root().join(CASES[1]).is_file());
}
