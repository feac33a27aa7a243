//! A whole job by the forms alone: the demo case with its split bus and burnt stabs, entered as an electrician would,
//! and the judgement that the pages show held against the one of the command line on the exported job.

use crate::bench::{Bench, enter, run, send};
use crate::chrome::{Chrome, Screen, profile, with_browser};
use crate::tab::Tab;
use serde_json::Value;
use std::io::Read;
use std::time::Instant;

const JOB: &str = "Q-0117";

/// Space, poles, rating, what it feeds, class, and whether it is of another make and later.
const BREAKERS: [(&str, &str, &str, &str, &str); 16] = [
    ("1, 3", "50", "range", "cooking", ""),
    ("2, 4", "30", "dryer", "dryer", ""),
    ("5, 7", "30", "water heater", "water-heater", ""),
    ("6, 8", "40", "air conditioner", "cooling", ""),
    ("13", "15", "lights, ground floor", "general", ""),
    ("14", "15", "living room receptacles", "general", ""),
    ("15", "20", "kitchen receptacles, east", "small-appliance", "no"),
    ("16", "20", "laundry receptacle", "small-appliance", "yes"),
    ("17", "20", "kitchen receptacles, west", "small-appliance", ""),
    ("18", "15", "furnace", "motor", ""),
    ("19", "20", "bathroom receptacle", "small-appliance", ""),
    ("20", "15", "lights, upper floor", "general", ""),
    ("21", "15", "bedroom, north", "general", ""),
    ("22", "15", "bedroom, south", "general", ""),
    ("23", "15", "garage receptacle", "general", ""),
    ("24", "15", "hall and porch", "general", ""),
];

const UNLOADED: [&str; 9] = ["1", "3", "2", "4", "5", "7", "6", "8", "23"];

const AMPS: [(&str, &str); 11] = [
    ("13", "3.1"),
    ("14", "4.4"),
    ("15", "13.2"),
    ("16", "9.8"),
    ("17", "12.6"),
    ("18", "2.0"),
    ("19", "0.6"),
    ("20", "5.2"),
    ("21", "1.2"),
    ("22", "3.8"),
    ("24", "2.5"),
];

const FACES: [(&str, &str); 14] = [
    ("9", "37.5"),
    ("11", "39.6"),
    ("13", "28.7"),
    ("14", "29.2"),
    ("15", "48.4"),
    ("16", "40.2"),
    ("17", "39.1"),
    ("18", "28.8"),
    ("19", "27.9"),
    ("20", "29.3"),
    ("21", "27.4"),
    ("22", "28.9"),
    ("23", "27.6"),
    ("24", "28.1"),
];

