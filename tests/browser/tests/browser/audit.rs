//! Every page, held against what a person with gloves, poor sight, a keyboard or a small phone needs.

use crate::bench::{Bench, send};
use crate::chrome::{Chrome, Screen, profile, with_browser};
use crate::no_signal::JOB;
use crate::tab::Tab;
use crate::walk::{Stop, every_page};
use std::path::PathBuf;
use std::time::Instant;

const LIGHTS: [&str; 3] = ["day", "dark", "glare"];

/// The audit's script, which `scripts/fetch-axe.sh` fetches: named by `AXE_SCRIPT`, or in the user's cache.
fn axe() -> Option<String> {
    let named = std::env::var_os("AXE_SCRIPT").map(PathBuf::from);
    let found = named.or_else(|| {
        let cache = std::env::var_os("XDG_CACHE_HOME").map(PathBuf::from);
        let cache = cache.or_else(|| Some(PathBuf::from(std::env::var_os("HOME")?).join(".cache")))?;
        let versions = std::fs::read_dir(cache.join("panelwright-axe")).ok()?;
        versions.filter_map(|entry| Some(entry.ok()?.path().join("axe.min.js"))).find(|file| file.is_file())
    });
    std::fs::read_to_string(found?).ok()
}

/// Runs the audit on the page as it stands: a line a violation.
async fn violations(tab: &Tab) -> Vec<String> {
    let run = "axe.run(document, { resultTypes: ['violations'], runOnly: ['wcag2a', 'wcag2aa', 'wcag21a', 'wcag21aa', \
               'wcag22aa', 'best-practice'] }).then((found) => found.violations.map((one) => `${one.id}: ${one.help}: ` \
               + one.nodes.slice(0, 3).map((node) => node.html.slice(0, 160) + ' [' + node.any.concat(node.all, node.none)\
               .map((why) => why.message).join('; ').slice(0, 200) + ']').join(' | ') + ` (${one.nodes.length})`))";
    serde_json::from_value(tab.js(run).await).expect("lines")
}

/// Things to tap that are smaller than 48 CSS pixels in either direction. Links within a sentence are as high as the
/// sentence, which WCAG allows.
async fn small_targets(tab: &Tab) -> Vec<String> {
    let find = "(() => { const all = document.querySelectorAll('button, summary, select, textarea, .big, .plain, .chip, \
        fieldset.pick label, header a, nav a, .row > a.whole, a.row, .drawing a, #grid a, .photo-grid a, \
        input:not([type=hidden]):not([type=radio]):not([type=checkbox])'); \
        const seen = (one) => one.checkVisibility({ visibilityProperty: true }) && !one.closest('[hidden], .off-screen, a.skip') && !one.matches('a.skip'); \
        return [...all].filter(seen).map((one) => [one, one.getBoundingClientRect()]) \
          .filter(([, box]) => 0 < box.width && (box.width < 47.5 || box.height < 47.5)) \
          .map(([one, box]) => `${Math.round(box.width)}x${Math.round(box.height)} ${one.outerHTML.replace(/\\s+/g, ' ').slice(0, 110)}`); })()";
    serde_json::from_value(tab.js(find).await).expect("lines")
}

/// Is the page wider than the screen? Then what sticks out.
async fn overflow(tab: &Tab) -> Vec<String> {
    let find = "(() => { const wide = document.documentElement.clientWidth; \
        if (document.documentElement.scrollWidth <= wide + 1) return []; \
        const out = [...document.querySelectorAll('body *')].filter((one) => one.checkVisibility() && wide + 1 < one.getBoundingClientRect().right \
          && !one.closest('nav.places')); \
        return [`${document.documentElement.scrollWidth} of ${wide}`, ...out.slice(0, 3).map((one) => one.outerHTML.slice(0, 120))]; })()";
    serde_json::from_value(tab.js(find).await).expect("lines")
}

/// The tab at a stop, with its scripts awake.
async fn at(tab: &Tab, bench: &Bench, stop: &Stop) {
    tab.go(&bench.url(&stop.path)).await;
    tab.wait("document.documentElement.dataset.script === 'on' && document.getElementById('waiting').dataset.waiting === '0'").await;
}

