//! `panelwright transfer`.

use crate::args::Global;
use crate::failure::{Ending, Failure};
use crate::screen::Screen;
use clap::Args;
use serde_json::json;
use std::path::PathBuf;
use store::{Bucket, Place};

/// Pictures after which it is told how many are done.
const TOLD: usize = 500;

/// Move a bench from its data folder to a PostgreSQL server, or back.
///
/// Copies every fact byte for byte, every receipt, photo, device, invitation and policy into a database that holds
/// nothing yet, reads each row back and compares. What is copied from stays as it is: stop serving it first, and put it
/// away afterwards, or two benches go on side by side.
///
/// A server has the rows; photos stay in a data folder. From a folder to a server the photos stay where they are unless
/// --photos names another folder; from a server to a folder --photos names the one that has them. A bucket has them where
/// --from-bucket or --to-bucket says so. With the same rows at both ends only the photos are copied. A copy that broke off goes
/// on when it is started again.
#[derive(Debug, Args)]
#[command(after_long_help = "\
Examples:
  panelwright transfer panelwright-data postgres://panelwright@localhost/shop
  panelwright serve --data panelwright-data --database postgres://panelwright@localhost/shop
  panelwright transfer postgres://panelwright@localhost/shop bench-again --photos panelwright-data
  panelwright transfer panelwright-data panelwright-data --to-bucket s3://bench/photos
  panelwright serve --data panelwright-data --photos s3://bench/photos
  panelwright transfer panelwright-data bench-again --from-bucket s3://bench/photos")]
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

    /// Bucket that has the photos to copy from, `s3://bucket/prefix`; its keys and its address are taken from the environment:
    /// AWS_ACCESS_KEY_ID, AWS_SECRET_ACCESS_KEY, AWS_ENDPOINT_URL, AWS_REGION.
    #[arg(long, value_name = "BUCKET")]
    from_bucket: Option<String>,

    /// Bucket to copy the photos to, with the same keys.
    #[arg(long, value_name = "BUCKET")]
    to_bucket: Option<String>,
}

impl TransferArgs {
    /// The place of one end; `other` is the other end.
    fn place(&self, end: &str, other: &str, bucket: Option<&String>) -> Place {
        let bucket = bucket.map(|address| Bucket::from_env(address));
        if !end.starts_with("postgres") {
            return Place { folder: PathBuf::from(end), database: None, bucket };
        }
        // Between two servers without --photos there is no folder of the rows: the usual one has what else there is.
        let other = if other.starts_with("postgres") { super::DATA } else { other };
        let folder = self.photos.clone().unwrap_or_else(|| PathBuf::from(other));
        Place { folder, database: Some(end.to_owned()), bucket }
    }
}

pub(crate) fn run(args: &TransferArgs, global: &Global, screen: &mut Screen) -> Result<Ending, Failure> {
    let from = args.place(&args.from, &args.to, args.from_bucket.as_ref());
    let to = args.place(&args.to, &args.from, args.to_bucket.as_ref());
    let tell = |done: usize, of: usize| {
        if done.is_multiple_of(TOLD) || done == of {
            eprintln!("transfer: {done} of {of} pictures");
        }
    };
    let moved = super::runtime()?.block_on(store::transfer(&from, &to, tell))?;
    let photos = moved.photos.clone().unwrap_or_default();
    if global.json {
        let rows: serde_json::Map<_, _> =
            moved.rows.iter().map(|(table, n)| ((*table).to_owned(), json!(n))).collect();
        let line = json!({
            "rows": rows,
            "photos": photos.n_copied,
            "photos_there": photos.n_there,
            "lacking": photos.lacking,
        });
        screen.line(&line.to_string())?;
    } else {
        for (table, n) in &moved.rows {
            screen.line(&format!("{table}: {n} rows, read back and found the same"))?;
        }
        if moved.rows.is_empty() {
            screen.line("rows: stay where they are")?;
        }
        match &moved.photos {
            None => screen.line("photos: stay where they are")?,
            Some(photos) if 0 < photos.n_there => screen.line(&format!(
                "photos: {} pictures copied, {} were there already",
                photos.n_copied, photos.n_there
            ))?,
            Some(photos) => screen.line(&format!("photos: {} pictures copied", photos.n_copied))?,
        }
        for lacking in &photos.lacking {
            screen.line(&format!("  not copied, its bytes are gone or damaged: {lacking}"))?;
        }
    }
    Ok(if photos.lacking.is_empty() { Ending::Fine } else { Ending::InputErrors })
}
