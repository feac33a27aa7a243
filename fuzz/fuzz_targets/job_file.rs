//! Reads arbitrary text as a job file. It must never panic; a job comes if and only if no problem is an error; every
//! problem can be printed; a job that was read can be written and read again.

#![no_main]

use libfuzzer_sys::{Corpus, fuzz_target};
use model::Date;

const TODAY: Date = Date::constant(2026, 11, 25);

fuzz_target!(|bytes: &[u8]| -> Corpus {
    let Ok(text) = std::str::from_utf8(bytes) else { return Corpus::Reject };
    let reading = record::read_job("job.toml", text, TODAY);
    let has_error = reading.problems.iter().any(record::Problem::is_error);
    assert_eq!(reading.job.is_some(), !has_error);
    for problem in &reading.problems {
        assert!(problem.span.start <= problem.span.end && problem.span.end <= text.len());
        assert!(record::CODES.iter().any(|(code, ..)| *code == problem.code));
        assert!(record::render(problem, text).contains(problem.code));
    }
    if let Some(job) = reading.job {
        assert_eq!(record::fold(&reading.facts).as_ref(), Ok(&job));
        let facts = record::write_facts(&reading.facts).expect("they have just made a job");
        let again = record::read_job("job.toml", &facts, TODAY);
        assert_eq!(again.job.as_ref(), Some(&job), "{facts}\n{:?}", again.problems);
    }
    Corpus::Keep
});
