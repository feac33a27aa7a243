//! The exchange started from the page of the laptop's own bench, while it is served.

use crate::away::{add, config, decided, opened};
use pages::Role;
use std::time::Duration;
use ureq::Agent;
use ureq::http::StatusCode;
use web::{Config, Served};

/// Somebody at the laptop.
struct Somebody {
    agent: Agent,
    bench: String,
    cookie: String,
    csrf: String,
}

impl Somebody {
    async fn at(laptop: &Served) -> Somebody {
        let code = laptop.bench().invite_as(Role::Electrician).await.expect("an invitation").code;
        let agent: Agent =
            Agent::config_builder().http_status_as_error(false).max_redirects(0).build().new_agent();
        let bench = format!("http://{}", laptop.address());
        let (asked, form) =
            (agent.post(format!("{bench}/join")), [("code", code), ("name", "JD".to_owned())]);
        let asked = tokio::task::block_in_place(|| asked.send_form(form)).expect("answered");
        let cookie = asked.headers().get_all("set-cookie").iter().find_map(|one| one.to_str().ok());
        let cookie = cookie.and_then(|cookie| cookie.split(';').next()).expect("joined").to_owned();
        let mut somebody = Somebody { agent, bench, cookie, csrf: String::new() };
        let page = somebody.page("/exchange");
        let csrf = page.split_once("name=\"csrf\" value=\"").expect("a form").1;
        somebody.csrf = csrf.split('"').next().expect("a token").to_owned();
        somebody
    }

    fn page(&self, path: &str) -> String {
        let asked = self.agent.get(format!("{}{path}", self.bench)).header("cookie", &self.cookie);
        tokio::task::block_in_place(|| {
            asked.call().expect("answered").body_mut().read_to_string().expect("a page")
        })
    }

    fn send(&self, fields: &[(&str, &str)], via: Option<&str>) -> StatusCode {
        let mut asked = self.agent.post(format!("{}/exchange", self.bench)).header("cookie", &self.cookie);
        if let Some(via) = via {
            asked = asked.header("via", via);
        }
        let fields = fields.iter().copied().chain([("csrf", self.csrf.as_str())]);
        let fields: Vec<(&str, &str)> = fields.collect();
        tokio::task::block_in_place(|| asked.send_form(fields).expect("answered").status())
    }
}

#[tokio::test(flavor = "multi_thread", worker_threads = 3)]
async fn the_page_of_the_laptop_exchanges_with_the_shop_while_both_are_served() {
    let (here, there) = (tempfile::tempdir().expect("a folder"), tempfile::tempdir().expect("a folder"));
    let laptop = web::start(config(here.path())).await.expect("it is served");
    let shop = web::start(Config { https: true, ..config(there.path()) }).await.expect("it is served");
    add(laptop.bench().store(), "away", "e1", &[opened("away", "9 Kiln Row"), decided("yes", vec![])]).await;
    add(shop.bench().store(), "shop", "e1", &[opened("shop", "11 Kiln Row")]).await;
    let somebody = Somebody::at(&laptop).await;

    let address = format!("https://localhost:{}", shop.address().port());
    let code = shop.bench().invite_as(Role::Electrician).await.expect("an invitation").code;
    let pem = std::fs::read_to_string(there.path().join("authority/authority.crt")).expect("an authority");
    let fields = [("shop", address.as_str()), ("code", &code), ("name", "laptop"), ("authority", &pem)];
    // Through a proxy it is somebody else's machine, and the form says so; without an address nothing starts.
    assert_eq!(somebody.send(&fields, Some("1.1 proxy")), StatusCode::FORBIDDEN);
    assert_eq!(somebody.send(&[("shop", "the shop")], None), StatusCode::OK);
    assert!(shop.bench().store().facts("away").await.expect("read").is_empty());

    assert_eq!(somebody.send(&fields, None), StatusCode::SEE_OTHER);
    let mut page = String::new();
    for _ in 0..600 {
        page = somebody.page("/exchange");
        if !page.contains("An exchange is running") {
            break;
        }
        tokio::time::sleep(Duration::from_millis(100)).await;
    }
    assert!(page.contains("sent: 2 facts") && page.contains("taken: 1 facts"), "{page}");
    assert_eq!(shop.bench().store().facts("away").await.expect("read").len(), 2);
    assert_eq!(laptop.bench().store().facts("shop").await.expect("read").len(), 1);
    assert!(page.contains(&address), "the address is kept for the next time");
    assert!(!page.contains(&code), "the code is not");
    let jobs = somebody.page("/");
    assert!(jobs.contains("11 Kiln Row"), "what was taken is on the laptop's pages at once");
    laptop.stop().await;
    shop.stop().await;
}
