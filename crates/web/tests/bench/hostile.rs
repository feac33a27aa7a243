//! What somebody sends who means harm: bombs, files that are two things, paths that climb, text that means something.

use crate::ground::{Browser, Ground, JOB, encoded};
use axum::body::Body;
use axum::http::{Method, StatusCode};
use image::RgbImage;
use image::codecs::jpeg::JpegEncoder;
use pages::{EntryKind, Role, Route};
use std::time::{Duration, Instant};

const AT: [(&str, &str); 4] = [("entry", "h-1"), ("at", "2025-11-30T10:00:00"), ("words", ""), ("place", "")];

fn jpeg() -> Vec<u8> {
    let mut bytes = Vec::new();
    let picture = RgbImage::from_fn(64, 64, |x, y| image::Rgb([x as u8, y as u8, 90]));
    JpegEncoder::new_with_quality(&mut bytes, 90).encode_image(&picture).expect("it encodes");
    bytes
}

/// CRC-32 of PNG (ISO 3309), bit by bit.
fn crc(bytes: &[u8]) -> u32 {
    let step = |crc: u32, byte: &u8| {
        (0..8).fold(
            crc ^ u32::from(*byte),
            |crc, _| if crc & 1 == 1 { crc >> 1 ^ 0xedb8_8320 } else { crc >> 1 },
        )
    };
    !bytes.iter().fold(!0, step)
}

fn chunk(kind: &[u8; 4], data: &[u8]) -> Vec<u8> {
    let body = [kind.as_slice(), data].concat();
    [&(data.len() as u32).to_be_bytes(), body.as_slice(), &crc(&body).to_be_bytes()].concat()
}

/// A PNG that says it is of this size, with next to nothing in it.
fn png(width: u32, height: u32) -> Vec<u8> {
    let head = [&width.to_be_bytes()[..], &height.to_be_bytes(), &[8, 2, 0, 0, 0]].concat();
    // An empty zlib stream.
    let data = [0x78, 0x9c, 0x03, 0, 0, 0, 0, 1];
    [b"\x89PNG\r\n\x1a\n".to_vec(), chunk(b"IHDR", &head), chunk(b"IDAT", &data), chunk(b"IEND", &[])]
        .concat()
}

#[tokio::test]
async fn bombs_and_files_that_are_no_photo_are_refused_soon_and_leave_nothing() {
    let ground = Ground::new().await;
    let browser = ground.joined("phone").await;
    let before = ground.n_facts().await;
    let mut huge_jpeg = jpeg();
    let frame = huge_jpeg.windows(2).position(|two| two == [0xff, 0xc0]).expect("a baseline frame");
    huge_jpeg[frame + 5..frame + 9].copy_from_slice(&[0xff, 0xff, 0xff, 0xff]);
    let zip = {
        let mut writer = zip::ZipWriter::new(std::io::Cursor::new(Vec::new()));
        writer.start_file("facts.jsonl", zip::write::SimpleFileOptions::default()).expect("a file");
        std::io::Write::write_all(&mut writer, &vec![0; 50_000_000]).expect("written");
        writer.finish().expect("a zip").into_inner()
    };
    assert!(zip.len() < 100_000, "fifty megabytes in {} bytes", zip.len());
    let svg = b"<svg xmlns=\"http://www.w3.org/2000/svg\"><script>alert(1)</script></svg>".to_vec();
    let files: [(&str, Vec<u8>); 10] = [
        ("PNG of 4 gigapixels", png(65_535, 65_535)),
        ("PNG past the bound", png(8_945, 8_945)),
        ("PNG of a long side", png(80_000, 1)),
        ("PNG within the bound without its data", png(8_000, 8_000)),
        ("JPEG of 4 gigapixels", huge_jpeg),
        ("zip", zip),
        ("SVG with a script", svg.clone()),
        ("SVG after a mark", [b"\xef\xbb\xbf", svg.as_slice()].concat()),
        ("GIF and script in one", b"GIF89a/*<script>alert(1)</script>*/=1;alert(1)".to_vec()),
        ("page", b"<!doctype html><script>alert(1)</script>".to_vec()),
    ];
    for (what, file) in files {
        let begun = Instant::now();
        let answer = browser.post_photos(&AT, &[&file]).await;
        let refused = [StatusCode::UNPROCESSABLE_ENTITY, StatusCode::UNSUPPORTED_MEDIA_TYPE];
        assert!(refused.contains(&answer.status), "{what}: {} {}", answer.status, answer.text());
        println!("{what}: {} in {:?}", answer.status, begun.elapsed());
        assert!(begun.elapsed() < Duration::from_secs(20), "{what}: {:?}", begun.elapsed());
    }
    assert_eq!(ground.n_facts().await, before);
    assert!(ground.bench.store().photos(JOB).await.expect("read").is_empty());
}

