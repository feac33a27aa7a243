//! `panelwright papers`.

use crate::args::Global;
use crate::failure::{Ending, Failure};
use crate::input;
use crate::outcome::{Assessed, settings};
use crate::screen::Screen;
use clap::Args;
use model::assessment::Assessment;
use model::job::Job;
use std::collections::BTreeSet;
use std::fs;
use std::path::{Path, PathBuf};
use study::Press;
use study::json::{self, ProblemOut};

/// Write the papers of jobs: owner's letter, technical record, drawing.
///
/// The letter and the record are written as PDF and as plain text, the drawing of each panel as SVG. The same file,
/// day, policy and seed give the same bytes. Files of the same name are replaced.
#[derive(Debug, Args)]
#[command(after_long_help = "\
Examples:
  panelwright papers my-job.toml               into the folder `papers`
  panelwright papers jobs/ --out to-print
  panelwright papers --day 2026-03-04 my-job.toml")]
pub(crate) struct PapersArgs {
    /// Job files, folders of job files, or `-` for standard input.
    #[arg(required = true, value_name = "FILE|FOLDER")]
    files: Vec<PathBuf>,

    /// Folder to write into; made where it is missing.
    #[arg(long, value_name = "FOLDER", default_value = "papers")]
    out: PathBuf,
}

pub(crate) fn run(args: &PapersArgs, global: &Global, screen: &mut Screen) -> Result<Ending, Failure> {
    let settings = settings(global)?;
    let sources = input::sources(&args.files)?;
    let press = Press::new();
    let mut worst = Ending::Fine;
    let mut taken = BTreeSet::new();
    for source in &sources {
        let assessed = Assessed::of(source, &settings);
        worst = worst.max(assessed.ending());
        let Some((job, assessment)) = assessed.done() else {
            if global.json {
                screen.line(&assessed.json())?;
            } else {
                screen.text(&assessed.errors_text(screen.coloured()))?;
                screen.line(&format!("{}: no papers", assessed.read.name))?;
            }
            continue;
        };
        if !taken.insert(as_in_names(&job.id)) {
            worst = worst.max(Ending::InputErrors);
            let message =
                format!("another file of this run has the job `{}` as well; its papers stay", job.id);
            if global.json {
                screen.line(&json::failure(
                    &assessed.read.name,
                    vec![ProblemOut::other("same-job", message)],
                ))?;
            } else {
                screen.line(&format!("{}: error[same-job]: {message}", assessed.read.name))?;
            }
            continue;
        }
        let written = write(job, assessment, &press, &args.out)?;
        if global.json {
            let written: Vec<String> = written.iter().map(|path| path.display().to_string()).collect();
            let line = serde_json::json!({ "file": assessed.read.name, "job": job.id, "written": written });
            screen.line(&line.to_string())?;
        } else {
            screen.text(&assessed.errors_text(screen.coloured()))?;
            for path in written {
                screen.line(&path.display().to_string())?;
            }
        }
        screen.finish()?;
    }
    Ok(worst)
}

/// The job's id as far as names of files tell it apart from others.
fn as_in_names(id: &str) -> String {
    id.to_lowercase()
        .chars()
        .map(|letter| if letter.is_ascii_alphanumeric() { letter } else { '-' })
        .collect()
}

/// Writes the papers of a job and gives their paths.
pub(crate) fn write(
    job: &Job,
    assessment: &Assessment,
    press: &Press,
    folder: &Path,
) -> Result<Vec<PathBuf>, Failure> {
    fs::create_dir_all(folder).map_err(|source| Failure::Write { path: folder.to_path_buf(), source })?;
    let mut written = Vec::new();
    for document in study::papers(job, assessment, press, None)? {
        let path = folder.join(&document.file_name);
        fs::write(&path, &document.bytes).map_err(|source| Failure::Write { path: path.clone(), source })?;
        written.push(path);
    }
    Ok(written)
}
