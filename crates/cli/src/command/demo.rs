//! `panelwright demo`.

use super::serve::{self, Listen};
use super::{assess, import, papers};
use crate::args::Global;
use crate::failure::{Ending, Failure};
use crate::input::Source;
use crate::outcome::{Assessed, day, settings};
use crate::screen::Screen;
use clap::Args;
use rayon::iter::{IntoParallelRefIterator, ParallelIterator};
use serde_json::json;
use std::fs;
use std::net::IpAddr;
use std::path::PathBuf;
use study::Press;

/// The cases, as they stand in the folder `cases` of the source.
const CASES: [(&str, &str); 3] = [
    ("1-burnt-stabs.toml", include_str!("../../../../cases/1-burnt-stabs.toml")),
    ("2-overload.toml", include_str!("../../../../cases/2-overload.toml")),
    ("3-service-neutral.toml", include_str!("../../../../cases/3-service-neutral.toml")),
];

/// Open the bench with three invented cases, or write their papers.
///
/// Puts the cases into a data folder of their own, serves it to this machine, and prints the address to open in a
/// browser. Whatever is entered there stays in that folder; run again, it is there again. With --papers nothing is
/// served: the judgement of the first case is printed, and the job files and papers of all three are written.
///
/// Houses, towns and people of the cases are invented; their readings were made by hand, as the files say.
#[derive(Debug, Args)]
#[command(after_long_help = "\
Examples:
  panelwright demo
  panelwright demo --host 0.0.0.0     for a phone in the same network too
  panelwright demo --papers --out /tmp/look")]
pub(crate) struct DemoArgs {
    /// Print a judgement and write the papers, and serve nothing.
    #[arg(long)]
    papers: bool,

    /// Folder to write papers into; made where it is missing.
    #[arg(long, value_name = "FOLDER", default_value = "demo", requires = "papers")]
    out: PathBuf,

    /// Folder in which the cases are kept; made where it is missing.
    #[arg(long, value_name = "FOLDER", default_value = "panelwright-demo")]
    data: PathBuf,

    #[command(flatten)]
    listen: Listen,
}

pub(crate) fn run(args: &DemoArgs, global: &Global, screen: &mut Screen) -> Result<Ending, Failure> {
    if args.papers { papers_of_all(args, global, screen) } else { open(args, global, screen) }
}

/// Opens the bench with the cases in it.
fn open(args: &DemoArgs, global: &Global, screen: &mut Screen) -> Result<Ending, Failure> {
    let config = args.listen.config(&args.data, IpAddr::from([127, 0, 0, 1]), global)?;
    let today = day(global);
    super::runtime()?.block_on(async {
        let served = web::start(config).await?;
        for (name, text) in CASES {
            let job = record::read_job(name, text, today).job.ok_or(Failure::Case { name })?;
            import::append(served.bench().store(), name, text, &job.id, today).await?;
            if !global.json {
                let house = format!("{}, {}", job.place, job.town);
                screen.line(&format!("{}   {house}   INVENTED CASE", job.id))?;
            }
        }
        let announcement = served.announce().await?;
        serve::announce(&announcement, global, screen)?;
        served.until_told_to_stop().await?;
        Ok(Ending::Fine)
    })
}

/// Judges the cases and writes their papers.
fn papers_of_all(args: &DemoArgs, global: &Global, screen: &mut Screen) -> Result<Ending, Failure> {
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
