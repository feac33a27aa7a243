//! The outbox against a server that behaves badly: nothing is lost, nothing arrives as two.

use crate::chrome::{Chrome, Screen, profile, with_browser};
use crate::stand_in::{Mood, StandIn};
use crate::tab::Tab;
use std::collections::BTreeSet;

const FORM: &str = "/jobs/J-1/enter/touch";

async fn enter(tab: &Tab, server: &StandIn, words: &str) {
    tab.go(&server.url(FORM)).await;
    tab.wait("document.documentElement.dataset.script === 'on'").await;
    tab.fill("#words", words).await;
    tab.mark().await;
    tab.tap("form[data-queue] button.big").await;
}

async fn badge(tab: &Tab, words: &str) {
    tab.wait(&format!("document.getElementById('waiting')?.textContent === '{words}'")).await;
}

fn words(server: &StandIn) -> Vec<String> {
    server.arrived().into_iter().map(|arrived| arrived.words).collect()
}

#[test]
fn an_entry_arrives_once_though_its_answer_was_lost() {
    with_browser("lost answer", async |program| {
        let server = StandIn::start(0).await;
        let profile = profile();
        let chrome = Chrome::start(&program, profile.path(), Screen::Phone).await;
        let tab = chrome.open(&server.url(FORM)).await;
        badge(&tab, "All sent").await;
        server.is(Mood::LosesTheAnswer);
        enter(&tab, &server, "warm").await;
        tab.wait_for_next_page().await;
        badge(&tab, "All sent").await;
        let arrived = server.arrived();
        assert_eq!(words(&server), ["warm", "warm"], "sent again, since nobody said that it was stored");
        let ids: BTreeSet<&str> = arrived.iter().map(|arrived| arrived.entry.as_str()).collect();
        assert_eq!(ids.len(), 1, "under one id, by which the server stores it once: {arrived:?}");
        assert!(!ids.contains("from-the-page"), "each submit has an id of its own");
        assert!(tab.complaints().is_empty(), "{:?}", tab.complaints());
        chrome.close().await;
    });
}

#[test]
fn what_waits_survives_a_killed_browser_and_leaves_in_order() {
    with_browser("killed browser", async |program| {
        let server = StandIn::start(0).await;
        let port = server.address.port();
        let profile = profile();
        let chrome = Chrome::start(&program, profile.path(), Screen::Phone).await;
        let tab = chrome.open(&server.url(FORM)).await;
        tab.js("navigator.serviceWorker.ready.then(() => true)").await;
        tab.wait("document.documentElement.dataset.kept !== undefined").await;
        assert_eq!(
            tab.text("document.documentElement.dataset.kept").await,
            "3 of 4",
            "one page of four is not there"
        );
        server.stop();
        for idx in 0..4 {
            enter(&tab, &server, &format!("fact {idx}")).await;
            badge(&tab, &format!("{} waiting", idx + 1)).await;
        }
        chrome.kill().await;
        let chrome = Chrome::start(&program, profile.path(), Screen::Phone).await;
        let tab = chrome.open(&server.url(FORM)).await;
        badge(&tab, "4 waiting").await;
        assert!(server.arrived().is_empty());
        let server = StandIn::start(port).await;
        badge(&tab, "All sent").await;
        assert_eq!(words(&server), ["fact 0", "fact 1", "fact 2", "fact 3"]);
        chrome.close().await;
    });
}

#[test]
fn a_refused_entry_is_kept_and_can_be_corrected_or_dropped() {
    with_browser("refused entry", async |program| {
        let server = StandIn::start(0).await;
        let profile = profile();
        let chrome = Chrome::start(&program, profile.path(), Screen::Phone).await;
        let tab = chrome.open(&server.url(FORM)).await;
        server.is(Mood::Refuses);
        enter(&tab, &server, "rubbish").await;
        tab.wait(
            "document.querySelector('.field.wrong .error')?.textContent === 'These words are not a reading.'",
        )
        .await;
        badge(&tab, "1 waiting, 1 to look at").await;
        assert_eq!(tab.text("document.activeElement.id").await, "words", "the focus is where the mistake is");
        // Left and found again in the list, then corrected: one entry, not two.
        tab.go(&server.url("/jobs/J-1")).await;
        badge(&tab, "1 waiting, 1 to look at").await;
        tab.tap("#waiting").await;
        tab.wait("document.querySelector('dialog[open]')?.innerText.includes('needs another look')").await;
        server.is(Mood::Stores);
        tab.tap("dialog a[href*='#held-']").await;
        tab.wait("document.getElementById('words')?.value === 'rubbish'").await;
        tab.fill("#words", "a reading").await;
        tab.mark().await;
        tab.tap("form[data-queue] button.big").await;
        tab.wait_for_next_page().await;
        badge(&tab, "All sent").await;
        assert_eq!(words(&server), ["rubbish", "a reading"]);
        // And one that is dropped, which asks twice.
        server.is(Mood::Refuses);
        enter(&tab, &server, "never mind").await;
        badge(&tab, "1 waiting, 1 to look at").await;
        tab.tap("#waiting").await;
        tab.tap("dialog[open] button[aria-label^='Drop']").await;
        tab.wait("document.querySelector('dialog[open] button[aria-label^=Drop]').textContent === 'Drop it for good'").await;
        tab.tap("dialog[open] button[aria-label^='Drop']").await;
        badge(&tab, "All sent").await;
        chrome.close().await;
    });
}

