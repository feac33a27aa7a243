//! Trouble with the phone itself: its storage is full, its clock is off by a day, a photo waits. Nothing
//! that was acknowledged is lost, and what is not kept is not called kept.

use crate::bench::{Bench, send};
use crate::chrome::{Chrome, Screen, profile, with_browser};
use crate::no_signal::{JOB, badge};
use crate::phone::has_module;
use crate::tab::Tab;
use chromiumoxide::cdp::browser_protocol::storage::ClearDataForOriginParams;
use std::time::Duration;

/// What a browser drops together; cookies are not among it.
const DROPPED: &str = "indexeddb,cache_storage,service_workers,local_storage,file_systems";

/// From now on no entry finds room in this page, as with a full disk: its transaction is aborted with that error. The
/// driver's own limit of the storage does not bear on what Chromium 156 lets a page write; it tells a fixed figure.
const NO_ROOM: &str = "(() => { globalThis.noRoom = true; \
     const told = Object.getOwnPropertyDescriptor(IDBTransaction.prototype, 'error').get; \
     Object.defineProperty(IDBTransaction.prototype, 'error', { configurable: true, \
       get() { return this.isFull ? new DOMException('no room', 'QuotaExceededError') : told.call(this); } }); \
     for (const name of ['add', 'put']) { const real = IDBObjectStore.prototype[name]; \
       IDBObjectStore.prototype[name] = function (...what) { const asked = real.apply(this, what); \
         if (globalThis.noRoom) { this.transaction.isFull = true; this.transaction.abort(); } return asked; }; } })()";

/// A phone that has all it needs without a network; `None` where the program has no module.
pub(crate) async fn ready(
    program: &std::path::Path,
    bench: &Bench,
    profile: &std::path::Path,
) -> Option<(Chrome, Tab)> {
    let chrome = Chrome::start(program, profile, Screen::Phone).await;
    let tab = chrome.open(&bench.url("/join")).await;
    bench.join(&tab, "phone in the cellar").await;
    if !has_module(&tab).await {
        return None;
    }
    tab.wait("document.documentElement.dataset.phone === 'ready'").await;
    // From the second page on the service worker answers.
    tab.reload().await;
    Some((chrome, tab))
}

/// How many facts the bench has of a job.
pub(crate) async fn n_facts(tab: &Tab, job: &str) -> u64 {
    let count = format!(
        "fetch('/jobs/{job}/facts.json').then((answer) => answer.json()).then((all) => all.facts.length)"
    );
    tab.js(&count).await.as_u64().expect("a count")
}

/// Feels a breaker; the page after it has been read.
pub(crate) async fn touch(tab: &Tab, bench: &Bench, space: &str) {
    tab.go(&bench.url(&format!("/jobs/{JOB}/enter/touch?place=main/{space}&state=breakfast"))).await;
    send(tab, &[], "button[name=feel][value=warm]").await;
    tab.wait_for_next_page().await;
    tab.wait("document.documentElement.dataset.script === 'on'").await;
}

