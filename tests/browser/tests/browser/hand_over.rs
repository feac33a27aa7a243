//! A new version of the program comes while facts wait: broken off half-way it changes nothing, and whole it takes over
//! without losing one.

use crate::bench::Bench;
use crate::between::{Between, Line};
use crate::chrome::{Chrome, Screen, profile, with_browser};
use crate::no_signal::{JOB, badge};
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
        for line in [Line::HalfModule, Line::WrongModule] {
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
