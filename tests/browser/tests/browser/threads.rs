//! The page that waits for a judgement lends threads to the service worker: forms and pages do not wait for the judgement, which
//! is the same as without them.

use crate::bench::{Bench, send};
use crate::chrome::{profile, with_browser};
use crate::no_signal::{JOB, badge};
use crate::tab::Tab;
use crate::trouble::{ready, touch};
use chromiumoxide::cdp::browser_protocol::emulation::SetCpuThrottlingRateParams;
use chromiumoxide::cdp::browser_protocol::page::AddScriptToEvaluateOnNewDocumentParams;
use std::time::{Duration, Instant};

const JUDGED: &str = "document.body.dataset.judged === 'true'";
const OLDER: &str = "document.body.innerText.includes('Older than the latest entries')";
const LOOK: &str = "document.body.innerText.includes('First look, less exact')";
/// What the page shows first after an entry, and how many milliseconds after it was asked for: a first look, or the judgement.
const FIRST_SHOWN: &str = "new Promise((shown) => { const look = () => { const { judged } = document.body.dataset; \
     if (judged === 'first' || judged === 'true') shown([judged, Math.round(performance.now())]); \
     else setTimeout(look, 10); }; look(); })";

async fn judged_by(tab: &Tab) -> String {
    tab.wait(JUDGED).await;
    tab.text("document.documentElement.dataset.judgedBy ?? 'nobody'").await
}

/// The verdict in words.
async fn verdict(tab: &Tab, bench: &Bench) -> String {
    tab.go(&bench.url(&format!("/jobs/{JOB}/verdict"))).await;
    tab.wait(JUDGED).await;
    let words = "(() => { const main = document.getElementById('main').cloneNode(true); \
         for (const one of main.querySelectorAll('#remark, #said')) one.remove(); \
         return main.textContent.replace(/\\s+/g, ' '); })()";
    tab.text(words).await
}

#[test]
fn the_page_lends_threads_and_a_further_fact_is_judged_while_its_page_is_shown() {
    with_browser("threads", async |program| {
        let mut bench = Bench::demo().await;
        let profile = profile();
        let Some((chrome, tab)) = ready(&program, &bench, profile.path()).await else { return };
        bench.stop().await;
        let job = bench.url(&format!("/jobs/{JOB}"));
        tab.go(&job).await;
        assert_eq!(judged_by(&tab).await, "threads");
        // The judgement of before or a first look stands there, marked; the new judgement takes its place by itself.
        touch(&tab, &bench, "17").await;
        badge(&tab, "1 waiting").await;
        tab.go(&job).await;
        assert_eq!(tab.js(&format!("{OLDER} || {LOOK}")).await, true, "it is not shown as the newest");
        assert_eq!(judged_by(&tab).await, "threads");
        tab.wait(&format!("!{OLDER} && !{LOOK}")).await;
        // In another case, whose looks pass their checks, a first look comes before the judgement.
        let other = bench.url("/jobs/Q-0121");
        tab.go(&other).await;
        assert_eq!(judged_by(&tab).await, "threads");
        tab.go(&format!("{other}/enter/touch?place=main/5&state=one%20heater")).await;
        send(&tab, &[], "button[name=feel][value=warm]").await;
        tab.wait_for_next_page().await;
        tab.go(&other).await;
        let shown = tab.js(FIRST_SHOWN).await;
        assert_eq!(shown[0], "first", "a first look comes before the judgement: {shown}");
        assert_eq!(judged_by(&tab).await, "threads");
        // A browser whose pages have no threads: the service worker does it alone.
        let none = AddScriptToEvaluateOnNewDocumentParams::new("delete globalThis.Worker");
        tab.page().execute(none).await.expect("the page will have none");
        touch(&tab, &bench, "18").await;
        tab.go(&job).await;
        assert_eq!(judged_by(&tab).await, "worker");
        let here = verdict(&tab, &bench).await;
        bench.start_again().await;
        badge(&tab, "All sent").await;
        tab.go(&job).await;
        tab.wait(&format!("!document.getElementById('remark') && {JUDGED}")).await;
        assert_eq!(verdict(&tab, &bench).await, here, "the same by the program");
        chrome.close().await;
    });
}

#[test]
fn how_long_an_entry_takes_at_a_quarter_of_the_speed() {
    if std::env::var_os("RUN_SLOW").is_none() {
        println!("NOT RUN: measuring entries on a slow phone takes long; RUN_SLOW=1 measures them");
        return;
    }
    with_browser("entries, measured", async |program| {
        let mut bench = Bench::demo().await;
        let profile = profile();
        let Some((chrome, tab)) = ready(&program, &bench, profile.path()).await else { return };
        tab.wait("document.documentElement.dataset.kept === 'all'").await;
        bench.stop().await;
        for rate in [1.0, 4.0] {
            tab.page().execute(SetCpuThrottlingRateParams::new(rate)).await.expect("the browser is slowed");
            for space in ["17", "18", "19"] {
                let form =
                    format!("/jobs/{JOB}/enter/touch?place=main/{space}&state=breakfast&go=/jobs/{JOB}");
                tab.go(&bench.url(&form)).await;
                tab.wait("document.documentElement.dataset.script === 'on'").await;
                tab.mark().await;
                // Nobody taps in the very moment in which a form is there.
                tokio::time::sleep(Duration::from_millis(500)).await;
                let tapped = Instant::now();
                tab.js("document.querySelector('button[name=feel][value=warm]').click()").await;
                tab.wait_for_next_page().await;
                let back = tapped.elapsed();
                tab.go(&bench.url(&format!("/jobs/{JOB}"))).await;
                let shown = Instant::now();
                let first = tab.js(FIRST_SHOWN).await;
                let made = tab.text("document.documentElement.dataset.firstMs ?? 'on the page before'").await;
                let by = judged_by(&tab).await;
                println!(
                    "at 1/{rate} of the speed: page back {} ms after the tap; {first} after its page was asked for (`first`: a \
                     first look, made within ms: {made}); judgement {} ms after its page, by {by}",
                    back.as_millis(),
                    shown.elapsed().as_millis()
                );
            }
        }
        chrome.close().await;
    });
}
