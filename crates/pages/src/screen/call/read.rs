//! Reads a call into facts.

use super::ANSWER;
use crate::context::Context;
use crate::fields::{Fields, Reader, Refusal};
use crate::route::Route;
use crate::screen::Entry;
use jiff::civil::DateTime;
use model::FactId;
use model::job::{CallAnswer, ComplaintKind};
use record::fact::{CallTaken, ComplaintMade, JobOpened};
use record::text::places::{ID_MAX, is_id};
use record::text::{AsText, Textual};
use record::{Body, limits};
use sha2::{Digest, Sha256};

/// Letters and digits that are not taken for one another when a name is read out.
const NAME_SIGNS: &[u8; 32] = b"abcdefghjkmnpqrstuvwxyz23456789x";
/// How many of them a name made from the day gets: one in a million for two jobs of one day.
const NAME_SIGNS_N: usize = 4;
/// Most answers of one call; a sheet has far fewer.
const ANSWERS_MAX: usize = 200;

/// Reads the sheet of a new job.
///
/// # Errors
/// What is wrong, field by field.
pub(crate) fn read_new(fields: &Fields, cx: &Context<'_>) -> Result<Entry, Refusal> {
    let mut reader = Reader::new(fields);
    let at = reader.moment(cx.now);
    let job = name(&mut reader, at, cx);
    let kinds: Vec<ComplaintKind> = kinds(&mut reader);
    let words = reader.text("words", limits::WORDS_MAX).unwrap_or_default();
    let answers = answers(&mut reader);
    let opened = JobOpened {
        job: job.clone(),
        invented: reader.ticked("invented"),
        place: reader.text("place", limits::NAME_MAX).unwrap_or_default(),
        town: reader.text("town", limits::NAME_MAX).unwrap_or_default(),
        owner: reader.text("owner", limits::NAME_MAX).unwrap_or_default(),
        opened: at.date(),
    };
    if kinds.is_empty() && words.is_empty() && answers.is_empty() && opened.place.is_empty() {
        reader.wrong("words", "Write what the caller says, or at least where it is.");
    }
    reader.finish()?;
    let mut facts = vec![cx.fact(at, Vec::new(), opened)];
    // The words stand once: with the first complaint, or with the call where no complaint was tapped.
    for (idx, kind) in kinds.iter().enumerate() {
        let words = if idx == 0 { words.clone() } else { String::new() };
        facts.push(cx.fact(at, Vec::new(), ComplaintMade { of: AsText(*kind), slot: None, words }));
    }
    let words = if kinds.is_empty() { words } else { String::new() };
    if !answers.is_empty() || !words.is_empty() {
        facts.push(cx.fact(at, Vec::new(), CallTaken { answers, words }));
    }
    let go = Route::Call(job.clone()).to_string();
    Ok(Entry { job, facts, go })
}

/// Reads further answers to a call, or corrected ones.
///
/// # Errors
/// What is wrong, field by field.
pub(crate) fn read(job: &str, fields: &Fields, cx: &Context<'_>) -> Result<Entry, Refusal> {
    let mut reader = Reader::new(fields);
    let at = reader.moment(cx.now);
    let words = reader.text("words", limits::WORDS_MAX).unwrap_or_default();
    let answers = answers(&mut reader);
    let place = reader.text("place", limits::NAME_MAX).unwrap_or_default();
    let town = reader.text("town", limits::NAME_MAX).unwrap_or_default();
    let owner = reader.text("owner", limits::NAME_MAX).unwrap_or_default();
    reader.finish()?;
    let mut facts = Vec::new();
    let calls = cx.settled_job().map(|job| job.calls.as_slice()).unwrap_or_default();
    let call = CallTaken { answers, words };
    let same = |known: &model::job::Call| {
        known.words == call.words
            && known.answers == call.answers.iter().map(|one| one.0.clone()).collect::<Vec<_>>()
    };
    let says_nothing = call.answers.is_empty() && call.words.is_empty();
    let is_new = !calls.last().is_some_and(same);
    if !says_nothing && is_new {
        // The form shows the answers of all calls together, so what it sends stands for all of them.
        let supersedes: Vec<FactId> = calls.iter().map(|call| call.fact.clone()).collect();
        facts.push(cx.fact(at, supersedes, call));
    }
    let opened = cx.job.and_then(|view| {
        view.used().rev().find_map(|fact| match &fact.body {
            Body::Job(body) => Some((fact.id().clone(), body)),
            _ => None,
        })
    });
    if let Some((id, old)) = opened {
        let new = JobOpened { place, town, owner, ..old.clone() };
        if new != *old {
            facts.push(cx.fact(at, vec![id], new));
        }
    }
    Ok(Entry { job: job.to_owned(), facts, go: Route::Call(job.to_owned()).to_string() })
}

/// The name that was typed, or one made from the day and the entry: the same entry sent twice names the same job.
fn name(reader: &mut Reader<'_>, at: DateTime, cx: &Context<'_>) -> String {
    if let Some(name) = reader.text("job", ID_MAX) {
        if !is_id(&name) {
            reader.wrong(
                "job",
                "A name has letters, digits, “-”, “_” and “.” only: leave it empty to have one made.",
            );
        } else if cx.jobs.iter().any(|line| line.job == name) {
            reader.wrong(
                "job",
                format!("There is a job {name} already: choose another name, or leave it empty."),
            );
        }
        return name;
    }
    let entry = reader.fields().text("entry").unwrap_or(cx.entry);
    let digest = Sha256::digest(entry.as_bytes());
    let signs: String =
        digest.iter().take(NAME_SIGNS_N).map(|byte| char::from(NAME_SIGNS[usize::from(byte % 32)])).collect();
    format!("{}-{signs}", at.date())
}

fn kinds(reader: &mut Reader<'_>) -> Vec<ComplaintKind> {
    let mut kinds = Vec::new();
    for word in reader.fields().all("of") {
        match ComplaintKind::read(word, None) {
            Ok(kind) if !kinds.contains(&kind) => kinds.push(kind),
            Ok(_) => {}
            Err(error) => reader.wrong("of", format!("{error}: {}.", error.hint())),
        }
    }
    kinds
}

/// Answers, in the order of their fields. Answers of an older sheet are kept as they are.
fn answers(reader: &mut Reader<'_>) -> Vec<AsText<CallAnswer>> {
    let mut answers: Vec<AsText<CallAnswer>> = Vec::new();
    let fields = reader.fields();
    for name in fields.names() {
        let Some(question) = name.strip_prefix(ANSWER) else { continue };
        for word in fields.all(name) {
            match CallAnswer::read(&format!("{question}:{word}"), None) {
                Ok(answer) if answers.len() < ANSWERS_MAX => answers.push(AsText(answer)),
                Ok(_) => {}
                Err(error) => reader.wrong(name, format!("{error}: {}.", error.hint())),
            }
        }
    }
    answers.dedup();
    answers
}
