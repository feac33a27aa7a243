//! Persons: invited, signed in, shut out; and what somebody tries who is none.

use crate::ground::{Answer, Browser, Ground, JOB, touch, touch_form};
use axum::http::{Method, StatusCode};
use pages::Role;

const PASSWORD: &str = "kettle violin seventy rain";

/// What a page shows after a mark, up to the next quote, tag or blank.
pub(crate) fn after(page: &str, mark: &str) -> String {
    let start = page.find(mark).expect("the page has the mark") + mark.len();
    page[start..].chars().take_while(|letter| !matches!(letter, '"' | '<' | ' ' | '&')).collect()
}

/// The browser with the cookie and the token that an answer gave it.
async fn with_cookie(mut browser: Browser, answer: &Answer) -> Browser {
    browser.cookie = answer.header("set-cookie").split(';').next().map(str::to_owned);
    browser.csrf = browser.get("/token").await.json()["csrf"].as_str().expect("a token").to_owned();
    browser
}

async fn invited(by: &Browser, name: &str, role: Role) -> String {
    let form = [("csrf", by.csrf.as_str()), ("act", "invite"), ("name", name), ("role", role.word())];
    let answer = by.post("/people", &form).await;
    assert_eq!(answer.status, StatusCode::OK, "{}", answer.text());
    assert_eq!(answer.header("cache-control"), "no-store");
    after(&answer.text(), "/welcome?code=")
}

fn welcome(code: &str) -> [(&str, &str); 4] {
    [("code", code), ("password", PASSWORD), ("repeated", PASSWORD), ("device", "phone")]
}

async fn person(ground: &Ground, by: &Browser, name: &str, role: Role) -> Browser {
    let code = invited(by, name, role).await;
    let answer = ground.stranger().post("/welcome", &welcome(&code)).await;
    assert_eq!(answer.status, StatusCode::SEE_OTHER, "{}", answer.text());
    with_cookie(ground.stranger(), &answer).await
}

async fn sign_in(browser: &Browser, name: &str, password: &str) -> Answer {
    browser.post("/signin", &[("name", name), ("password", password), ("device", "laptop")]).await
}

#[tokio::test]
async fn a_person_is_invited_sets_a_password_once_and_signs_in_on_a_second_device() {
    let ground = Ground::new().await;
    let boss = ground.joined("laptop").await;
    let code = invited(&boss, "J. Doe", Role::Apprentice).await;
    assert!(!boss.get("/people").await.text().contains(&code), "it is shown once");
    let stranger = ground.stranger();
    assert!(stranger.get(&format!("/welcome?code={code}")).await.text().contains(&code));
    for (field, value, said) in [
        ("password", "short", "least"),
        ("repeated", "something else, really", "not the same"),
        ("device", " ", "Give this device a name"),
    ] {
        let form = welcome(&code).map(|(name, right)| (name, if name == field { value } else { right }));
        let answer = stranger.post("/welcome", &form).await;
        assert_eq!(answer.status, StatusCode::UNPROCESSABLE_ENTITY, "{field}");
        assert!(
            answer.text().contains(said) && !answer.text().contains(PASSWORD),
            "{field}: {}",
            answer.text()
        );
    }
    let answer = stranger.post("/welcome", &welcome(&code)).await;
    let phone = with_cookie(ground.stranger(), &answer).await;
    assert!(answer.header("set-cookie").contains("HttpOnly; SameSite=Lax"));
    let again = stranger.post("/welcome", &welcome(&code)).await;
    assert_eq!(again.status, StatusCode::UNPROCESSABLE_ENTITY, "once");

    let signed = sign_in(&ground.stranger(), " j.  doe", PASSWORD).await;
    assert_eq!(signed.status, StatusCode::SEE_OTHER, "{}", signed.text());
    let laptop = with_cookie(ground.stranger(), &signed).await;
    assert_ne!(laptop.cookie, phone.cookie);
    let own = laptop.get("/me").await.text();
    assert!(own.contains("J. Doe") && own.contains("laptop") && own.contains("phone"), "{own}");

    // What is entered is the person's, on either device; what an apprentice may not do, neither may.
    let answer = phone.post_script(&touch_form(), &touch("e-1", "main/1", "warm")).await;
    assert_eq!(answer.status, StatusCode::OK, "{}", answer.text());
    let facts = ground.bench.store().facts(JOB).await.expect("the store answers");
    assert_eq!(facts.last().and_then(|fact| fact.by.as_deref()), Some("J. Doe"));
    for browser in [&phone, &laptop] {
        for path in [
            "/people",
            "/audit",
            "/devices",
            &format!("/jobs/{JOB}/links"),
            &format!("/jobs/{JOB}/isolation"),
        ] {
            assert_eq!(browser.get(path).await.status, StatusCode::FORBIDDEN, "{path}");
        }
    }

    // Another role counts at once and everywhere; shut out, all devices are out.
    let persons = ground.bench.store().persons().await.expect("read");
    let act = |act, role| {
        [("csrf", boss.csrf.clone()), ("act", act), ("on", persons[0].id.clone()), ("role", role)]
    };
    let post = async |form: [(&str, String); 4]| {
        let form = form.iter().map(|(name, value)| (*name, value.as_str())).collect::<Vec<_>>();
        boss.post("/people", &form).await.status
    };
    assert_eq!(post(act("role".to_owned(), "office".to_owned())).await, StatusCode::SEE_OTHER);
    assert_eq!(phone.get("/people").await.status, StatusCode::OK);
    assert_eq!(post(act("revoke".to_owned(), String::new())).await, StatusCode::SEE_OTHER);
    for browser in [&phone, &laptop] {
        assert_eq!(browser.get("/").await.header("location"), "/join");
    }
    assert_eq!(
        sign_in(&ground.stranger(), "J. Doe", PASSWORD).await.status,
        StatusCode::UNPROCESSABLE_ENTITY
    );
    assert_eq!(boss.get("/").await.status, StatusCode::OK, "who joined by a code stays");
}

