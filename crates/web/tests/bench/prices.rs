//! The shop's price book over HTTP: in, out, refused whole, kept in every version, used by prices and quotes; what its jobs
//! took.

use crate::ground::{Browser, CASE, DAY, Ground, JOB};
use axum::http::StatusCode;
use study::PriceBook;

/// A book of an invented shop that no longer says so.
fn own_book() -> String {
    PriceBook::demo_text()
        .replace(
            "INVENTED price book of a demo shop that does not exist. Replace every figure before you quote.",
            "Book of the cellar",
        )
        .replace("invented", "list of July")
}

async fn put(browser: &Browser, book: &str) -> crate::ground::Answer {
    browser.post_file("/prices", &[("act", "book")], book.as_bytes()).await
}

#[tokio::test]
async fn a_price_book_comes_in_whole_or_not_at_all_and_goes_out_as_it_came() {
    let ground = Ground::new().await;
    let browser = ground.joined("JD").await;
    let price = format!("/jobs/{JOB}/price");
    assert!(browser.get("/prices").await.text().contains("Invented prices."));
    assert!(browser.get(&price).await.text().contains("Do not quote from them."));
    let own = own_book();
    let wrong =
        own.replace("panel-12,each,118.00", "panel-12,each,cheap").replace("rod,each,31.00", "rod,each,-1");
    let answer = put(&browser, &wrong).await;
    assert_eq!(answer.status, StatusCode::UNPROCESSABLE_ENTITY);
    let text = answer.text();
    assert!(
        text.contains("Line 10: `cheap` is no price") && text.contains("Line 37: -1 is no price"),
        "{text}"
    );
    assert!(browser.get("/prices").await.text().contains("Invented prices."), "nothing is half stored");
    let answer = put(&browser, &own).await;
    assert_eq!(answer.status, StatusCode::SEE_OTHER, "{}", answer.text());
    let page = browser.get("/prices").await.text();
    assert!(page.contains("Book of the cellar") && !page.contains("Invented prices."), "{page}");
    let priced = browser.get(&price).await.text();
    assert!(priced.contains("Book of the cellar") && !priced.contains("Do not quote from them."), "{priced}");
    // Out as it came in; a second book leaves the first one there.
    let dear = own.replace("rate/person-hour,hour,115.00", "rate/person-hour,hour,300.00");
    assert_eq!(put(&browser, &dear).await.status, StatusCode::SEE_OTHER);
    assert_ne!(browser.get(&price).await.text(), priced, "the page prices by the new book");
    assert_eq!(browser.get("/prices/price-book.csv").await.text(), dear);
    assert_eq!(browser.get("/prices/price-book-1.csv").await.text(), own);
    assert_eq!(browser.get("/prices/price-book-9.csv").await.status, StatusCode::NOT_FOUND);
    assert_eq!(browser.get("/prices/policy.csv").await.status, StatusCode::NOT_FOUND);
    let back = browser.post("/prices", &[("csrf", &browser.csrf), ("act", "invented")]).await;
    assert_eq!(back.status, StatusCode::SEE_OTHER);
    let page = browser.get("/prices").await.text();
    assert!(page.contains("Invented prices.") && page.contains("price-book-2.csv"), "{page}");
}

#[tokio::test]
async fn a_stranger_changes_no_price() {
    let ground = Ground::new().await;
    let browser = ground.joined("JD").await;
    let answer =
        browser.post_file("/prices", &[("csrf", "guess"), ("act", "book")], own_book().as_bytes()).await;
    assert_ne!(answer.status, StatusCode::SEE_OTHER);
    assert!(browser.get("/prices").await.text().contains("Invented prices."));
    assert_ne!(ground.stranger().get("/prices/price-book.csv").await.status, StatusCode::OK);
}