#[test]
fn other_answers_lose_nothing() {
    with_browser("other answers", async |program| {
        let server = StandIn::start(0).await;
        let profile = profile();
        let chrome = Chrome::start(&program, profile.path(), Screen::Phone).await;
        let tab = chrome.open(&server.url(FORM)).await;
        for (mood, expected) in [
            (Mood::Portal, "1 waiting"),
            (Mood::Broken, "1 waiting"),
            (Mood::Unknown, "1 waiting, join again"),
        ] {
            server.is(mood);
            enter(&tab, &server, "kept").await;
            badge(&tab, expected).await;
            server.is(Mood::Stores);
            tab.reload().await;
            badge(&tab, "All sent").await;
        }
        server.is(Mood::OldToken);
        enter(&tab, &server, "with a new token").await;
        tab.wait_for_next_page().await;
        badge(&tab, "All sent").await;
        assert_eq!(words(&server).last().map(String::as_str), Some("with a new token"));
        let ids: BTreeSet<String> = server.arrived().into_iter().map(|arrived| arrived.entry).collect();
        assert_eq!(ids.len(), 4, "four entries, however often each was sent");
        chrome.close().await;
    });
}

#[test]
fn two_tabs_send_each_entry_once_with_locks_and_with_leases() {
    with_browser("two tabs", async |program| {
        for without_locks in [false, true] {
            let server = StandIn::start(0).await;
            let profile = profile();
            let chrome = Chrome::start(&program, profile.path(), Screen::Phone).await;
            let first = chrome.open(&server.url(FORM)).await;
            let second = chrome.open(&server.url(FORM)).await;
            for tab in [&first, &second] {
                if without_locks {
                    let hide = "Object.defineProperty(Navigator.prototype, 'locks', { value: undefined })";
                    tab.page().evaluate_on_new_document(hide).await.expect("a script before the page's");
                    tab.reload().await;
                    assert_eq!(tab.js("navigator.locks === undefined").await, true);
                }
                tab.wait("document.documentElement.dataset.script === 'on'").await;
                tab.wait("document.getElementById('waiting').textContent === 'All sent'").await;
            }
            server.is(Mood::Broken);
            enter(&first, &server, "one").await;
            badge(&first, "1 waiting").await;
            badge(&second, "1 waiting").await;
            let tried = server.arrived().len();
            server.is(Mood::Stores);
            let now = "dispatchEvent(new Event('online'))";
            tokio::join!(first.js(now), second.js(now));
            badge(&first, "All sent").await;
            badge(&second, "All sent").await;
            assert_eq!(server.arrived().len(), tried + 1, "without locks: {without_locks}");
            chrome.close().await;
        }
    });
}

#[test]
fn photos_wait_as_bytes_and_the_place_comes_from_the_address() {
    with_browser("photos", async |program| {
        let server = StandIn::start(0).await;
        let profile = profile();
        let chrome = Chrome::start(&program, profile.path(), Screen::Phone).await;
        let tab = chrome.open(&server.url("/jobs/J-1/photos")).await;
        server.is(Mood::Broken);
        tab.fill("#words", "a photo").await;
        tab.photograph("input[type=file]", 7, 640, 480).await;
        tab.tap("form[data-queue] button.big").await;
        badge(&tab, "1 waiting").await;
        tab.tap("#waiting").await;
        tab.wait("document.querySelector('dialog[open]').innerText.includes('1 photo')").await;
        chrome.close().await;
        let chrome = Chrome::start(&program, profile.path(), Screen::Phone).await;
        server.is(Mood::Stores);
        let tab = chrome.open(&server.url("/jobs/J-1/enter/touch?place=main/15&csrf=evil")).await;
        badge(&tab, "All sent").await;
        let sent = server.arrived();
        let photo = sent.last().expect("the photo arrived");
        assert!(photo.path == "/jobs/J-1/photos" && 5_000 < photo.size, "{photo:?}");
        assert_eq!(tab.text("document.querySelector('[name=place]:checked').value").await, "main/15");
        assert_eq!(tab.text("document.querySelector('[name=csrf]').value").await, "token-1");
        // The keypad, and that its keys do not send the form.
        for key in ["1", "5", ".", ".", "5", "5", "back", "sign"] {
            tab.tap(&format!("[data-key='{key}']")).await;
        }
        assert_eq!(tab.text("document.getElementById('amps').value").await, "-15.5");
        chrome.close().await;
    });
}

#[test]
fn without_storage_the_form_is_sent_as_without_script() {
    with_browser("no storage", async |program| {
        let server = StandIn::start(0).await;
        let profile = profile();
        let chrome = Chrome::start(&program, profile.path(), Screen::Phone).await;
        let tab = chrome.open(&server.url("/")).await;
        let hide = "Object.defineProperty(globalThis, 'indexedDB', { value: { open() { throw new Error('none'); } } })";
        tab.page().evaluate_on_new_document(hide).await.expect("a script before the page's");
        enter(&tab, &server, "plain").await;
        tab.wait("document.body.innerText.includes('csrf')").await;
        let sent = server.arrived();
        assert_eq!(sent.len(), 1);
        assert_eq!((sent[0].words.as_str(), sent[0].entry.as_str()), ("plain", "from-the-page"));
        chrome.close().await;
    });
}