#[tokio::test]
async fn a_wrong_password_and_a_name_nobody_has_are_told_alike() {
    let ground = Ground::new().await;
    let boss = ground.joined("laptop").await;
    person(&ground, &boss, "J. Doe", Role::Reader).await;
    invited(&boss, "K. Roe", Role::Reader).await;
    let mut answers = Vec::new();
    for name in ["J. Doe", "K. Roe", "N. Obody", "' OR 1=1 --"] {
        let answer = sign_in(&ground.stranger(), name, "kettle violin seventy snow").await;
        assert!(answer.header("set-cookie").is_empty());
        // The name that was typed, and the fresh id of each page.
        let text = answer.text().replace("&#39;", "'").replace(name, "NAME");
        answers
            .push((answer.status, text.lines().filter(|line| !line.contains("entry")).collect::<String>()));
    }
    assert!(answers.iter().all(|answer| answer.0 == StatusCode::UNPROCESSABLE_ENTITY));
    assert!(answers[0].1.contains("do not go together"), "{}", answers[0].1);
    assert_eq!(answers[0], answers[1]);
    assert_eq!(answers[0], answers[2]);
}

#[tokio::test]
async fn passwords_are_tried_slowly_and_the_right_one_waits_too() {
    let ground = Ground::new().await;
    let boss = ground.joined("laptop").await;
    person(&ground, &boss, "J. Doe", Role::Reader).await;
    let mut statuses = Vec::new();
    for n in 0..7 {
        statuses
            .push(sign_in(&ground.stranger(), "J. Doe", &format!("kettle violin seventy {n}")).await.status);
    }
    assert!(statuses[..5].iter().all(|status| *status == StatusCode::UNPROCESSABLE_ENTITY), "{statuses:?}");
    assert!(statuses[5..].iter().all(|status| *status == StatusCode::TOO_MANY_REQUESTS), "{statuses:?}");
    let right = sign_in(&ground.stranger(), "J. Doe", PASSWORD).await;
    assert_eq!(right.status, StatusCode::TOO_MANY_REQUESTS);
    assert!(!right.header("retry-after").is_empty());
    let refused = ground.bench.store().audit(None, 5).await.expect("read");
    assert!(refused.iter().all(|line| line.act == "sign-in-refused"), "{refused:?}");
}

