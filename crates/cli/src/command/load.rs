//! `panelwright load`.

use super::code::{self, CodeArgs, Told, foot, head};
use crate::args::Global;
use crate::failure::{Ending, Failure};
use crate::outcome::day;
use crate::screen::Screen;
use crate::show::code::{side_by_side, workings_of};
use clap::Args;
use std::fs;
use std::path::{Path, PathBuf};
use study::{Document, Press};

/// Compute the load of a dwelling by every method of the edition, side by side.
///
/// For each method the load, the rating it asks for, the neutral, what is left of the service and what would exceed it,
/// other readings of what is disputed, and the full working with section and standing of every value. What is not known
/// is asked by name, never assumed; what the edition's text was not verified for is refused.
#[derive(Debug, Args)]
#[command(after_long_help = "\
Examples:
  panelwright load my-job.toml
      under the code that the job file says is adopted
  panelwright load my-job.toml --edition 2020 --summary
      under one edition, without the workings
  panelwright load my-job.toml --summary --out permit
      and the papers for a permit into the folder `permit`
  panelwright load my-job.toml --json
      for another program")]
pub(crate) struct LoadArgs {
    /// A job file, or `-` for standard input.
    #[arg(value_name = "FILE")]
    file: PathBuf,

    #[command(flatten)]
    code: CodeArgs,

    /// Without the workings.
    #[arg(long)]
    summary: bool,

    /// Folder to write the papers for a permit into: load sheet (PDF, text) and one-line diagram (SVG, PDF, text).
    #[arg(long, value_name = "FOLDER")]
    out: Option<PathBuf>,
}

pub(crate) fn run(args: &LoadArgs, global: &Global, screen: &mut Screen) -> Result<Ending, Failure> {
    code::run(&args.file, &args.code, global, screen, |job, law| {
        let loads = study::code::loads(law, job);
        let mut text = head("LOAD", job);
        text.push_str(&crate::show::code::wrapped(&format!("By {}", loads.law), ""));
        text.push_str(&side_by_side(&loads));
        if !args.summary {
            text.push_str(&workings_of(&loads));
        }
        text.push_str(&foot());
        let mut written = Vec::new();
        if let Some(folder) = &args.out {
            let documents = study::code::permit_papers(law, job, day(global), &Press::new())?;
            written = write(folder, documents)?;
            for path in &written {
                text.push_str(&format!("{path}\n"));
            }
        }
        let mut json = study::code::json::loads(&loads);
        json["written"] = written.into();
        Ok(Told { text, json })
    })
}

/// Writes files into a folder, which is made where it is missing, and gives their paths.
pub(crate) fn write(folder: &Path, documents: Vec<Document>) -> Result<Vec<String>, Failure> {
    fs::create_dir_all(folder).map_err(|source| Failure::Write { path: folder.to_path_buf(), source })?;
    let mut written = Vec::new();
    for document in documents {
        let path = folder.join(&document.file_name);
        fs::write(&path, &document.bytes).map_err(|source| Failure::Write { path: path.clone(), source })?;
        written.push(path.display().to_string());
    }
    Ok(written)
}
