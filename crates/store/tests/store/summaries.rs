//! What is kept for lists and counts: stale when facts, code, policy or day are others, and paged without a gap.

use crate::data::{decided, opened, run};
use crate::ground::{Ground, each};
use std::collections::BTreeSet;
use store::{Maker, Store, Summary, UrgencyMark};

fn maker(by: &str) -> Maker {
    Maker { made_by: by.to_owned(), day: "2026-03-04".to_owned() }
}

async fn summary(store: &Store, job: &str) -> Summary {
    let known = store.jobs().await.expect("read").into_iter().find(|one| one.job == job).expect("there");
    Summary {
        job: job.to_owned(),
        revision: known.revision,
        changed: known.changed,
        place: format!("{job} Example Lane"),
        town: "Quenmarsh".to_owned(),
        invented: true,
        notes: format!("notes of {job}"),
        ..Summary::default()
    }
}

async fn stale(store: &Store, maker: &Maker) -> Vec<String> {
    let jobs = store.stale(maker, 0, 100).await.expect("read");
    let names: Vec<String> = jobs.into_iter().map(|job| job.job).collect();
    assert_eq!(store.n_stale(maker).await.expect("read"), names.len());
    names
}

#[test]
fn a_summary_holds_for_its_facts_its_maker_and_its_day() {
    each(|ground: &Ground| {
        run(async {
            let store = ground.open().await.expect("it opens");
            store.append("a", "e1", None, &[opened("a")]).await.expect("stored");
            assert_eq!(stale(&store, &maker("1")).await, ["a"]);
            let old = summary(&store, "a").await;
            assert!(store.put_summary(old.clone(), &maker("1")).await.expect("kept"));
            assert!(stale(&store, &maker("1")).await.is_empty());
            assert_eq!(stale(&store, &maker("2")).await, ["a"], "another code or policy");
            let tomorrow = Maker { day: "2026-03-05".to_owned(), ..maker("1") };
            assert!(stale(&store, &tomorrow).await.is_empty(), "no fact lies ahead");
            let ahead = Summary { ahead: true, ..old.clone() };
            assert!(store.put_summary(ahead, &maker("1")).await.expect("kept"));
            assert_eq!(stale(&store, &tomorrow).await, ["a"], "a fact of a later day has come of age");

            store.append("a", "e2", None, &[decided("wait", 1)]).await.expect("stored");
            assert_eq!(stale(&store, &maker("1")).await, ["a"]);
            let newer = summary(&store, "a").await;
            assert!(store.put_summary(newer, &maker("1")).await.expect("kept"));
            let late =
                Summary { notes: "older".to_owned(), due: vec![(String::new(), String::new())], ..old };
            assert!(
                !store.put_summary(late, &maker("1")).await.expect("answered"),
                "one of later facts is there"
            );
            let notes = store.notes_after(0, 10).await.expect("read");
            assert_eq!(notes.len(), 1);
            assert_eq!((notes[0].2, notes[0].3.as_str()), (2, "notes of a"));
            assert!(
                store.due(None, 10).await.expect("read").is_empty(),
                "nothing of what was refused is kept"
            );
            assert!(store.stale(&maker("2"), i64::MAX, 10).await.expect("read").is_empty());
            store.forget_summary("a").await.expect("forgotten");
            assert_eq!(stale(&store, &maker("1")).await, ["a"]);
            assert_eq!(store.facts("a").await.expect("read").len(), 2, "the facts stay");
            store.close().await;
        });
    });
}