#[tokio::test]
async fn a_secret_that_was_planted_in_the_browser_is_worth_nothing_after_the_sign_in() {
    let ground = Ground::new().await;
    let boss = ground.joined("laptop").await;
    person(&ground, &boss, "J. Doe", Role::Electrician).await;
    // Somebody with a device of his own puts its cookie into the browser of the victim.
    let code = ground.bench.invite_as(Role::Reader).await.expect("an invitation").code;
    let attacker = ground.joined_by(&code, "attacker").await;
    let signed = sign_in(&attacker, "J. Doe", PASSWORD).await;
    assert_eq!(signed.status, StatusCode::SEE_OTHER);
    let given = signed.header("set-cookie").split(';').next().map(str::to_owned);
    assert_ne!(given, attacker.cookie, "a fresh secret");
    assert_eq!(attacker.get("/").await.header("location"), "/join", "the planted one is out");
    // A value that was never given out is not taken over either.
    let mut made_up = ground.stranger();
    made_up.cookie = Some(format!("bench={}", "a".repeat(64)));
    let signed = sign_in(&made_up, "J. Doe", PASSWORD).await;
    assert_eq!(signed.status, StatusCode::SEE_OTHER);
    assert!(!signed.header("set-cookie").contains(&"a".repeat(64)));
    assert_eq!(made_up.get("/").await.header("location"), "/join");
    // Signing in twice leaves one device of that browser.
    let browser = with_cookie(ground.stranger(), &signed).await;
    sign_in(&browser, "J. Doe", PASSWORD).await;
    assert_eq!(browser.get("/").await.header("location"), "/join");
}

#[tokio::test]
async fn forms_of_other_sites_sign_nobody_in_or_out() {
    let ground = Ground::new().await;
    let boss = ground.joined("laptop").await;
    let doe = person(&ground, &boss, "J. Doe", Role::Office).await;
    let form = [("name", "J. Doe"), ("password", PASSWORD), ("device", "laptop")];
    for foreign in [("origin", "http://evil.example"), ("origin", "null"), ("sec-fetch-site", "cross-site")] {
        let answer = ground.stranger().post_with("/signin", &form, &[foreign]).await;
        assert_eq!(answer.status, StatusCode::FORBIDDEN, "{foreign:?}");
        assert!(answer.header("set-cookie").is_empty());
    }
    let job_links = format!("/jobs/{JOB}/links");
    for (path, act) in
        [("/me", "leave"), ("/me", "password"), ("/people", "invite"), (job_links.as_str(), "make")]
    {
        for token in ["", boss.csrf.as_str()] {
            let answer = doe.post(path, &[("act", act), ("csrf", token)]).await;
            assert_eq!(answer.status, StatusCode::FORBIDDEN, "{path} {act}");
        }
        // Looking at an address changes nothing.
        let looked = doe.get(&format!("{path}?act={act}&csrf={}", doe.csrf)).await;
        assert_eq!(looked.status, StatusCode::OK, "{path}");
    }
    assert_eq!(doe.get("/me").await.status, StatusCode::OK);
    assert_eq!(ground.bench.store().persons().await.expect("read").len(), 1);
    assert!(ground.bench.store().links(JOB).await.expect("read").is_empty());
}

