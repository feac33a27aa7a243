//! Papers and exported jobs, handed out by name.

use crate::ground::{Ground, JOB};
use axum::http::StatusCode;

#[tokio::test]
async fn papers_are_given_by_name_and_nothing_else_is() {
    let ground = Ground::new().await;
    let browser = ground.joined("JD").await;
    let page = browser.get(&format!("/jobs/{JOB}/papers")).await;
    assert_eq!(page.status, StatusCode::OK);
    let letter = format!("/jobs/{JOB}/papers/owner-letter-q-0121.pdf");
    let answer = browser.get(&letter).await;
    assert_eq!(
        (answer.status, answer.header("content-type")),
        (StatusCode::OK, "application/pdf"),
        "{letter}"
    );
    assert!(answer.body.starts_with(b"%PDF-"));
    assert!(answer.header("content-disposition").starts_with("inline"));
    let drawing = browser.get(&format!("/jobs/{JOB}/papers/{JOB}-panel-main.svg")).await;
    assert_eq!(drawing.header("content-type"), "image/svg+xml");
    assert!(drawing.header("content-security-policy").contains("sandbox"));
    for path in [
        "..%2f..%2f..%2fetc%2fpasswd",
        "..%2fpanelwright.sqlite",
        "%2e%2e",
        "panelwright.sqlite",
        "%00",
        "owner-letter-q-0121.pdf%2f",
        "owner-letter-q-0121.pdf\\",
    ] {
        let answer = browser.get(&format!("/jobs/{JOB}/papers/{}", path.replace('\\', "%5c"))).await;
        assert_eq!(answer.status, StatusCode::NOT_FOUND, "{path}");
    }
}

#[tokio::test]
async fn a_job_is_exported_as_one_file() {
    let ground = Ground::new().await;
    let browser = ground.joined("JD").await;
    let answer = browser.get(&format!("/jobs/{JOB}/export")).await;
    assert_eq!((answer.status, answer.header("content-type")), (StatusCode::OK, "application/zip"));
    assert_eq!(answer.header("content-length"), answer.body.len().to_string());
    let file = ground.folder.path().join("sent.zip");
    std::fs::write(&file, &answer.body).expect("it is written");
    let other = tempfile::tempdir().expect("a folder");
    let store = store::Store::open(other.path()).await.expect("a store");
    let imported = store.import_job(&file).await.expect("it is whole");
    assert_eq!((imported.job.as_str(), imported.revision), (JOB, ground.n_facts().await));
    assert_eq!(browser.get("/jobs/none/export").await.status, StatusCode::NOT_FOUND);
}
