//! `panelwright check`.

use crate::args::Global;
use crate::failure::{Ending, Failure};
use crate::input;
use crate::outcome::{Read, day};
use crate::screen::Screen;
use clap::Args;
use serde_json::json;
use std::path::PathBuf;

/// Check job files without assessing them.
///
/// Every error is named at once, with its line, what is wrong and what would be right. A warning does not keep a
/// file from being assessed.
#[derive(Debug, Args)]
#[command(after_long_help = "\
Examples:
  panelwright check my-job.toml
  panelwright check jobs/           all job files of a folder
  panelwright check --json jobs/    for another program: one object a file
  panelwright check -               from standard input")]
pub(crate) struct CheckArgs {
    /// Job files, folders of job files, or `-` for standard input.
    #[arg(required = true, value_name = "FILE|FOLDER")]
    files: Vec<PathBuf>,
}

pub(crate) fn run(args: &CheckArgs, global: &Global, screen: &mut Screen) -> Result<Ending, Failure> {
    let today = day(global);
    let mut worst = Ending::Fine;
    for source in input::sources(&args.files)? {
        let read = Read::of(&source, today);
        worst = worst.max(read.ending());
        if global.json {
            screen.line(&line(&read))?;
        } else {
            screen.text(&read.problems_text(screen.coloured()))?;
            screen.line(&summary(&read))?;
        }
    }
    Ok(worst)
}

fn line(read: &Read) -> String {
    json!({
        "file": read.name,
        "ok": read.job.is_some(),
        "job": read.job.as_ref().map(|job| &job.id),
        "problems": read.problems_out(),
    })
    .to_string()
}

fn summary(read: &Read) -> String {
    let errors = read.problems.iter().filter(|problem| problem.is_error()).count()
        + usize::from(read.unread.is_some());
    let warnings = read.problems.len() + usize::from(read.unread.is_some()) - errors;
    let count = |number: usize, what: &str| match number {
        0 => format!("no {what}s"),
        1 => format!("1 {what}"),
        _ => format!("{number} {what}s"),
    };
    let counts = format!("{}, {}", count(errors, "error"), count(warnings, "warning"));
    match &read.job {
        Some(job) => {
            let panels = job.installation.panels.len();
            format!(
                "{}: in order: job {}, {}, {} ({counts})",
                read.name,
                job.id,
                count(panels, "panel"),
                count(job.observations.len(), "observation")
            )
        }
        None => format!("{}: cannot be used ({counts})", read.name),
    }
}
