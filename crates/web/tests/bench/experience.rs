//! Openings are counted on the bench, put in force, named on what is judged, and taken back.

use crate::ground::Ground;
use axum::http::StatusCode;
use std::time::Duration;

#[tokio::test(flavor = "multi_thread")]
async fn openings_are_counted_put_in_force_and_taken_back() {
    let ground = Ground::new().await;
    let laptop = ground.joined("laptop").await;
    let page = laptop.get("/score").await.text().to_owned();
    assert!(page.contains("In force: the program’s own chances."), "{page}");

    // Nothing was opened yet: it is said, and nothing is put in force.
    assert_eq!(
        laptop.post("/score", &[("csrf", &laptop.csrf), ("do", "count")]).await.status,
        StatusCode::SEE_OTHER
    );
    let page = wait(&laptop, "there is nothing to count").await;
    assert!(page.contains("In force: the program’s own chances."), "{page}");

    let text = include_str!("../../../../docs/worked-example/job.toml");
    let reading = record::read_job("job.toml", text, model::Date::constant(2026, 12, 1));
    let store = ground.bench.store();
    store.append("W-1", "e1", None, &reading.facts).await.expect("stored");
    assert_eq!(
        laptop.post("/score", &[("csrf", &laptop.csrf), ("do", "count")]).await.status,
        StatusCode::SEE_OTHER
    );
    let page = wait(&laptop, "Odds of burnt").await;
    assert!(page.contains("Version 1 in this data folder"), "{page}");
    let told = laptop.get("/phone.json").await.text().to_owned();
    assert!(told.contains("[[odds]]"), "the phone judges by it too");

    assert_eq!(
        laptop.post("/score", &[("csrf", &laptop.csrf), ("do", "own")]).await.status,
        StatusCode::SEE_OTHER
    );
    let page = laptop.get("/score").await.text().to_owned();
    assert!(page.contains("own chances, put in force again"), "{page}");
    assert_eq!(store.shop_texts(store::ShopText::Experience).await.expect("read").len(), 2);
}

/// The page once it has the words, or the last one where they never come.
async fn wait(who: &crate::ground::Browser, words: &str) -> String {
    let mut page = String::new();
    for _ in 0..600 {
        page = who.get("/score").await.text().to_owned();
        if page.contains(words) {
            break;
        }
        tokio::time::sleep(Duration::from_millis(200)).await;
    }
    assert!(page.contains(words), "{words} never came: {page}");
    page
}
