//! `panelwright export`.

use crate::args::Global;
use crate::failure::{Ending, Failure};
use crate::screen::Screen;
use clap::Args;
use serde_json::json;
use std::path::PathBuf;
use store::{Give, JobFile, Store};

/// Write one job of a data folder into one file that is read without this program.
///
/// A ZIP with the job file, every fact as a line of JSON, the photos, and a text that says what is what. Photos are
/// given upright and without the place where they were taken, unless the originals are asked for.
#[derive(Debug, Args)]
#[command(after_long_help = "\
Examples:
  panelwright export Q-0117 Q-0117.zip
  panelwright export Q-0117 own.zip --originals   for your own other machine")]
pub(crate) struct ExportArgs {
    /// The job.
    #[arg(value_name = "JOB")]
    job: String,

    /// File to write; one that is there already is not written over.
    #[arg(value_name = "FILE")]
    file: PathBuf,

    /// The data folder.
    #[arg(long, value_name = "FOLDER", default_value = super::DATA)]
    data: PathBuf,

    #[command(flatten)]
    rows: super::rows::Rows,

    /// Give the photos as they were taken, with place and time in them.
    #[arg(long)]
    originals: bool,
}

pub(crate) fn run(args: &ExportArgs, global: &Global, screen: &mut Screen) -> Result<Ending, Failure> {
    let give = if args.originals { Give::Originals } else { Give::Pages };
    let exported = super::runtime()?.block_on(async {
        let store = Store::open_reading(&args.data, args.rows.options()).await?;
        let exported = store.export_job(&args.job, give, &args.file).await;
        store.close().await;
        exported
    })?;
    let job_file = match exported.job_file {
        JobFile::All => "with every fact",
        JobFile::Used => "with the facts that are used; others contradict them and stand in facts.jsonl",
        JobFile::Unfinished => "unfinished: `panelwright check` says what is missing",
        JobFile::None => "none: no fact opens the job yet",
    };
    if global.json {
        let left_out: Vec<_> =
            exported.left_out.iter().map(|(photo, why)| json!({ "photo": photo, "why": why })).collect();
        let line = json!({
            "written": args.file.display().to_string(),
            "job": args.job,
            "bytes": exported.bytes,
            "facts": exported.n_facts,
            "photos": exported.n_photos,
            "left_out": left_out,
            "job_file": job_file,
        });
        screen.line(&line.to_string())?;
        return Ok(Ending::Fine);
    }
    let (file, facts, photos) = (args.file.display(), exported.n_facts, exported.n_photos);
    screen.line(&format!("{file}: {facts} facts, {photos} photos; job file {job_file}"))?;
    for (photo, why) in &exported.left_out {
        screen.line(&format!("  left out: photo {photo}: {why}"))?;
    }
    Ok(Ending::Fine)
}
