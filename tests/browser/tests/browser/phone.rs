//! A cellar without a signal and no laptop: a whole job is begun, recorded, judged and printed on the phone, and the
//! program judges it the same when it is reached again.
//!
//! The program must have been built with the phone's module (`cargo xtask phone`); else the test says so and passes.

use crate::bench::{Bench, enter};
use crate::chrome::{Chrome, Screen, profile, with_browser};
use crate::judgement::record;
use crate::no_signal::badge;
use crate::tab::Tab;
use chromiumoxide::cdp::browser_protocol::emulation::SetCpuThrottlingRateParams;
use chromiumoxide::cdp::browser_protocol::page::SetBypassCspParams;
use std::time::Duration;

const JOB: &str = "Q-0117";

/// A plan until the replacement, so that there is a tag.
const PLAN: [(&str, &str); 12] = [
    ("off", "main/15"),
    ("limits", "one-big"),
    ("watch", "smoke"),
    ("slip", "call"),
    ("alarms", "tested"),
    ("medical", "none"),
    ("food", "none"),
    ("heat", "none"),
    ("expires", "2099-12-18"),
    ("recheck", "2099-12-02"),
    ("answer", "accepted"),
    ("answer_words", "We wait, and watch."),
];

/// Was the program built with the module?
pub(crate) async fn has_module(tab: &Tab) -> bool {
    let told = tab.js("fetch('/phone.json').then((answer) => answer.json())").await;
    if told["module"].is_string() {
        return true;
    }
    let is_wanted = std::env::var_os("PHONE_MODULE_WANTED").is_some();
    assert!(!is_wanted, "the program was built without the phone's module, and here it must have it");
    println!("NOT RUN: the program was built without the phone's module (`cargo xtask phone`)");
    false
}

async fn text_of(tab: &Tab, path: &str) -> String {
    tab.text(&format!("fetch('/jobs/{JOB}/papers/{path}').then((answer) => answer.text())")).await
}

/// Everything with a number of the judgement: the bench, the verdict, letter and record.
async fn judged(tab: &Tab, bench: &Bench, by_phone: bool) -> Vec<(&'static str, String)> {
    let mut all = Vec::new();
    for (name, path) in [("bench", ""), ("verdict", "/verdict"), ("plan", "/plan")] {
        tab.go(&bench.url(&format!("/jobs/{JOB}{path}"))).await;
        tab.wait("document.body.dataset.judged === 'true'").await;
        tab.wait(&format!("!!document.getElementById('remark') === {by_phone}")).await;
        let words = "(() => { const main = document.getElementById('main').cloneNode(true); \
             for (const one of main.querySelectorAll('#remark, #said')) one.remove(); \
             return main.textContent.replace(/\\s+/g, ' '); })()";
        all.push((name, tab.text(words).await));
    }
    for (name, file) in [
        ("letter", "owner-letter-q-0117.txt"),
        ("record", "technical-record-q-0117.txt"),
        ("tag", "tag-q-0117.txt"),
        ("owner's sheet", "until-replaced-q-0117.txt"),
    ] {
        all.push((name, text_of(tab, file).await));
    }
    all
}

#[test]
fn a_job_begun_and_judged_without_a_network_is_judged_the_same_by_the_program() {
    with_browser("phone", async |program| {
        // Few sweeps: this is about equality. How long the usual number takes is measured elsewhere.
        let mut bench = Bench::empty_with(&["--sweeps", "60"]).await;
        let profile = profile();
        let chrome = Chrome::start(&program, profile.path(), Screen::Phone).await;
        let tab = chrome.open(&bench.url("/join")).await;
        bench.join(&tab, "phone in the cellar").await;
        if !has_module(&tab).await {
            return;
        }
        tab.wait("document.documentElement.dataset.phone === 'ready'").await;
        // The second page: from here on nobody answers.
        tab.reload().await;
        bench.stop().await;

        record(&tab, &bench).await;
        tab.go(&bench.url(&format!("/jobs/{JOB}"))).await;
        let waited = tab.wait("document.body.dataset.judged === 'true'").await;
        println!("judged on the phone {:.1} s after the page", waited.as_secs_f64());
        assert!(tab.text("document.getElementById('remark').textContent").await.contains("on this phone"));
        enter(&tab, &bench.url(&format!("/jobs/{JOB}/enter/interim")), &PLAN, "main form[data-queue] .big")
            .await;
        let here = judged(&tab, &bench, true).await;
        let printable = text_of(&tab, "tag-q-0117.pdf").await;
        assert!(printable.starts_with("<!doctype html>") && printable.contains("2099-12-18"), "{printable}");
        let waiting = tab.text("document.getElementById('waiting').dataset.waiting").await;
        println!("{waiting} entries wait");

        // The browser needs room and drops the kept facts and the module. What waits is apart from them.
        let evict = "Promise.all([new Promise((done, fail) => { const request = indexedDB.deleteDatabase('phone'); \
             request.onsuccess = done; request.onerror = fail; }), caches.delete('module')]).then(() => true)";
        assert_eq!(tab.js(evict).await, true);
        badge(&tab, &format!("{waiting} waiting")).await;
        bench.start_again().await;
        badge(&tab, "All sent").await;
        let there = judged(&tab, &bench, false).await;
        for ((name, here), (_, there)) in here.iter().zip(&there) {
            assert_eq!(here, there, "{name}: on the phone and by the program");
        }
        let burnt = &here[0].1;
        assert!(burnt.contains("burnt"), "it says something: {burnt}");
        assert!(
            tab.complaints().iter().all(|line| line.contains("Failed to fetch")),
            "{:?}",
            tab.complaints()
        );
        chrome.close().await;
    });
}

