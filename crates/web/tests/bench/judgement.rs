//! The judgement on the page is the one that the command line makes of the exported job.

use crate::ground::{DAY, Ground, JOB, settings, touch, touch_form};
use axum::http::StatusCode;
use serde_json::Value;
use std::fs;

/// Papers carry the judgement in words and figures; equal text is equal judgement.
fn text_papers(job: &model::job::Job) -> Vec<(String, Vec<u8>)> {
    let assessment = study::assess(job, &settings()).expect("it can be judged");
    let papers = study::papers(job, &assessment, &study::Press::new(), None).expect("papers");
    let texts = papers.into_iter().filter(|paper| paper.file_name.ends_with(".txt"));
    texts.map(|paper| (paper.file_name, paper.bytes)).collect()
}

#[tokio::test]
async fn the_exported_job_is_judged_the_same() {
    let ground = Ground::new().await;
    let browser = ground.joined("JD").await;
    let answer = browser.post_script(&touch_form(), &touch("e-1", "main/5", "hot")).await;
    assert_eq!(answer.status, StatusCode::OK, "{}", answer.text());
    let file = ground.folder.path().join("exported.zip");
    let exported = ground.bench.store().export_job(JOB, store::Give::Pages, &file).await.expect("an export");
    assert_eq!(exported.job_file, store::JobFile::All);
    let text = job_file(&fs::read(&file).expect("it was written"));
    let reading = record::read_job("job.toml", &text, DAY);
    let job = reading.job.expect("the exported job file has no error");
    let wanted = text_papers(&job);
    assert_eq!(wanted.len(), 3, "letter, record, crew's sheet");
    for (name, bytes) in wanted {
        let served = browser.get(&format!("/jobs/{JOB}/papers/{name}")).await;
        assert_eq!(served.status, StatusCode::OK, "{name}: {}", served.text());
        assert_eq!(served.text(), String::from_utf8(bytes).expect("text"), "{name}");
    }
}

/// The job file of an exported job.
fn job_file(zip: &[u8]) -> String {
    let mut archive = zip::ZipArchive::new(std::io::Cursor::new(zip)).expect("a ZIP");
    let mut text = String::new();
    let mut member = archive.by_name("job.toml").expect("the job file is in it");
    std::io::Read::read_to_string(&mut member, &mut text).expect("text");
    text
}

#[tokio::test]
async fn many_facts_at_once_end_in_one_judgement_of_all() {
    let ground = Ground::new().await;
    let browser = ground.joined("JD").await;
    for n in 0..12 {
        let entry = format!("e-{n}");
        let place = format!("main/{}", 1 + n % 6);
        let answer = browser.post_script(&touch_form(), &touch(&entry, &place, "warm")).await;
        assert_eq!(answer.status, StatusCode::OK, "{}", answer.text());
    }
    let revision = ground.n_facts().await;
    // Served only once the judgement is of all facts.
    let names = browser.get(&format!("/jobs/{JOB}/papers/none.txt")).await;
    assert_eq!(names.status, StatusCode::NOT_FOUND);
    let page = browser.get(&format!("/jobs/{JOB}")).await.text();
    assert!(page.contains("data-urgency"), "the verdict is on the page");
    assert_eq!(ground.n_facts().await, revision);
}

#[tokio::test]
async fn a_job_without_a_panel_says_what_is_missing() {
    let ground = Ground::new().await;
    let browser = ground.joined("JD").await;
    let fields = [
        ("entry", "n-1"),
        ("at", "2025-11-30T10:00:00"),
        ("job", "T-9"),
        ("place", "1 Test Row"),
        ("town", "Nowhere"),
    ];
    let made: Value = browser.post_script("/new", &fields).await.json();
    assert_eq!(made["already"], false, "{made}");
    let page = browser.get("/jobs/T-9").await;
    assert!(page.status == StatusCode::OK && page.text().contains("Describe the panel"));
    let papers = browser.get("/jobs/T-9/papers/letter.pdf").await;
    assert_eq!(papers.status, StatusCode::CONFLICT);
}

/// One drop from a lug, read twice: it is the stab, or less likely what feeds the bus. House, town and owner do not exist.
const LONE_DROP: &str = r#"
panelwright = 1
job = { id = "Q-0199", invented = true, place = "3 Sallow Row", town = "Quenmarsh", owner = "the owner of 3 Sallow Row", opened = 2025-11-24, exposure = "cover-off", by = "electrician" }
panel = [{ id = "main", spaces = 8, main = "breaker", main_a = 100, bus = { metal = "aluminium", plating = "tin", rating_a = 100 }, breaker = [
    { space = 1, rating_a = 20, feeds = "kitchen", class = "general" },
    { space = 2, rating_a = 20, feeds = "hall", class = "general" },
    { space = 5, rating_a = 20, feeds = "den", class = "general" },
] }]
state = [{ name = "evening", at = 2025-11-24T19:30:00, words = "as found", held_min = 600, room_c = 21, clamp = "clamp 1", amps = { "1" = 8, "2" = 6, "5" = 10 } }]
drop = [
    { state = "evening", from = "lug:A", to = "load:5", mv = 600, amps = 10, instrument = "meter 1" },
    { state = "evening", from = "lug:A", to = "load:5", mv = 618, amps = 10, instrument = "meter 1" },
]
"#;

/// The verdict counts every joint that the policy calls suspect; the bench names each, also one that is less likely burnt than not.
#[tokio::test]
async fn every_suspect_joint_of_the_verdict_is_on_the_bench() {
    let ground = Ground::new().await;
    let browser = ground.joined("JD").await;
    let reading = record::read_job("case", LONE_DROP, DAY);
    let job = reading.job.expect("the case has no error");
    let name = job.id.to_string();
    ground.bench.store().append(&name, "case", None, &reading.facts).await.expect("the case is stored");
    // Served only once the judgement is of all facts.
    browser.get(&format!("/jobs/{name}/papers/none.txt")).await;
    let page = browser.get(&format!("/jobs/{name}")).await.text();
    let named = page.split("id=\"suspects\"").nth(1).and_then(|rest| rest.split("</section>").next());
    let named = named.expect("a card of suspects");
    let assessment = study::assess(&job, &settings()).expect("it can be judged");
    let from = study::Policy::standard().suspect_burnt();
    let suspects = assessment.joints.iter().filter(|finding| from <= finding.probability.burnt);
    let (likely, open): (Vec<_>, Vec<_>) = suspects.partition(|finding| 0.5 <= finding.probability.burnt);
    for finding in likely.iter().chain(&open) {
        let link = format!("/joints/{}\"", finding.joint.id);
        assert!(named.contains(&link), "{}: {named}", finding.joint.id);
    }
    assert!(!open.is_empty() && named.contains("Suspect</span>"), "{named}");
}
