//! `panelwright built`.

use super::code::{Told, head, with_job};
use super::shop::ShopArgs;
use crate::args::Global;
use crate::failure::{Ending, Failure};
use crate::outcome::day;
use crate::screen::Screen;
use crate::show::offer;
use clap::Args;
use std::path::PathBuf;

/// Hold what was built against what was quoted: hours from the ticked steps, parts used, and the quote that was given.
///
/// The hours come from the ticks in the job file (`[[tick]]`) or of the page of the day, the parts from `[[used]]`, the
/// quote from `[[quote]]`. Steps that nobody timed are named, and nothing is put in their place.
#[derive(Debug, Args)]
#[command(after_long_help = "\
Examples:
  panelwright built my-job.toml --book shop.csv
  panelwright built my-job.toml --json")]
pub(crate) struct BuiltArgs {
    /// A job file, or `-` for standard input.
    #[arg(value_name = "FILE")]
    file: PathBuf,

    #[command(flatten)]
    shop: ShopArgs,
}

pub(crate) fn run(args: &BuiltArgs, global: &Global, screen: &mut Screen) -> Result<Ending, Failure> {
    let today = day(global);
    with_job(&args.file, global, screen, |job| {
        let shop = match args.shop.read(today)? {
            Ok(shop) => shop,
            Err(ending) => return Ok(Err(ending)),
        };
        let built = study::built_of(job, &shop.book, today);
        let text = head("BUILT", job) + &offer::built(&built);
        Ok(Ok(Told { text, json: study::built_json(&built) }))
    })
}
