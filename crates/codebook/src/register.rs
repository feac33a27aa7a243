//! The register of all rules as a page: what is verified, from memory and refused under each edition.

use crate::book::{Book, Dated, Rule};
use crate::edition::Edition;
use crate::ruling::Standing;
use std::collections::BTreeMap;
use std::fmt::Write;

/// The page, in Markdown. Written by `cargo xtask register`; a test fails while it is stale.
pub fn register(book: &Book) -> String {
    let mut page = String::from(
        "# Register of rules\n\n\
         Written by `cargo xtask register` from `crates/codebook/data`; do not edit by hand. No source here is the code\n\
         book itself. *Published*: stated by a public source that was read. *From memory*: to be proof-read against a\n\
         licensed copy. *Reported*: told at second hand and refused until a person confirms it. A value holds from its\n\
         edition until the next line of the same rule. A source mostly speaks of one edition; that the value stayed the\n\
         same in the editions up to the next line is from memory. Second reader: nobody yet, for every line.\n",
    );
    editions(book, &mut page);
    matrix(book, &mut page);
    rules(book, &mut page);
    refusals(book, &mut page);
    sources(book, &mut page);
    page
}

/// What a rule is under an edition.
fn state(book: &Book, rule: &Rule, edition: Edition) -> &'static str {
    if book.confirmation(&rule.id, edition).is_some() {
        return "confirmed";
    }
    if book.refusal(&rule.id, edition).is_some() {
        return "refused";
    }
    let dated = rule.entry(edition);
    match (&dated.standing, dated.value.is_some()) {
        (_, false) => "no such rule",
        (Standing::Published, true) if dated.from == edition => "published, with a line of this edition",
        (Standing::Published, true) => "published for an earlier line, unchanged from memory",
        (_, true) => "from memory",
    }
}

const STATES: [&str; 6] = [
    "published, with a line of this edition",
    "published for an earlier line, unchanged from memory",
    "from memory",
    "no such rule",
    "confirmed",
    "refused",
];

fn editions(book: &Book, page: &mut String) {
    page.push_str("\n## Editions\n\nNumber of rules by standing.\n\n| standing |");
    for edition in Edition::ALL {
        let _ = write!(page, " {edition} |");
    }
    page.push_str("\n|---|---|---|---|---|---|---|---|\n");
    for wanted in STATES {
        let _ = write!(page, "| {wanted} |");
        for edition in Edition::ALL {
            let n = book.rules().filter(|rule| state(book, rule, edition) == wanted).count();
            let _ = write!(page, " {n} |");
        }
        page.push('\n');
    }
}

/// One letter a state, for the table of all rules.
fn mark(state: &str) -> &'static str {
    match state {
        "published, with a line of this edition" => "P",
        "published for an earlier line, unchanged from memory" => "p",
        "from memory" => "m",
        "no such rule" => "–",
        "confirmed" => "C",
        _ => "×",
    }
}

fn matrix(book: &Book, page: &mut String) {
    page.push_str(
        "\n## Each rule under each edition\n\n\
         P published, with a line of this edition · p published for an earlier line, unchanged from memory · m from memory ·\n\
         – the edition has no such rule · C confirmed by a named person · × refused.\n\n| rule |",
    );
    for edition in Edition::ALL {
        let _ = write!(page, " {edition} |");
    }
    page.push_str("\n|---|---|---|---|---|---|---|---|\n");
    for rule in book.rules() {
        let _ = write!(page, "| `{}` |", rule.id);
        for edition in Edition::ALL {
            let _ = write!(page, " {} |", mark(state(book, rule, edition)));
        }
        page.push('\n');
    }
}

fn rules(book: &Book, page: &mut String) {
    page.push_str("\n## Rules\n");
    let mut groups = BTreeMap::<&str, Vec<&Rule>>::new();
    for rule in book.rules() {
        let group = rule.id.split('.').next().unwrap_or(&rule.id);
        groups.entry(group).or_default().push(rule);
    }
    for (group, rules) in groups {
        let _ = write!(
            page,
            "\n### {group}\n\n| id | what | from | value | section | standing | sources, remark |\n|---|---|---|---|---|---|---|\n"
        );
        for rule in rules {
            for (idx, dated) in rule.dated.iter().enumerate() {
                let (id, what) = if idx == 0 {
                    (format!("`{}`", rule.id), rule.what.as_str())
                } else {
                    (String::new(), "")
                };
                let _ = writeln!(
                    page,
                    "| {id} | {what} | {} | {} | {} | {} | {} |",
                    dated.from,
                    value(rule, dated),
                    dated.section,
                    dated.standing,
                    remarks(dated)
                );
            }
            if let Some(next) = Edition::ALL.into_iter().find(|edition| rule.through < *edition) {
                let _ = writeln!(page, "| | | {next} | not read | | refused | |");
            }
        }
    }
}

fn value(rule: &Rule, dated: &Dated) -> String {
    match &dated.value {
        None if dated.standing == Standing::Reported => "not seen".to_owned(),
        None => "no such rule".to_owned(),
        Some(value) if rule.unit.is_empty() => value.to_string(),
        Some(value) => format!("{value} {}", rule.unit),
    }
}

fn remarks(dated: &Dated) -> String {
    let mut parts = dated.sources.clone();
    parts.extend(dated.note.as_deref().map(str::to_owned));
    parts.join("; ")
}

fn refusals(book: &Book, page: &mut String) {
    page.push_str("\n## Refused\n\n| rules | editions | why | to be confirmed |\n|---|---|---|---|\n");
    for refusal in &book.refusals {
        let rules: Vec<String> = refusal.rules.iter().map(|id| format!("`{id}`")).collect();
        let editions: Vec<String> = refusal.editions.iter().map(Edition::to_string).collect();
        let _ = writeln!(
            page,
            "| {} | {} | {} | {} |",
            rules.join(" "),
            editions.join(" "),
            refusal.reason,
            refusal.confirm
        );
    }
}

fn sources(book: &Book, page: &mut String) {
    page.push_str("\n## Sources\n\n| key | what |\n|---|---|\n");
    for (key, what) in &book.sources {
        let _ = writeln!(page, "| {key} | {what} |");
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_rule_stands_in_it_once_an_edition() {
        let book = Book::built_in();
        let page = register(&book);
        for rule in book.rules() {
            assert_eq!(
                page.matches(&format!("\n| `{}` | {} |", rule.id, rule.what)).count(),
                1,
                "{}",
                rule.id
            );
            for edition in Edition::ALL {
                assert!(STATES.contains(&state(&book, rule, edition)));
            }
        }
    }
}
