//! Links for others: what they open, what they do not, and what is left out.

use crate::ground::{Answer, Browser, Ground, JOB};
use crate::people::after;
use axum::http::{Method, StatusCode};

const CASES: [(&str, &str); 3] = [
    ("Q-0117", include_str!("../../../../cases/1-burnt-stabs.toml")),
    ("Q-0121", include_str!("../../../../cases/2-overload.toml")),
    ("Q-0124", include_str!("../../../../cases/3-service-neutral.toml")),
];

async fn link(browser: &Browser, job: &str, paper: &str) -> String {
    let form = [
        ("csrf", browser.csrf.as_str()),
        ("act", "make"),
        ("paper", paper),
        ("audience", "insurer"),
        ("days", "30"),
    ];
    let answer = browser.post(&format!("/jobs/{job}/links"), &form).await;
    assert_eq!(
        (answer.status, answer.header("cache-control")),
        (StatusCode::OK, "no-store"),
        "{}",
        answer.text()
    );
    after(&answer.text(), "http://bench.example:7117/see/")
}

/// Addresses of the papers on the page of a link.
fn papers(page: &str) -> Vec<String> {
    page.match_indices("href=\"/see/").map(|(at, _)| after(&page[at..], "href=\"")).collect()
}

fn assert_closed(answer: &Answer) {
    assert_eq!(answer.header("referrer-policy"), "no-referrer");
    assert_eq!(answer.header("x-robots-tag"), "noindex, nofollow");
    assert!(answer.header("cache-control").contains("no-store"));
    assert!(answer.header("set-cookie").is_empty());
    assert!(!answer.header("content-security-policy").contains("script-src"));
}

#[tokio::test]
async fn a_link_opens_its_papers_until_it_is_taken_back_and_nothing_else() {
    let ground = Ground::new().await;
    let boss = ground.joined("laptop").await;
    let stranger = ground.stranger();
    let (all, letter) = (link(&boss, JOB, "").await, link(&boss, JOB, "letter").await);
    assert_eq!(all.len(), 64);
    assert!(!boss.get(&format!("/jobs/{JOB}/links")).await.text().contains(&all), "it is shown once");

    let page = stranger.get(&format!("/see/{all}")).await;
    assert_eq!(page.status, StatusCode::OK, "{}", page.text());
    assert_closed(&page);
    let text = page.text();
    assert!(text.contains("noindex") && text.contains("Never pull a breaker off a live stab"), "{text}");
    assert!(!text.contains("<script") && !text.contains("<form"), "{text}");
    let of_all = papers(&text);
    assert!(5 <= of_all.len(), "{of_all:?}");
    for address in &of_all {
        let paper = stranger.get(address).await;
        assert_eq!(paper.status, StatusCode::OK, "{address}");
        assert_closed(&paper);
    }
    // A link to one paper reaches that one, and not the others of the same job by their names.
    let of_letter = papers(&stranger.get(&format!("/see/{letter}")).await.text());
    assert!(
        !of_letter.is_empty() && of_letter.iter().all(|address| address.contains("owner-letter")),
        "{of_letter:?}"
    );
    for address in &of_all {
        let file = address.rsplit('/').next().expect("a name");
        let own = of_letter[0].rsplit('/').next().expect("a name");
        // The names hold the id of the link: as that one gave them, and as this one would.
        let renamed = file.replace(&reference(file), &reference(own));
        for name in [file, renamed.as_str()] {
            let status = stranger.get(&format!("/see/{letter}/{name}")).await.status;
            assert_eq!(
                status == StatusCode::OK,
                of_letter.iter().any(|own| own.ends_with(&format!("/{name}"))),
                "{name}"
            );
        }
    }
    // The secret is no cookie, no code, no token, and opens no other address.
    for path in [
        "/",
        "/board",
        "/people",
        "/audit",
        "/token",
        "/jobs/Q-0121",
        "/jobs/Q-0121/export",
        "/jobs/Q-0121/facts.json",
        "/questions.csv",
    ] {
        let mut browser = ground.stranger();
        for cookie in [format!("bench={all}"), format!("see={all}")] {
            browser.cookie = Some(cookie);
            assert_ne!(browser.get(path).await.status, StatusCode::OK, "{path}");
        }
        let header = [("authorization", "Bearer"), ("referer", "http://bench.example:7117/see/x")];
        let request = stranger.request(Method::GET, &format!("{path}?token={all}"), &header);
        assert_ne!(stranger.send(request).await.status, StatusCode::OK, "{path}");
    }
    for path in [
        "../../jobs/Q-0121",
        "..%2f..%2fjobs%2fQ-0121",
        "%2e%2e/%2e%2e/etc/passwd",
        "owner-letter.pdf%00",
        "",
        "x/y",
    ] {
        let answer = stranger.get(&format!("/see/{all}/{path}")).await;
        assert_ne!(answer.status, StatusCode::OK, "{path}");
        assert!(!answer.text().contains("Alder"), "{path}");
    }
    assert_ne!(stranger.post(&format!("/see/{all}"), &[]).await.status, StatusCode::OK);
    // Whoever is in sees by a link what a stranger sees.
    assert!(boss.get(&format!("/see/{all}")).await.text() == text);

    let links = ground.bench.store().links(JOB).await.expect("read");
    let own = links.iter().find(|link| link.paper.is_empty()).expect("there");
    let revoke = [("csrf", boss.csrf.as_str()), ("act", "revoke"), ("on", own.id.as_str())];
    assert_eq!(boss.post(&format!("/jobs/{JOB}/links"), &revoke).await.status, StatusCode::SEE_OTHER);
    let unknown = stranger.get(&format!("/see/{}", "0".repeat(64))).await;
    for address in of_all.iter().chain([&format!("/see/{all}")]) {
        let gone = stranger.get(address).await;
        assert_closed(&gone);
        assert_eq!((gone.status, gone.text()), (StatusCode::NOT_FOUND, unknown.text()), "{address}");
        assert!(!gone.text().contains("href=\"/\""), "it leads nowhere");
    }
    assert_eq!(stranger.get(&format!("/see/{letter}")).await.status, StatusCode::OK, "only that one");
}

