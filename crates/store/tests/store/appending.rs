//! Each fact once, however often and from however many it is sent.

use crate::data::{called, decided, opened, run};
use crate::ground::{Ground, each, grounds};
use proptest::prelude::*;
use std::collections::{BTreeMap, BTreeSet};
use store::Error;

#[test]
fn an_entry_sent_twice_is_stored_once_and_gets_the_same_answer() {
    each(an_entry_sent_twice_is_stored_once_and_gets_the_same_answer_on);
}

fn an_entry_sent_twice_is_stored_once_and_gets_the_same_answer_on(folder: &Ground) {
    run(async {
        let store = folder.open().await.expect("it opens");
        let mut changes = store.subscribe();
        let facts = [opened("a"), decided("wait", 1)];
        let first = store.append("a", "e1", Some("phone"), &facts).await.expect("stored");
        assert_eq!((first.new, first.revision, first.already), (2, 2, false));
        let change = changes.recv().await.expect("told");
        assert_eq!((change.job.as_str(), change.revision), ("a", 2));
        store.append("a", "e2", None, &[decided("go on", 2)]).await.expect("stored");
        let again = store.append("a", "e1", Some("phone"), &facts).await.expect("known");
        assert_eq!((again.new, again.revision, again.already), (2, 2, true));
        store.close().await;

        let store = folder.open().await.expect("it opens again");
        let again = store.append("a", "e1", Some("phone"), &facts).await.expect("still known");
        assert!(again.already);
        let stored = store.facts("a").await.expect("read");
        assert_eq!(stored, [opened("a"), decided("wait", 1), decided("go on", 2)]);
        assert_eq!(store.revision("a").await.expect("read"), Some(3));
        assert_eq!(store.revision("b").await.expect("read"), None);
        let jobs = store.jobs().await.expect("read");
        assert_eq!(jobs.iter().map(|job| (job.job.as_str(), job.n_facts)).collect::<Vec<_>>(), [("a", 3)]);
        let later = store.stored_after("a", 2).await.expect("read");
        assert_eq!(later.iter().map(|one| one.entry.as_str()).collect::<Vec<_>>(), ["e2"]);
        store.close().await;
    });
}

#[test]
fn a_fact_of_the_same_name_that_says_something_else_is_refused_and_the_first_stays() {
    each(a_fact_of_the_same_name_that_says_something_else_is_refused_and_the_first_stays_on);
}

fn a_fact_of_the_same_name_that_says_something_else_is_refused_and_the_first_stays_on(folder: &Ground) {
    run(async {
        let store = folder.open().await.expect("it opens");
        let first = called(decided("wait", 1), "d-1");
        store.append("a", "e1", None, std::slice::from_ref(&first)).await.expect("stored");
        let other = called(decided("replace", 1), "d-1");
        let refused = store.append("a", "e2", None, &[decided("go on", 2), other.clone()]).await;
        let refused = refused.expect_err("it differs");
        assert!(matches!(&refused, Error::FactDiffers { fact, .. } if fact == "d-1"), "{refused}");
        assert_eq!(
            store.facts("a").await.expect("read"),
            std::slice::from_ref(&first),
            "nothing of the entry is stored"
        );
        // In another job it is another fact.
        store.append("b", "e2", None, &[other]).await.expect("stored");
        // The same fact by another way is no news.
        let same = store.append("a", "e3", None, &[first]).await.expect("known");
        assert_eq!((same.new, same.revision, same.already), (0, 1, false));
        store.close().await;
    });
}

#[test]
fn an_entry_is_known_by_what_it_says_not_by_when_it_was_read() {
    each(an_entry_is_known_by_what_it_says_not_by_when_it_was_read_on);
}

fn an_entry_is_known_by_what_it_says_not_by_when_it_was_read_on(folder: &Ground) {
    run(async {
        let store = folder.open().await.expect("it opens");
        store.append("a", "e1", None, &[decided("wait", 1)]).await.expect("stored");
        let later = store.append("a", "e1", None, &[decided("wait", 2)]).await.expect("the same form");
        assert!(later.already);
        let other = store.append("a", "e1", None, &[decided("replace", 1)]).await.expect_err("another form");
        assert!(matches!(other, Error::EntryDiffers { .. }), "{other}");
        assert_eq!(store.facts("a").await.expect("read"), [decided("wait", 1)]);
        store.close().await;
    });
}

#[test]
fn names_that_cannot_be_are_refused() {
    each(names_that_cannot_be_are_refused_on);
}

fn names_that_cannot_be_are_refused_on(folder: &Ground) {
    run(async {
        let store = folder.open().await.expect("it opens");
        for job in ["", " a", "a\n", &"a".repeat(121)] {
            let refused = store.append(job, "e", None, &[]).await.expect_err("no name");
            assert!(matches!(refused, Error::JobName { .. }), "{refused}");
        }
        for entry in ["", "a b", "../e", &"e".repeat(65)] {
            let refused = store.append("a", entry, None, &[]).await.expect_err("no name");
            assert!(matches!(refused, Error::EntryName { .. }), "{refused}");
        }
        assert!(store.jobs().await.expect("read").is_empty());
        store.close().await;
    });
}

/// Ten entries of one to three facts, some facts shared between entries; the order of sending and how often each
/// is sent, one to three times.
fn sendings() -> impl Strategy<Value = Vec<usize>> {
    proptest::collection::vec(1..=3_usize, 10).prop_flat_map(|times| {
        let sent: Vec<usize> = times.iter().enumerate().flat_map(|(at, n)| vec![at; *n]).collect();
        Just(sent).prop_shuffle()
    })
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 24, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn any_interleaving_of_repeated_entries_stores_each_once(sent in sendings(), tasks in 1..6_usize) {
        for folder in grounds() {
        let entry = |at: usize| -> Vec<record::Fact> {
            (at..=at + at % 3).map(|n| decided(&format!("fact {n}"), n as i8)).collect()
        };
        run(async {
            let store = folder.open().await.expect("it opens");
            let mut handles = Vec::new();
            for task in 0..tasks {
                let own: Vec<usize> = sent.iter().copied().skip(task).step_by(tasks).collect();
                let store = store.clone();
                handles.push(tokio::spawn(async move {
                    let mut answers = Vec::new();
                    for at in own {
                        let answer = store.append("a", &format!("e{at}"), None, &entry(at)).await.expect("stored");
                        answers.push((at, answer));
                    }
                    answers
                }));
            }
            let mut firsts: BTreeMap<usize, usize> = BTreeMap::new();
            let mut told: BTreeMap<usize, BTreeSet<(usize, i64)>> = BTreeMap::new();
            for handle in handles {
                for (at, answer) in handle.await.expect("no panic") {
                    *firsts.entry(at).or_default() += usize::from(!answer.already);
                    told.entry(at).or_default().insert((answer.new, answer.revision));
                }
            }
            assert!(firsts.values().all(|n| *n == 1), "each entry is new exactly once: {firsts:?}");
            assert!(told.values().all(|answers| answers.len() == 1), "one answer an entry: {told:?}");
            let stored = store.stored_after("a", 0).await.expect("read");
            let ids: BTreeSet<_> = stored.iter().map(|one| one.fact.id().clone()).collect();
            let wanted: BTreeSet<_> = (0..10).flat_map(entry).map(|fact| fact.id().clone()).collect();
            assert_eq!(ids, wanted);
            assert_eq!(stored.len(), wanted.len());
            let revisions: Vec<i64> = stored.iter().map(|one| one.revision).collect();
            assert_eq!(revisions, (1..=wanted.len() as i64).collect::<Vec<_>>());
            store.close().await;
        });
        }
    }
}
