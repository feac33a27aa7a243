//! `panelwright permit`.

use super::code::{self, CodeArgs, Told, foot, head};
use super::load::write;
use crate::args::Global;
use crate::failure::{Ending, Failure};
use crate::outcome::day;
use crate::screen::Screen;
use clap::Args;
use std::path::PathBuf;
use study::Press;

/// Write the permit set: one PDF with bookmarks, and the same as text.
///
/// Scope, load calculation, one-line diagram, schedule from the old panel to the new one, grounding and bonding, fault
/// current, and notes with their citations. What the code book refuses stays refused, and the first page says so.
#[derive(Debug, Args)]
#[command(after_long_help = "\
Examples:
  panelwright permit my-job.toml
      under the code that the job file says is adopted, into the folder `permit`
  panelwright permit my-job.toml --edition 2020 --out to-file")]
pub(crate) struct PermitArgs {
    /// A job file, or `-` for standard input.
    #[arg(value_name = "FILE")]
    file: PathBuf,

    #[command(flatten)]
    code: CodeArgs,

    /// Folder to write into; made where it is missing.
    #[arg(long, value_name = "FOLDER", default_value = "permit")]
    out: PathBuf,
}

pub(crate) fn run(args: &PermitArgs, global: &Global, screen: &mut Screen) -> Result<Ending, Failure> {
    code::run(&args.file, &args.code, global, screen, |job, law| {
        let documents = study::install::permit_set(law, job, day(global), &Press::new())?;
        let written = write(&args.out, documents)?;
        let mut text = head("PERMIT SET", job);
        text.push_str(&crate::show::code::wrapped(&format!("By {}", law.chosen()), ""));
        for path in &written {
            text.push_str(&format!("{path}\n"));
        }
        text.push_str(&foot());
        Ok(Told { text, json: serde_json::json!({ "written": written }) })
    })
}
