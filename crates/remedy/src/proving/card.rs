//! The directory card: what each line says, and what is wrong with its words.

use super::limits::Limits;
use super::{spaces_words, words_of};
use model::id::Space;
use model::job::Job;
use model::proving::CardLine;

/// Lines of the card: as it hangs where that is on record, else as proposed.
pub fn card_lines(job: &Job, limits: &Limits) -> Vec<CardLine> {
    let hung = job.install.cards.last();
    let mut lines: Vec<CardLine> = job
        .install
        .breakers()
        .into_iter()
        .filter_map(|one| {
            let first = *one.spaces.first()?;
            let said = hung.and_then(|card| said(&card.lines, &one.spaces));
            Some(CardLine {
                spaces: spaces_words(&one.spaces),
                first,
                rating: format!("{} A", one.rating.a()),
                words: said.map_or_else(|| words_of(job, one), str::to_owned),
                faults: Vec::new(),
            })
        })
        .collect();
    let all: Vec<String> = lines.iter().map(|line| plain(&line.words)).collect();
    for (idx, line) in lines.iter_mut().enumerate() {
        line.faults = words_faults(&line.words, limits);
        if all.iter().enumerate().any(|(other, words)| other != idx && *words == all[idx]) {
            line.faults.push("Another breaker says the same: say what tells them apart.".to_owned());
        }
    }
    lines
}

/// What a card says of a breaker, under any of its spaces.
pub(super) fn said<'a>(lines: &'a [(Space, String)], spaces: &[Space]) -> Option<&'a str> {
    lines.iter().find(|(space, _)| spaces.contains(space)).map(|(_, words)| words.as_str())
}

pub(super) fn plain(words: &str) -> String {
    words.trim().to_lowercase()
}

/// What is wrong with the words of a line by themselves.
pub fn words_faults(words: &str, limits: &Limits) -> Vec<String> {
    let mut faults = Vec::new();
    let lower = plain(words).replace('\u{2019}', "'");
    let parts: Vec<&str> = lower
        .split(|c: char| !c.is_alphanumeric() && c != '\'' && c != '?')
        .map(|part| part.trim_matches('\''))
        .filter(|part| !part.is_empty())
        .collect();
    let bare = |part: &str| part.strip_suffix("'s").unwrap_or(part).to_owned();
    let person = parts.iter().find(|part| {
        let bare = bare(part);
        limits.persons.words.contains(&bare) || limits.persons.names.contains(&bare)
    });
    // A given name behind a possessive is a person even where no list has it.
    let owned = parts.iter().find(|part| part.ends_with("'s"));
    if let Some(part) = person.or(owned) {
        faults.push(format!(
            "\u{201c}{part}\u{201d} hangs on who lives there: name the room or the place (northeast bedroom)."
        ));
    }
    if lower.is_empty() || limits.vague.words.contains(&lower) {
        faults
            .push("Tells it from no other circuit: say which room, which side, which appliance.".to_owned());
    }
    faults
}
