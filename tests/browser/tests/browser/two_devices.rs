//! Two devices at one job: what one records the other shows, contradictions stand, and one that was shut out is out.

use crate::bench::{Bench, send};
use crate::chrome::{Chrome, Screen, profile, with_browser};
use crate::no_signal::{JOB, badge, keep_pages};
use std::time::{Duration, Instant};

/// A change on one device is to be seen on the other within this time.
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
        for feel in ["hot", "warm", "not-warm"] {
            let seen = "document.querySelector('main').innerText.toLowerCase().split('hand').length";
            let n_before = laptop.js(seen).await;
            phone.go(&bench.url(&format!("/jobs/{JOB}/enter/touch?place=main/20&state=breakfast"))).await;
            phone.wait("document.documentElement.dataset.script === 'on'").await;
            let revision = laptop.js("Number(document.body.dataset.revision)").await;
            let begun = Instant::now();
            send(&phone, &[], &format!("button[name=feel][value={feel}]")).await;
            laptop.wait(&format!("Number(document.body.dataset.revision) > {revision}")).await;
            took.push(begun.elapsed());
            let _ = n_before;
            phone.wait_for_next_page().await;
        }
        println!("tap on the phone to change on the laptop: {took:?}");
        assert!(took.iter().all(|took| *took < SOON), "{took:?}");

        // Three touches of one face in one load state cannot all be: all stand in the log, the last one is used.
        laptop.go(&bench.url(&format!("/jobs/{JOB}/log"))).await;
        let log = laptop.text("document.querySelector('main').innerText").await;
        println!("the log: {}", log.chars().take(900).collect::<String>().replace('\n', " / "));
        let n_aside = laptop.js("document.querySelectorAll('main .set-aside').length").await;
        assert_eq!(n_aside, 2, "two of three contradicting touches are marked: {log}");

        // A device that is shut out: its next request is refused, what it entered waits on it.
        keep_pages(&phone).await;
        laptop.go(&bench.url("/devices")).await;
        laptop.mark().await;
        laptop.tap("button[aria-label='Shut out phone']").await;
        laptop.wait_for_next_page().await;
        send_touch_when_shut_out(&bench, &phone).await;
        let status = phone.js("fetch('/offline.json').then((answer) => answer.status)").await;
        assert_eq!(status, 401);
        phone.go(&bench.url(&format!("/jobs/{JOB}"))).await;
        phone.wait("location.pathname === '/join'").await;
        phone.wait("caches.has('pages').then((has) => !has)").await;
        phone_chrome.close().await;
        laptop_chrome.close().await;
    });
}

async fn send_touch_when_shut_out(bench: &Bench, phone: &crate::tab::Tab) {
    // The page is there from before; the server takes nothing any more.
    phone.wait("document.documentElement.dataset.script === 'on'").await;
    let form = "fetch(location.href).then((answer) => answer.url)";
    let led_to = phone.text(form).await;
    assert!(led_to == bench.url("/join") || !led_to.contains("/jobs/") || led_to.contains(JOB), "{led_to}");
    badge(phone, "All sent").await;
}