#[test]
fn what_the_browser_drops_is_brought_again_and_what_waited_is_not_gone_in_silence() {
    with_browser("eviction", async |program| {
        let mut bench = Bench::demo().await;
        let profile = profile();
        let Some((chrome, tab)) = ready(&program, &bench, profile.path()).await else { return };
        let before = n_facts(&tab, JOB).await;
        touch(&tab, &bench, "17").await;
        badge(&tab, "All sent").await;
        let here = bench.here.clone();
        let drop = || ClearDataForOriginParams::new(here.clone(), DROPPED);
        // A browser does that to what is not in use: nothing is under way.
        tab.wait("document.documentElement.dataset.phone === 'ready'").await;
        tab.go("about:blank").await;
        tab.page().execute(drop()).await.expect("the browser drops what it kept");
        tab.go(&bench.url("/")).await;
        assert_eq!(n_facts(&tab, JOB).await, before + 1, "what was sent is at the bench");
        // All of it comes again, and serves without a network as before.
        tab.wait_at_most("document.documentElement.dataset.phone === 'ready'", Duration::from_secs(120))
            .await;
        assert_eq!(
            tab.js("document.getElementById('dropped')").await,
            serde_json::Value::Null,
            "nothing waited"
        );
        tab.reload().await;
        bench.stop().await;
        tab.go(&bench.url(&format!("/jobs/{JOB}/log"))).await;
        tab.wait("!!document.getElementById('remark')").await;
        assert_eq!(tab.js("Number(document.body.dataset.revision)").await.as_u64(), Some(before + 1));

        // What waits when the browser drops everything is gone: no program can help that, but it can say so.
        touch(&tab, &bench, "18").await;
        badge(&tab, "1 waiting").await;
        tab.go("about:blank").await;
        tab.page().execute(drop()).await.expect("the browser drops what it kept");
        bench.start_again().await;
        tab.go(&bench.url(&format!("/jobs/{JOB}"))).await;
        tab.wait("document.getElementById('dropped')?.textContent.includes('has dropped an entry')").await;
        tab.go(&bench.url("/")).await;
        tab.wait("!!document.getElementById('dropped')").await;
        tab.tap("#dropped button").await;
        tab.reload().await;
        badge(&tab, "All sent").await;
        assert_eq!(
            tab.js("document.getElementById('dropped')").await,
            serde_json::Value::Null,
            "it was seen"
        );
        // And the outbox works again.
        touch(&tab, &bench, "18").await;
        badge(&tab, "All sent").await;
        assert_eq!(n_facts(&tab, JOB).await, before + 2);

        // The same under a page that stays open: what waited is told of, and all comes again without a page load.
        bench.stop().await;
        touch(&tab, &bench, "19").await;
        badge(&tab, "1 waiting").await;
        tab.page().execute(drop()).await.expect("the browser drops what it kept");
        tab.wait("document.getElementById('dropped')?.textContent.includes('has dropped an entry')").await;
        badge(&tab, "All sent").await;
        tab.js("delete document.documentElement.dataset.phone").await;
        bench.start_again().await;
        tab.wait("document.documentElement.dataset.phone === 'ready'").await;
        tab.wait("navigator.serviceWorker.controller?.state === 'activated'").await;
        assert_eq!(n_facts(&tab, JOB).await, before + 2);
        chrome.close().await;
    });
}

#[test]
fn a_full_phone_says_that_it_did_not_keep_it_and_keeps_what_it_had() {
    with_browser("quota", async |program| {
        let mut bench = Bench::demo().await;
        let profile = profile();
        let Some((chrome, tab)) = ready(&program, &bench, profile.path()).await else { return };
        let before = n_facts(&tab, JOB).await;
        bench.stop().await;
        touch(&tab, &bench, "17").await;
        badge(&tab, "1 waiting").await;
        tab.go(&bench.url(&format!("/jobs/{JOB}/photos"))).await;
        tab.wait("document.documentElement.dataset.script === 'on'").await;
        tab.photograph("input[type=file]", 7, 2400, 1800).await;
        tab.js(NO_ROOM).await;
        send(&tab, &[("words", "taken in the cellar")], "form[enctype] .big").await;
        tab.wait("document.getElementById('said')?.textContent.includes('NOT saved')").await;
        assert_eq!(
            tab.js("document.querySelector('input[type=file]').files.length").await,
            1,
            "it stands in the form"
        );
        assert_eq!(
            tab.text("document.querySelector('form[enctype] [name=words]').value").await,
            "taken in the cellar"
        );
        badge(&tab, "1 waiting").await;
        // With room again the same tap keeps it.
        tab.js("globalThis.noRoom = false").await;
        send(&tab, &[], "form[enctype] .big").await;
        badge(&tab, "2 waiting").await;
        bench.start_again().await;
        badge(&tab, "All sent").await;
        assert_eq!(n_facts(&tab, JOB).await, before + 2, "a touch and a photo");
        // Without room, but with the bench in reach, an entry goes to it at once.
        tab.go(&bench.url(&format!("/jobs/{JOB}/photos"))).await;
        tab.wait("document.documentElement.dataset.script === 'on'").await;
        tab.js(NO_ROOM).await;
        tab.photograph("input[type=file]", 8, 2400, 1800).await;
        send(&tab, &[], "form[enctype] .big").await;
        tab.wait_for_next_page().await;
        assert_eq!(n_facts(&tab, JOB).await, before + 3);
        chrome.close().await;
    });
}

