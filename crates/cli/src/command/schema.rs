//! `panelwright schema`.

use crate::args::Global;
use crate::failure::{Ending, Failure};
use crate::screen::Screen;
use clap::{Args, ValueEnum};
use study::code::{Book, Profile};
use study::{Policy, PriceBook};

/// Print the form of job files, of assessments, or a file of the shop to copy and change.
///
/// `job` and `assessment` are JSON Schemas: editors use the first to help while a job file is written, programs use
/// the second to read `assess --json`. The others are commented files to copy and change: `policy` is the standard
/// policy, `adoption` an example of what a place adopted, `refusals` what the code book refuses, where a person confirms
/// what was read in the code, `prices` the invented price book of the demo.
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
    /// Which edition a place adopted and what it changed; an invented city.
    Adoption,
    /// What the code book refuses, and what would enable it.
    Refusals,
    /// The invented price book of the demo.
    Prices,
}

pub(crate) fn run(args: &SchemaArgs, global: &Global, screen: &mut Screen) -> Result<Ending, Failure> {
    let schema = match args.of {
        Form::Job => record::schema(),
        Form::Assessment => study::json::schema(),
        Form::Adoption => {
            screen.text(Profile::example_text())?;
            return Ok(Ending::Fine);
        }
        Form::Refusals => {
            screen.text(Book::refusals_text())?;
            return Ok(Ending::Fine);
        }
        Form::Prices => {
            screen.text(PriceBook::demo_text())?;
            return Ok(Ending::Fine);
        }
        Form::Policy => {
            screen.text(Policy::standard_text())?;
            return Ok(Ending::Fine);
        }
    };
    screen.line(&if global.json { schema.to_string() } else { format!("{schema:#}") })?;
    Ok(Ending::Fine)
}