/// Everything that is asked of a page as it stands.
async fn look(tab: &Tab, name: &str, script: Option<&str>, found: &mut Vec<String>) {
    found.extend(small_targets(tab).await.into_iter().map(|what| format!("{name}: small: {what}")));
    for (width, height, scale) in [(360, 740, 1.0), (320, 640, 1.0), (640, 400, 2.0)] {
        tab.resize(width, height, scale, true).await;
        let wide = overflow(tab).await;
        found.extend(wide.into_iter().map(|what| format!("{name}: wider than {width}: {what}")));
    }
    if let Some(script) = script {
        // The whole page at once: what the row of buttons at the bottom covers can be scrolled free of it.
        let height = tab.js("document.documentElement.scrollHeight").await.as_i64().expect("a height");
        tab.resize(360, height.clamp(740, 8000), 1.0, true).await;
        tab.js(&format!("(() => {{ {script}; }})()")).await;
        for light in LIGHTS {
            tab.js(&format!("document.documentElement.dataset.light = '{light}'")).await;
            found.extend(violations(tab).await.into_iter().map(|what| format!("{name}, {light}: {what}")));
        }
    }
    tab.resize(360, 740, 1.0, true).await;
}

#[test]
fn every_page_passes_the_audit_in_three_lights() {
    with_browser("audit", async |program| {
        let bench = Bench::demo().await;
        let profile = profile();
        let chrome = Chrome::start(&program, profile.path(), Screen::Phone).await;
        let tab = chrome.open(&bench.url("/join")).await;
        bench.join(&tab, "phone").await;
        let stops = every_page(&bench, &tab).await;
        let script = axe();
        if script.is_none() {
            println!("audit: axe-core is not here (scripts/fetch-axe.sh fetches it); its part is NOT RUN");
        }
        let begun = Instant::now();
        let mut found = Vec::new();
        for stop in &stops {
            at(&tab, &bench, stop).await;
            look(&tab, &stop.name, script.as_deref(), &mut found).await;
        }
        // Pages in the middle of something: a form that was refused, and the list of what waits.
        tab.go(&bench.url(&format!("/jobs/{JOB}/enter/clamp"))).await;
        send(&tab, &[("place", "main/15"), ("amps", "much")], "main form[data-queue] .big").await;
        tab.wait("!!document.querySelector('.wrong .error') && document.getElementById('waiting').dataset.state === 'held'").await;
        look(&tab, "refused form", script.as_deref(), &mut found).await;
        tab.tap("#waiting").await;
        tab.wait("document.querySelectorAll('dialog[open] li').length === 1").await;
        look(&tab, "list of what waits", script.as_deref(), &mut found).await;
        println!(
            "audit: {} pages in {} lights, {:.0} s, {} findings",
            stops.len(),
            LIGHTS.len(),
            begun.elapsed().as_secs_f64(),
            found.len()
        );
        assert!(30 < stops.len(), "{} pages", stops.len());
        assert!(tab.complaints().is_empty(), "{:?}", tab.complaints());
        assert!(found.is_empty(), "{}", found.join("\n"));
        chrome.close().await;
    });
}

#[test]
fn a_reading_is_recorded_with_the_keyboard_alone() {
    with_browser("keyboard", async |program| {
        let bench = Bench::demo().await;
        let profile = profile();
        let chrome = Chrome::start(&program, profile.path(), Screen::Laptop).await;
        let tab = chrome.open(&bench.url("/join")).await;
        bench.join(&tab, "laptop").await;
        tab.go(&bench.url(&format!("/jobs/{}", JOB))).await;
        tab.wait("document.documentElement.dataset.script === 'on'").await;
        focus_by_tab(&tab, "document.activeElement.dataset?.slot === 'main/20'").await;
        let outlined = "(() => { const one = document.activeElement; const shape = one.querySelector('rect') ?? one; \
                        const look = getComputedStyle(one), inner = getComputedStyle(shape); \
                        return look.outlineStyle !== 'none' || 3 < parseFloat(inner.strokeWidth); })()";
        assert_eq!(tab.js(outlined).await, true, "the focus is seen");
        tab.mark().await;
        tab.press("Enter").await;
        tab.wait_for_next_page().await;
        assert!(tab.text("location.pathname").await.ends_with("/spaces/main/20"));
        let revision = tab.js("Number(document.body.dataset.revision)").await;
        // A touch is one tap on the page of the space, so it is one key there.
        focus_by_tab(&tab, "document.activeElement.matches('button[name=feel][value=warm]')").await;
        tab.press("Enter").await;
        tab.wait(&format!("Number(document.body.dataset.revision) > {revision}")).await;
        chrome.close().await;
    });
}

async fn focus_by_tab(tab: &Tab, reached: &str) {
    for _ in 0..150 {
        tab.press("Tab").await;
        if tab.js(&format!("!!({reached})")).await == true {
            return;
        }
    }
    panic!(
        "150 times Tab do not lead there: {reached}; at {}",
        tab.text("document.activeElement.outerHTML").await
    );
}
