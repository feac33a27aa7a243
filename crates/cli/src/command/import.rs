//! `panelwright import`.

use crate::args::Global;
use crate::failure::{Ending, Failure};
use crate::input::Source;
use crate::outcome::{Read, day};
use crate::screen::Screen;
use clap::Args;
use model::Date;
use serde_json::json;
use std::fs::File;
use std::io::Read as _;
use std::path::{Path, PathBuf};
use store::{Appended, Store};

/// Take a job into a data folder: an exported ZIP, or a job file.
///
/// Facts and photos that are there already are not stored again, so a file may be taken in as often as one likes.
/// A file with an error is refused whole. The bench must not be served from the folder meanwhile.
#[derive(Debug, Args)]
#[command(after_long_help = "\
Examples:
  panelwright import Q-0117.zip
  panelwright import my-job.toml --data /srv/bench")]
pub(crate) struct ImportArgs {
    /// ZIP written by `export` or by the bench, or a job file (TOML or JSON).
    #[arg(value_name = "FILE")]
    file: PathBuf,

    /// The data folder; made where it is missing.
    #[arg(long, value_name = "FOLDER", default_value = super::DATA)]
    data: PathBuf,

    #[command(flatten)]
    rows: super::rows::Rows,
}

/// What was taken in.
struct Taken {
    job: String,
    n_facts: usize,
    n_photos: usize,
}

pub(crate) fn run(args: &ImportArgs, global: &Global, screen: &mut Screen) -> Result<Ending, Failure> {
    let runtime = super::runtime()?;
    let taken = if is_zip(&args.file)? {
        let imported = runtime.block_on(async {
            let store = Store::open_as(&args.data, args.rows.options()).await?;
            let imported = store.import_job(&args.file).await;
            store.close().await;
            imported
        })?;
        Taken { job: imported.job, n_facts: imported.n_new_facts, n_photos: imported.n_new_photos }
    } else {
        let read = Read::of(&Source::File(args.file.clone()), day(global));
        let Some(job) = &read.job else {
            if global.json {
                screen.line(&study::json::failure(&read.name, read.problems_out()))?;
            } else {
                screen.text(&read.problems_text(screen.coloured()))?;
                screen.line(&format!("{}: not taken in", read.name))?;
            }
            return Ok(read.ending());
        };
        let name = job.id.clone();
        let appended = runtime.block_on(async {
            let store = Store::open_as(&args.data, args.rows.options()).await?;
            let appended = append(&store, &read.name, &read.text, &name, day(global)).await;
            store.close().await;
            appended
        })?;
        Taken { job: name, n_facts: if appended.already { 0 } else { appended.new }, n_photos: 0 }
    };
    if global.json {
        let line = json!({
            "file": args.file.display().to_string(),
            "job": taken.job,
            "new_facts": taken.n_facts,
            "new_photos": taken.n_photos,
        });
        screen.line(&line.to_string())?;
    } else {
        let (file, Taken { job, n_facts, n_photos }) = (args.file.display(), taken);
        screen.line(&format!("{file}: job {job}, {n_facts} new facts, {n_photos} new photos"))?;
    }
    Ok(Ending::Fine)
}

/// Appends the facts of a job file that has no error. The name of the entry comes from the text: taken in twice, it
/// is stored once.
pub(crate) async fn append(
    store: &Store,
    name: &str,
    text: &str,
    job: &str,
    today: Date,
) -> Result<Appended, store::Error> {
    let facts = record::read_job(name, text, today).facts;
    let entry = format!("file-{}", &store::sha256(text.as_bytes())[..32]);
    store.append(job, &entry, None, &facts).await
}

fn is_zip(path: &Path) -> Result<bool, Failure> {
    let unread = |source| Failure::Read { path: path.to_owned(), source };
    let mut start = [0; 2];
    let mut file = File::open(path).map_err(unread)?;
    Ok(file.read(&mut start).map_err(unread)? == 2 && start == *b"PK")
}
