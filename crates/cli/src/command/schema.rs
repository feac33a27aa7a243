//! `panelwright schema`.

use crate::args::Global;
use crate::failure::{Ending, Failure};
use crate::screen::Screen;
use clap::{Args, ValueEnum};
use study::Policy;

/// Print the form of job files, of assessments, or the standard policy.
///
/// `job` and `assessment` are JSON Schemas: editors use the first to help while a job file is written, programs use
/// the second to read `assess --json`. `policy` is the standard policy as a commented file, to copy and change.
#[derive(Debug, Args)]
#[command(after_long_help = "\
Examples:
  panelwright schema > job.schema.json
  panelwright schema assessment
  panelwright schema policy > shop.toml
      then: panelwright assess --policy shop.toml my-job.toml")]
pub(crate) struct SchemaArgs {
    /// Which form.
    #[arg(value_enum, default_value = "job")]
    of: Form,
}

/// Forms that can be printed.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
enum Form {
    /// Job files.
    Job,
    /// Lines of `assess --json`.
    Assessment,
    /// The standard policy.
    Policy,
}

pub(crate) fn run(args: &SchemaArgs, global: &Global, screen: &mut Screen) -> Result<Ending, Failure> {
    let schema = match args.of {
        Form::Job => record::schema(),
        Form::Assessment => study::json::schema(),
        Form::Policy => {
            screen.text(Policy::standard_text())?;
            return Ok(Ending::Fine);
        }
    };
    screen.line(&if global.json { schema.to_string() } else { format!("{schema:#}") })?;
    Ok(Ending::Fine)
}
