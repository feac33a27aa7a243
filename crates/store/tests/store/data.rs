//! Invented facts and photos for the tests.

use jiff::civil::date;
use record::Fact;
use record::fact::{DecisionMade, JobOpened};

/// The fact that opens a job.
pub(crate) fn opened(job: &str) -> Fact {
    let line = format!(
        r#"{{"v":1,"id":"job-{job}","at":"2026-03-04T00:00:00","by":"JD","body":{{"kind":"job","job":"{job}","invented":true,"place":"14 Example Lane","town":"Quenmarsh","owner":"the owner","opened":"2026-03-04"}}}}"#
    );
    let fact = Fact::from_json(&line).expect("a fact");
    assert!(matches!(fact.body, record::Body::Job(JobOpened { .. })));
    fact
}

/// A decision with these words, at this minute of an invented day.
pub(crate) fn decided(words: &str, minute: i8) -> Fact {
    let body = DecisionMade { words: words.to_owned(), declined: false };
    Fact::new(date(2026, 3, 4).at(15, minute, 0, 0), Some("JD".to_owned()), vec![], body.into())
}

/// The same fact under another id.
pub(crate) fn called(mut fact: Fact, id: &str) -> Fact {
    fact.id = record::text::AsText(model::FactId::new(id));
    fact
}

/// Bytes that look like a photo to nobody, different for each seed.
pub(crate) fn photo(seed: u8, length: usize) -> Vec<u8> {
    (0..length).map(|at| (at as u8).wrapping_mul(31).wrapping_add(seed)).collect()
}

/// A runtime with two threads.
pub(crate) fn run<T>(future: impl Future<Output = T>) -> T {
    let mut builder = tokio::runtime::Builder::new_multi_thread();
    builder.worker_threads(2).enable_all().build().expect("a runtime").block_on(future)
}
