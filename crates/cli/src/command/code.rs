//! What the commands of the code book share: which code holds, and how a job is told under it.

use crate::args::Global;
use crate::failure::{Ending, Failure};
use crate::input::Source;
use crate::outcome::{Read, day};
use crate::screen::Screen;
use clap::Args;
use model::job::Job;
use serde_json::Value;
use std::fs;
use std::path::{Path, PathBuf};
use study::code::{BadData, Book, CAUTIONS, Chosen, Edition, Law, Profile};

/// Which code is used.
#[derive(Debug, Args)]
pub(crate) struct CodeArgs {
    /// Edition to compute under, without local amendments. Left out: the adoption in the job file; without one nothing
    /// is computed.
    #[arg(long, value_name = "YEAR")]
    edition: Option<Edition>,

    /// Adoption of a place from a file of the shop in place of the one in the job file (see `panelwright schema
    /// adoption`).
    #[arg(long, value_name = "FILE", conflicts_with = "edition")]
    adoption: Option<PathBuf>,

    /// The shop's copy of what the code book refuses, with what a person has confirmed (see `panelwright schema
    /// refusals`).
    #[arg(long, value_name = "FILE")]
    book: Option<PathBuf>,
}

/// Reads a file of the shop.
fn read(path: &Path) -> Result<String, Failure> {
    fs::read_to_string(path).map_err(|source| Failure::Read { path: path.to_path_buf(), source })
}

/// Tells every mistake of a file of the shop.
fn tell(path: &Path, bad: &[BadData]) -> Ending {
    for one in bad {
        eprintln!("panelwright: {}: {one}", path.display());
    }
    Ending::InputErrors
}

/// The code book, with the shop's own copy of the refusals where one is named.
pub(crate) fn book(path: Option<&PathBuf>) -> Result<Result<Book, Ending>, Failure> {
    let Some(path) = path else { return Ok(Ok(Book::built_in())) };
    Ok(Book::with_refusals(&read(path)?).map_err(|bad| tell(path, &bad)))
}

/// What a command makes of a job under a code: text, and a value for other programs.
pub(crate) struct Told {
    pub(crate) text: String,
    pub(crate) json: Value,
}

/// Reads a job file and has it told under its code.
pub(crate) fn run(
    file: &Path,
    args: &CodeArgs,
    global: &Global,
    screen: &mut Screen,
    tell_of: impl FnOnce(&Job, &Law<'_>) -> Result<Told, Failure>,
) -> Result<Ending, Failure> {
    let today = day(global);
    with_job(file, global, screen, |job| {
        let book = match book(args.book.as_ref())? {
            Ok(book) => book,
            Err(ending) => return Ok(Err(ending)),
        };
        let chosen = match &args.adoption {
            Some(path) => match Profile::read(&book, &read(path)?) {
                Ok(profile) => {
                    let permit = job.premises.adoption.as_ref().and_then(|adoption| adoption.permit);
                    Ok(Chosen::of_profile(profile, permit.unwrap_or(today)))
                }
                Err(bad) => return Ok(Err(tell(path, &bad))),
            },
            None => Chosen::of(job, &book, args.edition, today),
        };
        let law = chosen
            .as_ref()
            .map_err(ToString::to_string)
            .and_then(|chosen| chosen.law(&book).map_err(|error| error.to_string()));
        match law {
            Ok(law) => Ok(Ok(tell_of(job, &law)?)),
            Err(error) => {
                eprintln!("panelwright: {error}");
                Ok(Err(Ending::InputErrors))
            }
        }
    })
}

/// Reads a job file, prints its problems or what is told of it.
pub(crate) fn with_job(
    file: &Path,
    global: &Global,
    screen: &mut Screen,
    tell_of: impl FnOnce(&Job) -> Result<Result<Told, Ending>, Failure>,
) -> Result<Ending, Failure> {
    let read = Read::of(&Source::one(file), day(global));
    let Some(job) = &read.job else {
        if global.json {
            screen.line(&study::json::failure(&read.name, read.problems_out()))?;
        } else {
            screen.text(&read.problems_text(screen.coloured()))?;
        }
        return Ok(read.ending());
    };
    match tell_of(job)? {
        Err(ending) => Ok(ending),
        Ok(told) => {
            if global.json {
                let mut value = told.json;
                if let Some(object) = value.as_object_mut() {
                    object.insert("file".to_owned(), read.name.clone().into());
                    object.insert("job".to_owned(), job.id.clone().into());
                }
                screen.line(&value.to_string())?;
            } else {
                screen.text(&told.text)?;
            }
            Ok(Ending::Fine)
        }
    }
}

/// Heading of a sheet: the job, and whether it is invented.
pub(crate) fn head(word: &str, job: &Job) -> String {
    let invented = if job.invented { ", an invented example" } else { "" };
    format!("{word}  {}, {}{invented}\n", job.id, job.place)
}

/// The cautions at the foot.
pub(crate) fn foot() -> String {
    let mut out = "\nMIND\n".to_owned();
    for caution in CAUTIONS {
        out.push_str(&crate::show::code::wrapped(caution, "  "));
    }
    out
}