#[tokio::test]
async fn the_quote_carries_the_notice_or_says_that_it_is_missing_and_by_whom() {
    let ground = Ground::new().await;
    let browser = ground.joined("JD").await;
    let quote = format!("/jobs/{JOB}/offer/quote-replace-panel.txt");
    let text = browser.get(&quote).await.text();
    assert!(text.contains("No notice of cancelling is attached yet"), "{text}");
    assert!(text.contains("The price book is invented. This is no offer."), "{text}");
    let words = "Invented notice of an invented state: cancel within three days.";
    let answer =
        browser.post("/prices", &[("csrf", &browser.csrf), ("act", "notice"), ("notice", words)]).await;
    assert_eq!(answer.status, StatusCode::SEE_OTHER, "{}", answer.text());
    let text = browser.get(&quote).await.text();
    assert!(text.contains("cancel within three days") && !text.contains("is attached yet"), "{text}");
    let paper = browser.get(&quote.replace(".txt", ".pdf")).await;
    assert!(paper.body.starts_with(b"%PDF-"));
    let day = browser.get(&format!("/jobs/{JOB}/offer/outage-plan.pdf")).await;
    assert!(day.body.starts_with(b"%PDF-"));
    assert_eq!(
        browser.get(&format!("/jobs/{JOB}/offer/quote-leave.pdf")).await.status,
        StatusCode::NOT_FOUND
    );
}

#[tokio::test]
async fn quote_and_parts_are_entered_on_the_bench_and_held_against_each_other() {
    let ground = Ground::new().await;
    let browser = ground.joined("JD").await;
    let form = |kind: &str| format!("/jobs/{JOB}/enter/{kind}");
    let fields = [
        ("entry", "q-1"),
        ("at", "2025-11-20T10:00:00"),
        ("option", "replace-panel"),
        ("low_usd", "100"),
        ("usual_usd", "150"),
        ("high_usd", "200"),
        ("valid_until", "2025-12-20"),
    ];
    let wrong: Vec<_> =
        fields.iter().map(|&(name, value)| (name, if name == "low_usd" { "900" } else { value })).collect();
    assert_eq!(browser.post_script(&form("quote"), &wrong).await.status, StatusCode::UNPROCESSABLE_ENTITY);
    let answer = browser.post_script(&form("quote"), &fields).await;
    assert_eq!(answer.status, StatusCode::OK, "{}", answer.text());
    let answer = browser.post_script(&form("used"), &[("entry", "u-1"), ("all", "planned")]).await;
    assert_eq!(answer.status, StatusCode::OK, "{}", answer.text());
    for (entry, at, done) in [("t-1", "2025-12-01T08:00:00", "no"), ("t-2", "2025-12-01T10:00:00", "yes")] {
        let tick = [("entry", entry), ("at", at), ("step", "trace"), ("done", done)];
        assert_eq!(browser.post_script(&form("tick"), &tick).await.status, StatusCode::OK);
    }
    let page = browser.get(&format!("/jobs/{JOB}/price")).await.text();
    assert!(page.contains("4.0 person-hours ticked"), "two people for two hours: {page}");
    assert!(page.contains("Above the range"), "{page}");
}

#[tokio::test]
async fn what_other_jobs_took_is_shown_with_its_counts_and_used_from_three_on() {
    let ground = Ground::new().await;
    let browser = ground.joined("JD").await;
    let outage = format!("/jobs/{JOB}/outage");
    assert!(browser.get(&outage).await.text().contains("No other job on this bench"));
    for (n, other) in ["Q-1", "Q-2", "Q-3"].into_iter().enumerate() {
        let ticks = "[[tick]]\nstep = \"trace\"\ndone = false\nat = 2025-11-20T08:00\n\
                     [[tick]]\nstep = \"trace\"\ndone = true\nat = 2025-11-20T12:00\n";
        let text = format!("{}\n{ticks}", CASE.replace(JOB, other));
        let read = record::read_job("case", &text, DAY);
        ground.bench.store().append(other, "case", None, &read.facts).await.expect("stored");
        let page = browser.get(&outage).await.text();
        let used = page.contains("used here");
        assert_eq!(used, n == 2, "{n}: {page}");
        assert_eq!(page.contains("too few to be used"), n != 2, "{n}");
    }
}
