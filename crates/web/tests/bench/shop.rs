//! Pages over all jobs.

use crate::ground::{Ground, JOB};
use axum::http::StatusCode;

#[tokio::test]
async fn the_lists_over_all_jobs_follow_every_fact() {
    let ground = Ground::new().await;
    let laptop = ground.joined("laptop").await;
    let page = laptop.get("/questions").await;
    assert_eq!(page.status, StatusCode::OK);
    assert!(page.text().contains("Counted over 1 jobs"), "{}", page.text());
    assert!(laptop.get("/score").await.text().contains("Nothing is scored yet"));

    let facts = [
        r#"{"v":1,"id":"j","at":"2025-11-01T00:00:00","by":"JD","body":{"kind":"job","job":"N-1","invented":true,"place":"3 Withy Lane","town":"Quenmarsh","owner":"the owner","opened":"2025-11-01"}}"#,
        r#"{"v":1,"id":"d","at":"2025-11-02T10:00:00","by":"JD","body":{"kind":"decision","words":"not now","declined":true}}"#,
    ];
    let facts: Vec<record::Fact> =
        facts.iter().map(|line| record::Fact::from_json(line).expect("a fact")).collect();
    ground.bench.store().append("N-1", "e1", None, &facts).await.expect("stored");
    assert!(laptop.get("/").await.text().contains("3 Withy Lane"));
    assert!(laptop.get("/questions").await.text().contains("Counted over 2 jobs"));
    let table = laptop.get("/questions.csv").await;
    assert!(table.header("content-type").starts_with("text/csv"));
    let declined = table.text().lines().find(|line| line.starts_with("8,")).expect("question 8").to_owned();
    assert!(
        declined.contains("jobs in which advice was declined,1,2,0.5000") && declined.ends_with("N-1"),
        "{declined}"
    );
    assert!(!table.text().contains(JOB), "only the jobs in which it was so");
    assert!(!table.text().contains("Withy"), "no place leaves in a table");
}