/// `link-1a2b3c4d` in a name of a file.
fn reference(file: &str) -> String {
    let at = file.find("link-").expect("a name has the reference of its link");
    file[at..at + "link-".len() + 8].to_owned()
}

/// Texts of a case that somebody wrote: place, town, owner, notes, names of states, meters.
fn written(case: &str) -> Vec<String> {
    let secret = ["place", "town", "owner", "words", "meter", "together", "document"];
    let lines = case.lines().filter_map(|line| line.split_once(" = \""));
    let mut all: Vec<String> = lines
        .filter(|(key, _)| secret.contains(&key.trim()))
        .map(|(_, value)| value.trim_end_matches('"').to_owned())
        // A space or joint is no note.
        .filter(|value| 3 < value.len() && (value.contains(' ') || value.starts_with("Quen")))
        .collect();
    all.push("electrician</".to_owned());
    all
}

#[tokio::test]
async fn street_names_and_notes_of_the_cases_are_on_no_paper_of_a_link_and_the_figures_are_the_same() {
    let ground = Ground::new().await;
    let boss = ground.joined("laptop").await;
    let stranger = ground.stranger();
    let mut n_looked = 0;
    for (job, case) in CASES {
        let facts = record::read_job("case", case, crate::ground::DAY).facts;
        if job != JOB {
            ground.bench.store().append(job, "case", None, &facts).await.expect("stored");
        }
        let token = link(&boss, job, "").await;
        let page = stranger.get(&format!("/see/{token}")).await.text();
        let mut texts = vec![page.clone()];
        for address in papers(&page) {
            // The letter and the record as text are what the PDF is set from.
            if !address.ends_with(".pdf") {
                texts.push(stranger.get(&address).await.text());
            }
        }
        assert!(4 <= texts.len(), "{job}: {page}");
        for text in &texts {
            let text = text.split_whitespace().collect::<Vec<_>>().join(" ");
            for words in written(case).iter().chain([&job.to_owned()]) {
                assert!(!text.contains(words.as_str()), "{words} of {job} in {text}");
                n_looked += 1;
            }
        }
        // Judged from what is left: the same conditions of the same joints.
        let settings = crate::ground::settings();
        let shown = record::settle(&record::for_others(&facts, "link-x"), Some(crate::ground::DAY))
            .job
            .expect("a job");
        let whole = record::settle(&facts, Some(crate::ground::DAY)).job.expect("a job");
        let (shown, whole) = (study::assess(&shown, &settings), study::assess(&whole, &settings));
        let (shown, whole) = (shown.expect("judged"), whole.expect("judged"));
        assert_eq!(shown.verdict.urgency, whole.verdict.urgency, "{job}");
        assert_eq!(format!("{:?}", odds(&shown)), format!("{:?}", odds(&whole)), "{job}");
    }
    println!("{n_looked} texts looked for");
    assert!(100 < n_looked);
}

fn odds(assessment: &model::assessment::Assessment) -> Vec<(String, String)> {
    let joint = |joint: &model::assessment::JointFinding| {
        (joint.joint.id.to_string(), format!("{:?}", joint.probability))
    };
    assessment.joints.iter().map(joint).collect()
}