/// Records the demo case.
pub(crate) async fn record(tab: &Tab, bench: &Bench) {
    let call = [
        ("words", "The kitchen breaker goes off when the kettle and the toaster oven run."),
        ("of", "trips"),
        ("of", "smell"),
        ("place", "9 Kiln Row"),
        ("town", "Quenmarsh"),
        ("job", JOB),
        ("invented", "yes"),
    ];
    enter(tab, &bench.url("/new"), &call, "main form[action='/new'] .big").await;
    assert_eq!(tab.text("location.pathname").await, format!("/jobs/{JOB}/call"));
    let at = |path: &str| bench.url(&format!("/jobs/{JOB}/{path}"));
    let panel = [
        ("place", "hall, beside the cellar door"),
        ("spaces", "24"),
        ("main", "split"),
        ("lower", "13"),
        ("feeder", "9"),
        ("feeder-rating", "60"),
        ("metal", "aluminium"),
        ("plating", "tin"),
        ("bus-rating", "125"),
        ("year", "1968"),
        ("mounting", "flush"),
        ("moisture", "no"),
    ];
    enter(tab, &at("panel"), &panel, "main form[data-queue] .big").await;
    for (spaces, rating, feeds, class, other) in BREAKERS {
        let mut breaker = vec![("spaces", spaces), ("rating_a", rating), ("feeds", feeds), ("class", class)];
        if !other.is_empty() {
            breaker.extend([("other_make", other), ("later", other)]);
        }
        enter(tab, &at("enter/breaker"), &breaker, "main form[data-queue] .big").await;
    }
    let opened = [("reached", "cover-off"), ("who", "electrician"), ("qualified", "yes")];
    enter(tab, &at("enter/exposure"), &opened, "main form[data-queue] .big").await;
    let unloaded: Vec<String> = UNLOADED.iter().map(|space| format!("main/{space}")).collect();
    for (name, held) in
        [("breakfast", "60"), ("one heater moved about", ""), ("kettle and toaster oven at once", "25")]
    {
        let mut state =
            vec![("name", name), ("words", "As in the invented case."), ("held_min", held), ("room", "21.5")];
        state.extend(unloaded.iter().map(|slot| ("unloaded", slot.as_str())));
        enter(tab, &at("enter/state"), &state, "main form[data-queue] .big").await;
    }
    for (space, amps) in AMPS {
        let clamp = [
            ("place", &*format!("main/{space}")),
            ("amps", amps),
            ("state", "breakfast"),
            ("instrument", "clamp 2"),
        ];
        enter(tab, &at("enter/clamp"), &clamp, "main form[data-queue] .big").await;
    }
    for (space, face) in FACES {
        let address = at(&format!("enter/temperature?place=main/{space}&state=breakfast&unit=c"));
        enter(tab, &address, &[("value", face), ("instrument", "camera 1")], "main form[data-queue] .big")
            .await;
    }
    for (to, mv, amps) in [("15", "263", "13.1"), ("16", "168", "9.7"), ("19", "111", "12.0")] {
        let to = format!("main/load:{to}");
        let drop = [
            ("from", "main/load:23"),
            ("to", &to),
            ("mv", mv),
            ("amps", amps),
            ("state", "one heater moved about"),
            ("instrument", "meter 4"),
        ];
        enter(tab, &at("enter/drop"), &drop, "main form[data-queue] .big").await;
    }
    for (space, feel) in [("15", "warm"), ("19", "not-warm")] {
        let touch = [("place", &*format!("main/{space}")), ("state", "breakfast")];
        enter(tab, &at("enter/touch"), &touch, &format!("button[name=feel][value={feel}]")).await;
    }
    let trip = [
        ("place", "main/15"),
        ("amps", "18.4"),
        ("after_min", "25"),
        ("state", "kettle and toaster oven at once"),
    ];
    enter(tab, &at("enter/trip"), &trip, "main form[data-queue] .big").await;
    for (sign, place, seen) in
        [("smell", "main/15", "yes"), ("buzz", "panel", "no"), ("melted-case", "panel", "no")]
    {
        tab.go(&at("enter/sign")).await;
        let place = sign_place(tab, place).await;
        send(tab, &[("sign", sign), ("place", &place)], &format!("button[name=seen][value={seen}]")).await;
        tab.wait_for_next_page().await;
    }
}

/// The value by which the form knows a place.
async fn sign_place(tab: &Tab, words: &str) -> String {
    let values = tab
        .text("[...document.querySelectorAll('select[name=place] option')].map((one) => one.value).join(' ')")
        .await;
    let exact = values.split(' ').find(|value| *value == words);
    let ending = || values.split(' ').find(|value| value.ends_with(words) || value.starts_with(words));
    exact.or_else(ending).unwrap_or_else(|| panic!("`{words}` is none of {values}")).to_owned()
}

/// The ways in which the pages may print a probability that the command line wrote with four decimals: what was
/// rounded there may lie on either side of what is written.
fn percents(written: f64) -> [String; 2] {
    [written - HALF_DIGIT, written + HALF_DIGIT].map(|probability| match probability * 100.0 {
        value if value < 0.5 => "under 1 %".to_owned(),
        value if 99.5 <= value => "over 99 %".to_owned(),
        value => format!("{value:.0} %"),
    })
}

