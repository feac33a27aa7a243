//! Every page there is, with a job on it that has everything: the list that audits and pictures go through.

use crate::bench::{Bench, enter, send};
use crate::no_signal::JOB;
use crate::tab::Tab;
use serde_json::Value;

/// A page: a name for files, and its address.
#[derive(Debug, Clone)]
pub(crate) struct Stop {
    pub(crate) name: String,
    pub(crate) path: String,
}

/// All pages. Puts a photo with a pin and a contradiction into the job first, so that no page is empty.
pub(crate) async fn every_page(bench: &Bench, tab: &Tab) -> Vec<Stop> {
    let at = |path: &str| bench.url(&format!("/jobs/{JOB}/{path}"));
    tab.go(&at("photos")).await;
    tab.photograph("input[type=file]", 3, 1200, 900).await;
    send(tab, &[("words", "Drawn by the test: left column")], "form[enctype] .big").await;
    tab.wait_for_next_page().await;
    tab.go(&at("photos")).await;
    let photo = tab.text("document.querySelector('.photo-grid a').getAttribute('href')").await;
    tab.go(&bench.url(&photo)).await;
    tab.wait("document.documentElement.dataset.script === 'on'").await;
    tab.tap("[data-pins]").await;
    send(tab, &[("words", "discoloured here")], "main form .big").await;
    tab.wait_for_next_page().await;
    for held in ["10", "20"] {
        let state = [("name", "dryer on"), ("words", "The dryer."), ("held_min", held)];
        enter(tab, &at("enter/state"), &state, "main form[data-queue] .big").await;
    }
    tab.go(&bench.url(&format!("/jobs/{JOB}"))).await;
    tab.wait("document.body.dataset.judged === 'true'").await;

    let list =
        tab.js("fetch('/offline.json').then((answer) => answer.json()).then((list) => list.pages)").await;
    let kept: Vec<String> = serde_json::from_value(list).expect("addresses");
    // One job has all kinds of pages; of its spaces a burnt one, a sound one and an empty one.
    let wanted = |path: &String| match path.strip_prefix("/jobs/") {
        None => true,
        Some(rest) if !rest.starts_with(JOB) => false,
        Some(rest) => match rest.split_once("/spaces/main/") {
            Some((_, space)) => ["15", "19", "10"].contains(&space),
            None => true,
        },
    };
    let mut paths: Vec<String> = kept.into_iter().filter(wanted).collect();
    let more = ["/devices", "/join", "/no-such-page", "/jobs/no-such-job"];
    paths.extend(more.map(str::to_owned));
    paths.extend([
        photo,
        format!("/jobs/{JOB}/joints/main%2Fstab:15"),
        format!("/jobs/{JOB}/moves/main/15"),
        format!("/jobs/{JOB}/fill/main?space=15"),
        format!("/jobs/{JOB}/enter/temperature?place=main/15&state=breakfast"),
    ]);
    // The case whose dwelling and adopted code are on record.
    let code = ["code", "load?open=yes", "sizes", "asks", "editions", "meter"];
    paths.extend(code.map(|page| format!("/jobs/Q-0121/{page}")));
    let joints = tab.js(&format!("[...document.querySelectorAll('a[href*=\"/jobs/{JOB}/joints/\"]')].map((one) => one.getAttribute('href'))")).await;
    if let Some(Value::String(joint)) = joints.get(0) {
        paths.retain(|path| !path.contains("/joints/"));
        paths.push(joint.clone());
    }
    let name = |path: &str| {
        let bare = path.trim_start_matches('/').replace(&format!("jobs/{JOB}"), "job");
        let clean: String =
            bare.chars().map(|letter| if letter.is_ascii_alphanumeric() { letter } else { '-' }).collect();
        if clean.is_empty() { "jobs".to_owned() } else { clean.chars().take(60).collect() }
    };
    paths.into_iter().map(|path| Stop { name: name(&path), path }).collect()
}
