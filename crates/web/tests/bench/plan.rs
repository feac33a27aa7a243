//! The plan until the replacement, the board and the policy over HTTP; and that no way leads past the gate.

use crate::ground::{Ground, JOB};
use axum::http::StatusCode;

/// Everything that a plan must say.
const PLAN: [(&str, &str); 12] = [
    ("off", "main/4"),
    ("limits", "one-big"),
    ("watch", "smoke"),
    ("slip", "call"),
    ("alarms", "tested"),
    ("medical", "none"),
    ("food", "none"),
    ("heat", "none"),
    ("expires", "2099-12-18"),
    ("recheck", "2099-12-02"),
    ("answer", "accepted"),
    ("answer_words", "We wait, and watch."),
];

#[tokio::test]
async fn a_plan_reaches_the_board_the_calendar_and_the_papers() {
    let ground = Ground::new().await;
    let browser = ground.joined("JD").await;
    let form = format!("/jobs/{JOB}/enter/interim");
    let page = browser.get(&form).await.text();
    assert!(page.contains("Confirm the plan") && page.contains("name=\"recheck\""), "{page}");
    let fields = [&[("entry", "i-1")][..], &PLAN[..]].concat();
    let answer = browser.post_script(&form, &fields).await;
    assert_eq!(answer.status, StatusCode::OK, "{}", answer.text());
    let without: Vec<_> = fields.iter().copied().filter(|(name, _)| *name != "recheck").collect();
    assert_eq!(browser.post_script(&form, &without).await.status, StatusCode::UNPROCESSABLE_ENTITY);
    let plan = browser.get(&format!("/jobs/{JOB}/plan")).await.text();
    assert!(plan.contains("We wait, and watch.") && plan.contains("2099-12-18"), "{plan}");
    let board = browser.get("/board").await.text();
    assert!(board.contains("2099-12-02") && board.contains("Recheck by the plan"), "{board}");
    let calendar = browser.get("/board.ics").await;
    assert_eq!(calendar.header("content-type"), "text/calendar; charset=utf-8");
    let text = calendar.text();
    assert!(
        text.starts_with("BEGIN:VCALENDAR\r\n") && text.contains("DTSTART;VALUE=DATE:20991202"),
        "{text}"
    );
    let tag = browser.get(&format!("/jobs/{JOB}/papers/tag-q-0121.txt")).await;
    assert_eq!(tag.status, StatusCode::OK);
    assert!(
        tag.text().contains("2099-12-18") && tag.text().contains(&format!("/jobs/{JOB}")),
        "{}",
        tag.text()
    );
    for sheet in ["until-replaced-q-0121.pdf", "hasta-el-cambio-q-0121.pdf", "crew-sheet-q-0121.pdf"] {
        let answer = browser.get(&format!("/jobs/{JOB}/papers/{sheet}")).await;
        assert!(answer.body.starts_with(b"%PDF-"), "{sheet}: {}", answer.status);
    }
    let verdict = browser.get(&format!("/jobs/{JOB}/verdict")).await.text();
    assert!(
        verdict.contains("Do nothing for now") && verdict.contains("Would more knowledge change it?"),
        "{verdict}"
    );
    // Lists know how urgent it is also after a start: what was found is kept.
    let again = web::Bench::new(ground.bench.store().clone(), crate::ground::setup()).expect("a bench");
    let again = crate::ground::Browser { router: web::router(again), ..browser.clone() };
    for path in ["/", "/?by=urgency", "/?find=q-0121&by=urgency", "/board", "/board?by=urgency"] {
        let mut page = String::new();
        for _ in 0..100 {
            page = again.get(path).await.text();
            // A judgement is shown a little before it is on the disk.
            if !page.contains("not judged<") {
                break;
            }
            tokio::time::sleep(std::time::Duration::from_millis(50)).await;
        }
        assert!(page.contains("data-urgency=") && !page.contains("not judged<"), "{path}: {page}");
        assert!(page.contains("Most urgent first"), "{path}: {page}");
        // The day stands only with what was kept; a bench that judges itself knows it to be of now.
        assert!(path.starts_with("/board") || page.contains("judged <time"), "{path}: {page}");
    }
}

