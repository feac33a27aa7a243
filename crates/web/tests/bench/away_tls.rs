//! The exchange over HTTPS: the laptop believes the shop's own authority, and nobody else.

use crate::away::{add, config, decided, errand, opened};
use pages::Role;
use std::time::Duration;
use store::Store;
use web::{Config, Errand, ExchangeError};

/// An authority that has nothing to do with the shop.
fn foreign_authority() -> String {
    let key = rcgen::KeyPair::generate().expect("a key");
    let mut params = rcgen::CertificateParams::new(vec!["localhost".to_owned()]).expect("a name");
    params.is_ca = rcgen::IsCa::Ca(rcgen::BasicConstraints::Unconstrained);
    params.self_signed(&key).expect("a certificate").pem()
}

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn the_exchange_goes_over_https_and_only_to_who_the_authority_vouches_for() {
    let (here, there) = (tempfile::tempdir().expect("a folder"), tempfile::tempdir().expect("a folder"));
    let laptop = Store::open(here.path()).await.expect("it opens");
    let shop = web::start(Config { https: true, ..config(there.path()) }).await.expect("it is served");
    add(&laptop, "away", "e1", &[opened("away", "9 Kiln Row"), decided("from the laptop", vec![])]).await;
    add(shop.bench().store(), "shop", "e1", &[opened("shop", "11 Kiln Row")]).await;
    let code = Some(shop.bench().invite_as(Role::Electrician).await.expect("an invitation").code);
    let plain = errand(shop.address(), code);
    let to_shop = Errand { shop: format!("https://localhost:{}", shop.address().port()), ..plain.clone() };

    // Nobody who is not vouched for learns the code, and nothing goes over.
    let foreign = here.path().join("foreign.crt");
    std::fs::write(&foreign, foreign_authority()).expect("written");
    for authority in [Some(foreign), None] {
        let errand = Errand { authority, patience: Duration::ZERO, ..to_shop.clone() };
        let error = web::exchange(&laptop, &errand, |_| {}).await.expect_err("not vouched for");
        let lost = matches!(error, ExchangeError::Lost { .. } | ExchangeError::File { .. });
        assert!(lost || matches!(error, ExchangeError::NoCertificate { .. }), "{error}");
        assert!(shop.bench().store().facts("away").await.expect("read").is_empty());
    }
    // Nor does the laptop fall back to a line that anybody can read.
    let errand = Errand { patience: Duration::ZERO, ..plain };
    web::exchange(&laptop, &errand, |_| {}).await.expect_err("the port speaks HTTPS alone");

    let authority = Some(there.path().join("authority/authority.crt"));
    let errand = Errand { authority: authority.clone(), ..to_shop.clone() };
    let report = web::exchange(&laptop, &errand, |_| {}).await.expect("the code was not used up");
    assert_eq!((report.n_facts_sent, report.n_facts_fetched), (2, 1));
    assert_eq!(laptop.facts("shop").await.expect("read").len(), 1);
    assert_eq!(shop.bench().store().facts("away").await.expect("read").len(), 2);
    // The next time without a code.
    add(&laptop, "away", "e2", &[decided("later", vec![])]).await;
    let report = web::exchange(&laptop, &Errand { code: None, authority, ..to_shop }, |_| {}).await;
    assert_eq!(report.expect("it has joined").n_facts_sent, 1);
    laptop.close().await;
    shop.stop().await;
}
