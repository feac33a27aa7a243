//! Reads arbitrary lines as stored facts and settles those that are some. It must never panic; a job comes if and only
//! if a fact opens one; the order makes no difference; what is used can be settled again without a loss.

#![no_main]

use libfuzzer_sys::{Corpus, fuzz_target};
use model::Date;
use record::{Body, Fact, settle};

const TODAY: Date = Date::constant(2026, 11, 25);

fuzz_target!(|bytes: &[u8]| -> Corpus {
    let Ok(text) = std::str::from_utf8(bytes) else { return Corpus::Reject };
    let facts: Vec<Fact> = text.lines().filter_map(|line| Fact::from_json(line).ok()).collect();
    if facts.is_empty() {
        return Corpus::Reject;
    }
    let settled = settle(&facts, Some(TODAY));
    let doubles = settled.set_aside.iter().any(|aside| aside.code == "duplicate-id");
    let opens = facts.iter().any(|fact| matches!(fact.body, Body::Job(_)));
    assert!(settled.job.is_some() == opens || doubles);
    for aside in &settled.set_aside {
        assert!(record::CODES.iter().any(|(code, ..)| *code == aside.code));
    }
    let backwards: Vec<Fact> = facts.iter().rev().cloned().collect();
    assert_eq!(settle(&backwards, Some(TODAY)), settled);
    if !doubles {
        let used = facts.iter().filter(|fact| settled.is_used(fact.id())).cloned();
        let used: Vec<Fact> = used.map(|fact| Fact { supersedes: Vec::new(), ..fact }).collect();
        assert!(settle(&used, Some(TODAY)).set_aside.is_empty());
    }
    Corpus::Keep
});
