//! The bench on a real listener.

use crate::ground::{DAY, settings};
use std::net::IpAddr;
use std::time::Duration;
use tokio::io::{AsyncReadExt, AsyncWriteExt};
use tokio::net::TcpStream;
use web::{Config, ServeError};

fn config(data: &std::path::Path) -> Config {
    Config {
        database: None,
        photos: None,
        data: data.to_owned(),
        host: IpAddr::from([127, 0, 0, 1]),
        port: 0,
        https: false,
        names: Vec::new(),
        settings: settings(),
        day: Some(DAY),
        watching: web::Watching::default(),
    }
}

async fn asked(address: std::net::SocketAddr, request: &str) -> String {
    let mut stream = TcpStream::connect(address).await.expect("it listens");
    stream.write_all(request.as_bytes()).await.expect("it is sent");
    let mut answer = Vec::new();
    let read = tokio::time::timeout(Duration::from_secs(10), stream.read_to_end(&mut answer)).await;
    read.expect("in time").expect("it answers");
    String::from_utf8_lossy(&answer).into_owned()
}

#[tokio::test]
async fn a_bench_is_served_announced_and_stopped() {
    let folder = tempfile::tempdir().expect("a folder");
    let served = web::start(config(folder.path())).await.expect("it is served");
    let address = served.address();
    let told = served.announce().await.expect("an announcement");
    assert!(
        told.here.starts_with(&format!("http://localhost:{}/join?code=", address.port())),
        "{}",
        told.here
    );
    assert!(!told.reachable && told.authority.is_none());
    assert!(told.qr.lines().count() > 10);
    let get = |path: &str| format!("GET {path} HTTP/1.1\r\nhost: localhost\r\nconnection: close\r\n\r\n");
    assert!(asked(address, &get("/health")).await.starts_with("HTTP/1.1 200"));
    assert!(asked(address, &get("/")).await.contains("location: /join"));
    let packed =
        asked(address, &get("/look.css").replace("\r\n\r\n", "\r\naccept-encoding: gzip\r\n\r\n")).await;
    assert!(packed.contains("content-encoding: gzip"), "{}", &packed[..400.min(packed.len())]);
    assert!(asked(address, "GET / HTTP/1.1\r\nconnection: close\r\n\r\n").await.contains(" 40"), "no host");
    // An open stream must not hold the end up.
    let code = served.bench().invite().await.expect("an invitation").code;
    let form = format!("code={code}&name=phone");
    let head = "POST /join HTTP/1.1\r\nhost: localhost\r\nconnection: close\r\ncontent-type: application/x-www-form-urlencoded";
    let joined = asked(address, &format!("{head}\r\ncontent-length: {}\r\n\r\n{form}", form.len())).await;
    assert!(joined.contains("set-cookie: bench="), "{joined}");
    let since = std::time::Instant::now();
    served.stop().await;
    assert!(since.elapsed() < Duration::from_secs(4), "{:?}", since.elapsed());
    assert!(TcpStream::connect(address).await.is_err(), "nobody listens any more");
    let again = web::start(config(folder.path())).await.expect("the folder is free again");
    again.stop().await;
}

#[tokio::test]
async fn what_is_in_the_way_is_said() {
    let folder = tempfile::tempdir().expect("a folder");
    let served = web::start(config(folder.path())).await.expect("it is served");
    let port = served.address().port();
    let taken = web::start(Config { port, ..config(folder.path()) }).await.expect_err("the port is taken");
    assert!(matches!(taken, ServeError::InUse { .. }), "{taken}");
    assert!(taken.to_string().contains(&port.to_string()) && taken.to_string().contains("--port"), "{taken}");
    let locked = web::start(config(folder.path())).await.expect_err("the folder is in use");
    assert!(locked.to_string().contains("in use"), "{locked}");
    let file = folder.path().join("a-file");
    std::fs::write(&file, "in the way").expect("a file");
    let no_folder = web::start(config(&file)).await.expect_err("that is no folder");
    assert!(no_folder.to_string().contains("not a folder"), "{no_folder}");
    served.stop().await;
}

#[tokio::test]
async fn https_gives_its_authority_over_plain_http_and_nothing_else() {
    let folder = tempfile::tempdir().expect("a folder");
    let served = web::start(Config { https: true, ..config(folder.path()) }).await.expect("it is served");
    let told = served.announce().await.expect("an announcement");
    assert!(told.here.starts_with("https://localhost:"), "{}", told.here);
    let authority = told.authority.clone().expect("a phone needs it");
    let port: u16 = authority
        .trim_start_matches("http://localhost:")
        .split('/')
        .next()
        .expect("a port")
        .parse()
        .expect("a number");
    let plain = std::net::SocketAddr::from(([127, 0, 0, 1], port));
    let get =
        |path: &str| format!("GET {path} HTTP/1.1\r\nhost: localhost:{port}\r\nconnection: close\r\n\r\n");
    let certificate = asked(plain, &get("/authority.crt")).await;
    assert!(certificate.contains("BEGIN CERTIFICATE") && !certificate.contains("PRIVATE"), "{certificate}");
    assert!(asked(plain, &get("/guide")).await.starts_with("HTTP/1.1 200"));
    let onward = asked(plain, &get("/jobs?x=1")).await;
    assert!(
        onward.contains(&format!("location: https://localhost:{}/jobs?x=1", served.address().port())),
        "{onward}"
    );
    let certificate = certificate.split_once("\r\n\r\n").expect("a body").1.to_owned();
    let here = served.address();
    let trusting = tokio::task::spawn_blocking(move || over_tls(here, &certificate));
    let answer = trusting.await.expect("it ran").expect("whoever trusts the authority trusts the bench");
    assert!(answer.starts_with("HTTP/1.1 200"), "{answer}");
    assert!(tokio::task::spawn_blocking(move || over_tls(here, "")).await.expect("it ran").is_err());
    let foreign = asked(plain, "GET / HTTP/1.1\r\nhost: evil.example\r\nconnection: close\r\n\r\n").await;
    assert!(foreign.starts_with("HTTP/1.1 403"), "no open redirect: {foreign}");
    served.stop().await;
}

/// Asks over TLS, trusting only this authority.
fn over_tls(
    address: std::net::SocketAddr,
    authority: &str,
) -> Result<String, Box<dyn std::error::Error + Send + Sync>> {
    use rustls::pki_types::pem::PemObject;
    use std::io::{Read, Write};
    let mut roots = rustls::RootCertStore::empty();
    if !authority.is_empty() {
        roots.add(rustls::pki_types::CertificateDer::from_pem_slice(authority.as_bytes())?)?;
    }
    let provider = std::sync::Arc::new(rustls::crypto::ring::default_provider());
    let config = rustls::ClientConfig::builder_with_provider(provider)
        .with_safe_default_protocol_versions()?
        .with_root_certificates(roots)
        .with_no_client_auth();
    let mut client = rustls::ClientConnection::new(std::sync::Arc::new(config), "127.0.0.1".try_into()?)?;
    let mut socket = std::net::TcpStream::connect(address)?;
    let mut stream = rustls::Stream::new(&mut client, &mut socket);
    stream.write_all(b"GET /health HTTP/1.1\r\nhost: localhost\r\nconnection: close\r\n\r\n")?;
    let mut answer = Vec::new();
    stream.read_to_end(&mut answer)?;
    Ok(String::from_utf8_lossy(&answer).into_owned())
}
