//! Address cards over HTTP: put in, used by the plan of the day, taken along by a phone, closed to who may not.

use crate::ground::{Ground, JOB};
use axum::http::StatusCode;

#[tokio::test]
async fn a_card_is_put_in_drives_the_day_and_goes_to_the_phones() {
    let ground = Ground::new().await;
    let browser = ground.joined("JD").await;
    let (day, csrf) = (format!("/jobs/{JOB}/outage"), browser.csrf.clone());
    assert!(browser.get("/cards").await.text().contains("Invented cards."));
    let town = "Quenmarsh";
    let card = |from: &'static str| {
        vec![
            ("csrf", csrf.as_str()),
            ("act", "save"),
            ("kind", "utility"),
            ("name", "Power of the test"),
            ("towns", town),
            ("source", "the desk, by telephone"),
            ("told", "2025-10-01"),
            ("cut_from", from),
            ("cut_to", "11:30"),
        ]
    };
    let wrong = browser.post("/cards", &card("12:00")).await;
    assert_eq!(wrong.status, StatusCode::UNPROCESSABLE_ENTITY);
    assert!(wrong.text().contains("The window ends before it begins."));
    assert!(browser.get("/cards").await.text().contains("Invented cards."), "nothing is half stored");
    let taken = browser.post("/cards", &card("10:30")).await;
    assert_eq!(taken.status, StatusCode::SEE_OTHER, "{}", taken.text());
    let page = browser.get("/cards").await.text();
    assert!(page.contains("Power of the test") && !page.contains("Invented cards."), "{page}");
    let planned = browser.get(&day).await.text();
    assert!(
        planned.contains("Cuts between 10:30 and 11:30.") && planned.contains("the desk, by telephone"),
        "{planned}"
    );
    assert!(browser.get("/phone.json").await.text().contains("Power of the test"));
    let out = [("csrf", csrf.as_str()), ("act", "remove"), ("card", "power-of-the-test")];
    assert_eq!(browser.post("/cards", &out).await.status, StatusCode::SEE_OTHER);
    // Taken out, the invented ones do not come back.
    let page = browser.get("/cards").await.text();
    assert!(!page.contains("Power of the test") && !page.contains("Invented cards."), "{page}");
}
