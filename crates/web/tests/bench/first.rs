//! A first look after an entry: told of, marked on the page, in no paper, and gone when the judgement is there.

use crate::ground::{CASE, DAY, Ground, JOB, settings, touch, touch_form};
use axum::http::StatusCode;
use std::time::{Duration, Instant};
use study::Settings;

const MARK: &str = "First look, less exact.";

/// Many sweeps: the whole judgement takes long enough to look at the page before it.
fn slow() -> Settings {
    Settings { n_sweeps: 3_000, ..settings() }
}

#[tokio::test]
async fn a_first_look_is_marked_and_gone_with_the_judgement_that_it_does_not_change() {
    let ground = Ground::judging(slow()).await;
    let browser = ground.joined("JD").await;
    let bench = format!("/jobs/{JOB}");
    let whole = format!("{bench}/papers/technical-record-{}.txt", JOB.to_lowercase());
    // The paper waits for the judgement, from which the look goes on.
    assert_eq!(browser.get(&whole).await.status, StatusCode::OK);
    let before = browser.get(&bench).await.text();
    assert!(before.contains("data-judged=\"true\"") && !before.contains(MARK));

    let answer = browser.post_script(&touch_form(), &touch("e-1", "main/5", "warm")).await;
    assert_eq!(answer.status, StatusCode::OK, "{}", answer.text());
    let since = Instant::now();
    let mut page = browser.get(&bench).await.text();
    while !page.contains(MARK) {
        assert!(!page.contains("data-judged=\"true\""), "the judgement was there before its first look");
        assert!(since.elapsed() < Duration::from_secs(60), "no first look: {page:.500}");
        tokio::time::sleep(Duration::from_millis(20)).await;
        page = browser.get(&bench).await.text();
    }
    assert!(page.contains("data-judged=\"first\""));
    let list = browser.get(&format!("{bench}/papers")).await.text();
    assert!(list.contains("Older than the latest entries") && !list.contains(MARK), "papers are of no look");

    // Asked for while the look is shown: of the whole judgement of all facts, as nobody had looked.
    let served = browser.get(&whole).await.text();
    let facts = ground.bench.store().facts(JOB).await.expect("facts");
    let job = record::settle(&facts, Some(DAY)).job.expect("a job");
    let assessment = study::assess(&job, &slow()).expect("it can be judged");
    let address = format!("http://bench.example:7117{bench}");
    let name = whole.rsplit('/').next().expect("a name");
    let ours = study::paper(&job, &assessment, &study::Press::new(), Some(&address), name);
    let ours = ours.expect("it can be set").expect("it is there");
    assert_eq!(served, String::from_utf8_lossy(&ours.bytes));
    let after = browser.get(&bench).await.text();
    assert!(after.contains("data-judged=\"true\"") && !after.contains(MARK));
    assert_ne!(record::read_job("case", CASE, DAY).facts.len(), facts.len(), "a fact was added");
}
