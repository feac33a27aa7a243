//! A new panel torqued and switched on by the phone: every termination logged, every reading typed, counted in taps and
//! keys.

use crate::bench::Bench;
use crate::chrome::{Chrome, Screen, profile, with_browser};
use crate::tab::Tab;
use std::time::Instant;

/// The invented house of the worked example.
const EXAMPLE: &str = include_str!("../../../../docs/worked-example/job.toml");
const JOB: &str = "Q-0117-W";

/// The example as it stood when all breakers were in and nothing was tightened yet.
fn job() -> String {
    let later = ["torqued", "energised", "verified", "shared_neutral", "tried", "card", "promise", "kept"];
    let mut out = String::new();
    let mut parts = EXAMPLE.split("\n[[");
    out.push_str(parts.next().unwrap_or_default());
    for part in parts {
        let heading = part.split([']', '.']).next().unwrap_or_default();
        if !later.contains(&heading) {
            out.push_str("\n[[");
            out.push_str(part);
        }
    }
    out
}

/// Types into a field where it does not say so already, and gives the keys that took.
async fn typed(tab: &Tab, field: &str, text: &str) -> usize {
    let selector = format!("main [name=\"{field}\"]");
    let now = tab.text(&format!("document.querySelector('{selector}').value")).await;
    if now == text {
        return 0;
    }
    tab.fill(&selector, text).await;
    text.chars().count()
}

async fn awake(tab: &Tab) {
    tab.wait("document.documentElement.dataset.script === 'on'").await;
}

/// Taps what leads to another page.
async fn tap_on(tab: &Tab, selector: &str) {
    tab.mark().await;
    tab.tap(selector).await;
    tab.wait_for_next_page().await;
    awake(tab).await;
}

#[test]
fn a_panel_is_torqued_and_switched_on_and_the_taps_are_counted() {
    with_browser("installed", async |program| {
        let bench = Bench::with_job(&job()).await;
        let profile = profile();
        let chrome = Chrome::start(&program, profile.path(), Screen::Phone).await;
        let tab = chrome.open(&bench.url("/join")).await;
        bench.join(&tab, "phone").await;

        // The torque log: row, values where the last one like it does not give them, save.
        tab.go(&bench.url(&format!("/jobs/{JOB}/torque"))).await;
        awake(&tab).await;
        let left = "document.querySelectorAll('#open a.whole').length";
        let n: usize = tab.text(left).await.parse().expect("a number of rows");
        let begun = Instant::now();
        let (mut taps, mut keys) = (0, 0);
        for k in 0..n {
            tap_on(&tab, "#open a.whole").await;
            let terminal = tab.text("document.querySelector('main [name=terminal]').value").await;
            let value = match terminal.split(':').next() {
                Some("lug" | "neutral-lug") => "250",
                Some("pole") => "36",
                _ => "25",
            };
            keys += typed(&tab, "value", value).await;
            keys += typed(&tab, "sheet", "sheet 7").await;
            keys += typed(&tab, "tool", "wrench 1").await;
            keys += typed(&tab, "calibrated", "2026-01-05").await;
            tap_on(&tab, "main form[method=post] .big").await;
            taps += 2;
            let now: usize = tab.text(left).await.parse().expect("a number of rows");
            assert_eq!(
                now,
                n - k - 1,
                "{terminal}: {}",
                tab.text("document.querySelector('main').innerText").await
            );
        }
        println!(
            "torque log of {n} terminations: {taps} taps, {keys} keys, {:.0} s by the machine",
            begun.elapsed().as_secs_f64()
        );
        assert!(20 < n && keys < 4 * n, "{n} {keys}");

        // Switching on: what is offered next is read and saved, until no branch is left.
        tab.go(&bench.url(&format!("/jobs/{JOB}/proving"))).await;
        awake(&tab).await;
        let begun = Instant::now();
        let (mut taps, mut keys, mut steps) = (0, 0, 0);
        for button in ["#readings a.big", "#closed a.big"] {
            tap_on(&tab, button).await;
            for (field, volts) in [
                ("v-A-B", "241"),
                ("v-A-neutral", "120.5"),
                ("v-B-neutral", "120.5"),
                ("v-neutral-ground", "0.1"),
            ] {
                keys += typed(&tab, field, volts).await;
            }
            keys += typed(&tab, "meter", "meter 4").await;
            tap_on(&tab, "main form[method=post] .big").await;
            (taps, steps) = (taps + 2, steps + 1);
        }
        let next = "document.querySelector('#blocks h3') != null";
        while tab.js(next).await == true {
            assert!(steps < 12, "{}", tab.text("document.querySelector('#blocks').innerText").await);
            tap_on(&tab, "#blocks a.big").await;
            for (field, value) in [
                ("v-A-B", "240"),
                ("v-A-neutral", "120"),
                ("v-B-neutral", "120"),
                ("v-neutral-ground", "0.1"),
                ("a-A", "9"),
                ("a-B", "8"),
            ] {
                keys += typed(&tab, field, value).await;
            }
            tap_on(&tab, "main form[method=post] .big").await;
            (taps, steps) = (taps + 2, steps + 1);
        }
        println!(
            "switching on in {steps} steps: {taps} taps, {keys} keys, {:.0} s by the machine",
            begun.elapsed().as_secs_f64()
        );
        let blocks = tab.text("document.querySelector('#blocks').innerText").await;
        assert!(blocks.contains("No branch is left open by the record."), "{blocks}");
        assert!(3 < steps, "{steps}");
        assert!(tab.complaints().is_empty(), "{:?}", tab.complaints());
        chrome.close().await;
    });
}
