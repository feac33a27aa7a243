//! What a thumb meets forty times a visit: after a save the next thing to tap is on the screen, and nothing typed is lost.

use crate::bench::{Bench, send};
use crate::chrome::{Chrome, Screen, profile, with_browser};
use crate::no_signal::JOB;
use crate::tab::Tab;

/// Whether everything that a selector finds lies on the screen, below the top bar and above the row of buttons.
fn in_sight(selector: &str) -> String {
    format!(
        "(() => {{ const all = [...document.querySelectorAll('{selector}')]; const bar = document.querySelector('header.bar'); \
         const below = document.querySelector('main .actions')?.getBoundingClientRect().top ?? innerHeight; \
         const above = bar.getBoundingClientRect().bottom; \
         return 0 < all.length && all.every((one) => {{ const box = one.getBoundingClientRect(); \
           return 47.5 <= box.height && above <= box.top && box.bottom <= below; }}); }})()"
    )
}

async fn awake(tab: &Tab) {
    tab.wait("document.documentElement.dataset.script === 'on'").await;
}

#[test]
fn the_next_tap_is_on_the_screen_after_a_save() {
    with_browser("thumb", async |program| {
        let bench = Bench::demo().await;
        let profile = profile();
        let chrome = Chrome::start(&program, profile.path(), Screen::Phone).await;
        let tab = chrome.open(&bench.url("/join")).await;
        bench.join(&tab, "phone").await;
        let at = |path: &str| bench.url(&format!("/jobs/{JOB}/enter/{path}"));
        for (path, fields, button, next) in [
            (
                "clamp?place=main/17",
                vec![("amps", "3")],
                "button[name=then]",
                ".keypad [data-key]:not([hidden])",
            ),
            ("touch?place=main/17", vec![], "button[name=feel][value=warm]", "button[name=feel]"),
            (
                "temperature?place=main/17",
                vec![("value", "31")],
                "button[name=then]",
                ".keypad [data-key]:not([hidden])",
            ),
        ] {
            tab.go(&at(path)).await;
            tab.mark().await;
            send(&tab, &fields, button).await;
            tab.wait_for_next_page().await;
            awake(&tab).await;
            tab.wait("location.hash === '#here'").await;
            tab.wait(&in_sight(next)).await;
            tab.wait(&in_sight("#here button")).await;
        }
        // Signs: the line that was tapped is still there, and the next one below it.
        tab.go(&bench.url(&format!("/jobs/{JOB}/spaces/main/17"))).await;
        tab.mark().await;
        send(&tab, &[], "#sign-buzz button[value=no]").await;
        tab.wait_for_next_page().await;
        tab.wait(&in_sight("#sign-buzz button")).await;
        assert!(tab.complaints().is_empty(), "{:?}", tab.complaints());
        chrome.close().await;
    });
}

#[test]
fn what_is_typed_outlives_a_reload_until_it_is_saved() {
    with_browser("drafts", async |program| {
        let bench = Bench::demo().await;
        let profile = profile();
        let chrome = Chrome::start(&program, profile.path(), Screen::Phone).await;
        let tab = chrome.open(&bench.url("/join")).await;
        bench.join(&tab, "phone").await;
        tab.go(&bench.url("/new")).await;
        awake(&tab).await;
        tab.fill("[name=words]", "It smells in the hall.").await;
        tab.js("document.querySelector('main form [type=radio], main form [type=checkbox]').click()").await;
        tab.reload().await;
        awake(&tab).await;
        tab.wait("document.querySelector('[name=words]').value === 'It smells in the hall.'").await;
        assert_eq!(
            tab.js("document.querySelector('main form [type=radio], main form [type=checkbox]').checked")
                .await,
            true
        );
        // Emptied again, nothing is kept.
        tab.fill("[name=words]", "").await;
        tab.js("(() => { const box = document.querySelector('main form [type=radio], main form [type=checkbox]'); box.checked = false; \
                box.dispatchEvent(new Event('change', { bubbles: true })); })()").await;
        assert_eq!(
            tab.js("Object.keys(sessionStorage).filter((key) => key.startsWith('draft')).length").await,
            0
        );
        // Saved, it is no draft any more.
        let clamp = bench.url(&format!("/jobs/{JOB}/enter/clamp?place=main/17"));
        tab.go(&clamp).await;
        awake(&tab).await;
        tab.fill("[name=amps]", "3.5").await;
        tab.reload().await;
        awake(&tab).await;
        tab.wait("document.querySelector('[name=amps]').value === '3.5'").await;
        tab.mark().await;
        send(&tab, &[], "button[name=then]").await;
        tab.wait_for_next_page().await;
        tab.go(&clamp).await;
        awake(&tab).await;
        assert_eq!(tab.text("document.querySelector('[name=amps]').value").await, "");
        assert!(tab.complaints().is_empty(), "{:?}", tab.complaints());
        chrome.close().await;
    });
}

/// A refusal is told once more above the form, a line each, with a link to its field.
#[test]
fn mistakes_stand_in_a_list_with_links() {
    with_browser("mistakes", async |program| {
        let bench = Bench::demo().await;
        let profile = profile();
        let chrome = Chrome::start(&program, profile.path(), Screen::Phone).await;
        let tab = chrome.open(&bench.url("/join")).await;
        bench.join(&tab, "phone").await;
        tab.go(&bench.url(&format!("/jobs/{JOB}/enter/interim"))).await;
        send(&tab, &[], "main form .big").await;
        tab.wait("3 < document.querySelectorAll('#said .error-list li a').length").await;
        let lost = "[...document.querySelectorAll('#said .error-list a')].filter((one) => !document.querySelector(one.getAttribute('href'))).length";
        assert_eq!(tab.js(lost).await, 0);
        chrome.close().await;
    });
}