/// Runs the module in the page itself, where the browser can be slowed down; answers with milliseconds.
const MEASURE: &str = r"(async () => {
  const told = await (await fetch('/phone.json')).json();
  const held = await (await fetch('/jobs/Q-0117/facts.json')).json();
  const times = {};
  const timed = async (name, act) => { const begun = performance.now(); const made = await act(); times[name] = Math.round(performance.now() - begun); return made; };
  const file = await (await fetch(told.module)).arrayBuffer();
  const start = async () => (await WebAssembly.instantiate(file, {})).instance.exports;
  const put = ({ memory, room }, question) => {
    const bytes = new TextEncoder().encode(JSON.stringify(question));
    const at = room(bytes.length);
    new Uint8Array(memory.buffer, at, bytes.length).set(bytes);
  };
  const askOf = (one, question) => {
    put(one, question);
    const length = one.answer();
    return JSON.parse(new TextDecoder().decode(new Uint8Array(one.memory.buffer, one.said(), length)));
  };
  const main = await timed('ready', start);
  const ask = (question) => askOf(main, question);
  const about = { path: '/jobs/Q-0117', now: told.now, entry: 'e', desk: told.desk,
    jobs: [{ job: 'Q-0117', facts: held.facts, changed: told.now }] };
  await timed('page', () => ask({ ...about, what: 'page' }));
  const judged = await timed('judge', () => ask({ ...about, what: 'judge' }));
  if (!judged.judged) throw new Error(judged.why);
  await timed('page_judged', () => ask({ ...about, what: 'page' }));
  await timed('rehearse', () => ask({ ...about, what: 'rehearse' }));
  const form = { n: 1, action: '/jobs/Q-0117/enter/touch', fields: [['place', 'main/17'], ['state', 'breakfast'], ['feel', 'warm'], ['at', told.now]] };
  const more = { ...about, queue: [form] };
  await timed('read', () => ask({ ...more, what: 'read' }));
  const first = await timed('first_look', () => ask({ ...more, what: 'first' }));
  if (first.judged) throw new Error('a first look is no judgement');
  times.first_look_shown = first.first;
  await timed('page_first_look', () => ask({ ...more, what: 'page' }));
  await timed('judge_again', () => ask({ ...more, what: 'judge' }));
  // What threads do beside each other, here one after the other: the judgement takes as long as the slowest, and the conclusion.
  const other = await start();
  await timed('begin', () => askOf(other, { ...more, what: 'begin' }));
  const chains = [];
  for (let number = 0; number < told.desk.chains; number += 1) {
    const thread = await start();
    await timed(`thread_${number}`, () => {
      put(thread, { ...more, what: 'judge' });
      const length = thread.chain(number);
      chains.push(new Uint8Array(thread.memory.buffer, thread.said(), length).slice());
    });
  }
  const concluded = await timed('conclude', () => {
    for (const chain of chains) {
      const at = other.carried(chain.length);
      new Uint8Array(other.memory.buffer, at, chain.length).set(chain);
    }
    return askOf(other, { ...more, what: 'conclude' });
  });
  if (!concluded.judged) throw new Error(concluded.why);
  times.by_threads = Math.max(...chains.map((_, number) => times[`thread_${number}`])) + times.conclude;
  return { ...times, sweeps: told.desk.sweeps, bytes: file.byteLength };
})()";

#[test]
fn how_long_the_phone_takes_at_a_quarter_of_the_speed() {
    if std::env::var_os("RUN_SLOW").is_none() {
        println!("NOT RUN: the judgement on a slow phone takes long; RUN_SLOW=1 measures it");
        return;
    }
    with_browser("phone, measured", async |program| {
        let bench = Bench::demo().await;
        let profile = profile();
        let chrome = Chrome::start(&program, profile.path(), Screen::Phone).await;
        let tab = chrome.open(&bench.url("/join")).await;
        bench.join(&tab, "phone").await;
        if !has_module(&tab).await {
            return;
        }
        tab.go(&bench.url(&format!("/jobs/{JOB}"))).await;
        // The bench judges on the same machine: not at the same time.
        tab.wait("document.body.dataset.judged === 'true'").await;
        // A page may run no module; the service worker may, but it cannot be slowed down from here.
        tab.page().execute(SetBypassCspParams::new(true)).await.expect("the page may run it");
        tab.reload().await;
        for rate in [1.0, 4.0] {
            tab.page().execute(SetCpuThrottlingRateParams::new(rate)).await.expect("the browser is slowed");
            // Asked for again and again: while it judges the page answers nobody.
            tab.js(&format!("(() => {{ globalThis.took = null; {MEASURE}.then((took) => {{ globalThis.took = took; }}, (error) => {{ globalThis.took = String(error); }}); }})()")).await;
            tab.wait_at_most("globalThis.took !== null", Duration::from_secs(300)).await;
            println!("at 1/{rate} of the speed, ms: {}", tab.js("globalThis.took").await);
        }
        chrome.close().await;
    });
}