#[test]
fn a_clock_that_is_off_by_a_day_loses_nothing_and_is_told_of() {
    with_browser("clock", async |program| {
        for (zone, way, other_way) in
            [("TZ=DAY-24", "behind", "ahead of"), ("TZ=DAY24", "ahead of", "behind")]
        {
            let mut bench = Bench::demo_in_zone(zone).await;
            let profile = profile();
            let Some((chrome, tab)) = ready(&program, &bench, profile.path()).await else { return };
            tab.wait(&format!(
                "document.getElementById('said')?.textContent.includes('24 hours {way} the bench')"
            ))
            .await;
            let before = n_facts(&tab, JOB).await;
            bench.stop().await;
            for space in ["17", "18"] {
                touch(&tab, &bench, space).await;
            }
            badge(&tab, "2 waiting").await;
            let remark = tab.text("document.getElementById('remark').textContent").await;
            assert!(remark.contains(&format!("24 h 0 min {way}")) && !remark.contains(other_way), "{remark}");
            // The judgement is for the day of the bench, not of this phone.
            tab.go(&bench.url(&format!("/jobs/{JOB}/log"))).await;
            assert_eq!(
                tab.js("Number(document.body.dataset.revision)").await.as_u64(),
                Some(before + 2),
                "shown here"
            );
            bench.start_again().await;
            badge(&tab, "All sent").await;
            tokio::time::sleep(std::time::Duration::from_secs(6)).await;
            assert_eq!(n_facts(&tab, JOB).await, before + 2, "there, and once");
            chrome.close().await;
        }
    });
}

#[test]
fn a_photo_that_waits_is_shown_by_the_phone_and_then_by_the_bench() {
    with_browser("waiting photo", async |program| {
        let mut bench = Bench::demo().await;
        let profile = profile();
        let Some((chrome, tab)) = ready(&program, &bench, profile.path()).await else { return };
        let gallery = bench.url(&format!("/jobs/{JOB}/photos"));
        let shown = "[...document.querySelectorAll('.photo-grid img')]";
        tab.go(&gallery).await;
        let before = tab.js(&format!("{shown}.length")).await.as_u64().expect("a count");
        bench.stop().await;
        tab.go(&gallery).await;
        tab.photograph("input[type=file]", 33, 1600, 1200).await;
        send(&tab, &[("words", "the lower bus")], "form[enctype] .big").await;
        tab.wait_for_next_page().await;
        badge(&tab, "1 waiting").await;
        let seen = format!(
            "{shown}.length === {} && {shown}[0].complete && {shown}[0].naturalWidth === WIDTH",
            before + 1
        );
        tab.go(&gallery).await;
        tab.wait("!!document.getElementById('remark')").await;
        tab.wait(&seen.replace("WIDTH", "1600")).await;
        assert!(
            tab.text("document.querySelector('.photo-grid').textContent").await.contains("the lower bus")
        );
        // The photo with room for pins, too.
        tab.go(&bench.url(&tab.text(&format!("{shown}[0].closest('a').getAttribute('href')")).await)).await;
        tab.wait("document.querySelector('.photo img')?.naturalWidth === 1600").await;
        bench.start_again().await;
        badge(&tab, "All sent").await;
        tab.go(&gallery).await;
        tab.wait(&format!("!document.getElementById('remark') && {shown}.length === {}", before + 1)).await;
        tab.wait(&format!("{shown}[0].complete && 0 < {shown}[0].naturalWidth")).await;
        chrome.close().await;
    });
}
