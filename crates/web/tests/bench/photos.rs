//! Photos in and out.

use crate::ground::{Ground, JOB};
use axum::http::{Method, StatusCode};
use image::RgbImage;
use image::codecs::jpeg::JpegEncoder;
use record::Body;

/// A picture lying on its side with a note how to turn it and where it was taken, as a phone writes it. Generated.
fn photo(shade: u8) -> Vec<u8> {
    let lying = RgbImage::from_fn(640, 480, |x, _| image::Rgb(if x < 320 { [shade; 3] } else { [230; 3] }));
    let mut plain = Vec::new();
    JpegEncoder::new_with_quality(&mut plain, 90).encode_image(&lying).expect("it encodes");
    let mut exif: Vec<u8> = b"Exif\0\0MM\0*\0\0\0\x08\0\x02".to_vec();
    exif.extend([0x01, 0x12, 0, 3, 0, 0, 0, 1, 0, 6, 0, 0]);
    exif.extend([0x88, 0x25, 0, 4, 0, 0, 0, 1, 0, 0, 0, 38, 0, 0, 0, 0]);
    exif.extend([0, 1, 0, 1, 0, 2, 0, 0, 0, 2, b'N', 0, 0, 0, 0, 0, 0, 0]);
    let length = u16::try_from(exif.len() + 2).expect("short");
    [&plain[..2], &[0xff, 0xe1], &length.to_be_bytes(), &exif, &plain[2..]].concat()
}

async fn photos_in(ground: &Ground) -> Vec<record::fact::PhotoTaken> {
    let facts = ground.bench.store().facts(JOB).await.expect("the store answers");
    let photo = |fact: record::Fact| match fact.body {
        Body::Photo(photo) => Some(photo),
        _ => None,
    };
    facts.into_iter().filter_map(photo).collect()
}

#[tokio::test]
async fn a_photo_is_shown_upright_and_without_its_place_and_kept_as_it_was() {
    let ground = Ground::new().await;
    let browser = ground.joined("JD").await;
    let original = photo(20);
    let fields =
        [("entry", "p-1"), ("at", "2025-11-30T10:00:00"), ("words", "face of 5"), ("place", "main/5")];
    let answer = browser.post_photos(&fields, &[&original]).await;
    assert_eq!(answer.status, StatusCode::OK, "{}", answer.text());
    let taken = photos_in(&ground).await;
    assert_eq!((taken.len(), taken[0].words.as_str()), (1, "face of 5"));
    assert_eq!(taken[0].slot.as_ref().map(|slot| slot.0.to_string()).as_deref(), Some("main/5"));
    let address = |form: &str| format!("/jobs/{JOB}/photos/{}/{form}", taken[0].sha256);
    for (form, size) in [("page", (480, 640)), ("thumb", (240, 320))] {
        let shown = browser.get(&address(form)).await;
        assert_eq!((shown.status, shown.header("content-type")), (StatusCode::OK, "image/jpeg"));
        let picture = image::load_from_memory(&shown.body).expect("a picture").into_rgb8();
        assert_eq!(picture.dimensions(), size, "{form}");
        let top = picture.get_pixel(size.0 / 2, size.1 / 10).0[0];
        assert!(top < 80, "{form}: what was left is on top, {top}");
        assert!(!shown.body.windows(4).any(|bytes| bytes == b"Exif"), "{form}: no note is left");
    }
    let kept = browser.get(&address("original")).await;
    assert!(kept.body == original, "the original is untouched");
    assert!(kept.header("content-security-policy").contains("sandbox"));
    let tag = kept.header("etag").to_owned();
    let again = browser.request(Method::GET, &address("original"), &[("if-none-match", &tag)]);
    assert_eq!(browser.send(again).await.status, StatusCode::NOT_MODIFIED);
    for form in ["thumb", "small", "..%2f..%2fetc"] {
        let path = format!("/jobs/{JOB}/photos/{}/{form}", "0".repeat(64));
        assert_eq!(browser.get(&path).await.status, StatusCode::NOT_FOUND, "{form}");
    }
}

#[tokio::test]
async fn photos_sent_twice_are_there_once() {
    let ground = Ground::new().await;
    let browser = ground.joined("JD").await;
    let before = ground.n_facts().await;
    let (one, other) = (photo(20), photo(90));
    let fields = [("entry", "p-1"), ("at", "2025-11-30T10:00:00"), ("words", ""), ("place", "")];
    let first = browser.post_photos(&fields, &[&one, &other]).await.json();
    assert_eq!((&first["stored"], &first["already"]), (&2.into(), &false.into()), "{first}");
    let second = browser.post_photos(&fields, &[&one, &other]).await.json();
    assert_eq!((&second["stored"], &second["already"]), (&2.into(), &true.into()), "{second}");
    assert_eq!(ground.n_facts().await, before + 2);
    let stored = ground.bench.store().photos(JOB).await.expect("the store answers");
    assert_eq!(stored.len(), 2);
    assert!(stored.iter().all(|line| line.forms.len() == 3));
}

#[tokio::test]
async fn what_is_no_photo_is_refused_in_words_and_nothing_of_it_is_kept() {
    let ground = Ground::new().await;
    let browser = ground.joined("JD").await;
    let before = ground.n_facts().await;
    let fields = [("entry", "p-1"), ("at", "2025-11-30T10:00:00"), ("words", ""), ("place", "")];
    let heic = b"\0\0\0\x18ftypheic\0\0\0\0mif1heic";
    for (bytes, word) in [
        (&heic[..], "HEIC"),
        (b"<svg xmlns='http://www.w3.org/2000/svg' onload='alert(1)'/>", "JPEG and PNG"),
        (b"\xff\xd8\xff\xe0 broken", "damaged"),
    ] {
        // A good one beside it is not kept either: the entry is one.
        let answer = browser.post_photos(&fields, &[&photo(20), bytes]).await;
        let wanted = if word == "damaged" {
            StatusCode::UNPROCESSABLE_ENTITY
        } else {
            StatusCode::UNSUPPORTED_MEDIA_TYPE
        };
        assert_eq!(answer.status, wanted, "{word}");
        let said = answer.json();
        assert_eq!(said["errors"][0]["field"], "photo");
        assert!(
            said["errors"][0]["message"].as_str().is_some_and(|message| message.contains(word)),
            "{said}"
        );
    }
    let none = browser.post_photos(&fields, &[]).await;
    assert_eq!(none.status, StatusCode::UNPROCESSABLE_ENTITY);
    let large = browser.post_photos(&fields, &[&vec![0xff; 26 * 1024 * 1024]]).await;
    assert_eq!(large.status, StatusCode::PAYLOAD_TOO_LARGE);
    let words = "w".repeat(70_000);
    let wordy = [("entry", "p-1"), ("words", words.as_str())];
    assert_eq!(browser.post_photos(&wordy, &[&photo(20)]).await.status, StatusCode::PAYLOAD_TOO_LARGE);
    assert_eq!(ground.n_facts().await, before);
    assert!(ground.bench.store().photos(JOB).await.expect("the store answers").is_empty());
}
