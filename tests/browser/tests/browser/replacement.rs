//! The survey of twenty circuits by taps alone, a circuit dragged by a finger to another space of the new panel, the
//! choice, the print: on a screen as wide as a phone.

use crate::bench::Bench;
use crate::chrome::{Chrome, Screen, profile, with_browser};
use crate::tab::Tab;
use chromiumoxide::cdp::browser_protocol::page::PrintToPdfParams;
use chromiumoxide::{Command, Method};
use serde::Serialize;
use serde_json::{Value, json};
use std::borrow::Cow;
use std::fmt::Write as _;
use std::time::Instant;

const JOB: &str = "T-20";
const CIRCUITS: usize = 20;

/// An invented job: a panel of 30 spaces with 20 circuits, two of them of two poles, nothing surveyed.
fn job() -> String {
    let mut out = String::from(
        "panelwright = 1\n\n[job]\nid = \"T-20\"\ninvented = true\nplace = \"2 Sample Lane\"\nopened = 2026-02-02\n\n\
         [[panel]]\nid = \"main\"\nspaces = 30\nmain = \"breaker\"\nmain_a = 100\n",
    );
    for (space, feeds) in [(1, "range"), (2, "dryer")] {
        let _ = write!(
            out,
            "\n[[panel.breaker]]\nspace = {space}\npoles = 2\nrating_a = 30\nfeeds = \"{feeds}\"\n"
        );
    }
    for space in 5..5 + CIRCUITS - 2 {
        let _ =
            write!(out, "\n[[panel.breaker]]\nspace = {space}\nrating_a = 20\nfeeds = \"room {space}\"\n");
    }
    out
}

/// A tile: the label of a choice.
fn tile(name: &str, value: &str) -> String {
    format!("document.querySelector('input[name=\"{name}\"][value=\"{value}\"]').closest('label')")
}

async fn awake(tab: &Tab) {
    tab.wait("document.documentElement.dataset.script === 'on'").await;
}

/// A touch of the driver's own: in that of its library the end of a touch lacks the empty list that the browser asks for.
#[derive(Serialize)]
struct Touch {
    r#type: &'static str,
    #[serde(rename = "touchPoints")]
    points: Vec<Value>,
}

impl Method for Touch {
    fn identifier(&self) -> Cow<'static, str> {
        "Input.dispatchTouchEvent".into()
    }
}

impl Command for Touch {
    type Response = Value;
}