#[tokio::test]
async fn the_policy_is_changed_checked_and_judged_by() {
    let ground = Ground::new().await;
    let browser = ground.joined("JD").await;
    let verdict = |page: String| page.split("Policy: ").nth(1).map(|rest| rest[..30].to_owned());
    // The first judgement, by the standard policy.
    browser.get(&format!("/jobs/{JOB}/papers/owner-letter-q-0121.txt")).await;
    let before = verdict(browser.get(&format!("/jobs/{JOB}/verdict")).await.text());
    assert!(before.is_some_and(|label| label.starts_with("standard policy")));
    let own = study::Policy::standard_text().replacen(
        "name = \"standard policy\"",
        "name = \"shop of the cellar\"",
        1,
    );
    // Each rule with what the owner is told of it, where it has words for him.
    let shown = browser.get("/policy").await.text();
    assert!(shown.contains("To the owner: “A breaker was measured hotter than its plastic may become.”"));
    let wrong = own.replacen("stop_gap_days = 30", "stop_gap_days = 900", 1);
    let answer = browser.post("/policy", &[("csrf", &browser.csrf), ("act", "text"), ("text", &wrong)]).await;
    assert_eq!(answer.status, StatusCode::UNPROCESSABLE_ENTITY);
    assert!(
        answer.text().contains("outside 1 to 180") && answer.text().contains("shop of the cellar"),
        "typed stays"
    );
    let answer = browser.post("/policy", &[("csrf", &browser.csrf), ("act", "text"), ("text", &own)]).await;
    assert_eq!(answer.status, StatusCode::SEE_OTHER, "{}", answer.text());
    assert!(browser.get("/policy").await.text().contains("shop of the cellar"));
    browser.get(&format!("/jobs/{JOB}/papers/owner-letter-q-0121.txt")).await;
    let after = verdict(browser.get(&format!("/jobs/{JOB}/verdict")).await.text());
    assert!(after.as_deref().is_some_and(|label| label.starts_with("shop of the cellar")), "{after:?}");
    let answer = browser
        .post("/policy", &[("csrf", &browser.csrf), ("act", "figures"), ("stop_gap_days", "14")])
        .await;
    assert_eq!(answer.status, StatusCode::SEE_OTHER, "{}", answer.text());
    let stored = ground.bench.store().policy().await.expect("read").expect("there");
    assert!(
        stored.number == 2 && stored.text.contains("stop_gap_days = 14") && stored.text.contains("cellar")
    );
    let answer = browser.post("/policy", &[("csrf", &browser.csrf), ("act", "standard")]).await;
    assert_eq!(answer.status, StatusCode::SEE_OTHER);
    assert!(browser.get("/policy").await.text().contains("standard policy, version 5"));
}

/// Every way in which a dead part could be said: each form of the job is sent what would open something. Nothing of it
/// makes a part count as dead, and nothing that needs a dead part is stored.
#[tokio::test]
async fn no_form_leads_past_the_gate() {
    let ground = Ground::new().await;
    let browser = ground.joined("JD").await;
    let claims = [
        ("joint", "main:stab:4"),
        ("found", "sound"),
        ("reached", "proven-dead"),
        ("qualified", "yes"),
        ("pairs", "yes"),
        ("tester", "tester 1"),
        ("cover", "yes"),
        ("kind", "stop-gap"),
        ("slots", "main/4"),
        ("moved_to", "main/12"),
        ("words", "opened and moved"),
        ("expires", "2099-01-02"),
        ("recheck", "2099-01-01"),
        ("declined", "yes"),
        ("who", "electrician"),
        ("of", "end:nothing"),
    ];
    for kind in pages::EntryKind::ALL {
        for (idx, more) in
            [("at", "2025-11-30T10:00:00"), ("go", "/jobs/Q-0121"), ("place", "main/4")].iter().enumerate()
        {
            let entry = format!("g-{}-{idx}", kind.word());
            let fields = [&[("entry", entry.as_str())][..], &claims[..], &[*more]].concat();
            browser.post_script(&format!("/jobs/{JOB}/enter/{}", kind.word()), &fields).await;
        }
    }
    for path in [
        "fill/main",
        "panel/main",
        "panel",
        "call",
        "photos",
        "isolation",
        "plan",
        "verdict",
        "moves/main/4",
        "log",
    ] {
        let entry = format!("h-{}", path.replace('/', "-"));
        let fields = [&[("entry", entry.as_str())][..], &claims[..]].concat();
        browser.post_script(&format!("/jobs/{JOB}/{path}"), &fields).await;
    }
    let facts = ground.bench.store().facts(JOB).await.expect("read");
    for fact in &facts {
        let kind = fact.body.kind();
        assert_ne!(kind, "opening", "{}", fact.to_json());
        let moved = matches!(&fact.body, record::Body::Work(work) if !work.moved_to.is_empty());
        assert!(!moved, "{}", fact.to_json());
        let dead = matches!(&fact.body, record::Body::Exposure(body) if body.reached.0 == model::job::Exposure::ProvenDead);
        assert!(!dead, "{}", fact.to_json());
    }
    let settled = record::settle(&facts, None);
    let job = settled.job.expect("a job");
    assert!(study::allowed(&job, None) < model::job::Exposure::ProvenDead);
    let page = browser.get(&format!("/jobs/{JOB}/isolation")).await.text();
    assert!(!page.contains("✓ proven dead"));
}