#[tokio::test]
async fn a_photo_that_is_a_page_too_is_given_as_a_photo_and_what_is_shown_is_not_the_page() {
    let ground = Ground::new().await;
    let browser = ground.joined("phone").await;
    let script = b"<script>alert(1)</script>";
    let both = [jpeg().as_slice(), b"\n--><html>", script].concat();
    let answer = browser.post_photos(&AT, &[&both]).await;
    assert_eq!(answer.status, StatusCode::OK, "{}", answer.text());
    let sha256 = store::sha256(&both);
    for form in ["thumb", "page", "original"] {
        let shown = browser.get(&format!("/jobs/{JOB}/photos/{sha256}/{form}")).await;
        assert_eq!((shown.status, shown.header("content-type")), (StatusCode::OK, "image/jpeg"), "{form}");
        assert_eq!(shown.header("x-content-type-options"), "nosniff");
        assert!(shown.header("content-security-policy").contains("sandbox"));
        let has_script = shown.body.windows(script.len()).any(|part| part == script);
        assert_eq!(has_script, form == "original", "{form}");
    }
}

#[tokio::test]
async fn meter_files_and_price_books_that_would_grow_are_refused() {
    let ground = Ground::new().await;
    let browser = ground.joined("laptop").await;
    let laughs = b"<?xml version=\"1.0\"?><!DOCTYPE x [<!ENTITY a \"ha\"><!ENTITY b \"&a;&a;&a;&a;&a;&a;&a;&a;\">\
        <!ENTITY c \"&b;&b;&b;&b;&b;&b;&b;&b;\"><!ENTITY d \"&c;&c;&c;&c;&c;&c;&c;&c;\">]><feed>&d;&d;&d;</feed>";
    let outside =
        b"<?xml version=\"1.0\"?><!DOCTYPE x [<!ENTITY a SYSTEM \"file:///etc/passwd\">]><feed>&a;</feed>";
    let deep = "<a>".repeat(200_000).into_bytes();
    let nothing = vec![0_u8; 3_000_000];
    for (what, file) in [
        ("entities", &laughs[..]),
        ("a file of the machine", &outside[..]),
        ("depth", &deep),
        ("noughts", &nothing),
    ] {
        let begun = Instant::now();
        let answer = browser.post_file(&format!("/jobs/{JOB}/meter"), &[], file).await;
        assert_eq!(answer.status, StatusCode::UNPROCESSABLE_ENTITY, "{what}");
        assert!(!answer.text().contains("root:"), "{what}");
        assert!(begun.elapsed() < Duration::from_secs(20), "{what}: {:?}", begun.elapsed());
        let answer = browser.post_file("/prices", &[("act", "book")], file).await;
        assert!(answer.status.is_client_error(), "{what}: {}", answer.status);
    }
}

#[tokio::test]
async fn a_path_that_climbs_reaches_nothing() {
    let ground = Ground::new().await;
    let browser = ground.joined("laptop").await;
    std::fs::write(ground.folder.path().join("secret.txt"), "root: nothing").expect("written");
    let climbs = [
        "../secret.txt",
        "..%2fsecret.txt",
        "..%2f..%2f..%2fetc%2fpasswd",
        "%2e%2e/%2e%2e/etc/passwd",
        "....//secret.txt",
        "..%5csecret.txt",
        "%2fetc%2fpasswd",
        "secret.txt%00.pdf",
        "..%c0%afsecret.txt",
        "%252e%252e%252fsecret.txt",
        "panelwright.sqlite",
        "authority/key.pem",
    ];
    let places = [
        "/jobs/Q-0121/papers/",
        "/jobs/Q-0121/permit/",
        "/jobs/Q-0121/install/",
        "/jobs/Q-0121/offer/",
        "/jobs/Q-0121/photos/",
        "/jobs/Q-0121/",
        "/jobs/",
        "/prices/",
        "/see/",
        "/",
    ];
    for place in places {
        for climb in climbs {
            let path = format!("{place}{climb}");
            if path.parse::<axum::http::Uri>().is_err() {
                continue;
            }
            let answer = browser.get(&path).await;
            // A photo that is not there has a page that says so; a file is never given.
            let is_page = answer.header("content-type").starts_with("text/html");
            assert!(answer.status != StatusCode::OK || is_page, "{path}");
            assert!(!answer.status.is_server_error(), "{path}: {}", answer.status);
            assert!(!answer.body.windows(5).any(|part| part == b"root:"), "{path}");
        }
    }
}