#[tokio::test]
async fn who_leaves_is_out_and_another_password_signs_out_the_other_devices() {
    let ground = Ground::new().await;
    let boss = ground.joined("laptop").await;
    let phone = person(&ground, &boss, "J. Doe", Role::Reader).await;
    let signed = sign_in(&ground.stranger(), "J. Doe", PASSWORD).await;
    let laptop = with_cookie(ground.stranger(), &signed).await;
    let new = "marble orchard nineteen ducks";
    let change = |old| {
        [
            ("act", "password"),
            ("csrf", laptop.csrf.as_str()),
            ("old", old),
            ("password", new),
            ("repeated", new),
        ]
    };
    let wrong = laptop.post("/me", &change("kettle violin seventy snow")).await;
    assert_eq!(wrong.status, StatusCode::UNPROCESSABLE_ENTITY);
    assert!(!wrong.text().contains(new), "no password stands in a page");
    assert_eq!(laptop.post("/me", &change(PASSWORD)).await.status, StatusCode::SEE_OTHER);
    assert_eq!(phone.get("/").await.header("location"), "/join");
    assert_eq!(laptop.get("/").await.status, StatusCode::OK);
    assert_eq!(
        sign_in(&ground.stranger(), "J. Doe", PASSWORD).await.status,
        StatusCode::UNPROCESSABLE_ENTITY
    );
    // Nobody signs out the devices of others from this page.
    let devices = ground.bench.store().devices().await.expect("read");
    let other = devices.iter().find(|device| device.person.is_empty()).expect("the boss");
    let shut = [("act", "shut"), ("csrf", laptop.csrf.as_str()), ("on", other.id.as_str())];
    assert_eq!(laptop.post("/me", &shut).await.status, StatusCode::UNPROCESSABLE_ENTITY);
    assert_eq!(boss.get("/").await.status, StatusCode::OK);

    let left = laptop.post("/me", &[("act", "leave"), ("csrf", &laptop.csrf)]).await;
    assert!(left.header("set-cookie").contains("Max-Age=0"));
    assert_eq!(laptop.get("/").await.header("location"), "/join");
    assert_eq!(
        laptop.send(laptop.request(Method::GET, "/token", &[("x-bench", "1")])).await.status,
        StatusCode::UNAUTHORIZED
    );
}

#[tokio::test]
async fn the_office_has_no_say_over_electricians() {
    let ground = Ground::new().await;
    let boss = ground.joined("laptop").await;
    person(&ground, &boss, "E. Lectra", Role::Electrician).await;
    let office = person(&ground, &boss, "O. Fice", Role::Office).await;
    let persons = ground.bench.store().persons().await.expect("read");
    let id = |name: &str| {
        persons.iter().find(|person| person.name == name).map(|person| person.id.clone()).expect("there")
    };
    let (her, own) = (id("E. Lectra"), id("O. Fice"));
    for (act, on, role) in [
        ("invite", "", "electrician"),
        ("again", her.as_str(), ""),
        ("role", &her, "reader"),
        ("revoke", &her, ""),
        ("role", &own, "electrician"),
    ] {
        let form = [("csrf", office.csrf.as_str()), ("act", act), ("on", on), ("role", role), ("name", "X")];
        assert_eq!(office.post("/people", &form).await.status, StatusCode::FORBIDDEN, "{act} {role}");
    }
    let after = ground.bench.store().persons().await.expect("read");
    assert_eq!(after, persons);
}

#[tokio::test]
async fn the_trail_tells_who_did_what_and_nothing_of_a_customer() {
    let ground = Ground::new().await;
    let boss = ground.joined("laptop of the boss").await;
    let doe = person(&ground, &boss, "J. Doe", Role::Office).await;
    let make =
        [("csrf", doe.csrf.as_str()), ("act", "make"), ("paper", ""), ("audience", "owner"), ("days", "14")];
    doe.post(&format!("/jobs/{JOB}/links"), &make).await;
    doe.get(&format!("/jobs/{JOB}/export")).await;
    // A laptop exchanged; how that is noted is tried with the exchange itself.
    let laptop = ground.joined("laptop that was away").await;
    let devices = ground.bench.store().devices().await.expect("read");
    let device = &devices.iter().find(|device| device.name == "laptop that was away").expect("joined").id;
    let by = store::Actor { person: "", device };
    ground.bench.store().note(store::Act::Exchanged, by, "12 1 0 3 ended", 4).await.expect("noted");
    drop(laptop);
    let page = doe.get("/audit").await;
    assert_eq!(page.header("cache-control"), "no-store");
    for words in [
        "laptop of the boss",
        "Invited J. Doe",
        "J. Doe has another password",
        "Made link",
        "Exported a job",
        "Exchanged with this bench: 12 facts and 0 photos came in, 1 fact and 3 photos went out",
        "laptop that was away",
        JOB,
    ] {
        assert!(page.text().contains(words), "{words}: {}", page.text());
    }
    // The names on the page are looked up; in the trail itself there are none.
    let stored = format!("{:?}", ground.bench.store().audit(None, 100).await.expect("read"));
    for words in [JOB, "Alder", "J. Doe", "Quenmarsh", "boss", "away"] {
        assert!(!stored.contains(words), "{words} in {stored}");
    }
}
