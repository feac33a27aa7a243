//! A job that was begun in the cellar under a name that the bench has given to another: one correction takes all that was
//! entered for it along, and nothing gets into the other job.

use crate::bench::{Bench, enter, run, send};
use crate::chrome::with_browser;
use crate::no_signal::badge;
use crate::tab::Tab;
use crate::trouble::{n_facts, ready};

/// A case whose name both take.
const CASE: &str = include_str!("../../../../cases/2-overload.toml");
const TAKEN: &str = "Q-0121";

/// Begins a job of that name without a network, with a complaint, a panel and a photo.
async fn begin(tab: &Tab, bench: &Bench) {
    let call = [
        ("words", "Half the cellar is dark."),
        ("of", "half-house"),
        ("place", "4 Other Row"),
        ("job", TAKEN),
        ("invented", "yes"),
    ];
    enter(tab, &bench.url("/new"), &call, "main form[action='/new'] .big").await;
    assert_eq!(tab.text("location.pathname").await, format!("/jobs/{TAKEN}/call"));
    let complaint = [("of", "flicker"), ("words", "said in the cellar")];
    enter(
        tab,
        &bench.url(&format!("/jobs/{TAKEN}/enter/complaint")),
        &complaint,
        "main form[data-queue] .big",
    )
    .await;
    let panel = [("place", "cellar"), ("spaces", "12"), ("main", "breaker"), ("main-rating", "100")];
    enter(tab, &bench.url(&format!("/jobs/{TAKEN}/panel")), &panel, "main form[data-queue] .big").await;
    tab.go(&bench.url(&format!("/jobs/{TAKEN}/photos"))).await;
    tab.wait("document.documentElement.dataset.script === 'on'").await;
    tab.photograph("input[type=file]", 5, 800, 600).await;
    send(tab, &[("words", "the cellar")], "form[enctype] .big").await;
    tab.wait_for_next_page().await;
    badge(tab, "4 waiting").await;
}

#[test]
fn one_correction_takes_a_job_with_a_taken_name_along_whole() {
    with_browser("taken name", async |program| {
        let file = tempfile::tempdir().expect("a folder");
        let case = file.path().join("case.toml");
        std::fs::write(&case, CASE).expect("a file");
        for (by_list, new) in [(true, "Q-0121-2"), (false, "Q-0500")] {
            let mut bench = Bench::empty_with(&["--sweeps", "60"]).await;
            let profile = crate::chrome::profile();
            let Some((chrome, tab)) = ready(&program, &bench, profile.path()).await else { return };
            bench.stop().await;
            begin(&tab, &bench).await;
            // Meanwhile somebody else gives that name at the bench.
            run(&["import", &case.to_string_lossy(), "--data", &bench.data().to_string_lossy()]);
            bench.start_again().await;
            badge(&tab, "4 waiting, 1 to look at").await;
            let of_other = n_facts(&tab, TAKEN).await;
            tab.tap("#waiting").await;
            tab.wait("document.querySelector('dialog[open]')?.textContent.includes('There is a job Q-0121 already')").await;
            if by_list {
                assert_eq!(
                    tab.text("document.querySelector('dialog .field input').value").await,
                    new,
                    "proposed"
                );
                assert!(
                    tab.text("document.querySelector('dialog .field button').textContent")
                        .await
                        .contains("3 entries")
                );
                tab.tap("dialog .field button").await;
            } else {
                tab.tap("dialog a[href*='#held-']").await;
                tab.wait("document.querySelector('[name=job]')?.value === 'Q-0121'").await;
                send(&tab, &[("job", new)], "main form[action='/new'] .big").await;
            }
            badge(&tab, "All sent").await;
            assert_eq!(n_facts(&tab, TAKEN).await, of_other, "nothing got into the other job");
            let text =
                tab.text(&format!("fetch('/jobs/{new}/facts.json').then((answer) => answer.text())")).await;
            for said in ["4 Other Row", "said in the cellar", "the cellar", new] {
                assert!(text.contains(said), "{said}: {text}");
            }
            assert!(!text.contains(&format!("\\\"job\\\":\\\"{TAKEN}\\\"")), "{text}");
            tab.go(&bench.url(&format!("/jobs/{new}/photos"))).await;
            tab.wait("document.querySelectorAll('.photo-grid img').length === 1").await;
            chrome.close().await;
        }
    });
}