#[test]
fn lists_come_in_pages_without_a_gap() {
    each(|ground: &Ground| {
        run(async {
            let store = ground.open().await.expect("it opens");
            let all: BTreeSet<String> = (0..23).map(|at| format!("j{at:02}")).collect();
            for (at, job) in all.iter().enumerate() {
                store.append(job, "e1", None, &[opened(job)]).await.expect("stored");
                let due = (0..at % 3).map(|line| {
                    (format!("2026-03-{:02}", 1 + (at * 7 + line) % 20), format!("{job} {line}"))
                });
                let summary = Summary { due: due.collect(), ..summary(&store, job).await };
                assert!(store.put_summary(summary, &maker("1")).await.expect("kept"));
            }
            store.append("unread_100", "e1", None, &[opened("unread_100")]).await.expect("stored");
            let (mut listed, mut after) = (Vec::new(), None::<(i64, String)>);
            loop {
                let from = after.as_ref().map(|(changed, job)| (*changed, job.as_str()));
                let page = store.list("", from, 5).await.expect("read");
                let Some(last) = page.last() else { break };
                after = Some((last.job.changed, last.job.job.clone()));
                listed.extend(page);
            }
            let order: Vec<String> =
                store.jobs().await.expect("read").into_iter().map(|job| job.job).collect();
            assert_eq!(listed.iter().map(|line| line.job.job.clone()).collect::<Vec<_>>(), order);
            assert_eq!(listed.iter().filter(|line| line.known.is_none()).count(), 1);

            let found = async |words: &str| -> Vec<String> {
                let page = store.list(words, None, 100).await.expect("read");
                page.into_iter().map(|line| line.job.job).collect()
            };
            assert_eq!(found("j07").await, ["j07"]);
            assert_eq!(found("QUENMARSH lane J1").await.len(), 10);
            assert!(found("quenmarsh nowhere").await.is_empty());
            assert!(found("_07").await.is_empty() && found("%").await.is_empty(), "signs mean themselves");
            let of_last = store.list("lane", Some((i64::MAX, "")), 3).await.expect("read");
            let last = of_last.last().expect("three");
            let next = store.list("lane", Some((last.job.changed, &last.job.job)), 100).await.expect("read");
            assert_eq!(of_last.len() + next.len(), 23);

            let (mut lines, mut after) = (Vec::new(), None::<(String, String, i64)>);
            loop {
                let from = after.as_ref().map(|(day, job, line)| (day.as_str(), job.as_str(), *line));
                let page = store.due(from, 4).await.expect("read");
                let Some(last) = page.last() else { break };
                after = Some((last.day.clone(), last.job.clone(), last.line));
                lines.extend(page);
            }
            assert_eq!(lines.len(), (0..23).map(|at| at % 3).sum::<usize>());
            assert!(lines.is_sorted());
            let before = lines.iter().filter(|line| line.day.as_str() < "2026-03-09").count();
            assert_eq!(store.n_due_before("2026-03-09").await.expect("read"), before);
            store.close().await;
        });
    });
}

#[test]
fn who_follows_the_stamps_misses_nothing() {
    each(|ground: &Ground| {
        run(async {
            let store = ground.open().await.expect("it opens");
            for job in ["a", "b"] {
                store.append(job, "e1", None, &[opened(job)]).await.expect("stored");
                store.put_summary(summary(&store, job).await, &maker("1")).await.expect("kept");
            }
            let seen = store.notes_after(0, 10).await.expect("read").last().expect("two").0;
            assert!(store.notes_after(seen, 10).await.expect("read").is_empty());
            let past =
                |invented| Summary { past: format!("past {invented}"), invented, ..Summary::default() };
            let again = Summary { job: "a".to_owned(), revision: 1, changed: 9, ..past(true) };
            store.put_summary(again, &maker("1")).await.expect("kept");
            let news = store.notes_after(seen, 10).await.expect("read");
            assert_eq!(news.iter().map(|one| one.1.as_str()).collect::<Vec<_>>(), ["a"]);
            assert_eq!(store.past(true, 10).await.expect("read"), ["past true"]);
            assert!(store.past(false, 10).await.expect("read").is_empty());
            store.put_faced("a", 1, "1", "[]").await.expect("kept");
            store.put_faced("b", 1, "1", "[]").await.expect("kept");
            store.put_faced("a", 2, "1", "[1]").await.expect("kept");
            let faced = store.faced_after(0, 10).await.expect("read");
            let texts: Vec<_> =
                faced.iter().map(|one| (one.job.as_str(), one.revision, one.text.as_str())).collect();
            assert_eq!(texts, [("b", 1, "[]"), ("a", 2, "[1]")]);
            store.close().await;
        });
    });
}

