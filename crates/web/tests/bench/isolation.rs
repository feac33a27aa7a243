//! Nothing that needs a dead part is taken from anybody without the proofs on record.

use crate::ground::{Ground, JOB};
use axum::http::StatusCode;

#[tokio::test]
async fn an_opening_without_proofs_is_refused_whatever_is_sent() {
    let ground = Ground::new().await;
    let browser = ground.joined("JD").await;
    let before = ground.n_facts().await;
    let form = format!("/jobs/{JOB}/enter/opening");
    for (idx, more) in
        [("cover", "yes"), ("reached", "proven-dead"), ("at", "2025-11-30T10:00:00")].iter().enumerate()
    {
        for (number, joint) in ["main:stab:5", "main:lug:A", "main:neutral:lug"].into_iter().enumerate() {
            let entry = format!("o-{idx}-{number}");
            let fields = [("entry", entry.as_str()), ("joint", joint), ("found", "sound"), *more];
            let answer = browser.post_script(&form, &fields).await;
            assert_eq!(answer.status, StatusCode::UNPROCESSABLE_ENTITY, "{joint}: {}", answer.text());
            assert!(answer.text().contains("proven dead"), "{}", answer.text());
        }
    }
    let said = [
        ("entry", "x-1"),
        ("reached", "proven-dead"),
        ("who", "JD"),
        ("qualified", "yes"),
        ("pairs", "yes"),
        ("tester", "yes"),
    ];
    let answer = browser.post_script(&format!("/jobs/{JOB}/enter/exposure"), &said).await;
    assert_eq!(answer.status, StatusCode::UNPROCESSABLE_ENTITY, "{}", answer.text());
    assert_eq!(ground.n_facts().await, before, "nothing of it is stored");
    // A test alone, with nothing cut off and no source ruled out, is kept, and opens nothing.
    let proof = [
        ("entry", "p-1"),
        ("part", "main"),
        ("tester", "tester 1"),
        ("before", "121"),
        ("after", "121"),
        ("v-A-B", "0"),
        ("v-A-neutral", "0"),
        ("v-B-neutral", "0"),
        ("v-A-ground", "0"),
        ("v-B-ground", "0"),
        ("v-neutral-ground", "0"),
    ];
    let answer = browser.post_script(&format!("/jobs/{JOB}/enter/proof"), &proof).await;
    assert_eq!(answer.status, StatusCode::OK, "{}", answer.text());
    let fields = [("entry", "o-9"), ("joint", "main:lug:A"), ("found", "sound")];
    let answer = browser.post_script(&form, &fields).await;
    assert_eq!(answer.status, StatusCode::UNPROCESSABLE_ENTITY, "{}", answer.text());
    let page = browser.get(&format!("/jobs/{JOB}/isolation?part=main")).await.text();
    assert!(page.contains("Not looked for: a generator") && !page.contains("✓ proven dead"), "{page}");
}
