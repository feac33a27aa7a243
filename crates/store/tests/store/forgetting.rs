//! A forgotten customer is forgotten on the disk, and does not come back.

use crate::data::{decided, opened, photo, run};
use crate::ground::each;
use record::Fact;
use record::fact::JobForgotten;
use std::path::Path;
use store::{Error, Form, Place, Store, transfer};

/// What an invented picture shows.
const KITCHEN: &str = "an invented kitchen with a face in the window; ";
const WORDS: &str = "an invented telephone number 555 0100";

fn forgotten() -> Fact {
    let body = JobForgotten { words: "in writing".to_owned() };
    Fact::new(jiff::civil::date(2026, 3, 9).at(0, 0, 0, 0), None, vec![], body.into())
}

async fn fill(store: &Store) -> String {
    store.append("a", "e1", Some("phone"), &[opened("a"), decided(WORDS, 1)]).await.expect("stored");
    let alone =
        store.put_photo("a", "image/jpeg", KITCHEN.repeat(90).into_bytes()).await.expect("put").sha256;
    store.put_form(&alone, Form::Thumb, "image/jpeg", photo(2, 300)).await.expect("put");
    // Another job has the other photo too.
    for job in ["a", "b"] {
        store.put_photo(job, "image/jpeg", photo(3, 700)).await.expect("put");
    }
    store.append("b", "e1", None, &[opened("b")]).await.expect("stored");
    alone
}

/// Files below a folder that hold these bytes.
fn holding(folder: &Path, bytes: &[u8]) -> Vec<String> {
    let mut found = Vec::new();
    for entry in std::fs::read_dir(folder).expect("read") {
        let path = entry.expect("read").path();
        if path.is_dir() {
            found.extend(holding(&path, bytes));
        } else if std::fs::read(&path).expect("read").windows(bytes.len()).any(|window| window == bytes) {
            found.push(path.display().to_string());
        }
    }
    found
}

#[test]
fn what_is_forgotten_is_gone_from_the_disk_and_stays_away() {
    each(|ground| {
        run(async {
            let store = ground.open().await.expect("it opens");
            let alone = fill(&store).await;
            store.append("a", "forget", None, &[forgotten()]).await.expect("forgotten");
            let facts = store.facts("a").await.expect("read");
            assert_eq!(facts.len(), 3, "each fact is there still");
            let text: String = facts.iter().map(Fact::to_json).collect();
            for secret in [WORDS, "14 Example Lane", "the owner"] {
                assert!(!text.contains(secret), "{secret} in {text}");
            }
            assert!(text.contains("Quenmarsh") && text.contains(record::forget::REMOVED), "{text}");
            assert!(store.photos("a").await.expect("read").is_empty());
            let there = store.photos("b").await.expect("read");
            store.photo("b", &there[0].sha256, Form::Original).await.expect("the other job keeps its photo");
            let told =
                store.put_photo("a", "image/jpeg", photo(9, 10)).await.expect_err("no photo comes back");
            assert!(matches!(told, Error::Forgotten { .. }), "{told}");

            // The same again, and what a laptop has from before or enters later.
            let again = store.append("a", "e1", Some("phone"), &[opened("a"), decided(WORDS, 1)]).await;
            assert!(again.expect("known").already);
            let late = [opened("a"), decided(WORDS, 1), decided("555 0101, of the neighbour", 2)];
            let (n, differ) = store.take_in("a", None, late.to_vec()).await.expect("taken");
            assert_eq!((n, differ.len()), (1, 0), "what was known is known, what is new is redacted");
            let text: String = store.facts("a").await.expect("read").iter().map(Fact::to_json).collect();
            assert!(!text.contains("555 01"), "{text}");
            store.close().await;
            assert_eq!(holding(ground.path(), WORDS.as_bytes()), Vec::<String>::new());
            assert_eq!(holding(ground.path(), alone.as_bytes()), Vec::<String>::new());
            assert_eq!(holding(ground.path(), KITCHEN.as_bytes()), Vec::<String>::new());

            // It stays so when it is moved.
            let other = tempfile::tempdir().expect("a folder");
            let place = Place { folder: other.path().join("data"), database: None, bucket: None };
            transfer(&ground.place(), &place, |_, _| {}).await.expect("moved");
            let store = Store::open(&place.folder).await.expect("it opens");
            assert!(store.is_forgotten("a").await.expect("read"));
            let (n, _) = store.take_in("a", None, vec![decided(WORDS, 1)]).await.expect("taken");
            assert_eq!(n, 0);
            store.close().await;
        });
    });
}
