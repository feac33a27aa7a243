//! `panelwright transfer`.

use crate::args::Global;
use crate::failure::{Ending, Failure};
use crate::screen::Screen;
use clap::Args;
use serde_json::json;
use std::path::PathBuf;
use store::Place;

/// Move a bench from its data folder to a PostgreSQL server, or back.
///
/// Copies every fact byte for byte, every receipt, photo, device, invitation and policy into a database that holds
/// nothing yet, reads each row back and compares. What is copied from stays as it is: stop serving it first, and put it
/// away afterwards, or two benches go on side by side.
///
/// A server has the rows; photos stay in a data folder. From a folder to a server the photos stay where they are unless
/// --photos names another folder; from a server to a folder --photos names the one that has them.
#[derive(Debug, Args)]
#[command(after_long_help = "\
Examples:
  panelwright transfer panelwright-data postgres://panelwright@localhost/shop
  panelwright serve --data panelwright-data --database postgres://panelwright@localhost/shop
  panelwright transfer postgres://panelwright@localhost/shop bench-again --photos panelwright-data")]
pub(crate) struct TransferArgs {
    /// Data folder or `postgres://` address to copy from.
    #[arg(value_name = "FROM")]
    from: String,

    /// Data folder or `postgres://` address to copy to.
    #[arg(value_name = "TO")]
    to: String,

    /// Data folder with the photos of the server.
    #[arg(long, value_name = "FOLDER")]
    photos: Option<PathBuf>,
}

impl TransferArgs {
    /// The place of one end; `other` is the other end.
    fn place(&self, end: &str, other: &str) -> Place {
        if !end.starts_with("postgres") {
            return Place { folder: PathBuf::from(end), database: None };
        }
        let folder = self.photos.clone().unwrap_or_else(|| PathBuf::from(other));
        Place { folder, database: Some(end.to_owned()) }
    }
}

pub(crate) fn run(args: &TransferArgs, global: &Global, screen: &mut Screen) -> Result<Ending, Failure> {
    let (from, to) = (args.place(&args.from, &args.to), args.place(&args.to, &args.from));
    let moved = super::runtime()?.block_on(store::transfer(&from, &to))?;
    if global.json {
        let rows: serde_json::Map<_, _> =
            moved.rows.iter().map(|(table, n)| ((*table).to_owned(), json!(n))).collect();
        let line = json!({ "rows": rows, "photos": moved.n_photos, "lacking": moved.lacking });
        screen.line(&line.to_string())?;
    } else {
        for (table, n) in &moved.rows {
            screen.line(&format!("{table}: {n} rows, read back and found the same"))?;
        }
        match moved.n_photos {
            0 => screen.line("photos: stay where they are")?,
            n => screen.line(&format!("photos: {n} pictures copied"))?,
        }
        for lacking in &moved.lacking {
            screen.line(&format!("  not copied, its bytes are gone or damaged: {lacking}"))?;
        }
    }
    Ok(if moved.lacking.is_empty() { Ending::Fine } else { Ending::InputErrors })
}
