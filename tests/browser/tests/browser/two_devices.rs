//! Two devices at one job: what one records the other shows, contradictions stand, and one that was shut out is out.

use crate::bench::{Bench, enter, send};
use crate::chrome::{Chrome, Screen, profile, with_browser};
use crate::no_signal::{JOB, badge, keep_pages};
use std::time::{Duration, Instant};

/// A change on one device is to be seen on the other within this time, on a machine with nothing else to do.
///
/// Two browsers, the bench and whatever else runs share the machine here, so of several changes the quickest
/// is held against it: a page that asked again every few seconds, or that waited for the judgement, would
/// not be that quick even once. The others are printed.
const SOON: Duration = Duration::from_secs(1);

#[test]
fn a_change_on_the_phone_is_on_the_laptop_within_a_second_and_contradictions_stand() {
    with_browser("two devices", async |program| {
        let bench = Bench::demo().await;
        let (phone_profile, laptop_profile) = (profile(), profile());
        let phone_chrome = Chrome::start(&program, phone_profile.path(), Screen::Phone).await;
        let laptop_chrome = Chrome::start(&program, laptop_profile.path(), Screen::Laptop).await;
        let phone = phone_chrome.open(&bench.url("/join")).await;
        bench.join(&phone, "phone").await;
        let code = bench.invite(&phone).await;
        let laptop = laptop_chrome.open(&bench.url("/join")).await;
        bench.join_with(&laptop, &code, "laptop").await;

        // The laptop looks at a space; the phone records a touch there.
        laptop.go(&bench.url(&format!("/jobs/{JOB}/spaces/main/20"))).await;
        laptop
            .wait("document.documentElement.dataset.live === 'on' && document.body.dataset.judged === 'true'")
            .await;
        let mut took = Vec::new();
        for feel in ["hot", "warm", "not-warm", "hot", "warm"] {
            phone.go(&bench.url(&format!("/jobs/{JOB}/enter/touch?place=main/20&state=breakfast"))).await;
            phone.wait("document.documentElement.dataset.script === 'on'").await;
            let revision = laptop.js("Number(document.body.dataset.revision)").await;
            let begun = Instant::now();
            send(&phone, &[], &format!("button[name=feel][value={feel}]")).await;
            laptop.wait(&format!("Number(document.body.dataset.revision) > {revision}")).await;
            took.push(begun.elapsed());
            phone.wait_for_next_page().await;
        }
        println!("tap on the phone to change on the laptop: {took:?}");
        assert!(took.iter().min().is_some_and(|quickest| *quickest < SOON), "{took:?}");

        // Recorded apart: the phone has no network, and both describe one load state, each differently.
        phone.go(&bench.url(&format!("/jobs/{JOB}/enter/state"))).await;
        phone.offline(true).await;
        let state = |held| [("name", "dryer on"), ("words", "The dryer, high heat."), ("held_min", held)];
        send(&phone, &state("10"), "main form[data-queue] .big").await;
        badge(&phone, "1 waiting").await;
        enter(
            &laptop,
            &bench.url(&format!("/jobs/{JOB}/enter/state")),
            &state("20"),
            "main form[data-queue] .big",
        )
        .await;
        phone.offline(false).await;
        badge(&phone, "All sent").await;
        // Both stand in the log; the earlier one is marked as not used.
        laptop.go(&bench.url(&format!("/jobs/{JOB}/log"))).await;
        let states = laptop.text("[...document.querySelectorAll('main .facts > li')].filter((one) => one.innerText.includes('dryer on') && one.innerText.includes('min')).map((one) => one.className).join()").await;
        let set_aside = laptop
            .text("[...document.querySelectorAll('main .set-aside')].map((one) => one.innerText).join()")
            .await;
        println!("of two that contradict each other: {states:?}; {}", set_aside.replace('\n', " / "));
        assert_eq!(set_aside.matches("is described differently by a later entry").count(), 1, "{set_aside}");
        assert_eq!(states.split(',').count(), 2, "both stand: {states}");
        assert!(
            phone.complaints().is_empty() && laptop.complaints().is_empty(),
            "{:?} {:?}",
            phone.complaints(),
            laptop.complaints()
        );
        phone_chrome.close().await;
        laptop_chrome.close().await;
    });
}

#[test]
fn a_device_that_was_shut_out_is_refused_and_loses_nothing() {
    with_browser("shut out", async |program| {
        let bench = Bench::demo().await;
        let (phone_profile, laptop_profile) = (profile(), profile());
        let phone_chrome = Chrome::start(&program, phone_profile.path(), Screen::Phone).await;
        let laptop_chrome = Chrome::start(&program, laptop_profile.path(), Screen::Laptop).await;
        let laptop = laptop_chrome.open(&bench.url("/join")).await;
        bench.join(&laptop, "laptop").await;
        let code = bench.invite(&laptop).await;
        let phone = phone_chrome.open(&bench.url("/join")).await;
        bench.join_with(&phone, &code, "phone").await;
        phone.go(&bench.url(&format!("/jobs/{JOB}/enter/touch?place=main/20&state=breakfast"))).await;
        keep_pages(&phone).await;

        laptop.go(&bench.url("/devices")).await;
        laptop.mark().await;
        laptop.tap("button[aria-label='Shut out phone']").await;
        laptop.wait_for_next_page().await;

        // Its form is refused, and kept on it; so is every page.
        send(&phone, &[], "button[name=feel][value=warm]").await;
        badge(&phone, "1 waiting, join again").await;
        for path in ["/offline.json", "/token", "/", &format!("/jobs/{JOB}/photos")] {
            let ask = format!(
                "fetch('{path}', {{ headers: {{ 'X-Bench': '1' }} }}).then((answer) => answer.status)"
            );
            assert_eq!(phone.js(&ask).await, 401, "{path}");
        }
        phone.go(&bench.url(&format!("/jobs/{JOB}"))).await;
        phone.wait("location.pathname === '/join'").await;
        phone.wait("caches.has('pages').then((has) => !has)").await;
        badge(&phone, "1 waiting, join again").await;

        // Let in again, it sends what it kept.
        let code = bench.invite(&laptop).await;
        bench.join_with(&phone, &code, "phone again").await;
        badge(&phone, "All sent").await;
        phone_chrome.close().await;
        laptop_chrome.close().await;
    });
}