#[test]
fn by_urgency_lists_come_in_pages_without_a_gap_and_a_job_keeps_its_place() {
    each(|ground: &Ground| {
        run(async {
            let store = ground.open().await.expect("it opens");
            let mark = |band, revision| UrgencyMark {
                band,
                revision,
                day: "2026-03-04".to_owned(),
                by: "a policy".to_owned(),
            };
            let names: Vec<String> = (0..19).map(|at| format!("j{at:02}")).collect();
            for (at, job) in names.iter().enumerate() {
                store.append(job, "e1", None, &[opened(job)]).await.expect("stored");
                // Some are judged before they are summed up, some after, some never.
                let band = [4, 0, 3, 1][at % 4];
                if at % 4 != 2 && at % 3 == 0 {
                    store.put_urgency(job, &mark(band, 1)).await.expect("kept");
                }
                let due =
                    (0..at % 3).map(|line| (format!("2026-03-{:02}", 1 + (at * 7 + line) % 20), job.clone()));
                let summary = Summary { due: due.collect(), ..summary(&store, job).await };
                assert!(store.put_summary(summary, &maker("1")).await.expect("kept"));
                if at % 4 != 2 && at % 3 != 0 {
                    store.put_urgency(job, &mark(band, 1)).await.expect("kept");
                }
            }
            let (mut listed, mut after) = (Vec::new(), None::<(i64, i64, String)>);
            loop {
                let from = after.as_ref().map(|(band, changed, job)| (*band, *changed, job.as_str()));
                let page = store.list_by_urgency("", from, 4).await.expect("read");
                let Some(last) = page.last() else { break };
                let band = last.urgency.as_ref().expect("a mark").band;
                after = Some((band, last.job.changed, last.job.job.clone()));
                listed.extend(page.into_iter().map(|one| {
                    let mark = one.urgency.expect("a mark");
                    assert_eq!(mark.revision == 0, mark.band == 3, "not judged, and so without a day");
                    (mark.band, one.job.changed, one.job.job)
                }));
            }
            assert_eq!(listed.len(), 19);
            assert!(listed.is_sorted(), "{listed:?}");
            assert_eq!(listed.iter().filter(|one| one.0 == 0).count(), 5);
            let found = store.list_by_urgency("j1 lane", None, 100).await.expect("read");
            assert_eq!(found.len(), 9);
            assert!(found.is_sorted_by_key(|one| one.urgency.as_ref().map(|mark| mark.band)));

            let (mut lines, mut after) = (Vec::new(), None::<(i64, String, String, i64)>);
            loop {
                let from =
                    after.as_ref().map(|(band, day, job, line)| (*band, day.as_str(), job.as_str(), *line));
                let page = store.due_by_urgency(from, 4).await.expect("read");
                let Some(last) = page.last() else { break };
                after = Some((last.band, last.day.clone(), last.job.clone(), last.line));
                lines.extend(page.into_iter().map(|one| (one.band, one.day, one.job, one.line)));
            }
            assert_eq!(lines.len(), (0..19).map(|at| at % 3).sum::<usize>());
            assert!(lines.is_sorted(), "{lines:?}");
            assert!(lines.iter().all(|line| listed.iter().any(|one| (one.0, &one.2) == (line.0, &line.2))));

            // One of fewer facts does not take its place; a summary made again leaves it; what is forgotten is not known.
            let band = async |job: &str| {
                let one = store.list_by_urgency(job, None, 1).await.expect("read").pop().expect("there");
                one.urgency.expect("a mark").band
            };
            store.put_urgency("j01", &mark(2, 5)).await.expect("kept");
            store.put_urgency("j01", &mark(4, 4)).await.expect("kept");
            assert_eq!(band("j01").await, 2);
            let again = summary(&store, "j01").await;
            let again = Summary { due: vec![("2026-03-09".to_owned(), "j01".to_owned())], ..again };
            assert!(store.put_summary(again, &maker("2")).await.expect("kept"));
            assert_eq!(band("j01").await, 2);
            let first = store.due_by_urgency(Some((2, "", "", -1)), 1).await.expect("read");
            assert_eq!((first[0].band, first[0].job.as_str()), (2, "j01"));
            store.forget_summary("j01").await.expect("forgotten");
            store.put_summary(summary(&store, "j01").await, &maker("2")).await.expect("kept");
            assert_eq!(band("j01").await, 3);
            store.close().await;
        });
    });
}
