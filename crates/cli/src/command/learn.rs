//! `panelwright learn`.

use crate::args::Global;
use crate::failure::{Ending, Failure};
use crate::input;
use crate::outcome::{Read, settings};
use crate::screen::{Progress, Screen};
use crate::threads::AllCores;
use clap::Args;
use std::path::PathBuf;
use study::shop::OpenedJob;

/// Count what opened panels say: how often each sign was there, and how predictions stood to what was found.
///
/// Writes a file for `--experience`, which is read and changed by hand where need be. Only openings that stand on a proof
/// count. Each job is judged as it was before its first opening, by the program's own chances; signs are counted on
/// panels whose stabs were all opened. A chance of the program weighs as much as ten joints counted here. Invented jobs
/// count only where no others are there. Nothing is counted by make, and no place or person is in the file.
#[derive(Debug, Args)]
#[command(after_long_help = "\
Examples:
  panelwright learn jobs/ > shop-experience.toml
  panelwright assess my-job.toml --experience shop-experience.toml
  panelwright learn jobs/ --json")]
pub(crate) struct LearnArgs {
    /// Job files, folders of job files, or `-` for standard input.
    #[arg(required = true, value_name = "FILE|FOLDER")]
    files: Vec<PathBuf>,
}

pub(crate) fn run(args: &LearnArgs, global: &Global, screen: &mut Screen) -> Result<Ending, Failure> {
    let settings = settings(global)?;
    let sources = input::sources(&args.files)?;
    let mut worst = Ending::Fine;
    let mut opened = Vec::new();
    for source in &sources {
        let read = Read::of(source, settings.day);
        worst = worst.max(read.ending());
        eprint!("{}", read.problems_text(false));
        if let Some(job) = read.job {
            opened.extend(OpenedJob::of(&job, &read.facts));
        }
    }
    let progress = Progress::of(opened.len());
    let experience = study::shop::learn(&opened, &settings, &AllCores, |n_done| progress.done(n_done))?;
    if global.json {
        screen.line(&serde_json::to_string(&experience).unwrap_or_default())?;
    } else if experience.is_empty() {
        screen.line("# No joint was opened with its part proven dead: nothing to count.")?;
    } else {
        screen.text(&experience.write())?;
    }
    Ok(worst)
}
