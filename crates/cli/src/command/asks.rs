//! `panelwright asks`.

use super::code::{self, CodeArgs, Told, foot, head};
use crate::args::Global;
use crate::failure::{Ending, Failure};
use crate::screen::Screen;
use crate::show::code::{finding, wrapped};
use clap::Args;
use std::path::PathBuf;

/// Say what the edition asks of the panel and its replacement.
///
/// Each point as required, not required, depends on a question, inspector's call or refused, with section and standing.
/// What is planned and how the place looks comes from `[site]` of the job file, the rest from panels and breakers.
#[derive(Debug, Args)]
#[command(after_long_help = "\
Examples:
  panelwright asks my-job.toml
  panelwright asks my-job.toml --edition 2023
  panelwright asks my-job.toml --json")]
pub(crate) struct AsksArgs {
    /// A job file, or `-` for standard input.
    #[arg(value_name = "FILE")]
    file: PathBuf,

    #[command(flatten)]
    code: CodeArgs,
}

pub(crate) fn run(args: &AsksArgs, global: &Global, screen: &mut Screen) -> Result<Ending, Failure> {
    code::run(&args.file, &args.code, global, screen, |job, law| {
        let findings = study::code::asks(law, job);
        let mut text = head("WHAT THE CODE ASKS", job);
        text.push_str(&wrapped(&format!("By {}", law.chosen()), ""));
        text.push('\n');
        for one in &findings {
            text.push_str(&finding(one));
        }
        text.push_str(&foot());
        Ok(Told { text, json: study::code::json::asks(law.chosen(), &findings) })
    })
}