/// Half of the last digit of a probability in the JSON of `assess`.
const HALF_DIGIT: f64 = 0.000_05;

#[test]
fn the_pages_judge_the_demo_case_as_the_command_line_does() {
    with_browser("judgement", async |program| {
        let bench = Bench::empty().await;
        let profile = profile();
        let chrome = Chrome::start(&program, profile.path(), Screen::Phone).await;
        let tab = chrome.open(&bench.url("/join")).await;
        bench.join(&tab, "phone of the test").await;
        let begun = Instant::now();
        record(&tab, &bench).await;
        println!("demo case entered by the forms in {:.1} s", begun.elapsed().as_secs_f64());
        tab.go(&bench.url(&format!("/jobs/{JOB}"))).await;
        // The judgement is made meanwhile and comes by itself.
        let waited = tab
            .wait("document.body.dataset.judged === 'true' && !!document.querySelector('#judged .verdict')")
            .await;
        println!("judgement on the page {:.1} s after the last entry", waited.as_secs_f64());
        let urgency = tab.text("document.querySelector('.verdict').dataset.urgency").await;

        let exported = bench.data().with_extension("zip");
        run(&["export", JOB, &exported.to_string_lossy(), "--data", &bench.data().to_string_lossy()]);
        let file = std::fs::File::open(&exported).expect("the export is there");
        let mut archive = zip::ZipArchive::new(file).expect("it is an archive");
        let name =
            archive.file_names().find(|name| name.ends_with("job.toml")).expect("with a job file").to_owned();
        let mut text = String::new();
        archive.by_name(&name).expect("that opens").read_to_string(&mut text).expect("as text");
        let folder = tempfile::tempdir().expect("a folder");
        let job = folder.path().join("job.toml");
        std::fs::write(&job, text).expect("a file");
        std::fs::remove_file(&exported).expect("the export goes");
        let assessed: Value =
            serde_json::from_str(&run(&["assess", &job.to_string_lossy(), "--json"])).expect("JSON");
        assert_eq!(assessed["verdict"]["urgency"].as_str(), Some(urgency.as_str()));

        let joints = assessed["joints"].as_array().expect("joints");
        assert!(20 < joints.len(), "{} joints", joints.len());
        let mut n_compared = 0;
        let mut burnt = Vec::new();
        for joint in joints {
            let id = joint["joint"]
                .as_str()
                .or(joint["joint"]["id"].as_str())
                .or(joint["id"].as_str())
                .expect("an id");
            // Every stab, and the lugs: the joints that somebody acts on.
            if !(id.contains("stab") || id.contains("lug")) {
                continue;
            }
            let chance = |key: &str| joint["probability"][key].as_f64().expect("a probability");
            tab.go(&bench.url(&format!("/jobs/{JOB}/joints/{}", id.replace('/', "%2F")))).await;
            let shown = tab.text("document.querySelector('#judged').innerText.replace(/\\s+/g, ' ')").await;
            for (key, before, after) in
                [("burnt", "", "burnt"), ("worn", "Worn: ", ", sound: "), ("sound", ", sound: ", ".")]
            {
                let figures = percents(chance(key)).map(|percent| format!("{before}{percent}{after}"));
                assert!(
                    figures.iter().any(|figure| shown.contains(figure)),
                    "{id}: none of {figures:?} in: {shown}"
                );
            }
            n_compared += 1;
            if 0.5 < chance("burnt") {
                burnt.push(id.to_owned());
            }
        }
        println!(
            "{n_compared} joints show the probabilities of the command line; burnt: {}",
            burnt.join(", ")
        );
        assert!(20 <= n_compared && burnt.iter().any(|id| id.ends_with("15")), "{n_compared}: {burnt:?}");
        assert!(tab.complaints().is_empty(), "{:?}", tab.complaints());
        chrome.close().await;
    });
}
