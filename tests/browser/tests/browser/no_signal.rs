//! A cellar without a signal: what is recorded there survives everything and arrives once.

use crate::bench::{Bench, send};
use crate::chrome::{Chrome, Screen, profile, with_browser};
use crate::tab::Tab;

/// A job of the demo.
pub(crate) const JOB: &str = "Q-0117";

pub(crate) async fn badge(tab: &Tab, words: &str) {
    tab.wait(&format!("document.getElementById('waiting')?.textContent === '{words}'")).await;
}

/// Waits until the phone has the pages of its jobs. Not for control: that comes with the next page.
pub(crate) async fn keep_pages(tab: &Tab) {
    tab.js("navigator.serviceWorker.ready.then(() => true)").await;
    let waited = tab.wait("document.documentElement.dataset.kept === 'all'").await;
    println!("pages of the open jobs kept {:.1} s after the worker was ready", waited.as_secs_f64());
}

/// How many facts and photos the job has, by its revision, for the log is in pages, and its gallery.
async fn counts(tab: &Tab, bench: &Bench) -> (usize, usize) {
    tab.go(&bench.url(&format!("/jobs/{JOB}/log"))).await;
    let facts = tab.js("Number(document.body.dataset.revision)").await;
    tab.go(&bench.url(&format!("/jobs/{JOB}/photos"))).await;
    let photos = tab.js("document.querySelectorAll('.photo-grid img').length").await;
    (facts.as_u64().expect("a count") as usize, photos.as_u64().expect("a count") as usize)
}

#[test]
fn five_facts_and_two_photos_without_a_network_arrive_exactly_once() {
    with_browser("no signal", async |program| {
        let mut bench = Bench::demo().await;
        let profile = profile();
        let chrome = Chrome::start(&program, profile.path(), Screen::Phone).await;
        let tab = chrome.open(&bench.url("/join")).await;
        bench.join(&tab, "phone in the cellar").await;
        // Joined on another day: a browser writes its cookies to the disk only every half minute.
        chrome.close().await;
        let chrome = Chrome::start(&program, profile.path(), Screen::Phone).await;
        let tab = chrome.open(&bench.url("/")).await;
        let before = counts(&tab, &bench).await;
        tab.go(&bench.url(&format!("/jobs/{JOB}"))).await;
        badge(&tab, "All sent").await;
        keep_pages(&tab).await;

        // First only this tab has no network, then nobody has: the plug is pulled.
        tab.offline(true).await;
        let touch = |space: &str| format!("/jobs/{JOB}/enter/touch?place=main/{space}&state=breakfast");
        tab.go(&bench.url(&touch("17"))).await;
        assert_eq!(
            tab.text("document.querySelector('[name=place]').value").await,
            "main/17",
            "from the address"
        );
        send(&tab, &[], "button[name=feel][value=warm]").await;
        tab.wait_for_next_page().await;
        badge(&tab, "1 waiting").await;
        bench.stop().await;
        tab.offline(false).await;
        for (idx, (space, feel)) in
            [("18", "warm"), ("20", "not-warm"), ("21", "not-warm")].iter().enumerate()
        {
            tab.go(&bench.url(&touch(space))).await;
            send(&tab, &[], &format!("button[name=feel][value={feel}]")).await;
            tab.wait_for_next_page().await;
            badge(&tab, &format!("{} waiting", idx + 2)).await;
        }
        tab.go(&bench.url(&format!("/jobs/{JOB}/enter/complaint"))).await;
        send(&tab, &[("of", "flicker"), ("words", "said in the cellar")], "main form[data-queue] .big").await;
        tab.wait_for_next_page().await;
        badge(&tab, "5 waiting").await;
        for idx in 0..2 {
            tab.go(&bench.url(&format!("/jobs/{JOB}/photos"))).await;
            tab.photograph("input[type=file]", 40 + idx, 1600, 1200).await;
            send(&tab, &[("words", "taken in the cellar")], "form[enctype] .big").await;
            // On the page where the phone goes on, or, where it cannot read the form, on this one.
            tab.wait("!!document.getElementById('said')?.textContent.startsWith('Kept on this device')")
                .await;
            badge(&tab, &format!("{} waiting", 6 + idx)).await;
        }
        // The battery is empty; later the phone is started again, still without a network.
        chrome.kill().await;
        let chrome = Chrome::start(&program, profile.path(), Screen::Phone).await;
        let tab = chrome.open(&bench.url(&format!("/jobs/{JOB}"))).await;
        badge(&tab, "7 waiting").await;
        tab.tap("#waiting").await;
        tab.wait("document.querySelectorAll('dialog[open] .facts > li').length === 7").await;
        tab.press("Escape").await;
        tab.wait("!document.querySelector('dialog[open]')").await;

        bench.start_again().await;
        badge(&tab, "All sent").await;
        let after = counts(&tab, &bench).await;
        assert_eq!(after, (before.0 + 7, before.1 + 2), "facts (two of them of the photos) and photos");
        tab.wait("[...document.querySelectorAll('.photo-grid img')].slice(0, 2).every((one) => one.complete && 0 < one.naturalWidth)").await;
        // Once is once: nothing more comes afterwards.
        tokio::time::sleep(std::time::Duration::from_secs(7)).await;
        assert_eq!(counts(&tab, &bench).await, after);
        chrome.close().await;
    });
}
