//! `panelwright assess`.

use crate::args::Global;
use crate::failure::{Ending, Failure};
use crate::input;
use crate::outcome::{Assessed, settings};
use crate::screen::{Progress, Screen};
use crate::show;
use clap::Args;
use rayon::iter::{IntoParallelRefIterator, ParallelIterator};
use std::path::PathBuf;
use std::sync::atomic::{AtomicUsize, Ordering};
use study::Policy;

/// Files that are assessed before their results are written, so that a large folder neither waits nor piles up.
const N_AT_ONCE: usize = 32;

/// Assess jobs: how likely each joint is burnt, why, and what may be done.
///
/// The text starts with the verdict in one line, then the suspect joints with their reasons, a sketch of the panel,
/// causes of each complaint side by side, the next checks with the exposure they need, the options, and cautions.
///
/// A file with errors does not stop the others. Results come in the order in which the files were named.
#[derive(Debug, Args)]
#[command(after_long_help = "\
Examples:
  panelwright assess my-job.toml
  panelwright assess jobs/
      all job files of a folder
  panelwright assess --json jobs/ > out.jsonl
      one object a line; a bad file gives an object with `file` and `errors`
  panelwright assess --seed 7 my-job.toml
      another seed: figures move within the sampling error that is printed
  panelwright assess --policy shop.toml -
      the shop's policy, the job from standard input")]
pub(crate) struct AssessArgs {
    /// Job files, folders of job files, or `-` for standard input.
    #[arg(required = true, value_name = "FILE|FOLDER")]
    files: Vec<PathBuf>,
}

pub(crate) fn run(args: &AssessArgs, global: &Global, screen: &mut Screen) -> Result<Ending, Failure> {
    let settings = settings(global)?;
    let sources = input::sources(&args.files)?;
    let progress = Progress::of(sources.len());
    let n_done = AtomicUsize::new(0);
    let mut worst = Ending::Fine;
    for (idx, chunk) in sources.chunks(N_AT_ONCE).enumerate() {
        let assess = |source| {
            let assessed = Assessed::of(source, &settings);
            progress.done(n_done.fetch_add(1, Ordering::Relaxed) + 1);
            assessed
        };
        let all: Vec<Assessed> = chunk.par_iter().map(assess).collect();
        for (number, assessed) in all.iter().enumerate() {
            worst = worst.max(assessed.ending());
            if global.json {
                screen.line(&assessed.json())?;
                continue;
            }
            if 0 < idx + number {
                screen.line("")?;
            }
            print(assessed, &settings.policy, screen)?;
        }
        screen.finish()?;
    }
    Ok(worst)
}

/// Writes one result for people; warnings and errors go where the reader looks for the result.
pub(crate) fn print(assessed: &Assessed, policy: &Policy, screen: &mut Screen) -> Result<(), Failure> {
    let coloured = screen.coloured();
    screen.text(&assessed.errors_text(coloured))?;
    match assessed.done() {
        Some((job, assessment)) => screen.text(&show::assessment(job, assessment, policy)),
        None => screen.line(&format!("{}: not assessed", assessed.read.name)),
    }
}
