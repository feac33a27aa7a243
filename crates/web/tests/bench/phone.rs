//! What a phone gets to judge by itself, and what it sends of it.

use crate::ground::{Ground, JOB, touch, touch_form};
use axum::http::StatusCode;
use record::Fact;
use serde_json::Value;

#[tokio::test]
async fn a_phone_gets_settings_and_the_facts_that_it_does_not_have() {
    let ground = Ground::new().await;
    let browser = ground.joined("JD").await;
    let told = browser.get("/phone.json").await.json();
    let desk = &told["desk"];
    assert_eq!((&desk["name"], &desk["day"]), (&"JD".into(), &"2025-12-01".into()), "{told}");
    assert_eq!((&desk["sweeps"], &desk["seed"]), (&60.into(), &"1".into()), "{told}");
    assert_eq!(desk["policy"], study::Policy::standard_text());
    assert!(told["module"].is_string() || !told["why"].as_str().unwrap_or_default().is_empty(), "{told}");
    let n_facts = ground.n_facts().await;
    assert_eq!((&told["jobs"][0]["job"], &told["jobs"][0]["revision"]), (&JOB.into(), &n_facts.into()));
    let all = browser.get(&format!("/jobs/{JOB}/facts.json")).await.json();
    let lines = all["facts"].as_array().expect("lines");
    assert_eq!((lines.len() as i64, &all["revision"]), (n_facts, &n_facts.into()));
    let read = |line: &Value| Fact::from_json(line.as_str().expect("a line")).expect("a fact");
    let facts: Vec<Fact> = lines.iter().map(read).collect();
    assert_eq!(facts, ground.bench.store().facts(JOB).await.expect("facts"));
    browser.post_script(&touch_form(), &touch("e-1", "main/5", "warm")).await;
    let more = browser.get(&format!("/jobs/{JOB}/facts.json?after={n_facts}")).await.json();
    assert_eq!(more["facts"].as_array().map(Vec::len), Some(1), "{more}");
    assert_eq!(browser.get("/jobs/none/facts.json").await.status, StatusCode::NOT_FOUND);
}

/// The facts that were judged are stored where they say what the form says; nothing else gets in that way.
#[tokio::test]
async fn facts_of_a_phone_are_stored_where_the_form_says_the_same() {
    let ground = Ground::new().await;
    let browser = ground.joined("JD").await;
    let store = ground.bench.store();
    browser.post_script(&touch_form(), &touch("e-1", "main/5", "warm")).await;
    let mut facts = store.facts(JOB).await.expect("facts");
    let first = facts.pop().expect("the touch");
    // The phone replaced an entry; the form of the page did not know of it.
    let judged = Fact::new(first.at, first.by.clone(), vec![facts[0].id().clone()], first.body.clone());
    let line = judged.to_json();
    let mut fields = touch("e-2", "main/5", "warm");
    fields.push(("facts", &line));
    let answer = browser.post_script(&touch_form(), &fields).await;
    assert_eq!(answer.status, StatusCode::OK, "{}", answer.text());
    assert_eq!(store.facts(JOB).await.expect("facts").last(), Some(&judged));
    let n_facts = ground.n_facts().await;
    // Sent again without them, as from a page without the worker: the same entry.
    let again = browser.post_script(&touch_form(), &touch("e-2", "main/5", "warm")).await.json();
    assert_eq!((&again["already"], ground.n_facts().await), (&true.into(), n_facts));

    let opening = facts[0].to_json();
    let stranger = Fact::new(first.at, Some("MS".to_owned()), Vec::new(), first.body.clone()).to_json();
    for (idx, other) in [opening.as_str(), stranger.as_str(), "no fact", ""].into_iter().enumerate() {
        let entry = format!("e-{}", idx + 10);
        let place = format!("main/{}", idx + 1);
        let mut fields = touch(&entry, &place, "hot");
        fields.push(("facts", other));
        let answer = browser.post_script(&touch_form(), &fields).await;
        assert_eq!(answer.status, StatusCode::OK, "{}", answer.text());
        let last = store.facts(JOB).await.expect("facts").pop().expect("one");
        assert!(last.body.kind() == "touch" && last.by.as_deref() == Some("JD"), "{last:?}");
        assert!(last.supersedes.is_empty(), "the form is what counts: {last:?}");
    }
    // What the form is refused for, the facts are refused for.
    let mut fields = touch("e-20", "main/5", "boiling");
    fields.push(("facts", &line));
    let refused = browser.post_script(&touch_form(), &fields).await;
    assert_eq!(refused.status, StatusCode::UNPROCESSABLE_ENTITY, "{}", refused.text());
}
