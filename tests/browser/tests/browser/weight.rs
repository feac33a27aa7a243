//! The panel page over a poor connection: how heavy it is and how soon it shows.

use crate::bench::Bench;
use crate::chrome::{Chrome, Screen, profile, with_browser};
use crate::no_signal::JOB;
use chromiumoxide::cdp::browser_protocol::network::{SetBypassServiceWorkerParams, SetCacheDisabledParams};
use std::time::Duration;

const LATENCY_MS: f64 = 300.0;
const DOWN_BIT_S: f64 = 1.6e6;
const WEIGHT_MAX: f64 = 150_000.0;
const FIRST_PAINT_MAX_MS: f64 = 1000.0;

#[test]
fn the_panel_page_is_light_and_shows_within_a_second_on_a_poor_connection() {
    with_browser("weight", async |program| {
        let bench = Bench::demo().await;
        let profile = profile();
        let chrome = Chrome::start(&program, profile.path(), Screen::Phone).await;
        let tab = chrome.open(&bench.url("/join")).await;
        bench.join(&tab, "phone").await;
        tab.go(&bench.url(&format!("/jobs/{JOB}"))).await;
        tab.wait("document.body.dataset.judged === 'true'").await;
        tab.go("about:blank").await;
        // As on the first visit: nothing kept by the browser or its service worker.
        tab.network(false, LATENCY_MS, DOWN_BIT_S).await;
        tab.page().execute(SetCacheDisabledParams::new(true)).await.expect("no cache");
        tab.page().execute(SetBypassServiceWorkerParams::new(true)).await.expect("no service worker");
        let mut paints = Vec::new();
        let mut weights = Vec::new();
        for _ in 0..5 {
            tab.go(&bench.url(&format!("/jobs/{JOB}"))).await;
            tab.wait("document.documentElement.dataset.script === 'on' && 0 < performance.getEntriesByName('first-contentful-paint').length").await;
            tokio::time::sleep(Duration::from_millis(500)).await;
            let parts = tab.js("[...performance.getEntriesByType('navigation'), ...performance.getEntriesByType('resource')].map((one) => [one.name.replace(location.origin, ''), one.transferSize])").await;
            let parts: Vec<(String, f64)> = serde_json::from_value(parts).expect("names and sizes");
            let weight: f64 = parts.iter().map(|(_, size)| size).sum();
            if weights.is_empty() {
                println!("parts of the panel page, bytes over the wire: {parts:?}");
            }
            assert!(parts.iter().all(|(_, size)| 0.0 < *size), "one part came from a cache: {parts:?}");
            weights.push(weight);
            let paint = tab.js("performance.getEntriesByName('first-contentful-paint')[0].startTime").await;
            paints.push(paint.as_f64().expect("a time"));
        }
        paints.sort_by(f64::total_cmp);
        println!(
            "panel page: {weights:?} bytes; first contentful paint at {DOWN_BIT_S} bit/s and {LATENCY_MS} ms: {paints:?} ms"
        );
        assert!(weights.iter().all(|weight| *weight < WEIGHT_MAX), "{weights:?}");
        assert!(paints[paints.len() / 2] < FIRST_PAINT_MAX_MS, "the middle one of {paints:?}");
        chrome.close().await;
    });
}