/// The fields of the forms of a page, hidden ones left out: a text where one is typed, else a value that may be chosen.
fn fields_of(page: &str, typed: &str) -> Vec<(String, String)> {
    let part = |tag: &str, name: &str| {
        let rest = tag.split(&format!(" {name}=\"")).nth(1)?;
        rest.split('"').next().map(str::to_owned)
    };
    let mut fields: Vec<(String, String)> = Vec::new();
    let mut of_select = None;
    for tag in page.split('<') {
        let kind = part(tag, "type").unwrap_or_default();
        let value = part(tag, "value").unwrap_or_default();
        let (name, value) = match tag.split([' ', '>']).next().unwrap_or_default() {
            "select" => {
                of_select = part(tag, "name");
                continue;
            }
            "option" if !value.is_empty() => (of_select.take(), value),
            "textarea" => (part(tag, "name"), typed.to_owned()),
            "input" => match kind.as_str() {
                "hidden" | "file" | "submit" => continue,
                "radio" | "checkbox" => (part(tag, "name"), value),
                "date" => (part(tag, "name"), "2025-12-20".to_owned()),
                "number" => (part(tag, "name"), "1".to_owned()),
                _ if tag.contains("inputmode=\"decimal\"") || tag.contains("inputmode=\"numeric\"") => {
                    (part(tag, "name"), "1".to_owned())
                }
                _ => (part(tag, "name"), typed.to_owned()),
            },
            _ => continue,
        };
        if let Some(name) = name.filter(|name| !fields.iter().any(|(known, _)| known == name)) {
            fields.push((name, value));
        }
    }
    fields
}

async fn forms(browser: &Browser, typed: &str) -> Vec<(String, Vec<(String, String)>)> {
    let own = || JOB.to_owned();
    let mut routes: Vec<Route> = EntryKind::ALL.iter().map(|kind| Route::Enter(own(), *kind)).collect();
    routes.extend([
        Route::New,
        Route::Call(own()),
        Route::Panel(own(), "main".to_owned()),
        Route::Survey(own()),
    ]);
    routes.extend([Route::Surprises(own()), Route::People, Route::Devices, Route::Links(own()), Route::Me]);
    let mut forms = Vec::new();
    for route in routes {
        let page = browser.get(&route.to_string()).await;
        assert_eq!(page.status, StatusCode::OK, "{route}");
        forms.push((route.to_string(), fields_of(&page.text(), typed)));
    }
    forms
}

#[tokio::test]
async fn text_that_means_something_elsewhere_is_only_text_in_every_field_of_every_form() {
    let ground = Ground::new().await;
    let browser = ground.joined("laptop").await;
    let (mut n_fields, mut n_taken) = (0, 0);
    for awkward in ["'; DROP TABLE facts; --", "\" OR 1=1 <script>alert(1)</script> $1 %s \\"] {
        for (path, fields) in forms(&browser, awkward).await {
            // As it is filled in, and with the text in every field, whatever that one asks for.
            for everywhere in [false, true] {
                let entry = format!("h-{n_fields}-{everywhere}");
                let mut form =
                    vec![("csrf", browser.csrf.as_str()), ("entry", &entry), ("at", "2025-11-30T10:00:00")];
                let value = |value| if everywhere { awkward } else { value };
                form.extend(fields.iter().map(|(name, own)| (name.as_str(), value(own.as_str()))));
                n_fields += fields.len();
                let headers = [
                    ("content-type", "application/x-www-form-urlencoded"),
                    ("origin", "http://bench.example:7117"),
                ];
                let body = Body::from(encoded(&form));
                let answer = browser.send(browser.request_with(Method::POST, &path, &headers, body)).await;
                assert!(!answer.status.is_server_error(), "{path}: {} {}", answer.status, answer.text());
                assert!(!answer.text().contains("<script>alert"), "{path}");
                n_taken += usize::from(answer.status.is_redirection());
            }
        }
    }
    println!("{n_fields} fields, {n_taken} forms taken");
    assert!(200 < n_fields);
    // The tables are there, and pages show what was taken as text.
    let stored = ground.bench.store().facts(JOB).await.expect("the facts are there");
    assert!(!stored.is_empty());
    for path in ["", "/log", "/verdict", "/papers", "/plan"] {
        let page = browser.get(&format!("/jobs/{JOB}{path}")).await;
        assert_eq!(page.status, StatusCode::OK, "{path}");
        assert!(!page.text().contains("<script>alert"), "{path}");
    }
    assert!(ground.bench.invite_as(Role::Reader).await.is_ok());
}
