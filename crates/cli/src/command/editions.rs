//! `panelwright editions`.

use super::code::{Told, book, foot, head, with_job};
use crate::args::Global;
use crate::failure::{Ending, Failure};
use crate::screen::Screen;
use crate::show::code::wrapped;
use clap::Args;
use std::fmt::Write as _;
use std::path::PathBuf;
use study::code::json::answer_word;
use study::code::{AskedUnder, Editions, Method};

/// Compare the editions of the code for one job: the load by each method, and what each edition asks differently.
///
/// Without local amendments. Where an edition's text was not verified the entry says refused.
#[derive(Debug, Args)]
#[command(after_long_help = "\
Examples:
  panelwright editions my-job.toml
  panelwright editions my-job.toml --json")]
pub(crate) struct EditionsArgs {
    /// A job file, or `-` for standard input.
    #[arg(value_name = "FILE")]
    file: PathBuf,

    /// The shop's copy of what the code book refuses, with what a person has confirmed.
    #[arg(long, value_name = "FILE")]
    book: Option<PathBuf>,
}

pub(crate) fn run(args: &EditionsArgs, global: &Global, screen: &mut Screen) -> Result<Ending, Failure> {
    with_job(&args.file, global, screen, |job| {
        let book = match book(args.book.as_ref())? {
            Ok(book) => book,
            Err(ending) => return Ok(Err(ending)),
        };
        let editions = study::code::editions(&book, job);
        let mut text = head("EDITIONS", job);
        text.push_str(&table(&editions));
        text.push_str(&foot());
        Ok(Ok(Told { text, json: study::code::json::editions(&editions) }))
    })
}

fn table(editions: &Editions) -> String {
    let mut out = "\nLOAD, A\n".to_owned();
    let methods = [Method::Standard, Method::Optional, Method::Existing, Method::Measured, Method::TwoFamily];
    let _ = write!(out, "  {:<22}", "method");
    for row in &editions.rows {
        let _ = write!(out, "{:>9}", row.edition.to_string());
    }
    out.push('\n');
    for method in methods {
        let of = |row: &study::code::EditionRow| {
            row.loads.rows().find(|(_, one)| one.method == method).map(|(_, one)| match &one.sheet {
                Ok(sheet) => format!("{:.0}", sheet.load_a),
                Err(study::code::Blocked::Refused(_)) => "refused".to_owned(),
                Err(study::code::Blocked::Ask(_)) => "ask".to_owned(),
                Err(_) => "-".to_owned(),
            })
        };
        let cells: Vec<Option<String>> = editions.rows.iter().map(of).collect();
        if cells.iter().all(Option::is_none) {
            continue;
        }
        let _ = write!(out, "  {:<22}", method.to_string());
        for cell in cells {
            let _ = write!(out, "{:>9}", cell.unwrap_or_default());
        }
        out.push('\n');
    }
    out.push_str("\nWHAT THEY ASK DIFFERENTLY\n");
    if !editions.asks.iter().any(AskedUnder::differs) {
        out.push_str("  nothing, by what is on record; say in `[site]` what is planned\n");
    }
    for asked in editions.asks.iter().filter(|asked| asked.differs()) {
        let _ = writeln!(out, "  {}", asked.title);
        let mut since: Option<(&str, Vec<String>)> = None;
        for (finding, row) in asked.findings.iter().zip(&editions.rows) {
            let word = finding.as_ref().map_or("does not come up", |finding| answer_word(&finding.answer));
            match &mut since {
                Some((same, years)) if *same == word => years.push(row.edition.to_string()),
                _ => {
                    if let Some((word, years)) = since.take() {
                        out.push_str(&wrapped(&format!("{}: {word}", years.join(", ")), "      "));
                    }
                    since = Some((word, vec![row.edition.to_string()]));
                }
            }
        }
        if let Some((word, years)) = since {
            out.push_str(&wrapped(&format!("{}: {word}", years.join(", ")), "      "));
        }
    }
    let same = editions.asks.iter().filter(|asked| !asked.differs()).count();
    let _ = writeln!(out, "\n  {same} further points are answered alike by all that are answered for.");
    for (idx, row) in editions.rows.iter().enumerate() {
        let n = editions.asks.iter().filter(|asked| asked.is_refused(idx)).count();
        if 0 < n {
            let text = format!(
                "{}: {n} of {} points are refused, their text was not verified.",
                row.edition,
                editions.asks.len()
            );
            out.push_str(&wrapped(&text, "  "));
        }
    }
    out
}