/// Puts a finger down, moves it and lifts it.
async fn drag(tab: &Tab, from: (f64, f64), to: (f64, f64)) {
    let send = async |kind: &'static str, at: Option<(f64, f64)>| {
        let points = at.into_iter().map(|(x, y)| json!({ "x": x, "y": y })).collect();
        tab.page().execute(Touch { r#type: kind, points }).await.expect("a touch");
    };
    send("touchStart", Some(from)).await;
    let steps = 8;
    for step in 1..=steps {
        let part = f64::from(step) / f64::from(steps);
        let at = (from.0 + part * (to.0 - from.0), from.1 + part * (to.1 - from.1));
        send("touchMove", Some(at)).await;
    }
    send("touchEnd", None).await;
}

/// Middle of what an expression gives, on the screen.
async fn middle(tab: &Tab, element: &str) -> (f64, f64) {
    let at = tab
        .js(&format!(
            "(() => {{ const box = {element}.getBoundingClientRect(); return [box.x + box.width / 2, box.y + box.height / 2]; }})()"
        ))
        .await;
    (at[0].as_f64().expect("a place"), at[1].as_f64().expect("a place"))
}

#[test]
fn twenty_circuits_are_surveyed_by_taps_and_one_is_dragged_chosen_and_printed() {
    with_browser("replacement", async |program| {
        let bench = Bench::with_job(&job()).await;
        let profile = profile();
        let chrome = Chrome::start(&program, profile.path(), Screen::Phone).await;
        let tab = chrome.open(&bench.url("/join")).await;
        bench.join(&tab, "phone").await;
        let at = |path: &str| bench.url(&format!("/jobs/{JOB}/{path}"));

        // The survey: what is chosen already is not tapped again.
        tab.go(&at("survey")).await;
        let begun = Instant::now();
        let mut taps = 0;
        for k in 0..CIRCUITS {
            awake(&tab).await;
            let mut wanted = vec![("length", ["16", "20", "24"][k % 3]), ("grounded", "yes")];
            if 2 <= k {
                wanted.push(("multiwire", "no"));
            }
            wanted.push(("side", "top"));
            for (name, value) in wanted {
                let is =
                    format!("document.querySelector('input[name=\"{name}\"][value=\"{value}\"]').checked");
                if tab.js(&is).await != true {
                    tab.tap_what(&tile(name, value)).await;
                    taps += 1;
                    tab.wait(&is).await;
                }
            }
            tab.mark().await;
            tab.tap("main button[name=then][value=next]").await;
            taps += 1;
            tab.wait_for_next_page().await;
        }
        let told = tab.text("document.querySelector('main .lede').innerText").await;
        assert!(told.starts_with("20 of 20 circuits"), "{told}");
        println!(
            "survey of {CIRCUITS} circuits: {taps} taps, {:.0} s by the machine",
            begun.elapsed().as_secs_f64()
        );
        assert!(taps <= 5 * CIRCUITS, "{taps} taps");

        // Dragged by its grip: the first circuit to the lower end. The page must not scroll along.
        tab.go(&at("layout?spaces=42")).await;
        awake(&tab).await;
        let grip = "document.querySelector('[data-from=\"5\"]')";
        let seat = format!("{grip}.closest('a')");
        let before = tab.text(&format!("{seat}.dataset.space")).await;
        let free = tab
            .text("[...document.querySelectorAll('a[data-space]')].filter((one) => !one.querySelector('text + text')?.textContent.trim()).map((one) => one.dataset.space).at(-1)")
            .await;
        tab.js(&format!("document.querySelector('a[data-space=\"{free}\"]').scrollIntoView({{ block: 'end', behavior: 'instant' }})")).await;
        // Both ends of the way must be on the screen: from where it lies, or one row at a time.
        let near = tab
            .text(&format!(
                "(() => {{ {seat}.scrollIntoView({{ block: 'center', behavior: 'instant' }}); \
                 const own = {seat}.getBoundingClientRect(); \
                 const all = [...document.querySelectorAll('a[data-space]')].filter((one) => {{ const box = one.getBoundingClientRect(); \
                   return one !== {seat} && 60 < box.top && box.bottom < innerHeight - 20 && Math.abs(box.left - own.left) < 5; }}); \
                 return all.at(-1).dataset.space; }})()"
            ))
            .await;
        assert_ne!(before, near);
        let (from, to) = (
            middle(&tab, grip).await,
            middle(&tab, &format!("document.querySelector('a[data-space=\"{near}\"]')")).await,
        );
        tab.mark().await;
        let begun = Instant::now();
        drag(&tab, from, to).await;
        tab.wait_for_next_page().await;
        println!("dragged from {before} to {near}, laid out again in {:.1} s", begun.elapsed().as_secs_f64());
        awake(&tab).await;
        assert_eq!(tab.text(&format!("{seat}.dataset.space")).await, near, "it went where it was dropped");
        let main = tab.text("document.querySelector('main').innerText").await;
        assert!(main.contains(&format!("5 into {near}")), "{main}");

        // By plain taps: another one, picked up and put down.
        tab.mark().await;
        tab.tap_what("document.querySelector('[data-from=\"6\"]').closest('a')").await;
        tab.wait_for_next_page().await;
        awake(&tab).await;
        tab.mark().await;
        tab.tap_what(&format!("document.querySelector('a[data-space=\"{free}\"]')")).await;
        tab.wait_for_next_page().await;
        awake(&tab).await;
        let now = tab.text("document.querySelector('[data-from=\"6\"]').closest('a').dataset.space").await;
        assert_eq!(now, free, "it went where it was put");

        // Printed as it stands: forms stay out, the drawing is there.
        let print = tab.page().pdf(PrintToPdfParams::default()).await.expect("a print");
        assert!(print.starts_with(b"%PDF") && 10_000 < print.len(), "{} bytes", print.len());
        if let Some(folder) = std::env::var_os("SHOTS") {
            std::fs::write(std::path::Path::new(&folder).join("layout.pdf"), &print).expect("a file");
        }

        // Chosen: a fact, and what the page takes up again.
        tab.mark().await;
        tab.tap("main form[method=post] .big").await;
        tab.wait_for_next_page().await;
        let main = tab.text("document.querySelector('main').innerText").await;
        assert!(main.contains("Chosen so far: 42 spaces"), "{main}");
        assert!(main.contains(&format!("6 into {free}")), "what was decided stays decided: {main}");
        assert!(tab.complaints().is_empty(), "{:?}", tab.complaints());
        chrome.close().await;
    });
}
