//! `panelwright backup`.

use crate::args::Global;
use crate::failure::{Ending, Failure};
use crate::screen::Screen;
use clap::Args;
use serde_json::json;
use std::path::PathBuf;
use store::Store;

/// Write everything of a data folder into one file.
///
/// All jobs, photos and devices as they are at this moment, each with its hash. The bench may go on being served
/// meanwhile. A file that is there already is not written over.
#[derive(Debug, Args)]
#[command(after_long_help = "\
Examples:
  panelwright backup bench-2026-03-04.backup
  panelwright backup --data /srv/bench /mnt/disk/bench.backup")]
pub(crate) struct BackupArgs {
    /// File to write.
    #[arg(value_name = "FILE")]
    file: PathBuf,

    /// The data folder.
    #[arg(long, value_name = "FOLDER", default_value = super::DATA)]
    data: PathBuf,

    #[command(flatten)]
    rows: super::rows::Rows,
}

pub(crate) fn run(args: &BackupArgs, global: &Global, screen: &mut Screen) -> Result<Ending, Failure> {
    super::runtime()?.block_on(async {
        let store = Store::open_reading(&args.data, args.rows.options()).await?;
        let backup = store.backup(&args.file).await?;
        store.close().await;
        if global.json {
            let line = json!({
                "written": args.file.display().to_string(),
                "bytes": backup.bytes,
                "photos": backup.n_photos,
                "lacking": backup.lacking,
            });
            screen.line(&line.to_string())?;
        } else {
            let (file, bytes, photos) = (args.file.display(), backup.bytes, backup.n_photos);
            screen.line(&format!("{file}: {bytes} bytes, {photos} pictures of photos"))?;
            for lacking in &backup.lacking {
                screen.line(&format!("  not in it, its bytes are gone or damaged: {lacking}"))?;
            }
        }
        Ok(if backup.lacking.is_empty() { Ending::Fine } else { Ending::InputErrors })
    })
}
