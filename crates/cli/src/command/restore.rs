//! `panelwright restore`.

use crate::args::Global;
use crate::failure::{Ending, Failure};
use crate::screen::Screen;
use clap::Args;
use serde_json::json;
use std::path::PathBuf;

/// Make a data folder from a backup.
///
/// Every hash is verified before anything is written. The folder must be empty or not exist: nothing is written
/// over. Devices that had joined are in again.
#[derive(Debug, Args)]
#[command(after_long_help = "\
Example:
  panelwright restore bench-2026-03-04.backup --data /srv/bench-restored")]
pub(crate) struct RestoreArgs {
    /// The backup.
    #[arg(value_name = "FILE")]
    file: PathBuf,

    /// The data folder to make.
    #[arg(long, value_name = "FOLDER", default_value = super::DATA)]
    data: PathBuf,
}

pub(crate) fn run(args: &RestoreArgs, global: &Global, screen: &mut Screen) -> Result<Ending, Failure> {
    let restored = super::runtime()?.block_on(store::restore(&args.file, &args.data))?;
    if global.json {
        let line = json!({
            "restored": args.data.display().to_string(),
            "made": restored.made,
            "program": restored.program,
            "photos": restored.n_photos,
            "lacking": restored.lacking,
        });
        screen.line(&line.to_string())?;
        return Ok(Ending::Fine);
    }
    let (folder, made, photos) = (args.data.display(), &restored.made, restored.n_photos);
    screen.line(&format!("{folder}: restored from the backup of {made}, {photos} pictures of photos"))?;
    for lacking in &restored.lacking {
        screen.line(&format!("  was not in the backup: {lacking}"))?;
    }
    screen.line(&format!("Serve it: panelwright serve --data {folder}"))?;
    Ok(Ending::Fine)
}
