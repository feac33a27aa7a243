//! `panelwright demo`.

use super::{assess, papers};
use crate::args::Global;
use crate::failure::{Ending, Failure};
use crate::input::Source;
use crate::outcome::{Assessed, settings};
use crate::screen::Screen;
use clap::Args;
use rayon::iter::{IntoParallelRefIterator, ParallelIterator};
use serde_json::json;
use std::fs;
use std::path::PathBuf;
use study::Press;

/// The cases, as they stand in the folder `cases` of the source.
const CASES: [(&str, &str); 3] = [
    ("1-burnt-stabs.toml", include_str!("../../../../cases/1-burnt-stabs.toml")),
    ("2-overload.toml", include_str!("../../../../cases/2-overload.toml")),
    ("3-service-neutral.toml", include_str!("../../../../cases/3-service-neutral.toml")),
];

/// Judge three invented cases and write their papers.
///
/// Prints the judgement of the first case, writes the job files and the papers of all three, and says what to open.
/// Houses, towns and people of the cases are invented; their readings were made by hand, as the files say.
#[derive(Debug, Args)]
#[command(after_long_help = "\
Examples:
  panelwright demo
  panelwright demo --out /tmp/look")]
pub(crate) struct DemoArgs {
    /// Folder to write into; made where it is missing.
    #[arg(long, value_name = "FOLDER", default_value = "demo")]
    out: PathBuf,
}

pub(crate) fn run(args: &DemoArgs, global: &Global, screen: &mut Screen) -> Result<Ending, Failure> {
    let settings = settings(global)?;
    let sources = CASES.map(|(name, text)| Source::Embedded(name, text));
    let all: Vec<Assessed> = sources.par_iter().map(|source| Assessed::of(source, &settings)).collect();
    if !global.json
        && let Some(first) = all.first()
    {
        assess::print(first, &settings.policy, screen)?;
        screen.finish()?;
    }
    fs::create_dir_all(&args.out).map_err(|source| Failure::Write { path: args.out.clone(), source })?;
    let press = Press::new();
    let mut worst = Ending::Fine;
    let mut written = Vec::new();
    for (assessed, (name, text)) in all.iter().zip(CASES) {
        worst = worst.max(assessed.ending());
        let path = args.out.join(name);
        fs::write(&path, text).map_err(|source| Failure::Write { path: path.clone(), source })?;
        written.push(path);
        if let Some((job, assessment)) = assessed.done() {
            written.extend(papers::write(job, assessment, &press, &args.out)?);
        }
        if global.json {
            screen.line(&assessed.json())?;
        }
    }
    if global.json {
        let written: Vec<String> = written.iter().map(|path| path.display().to_string()).collect();
        screen.line(&json!({ "written": written }).to_string())?;
        return Ok(worst);
    }
    screen.line("")?;
    screen.line(&format!("Written into {}:", args.out.display()))?;
    for path in &written {
        screen.line(&format!("  {}", path.file_name().unwrap_or_default().to_string_lossy()))?;
    }
    if let Some(letter) =
        written.iter().find(|path| path.extension().is_some_and(|extension| extension == "pdf"))
    {
        screen.line("")?;
        screen
            .line(&format!("Open {} first: the letter to the owner of the first house.", letter.display()))?;
        let file = args.out.join(CASES[0].0);
        screen.line(&format!("Then change a reading in {} and run", file.display()))?;
        screen.line(&format!("  panelwright assess {}", file.display()))?;
    }
    Ok(worst)
}
