//! `panelwright prove`.

use super::code::{Told, head, with_job};
use super::load::write;
use crate::args::Global;
use crate::failure::{Ending, Failure};
use crate::outcome::day;
use crate::screen::Screen;
use crate::show::install;
use clap::Args;
use std::path::PathBuf;
use study::Press;

/// Say how a new panel stands: what may be switched on, what is tightened, what does not agree.
///
/// No branch is offered before the readings that come first are on record and plausible; then block by block with the
/// current of each leg. Every termination has its torque with the source of the value, tool, calibration and person, or
/// is listed as missing. First readings are held against new ones at equal load, or the reasons why not are told.
#[derive(Debug, Args)]
#[command(after_long_help = "\
Examples:
  panelwright prove my-job.toml
      how the new panel stands now, for whoever comes next
  panelwright prove my-job.toml --out handover
      and pull list, switching-on sheet, directory card, close-out packet, look-back sheet, state now
  panelwright prove my-job.toml --json
      for another program")]
pub(crate) struct ProveArgs {
    /// A job file, or `-` for standard input.
    #[arg(value_name = "FILE")]
    file: PathBuf,

    /// Folder to write the papers into (PDF and text).
    #[arg(long, value_name = "FOLDER")]
    out: Option<PathBuf>,
}

pub(crate) fn run(args: &ProveArgs, global: &Global, screen: &mut Screen) -> Result<Ending, Failure> {
    with_job(&args.file, global, screen, |job| {
        let proven = study::install::prove(job);
        let mut text = head("NEW PANEL", job);
        text.push_str(&install::text(&proven));
        let mut written = Vec::new();
        if let Some(folder) = &args.out {
            written = write(folder, study::install::install_papers(job, day(global), &Press::new())?)?;
            text.push('\n');
            for path in &written {
                text.push_str(&format!("{path}\n"));
            }
        }
        let mut json = install::json(&proven);
        json["written"] = written.into();
        Ok(Ok(Told { text, json }))
    })
}
