//! A new version of the program comes while facts wait: broken off half-way it changes nothing, and whole it takes over
//! without losing one.

use crate::bench::{Bench, send};
use crate::between::{Between, Line};
use crate::chrome::{Chrome, Screen, profile, with_browser};
use crate::no_signal::{JOB, badge, keep_pages};
use crate::phone::has_module;
use crate::tab::Tab;
use crate::trouble::{n_facts, touch};

/// Addresses of the modules that the phone has.
const MODULES: &str = "caches.open('module').then((cache) => cache.keys()).then((all) => all.map((one) => one.url.replace(/.*[?]/, '')).join(' '))";

/// Has the phone exchange with the bench, and waits until it has tried.
async fn contact(tab: &Tab) {
    tab.js("(async () => { const registration = await navigator.serviceWorker.ready; registration.active.postMessage('keep'); })()").await;
    tokio::time::sleep(std::time::Duration::from_secs(4)).await;
}

/// Does the phone make the page of the job itself, with this many facts?
async fn makes_pages(tab: &Tab, bench: &Bench, n: u64) {
    tab.go(&bench.url(&format!("/jobs/{JOB}/log"))).await;
    tab.wait("!!document.getElementById('remark')").await;
    assert_eq!(tab.js("Number(document.body.dataset.revision)").await.as_u64(), Some(n));
}

#[test]
fn a_new_version_that_breaks_off_changes_nothing_and_a_whole_one_loses_nothing() {
    with_browser("hand-over", async |program| {
        let mut bench = Bench::demo().await;
        let between = Between::lay(&bench.here).await;
        let there = std::mem::replace(&mut bench.here, between.here());
        let profile = profile();
        let chrome = Chrome::start(&program, profile.path(), Screen::Phone).await;
        let tab = chrome.open(&bench.url("/join")).await;
        bench.join(&tab, "phone in the cellar").await;
        if !has_module(&tab).await {
            return;
        }
        tab.wait("document.documentElement.dataset.phone === 'ready'").await;
        tab.reload().await;
        let first = tab.text(MODULES).await;
        let before = n_facts(&tab, JOB).await;

        // Two facts wait while the versions change.
        between.cut(true);
        touch(&tab, &bench, "17").await;
        touch(&tab, &bench, "18").await;
        badge(&tab, "2 waiting").await;
        for line in [Line::HalfModule, Line::WrongModule, Line::StrangeModule] {
            between.is(line);
            contact(&tab).await;
            assert_eq!(tab.text(MODULES).await, first, "{line:?}: the old module stays");
            makes_pages(&tab, &bench, before + 2).await;
            badge(&tab, "2 waiting").await;
        }
        between.is(Line::NewModule);
        contact(&tab).await;
        tab.wait(&format!("{MODULES}.then((all) => all.startsWith('newer-') && !all.includes(' '))")).await;
        makes_pages(&tab, &bench, before + 2).await;
        badge(&tab, "2 waiting").await;

        // The scripts of the service worker: half of them is no worker, and the old one goes on.
        let update = "navigator.serviceWorker.getRegistration().then((one) => one.update()).then(() => 'new', () => 'kept')";
        between.is(Line::HalfScripts);
        assert_eq!(tab.text(update).await, "kept");
        makes_pages(&tab, &bench, before + 2).await;
        between.is(Line::NewScripts);
        tab.js("navigator.serviceWorker.addEventListener('controllerchange', () => { document.documentElement.dataset.handed = 'over'; })").await;
        assert_eq!(tab.text(update).await, "new");
        tab.wait("document.documentElement.dataset.handed === 'over'").await;
        makes_pages(&tab, &bench, before + 2).await;
        badge(&tab, "2 waiting").await;

        between.is(Line::Clear);
        between.cut(false);
        badge(&tab, "All sent").await;
        tokio::time::sleep(std::time::Duration::from_secs(6)).await;
        assert_eq!(n_facts(&tab, JOB).await, before + 2, "both, and once");
        bench.here = there;
        chrome.close().await;
    });
}

#[test]
fn a_browser_that_cannot_run_the_module_keeps_entries_and_says_that_judging_needs_the_laptop() {
    with_browser("no module", async |program| {
        let mut bench = Bench::demo().await;
        let between = Between::lay(&bench.here).await;
        let there = std::mem::replace(&mut bench.here, between.here());
        let profile = profile();
        let chrome = Chrome::start(&program, profile.path(), Screen::Phone).await;
        let tab = chrome.open(&bench.url("/join")).await;
        between.is(Line::StrangeModule);
        bench.join(&tab, "phone in the cellar").await;
        if !has_module(&tab).await {
            return;
        }
        tab.wait("document.documentElement.dataset.phone === 'none'").await;
        keep_pages(&tab).await;
        tab.reload().await;
        let before = n_facts(&tab, JOB).await;
        tab.offline(true).await;
        tab.go(&bench.url(&format!("/jobs/{JOB}/enter/touch?place=main/17&state=breakfast"))).await;
        send(&tab, &[], "button[name=feel][value=warm]").await;
        tab.wait_for_next_page().await;
        badge(&tab, "1 waiting").await;
        tab.wait("document.getElementById('said')?.textContent.includes('Judging it needs the laptop')")
            .await;
        tab.offline(false).await;
        badge(&tab, "All sent").await;
        assert_eq!(n_facts(&tab, JOB).await, before + 1);
        // A module that it can run is fetched as ever.
        between.is(Line::Clear);
        contact(&tab).await;
        tab.wait(&format!("{MODULES}.then((all) => all !== '')")).await;
        bench.here = there;
        chrome.close().await;
    });
}
