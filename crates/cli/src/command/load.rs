//! `panelwright load`.

use super::code::{self, CodeArgs, Told, foot, head};
use crate::args::Global;
use crate::failure::{Ending, Failure};
use crate::screen::Screen;
use crate::show::code::{side_by_side, workings_of};
use clap::Args;
use std::path::PathBuf;

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
        Told { text, json: study::code::json::loads(&loads) }
    })
}
