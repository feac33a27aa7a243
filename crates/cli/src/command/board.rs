//! `panelwright board`.

use crate::args::Global;
use crate::failure::{Ending, Failure};
use crate::screen::Screen;
use clap::Args;
use jiff::Timestamp;
use jiff::tz::TimeZone;
use serde_json::json;
use std::path::PathBuf;
use store::Store;
use study::{BoardLine, Policy};

/// List what is due in all jobs of a data folder: stop-gaps that end, rechecks, look-backs, promises.
///
/// Earliest first; what is late stays until it is recorded as done. With `--calendar` the same as a calendar file (RFC
/// 5545) that a calendar program takes in. The bench may go on being served meanwhile.
#[derive(Debug, Args)]
#[command(after_long_help = "\
Examples:
  panelwright board
  panelwright board --data /srv/bench --calendar board.ics
  panelwright board --day 2026-03-31 --json")]
pub(crate) struct BoardArgs {
    /// The data folder.
    #[arg(long, value_name = "FOLDER", default_value = super::DATA)]
    data: PathBuf,

    #[command(flatten)]
    rows: super::rows::Rows,

    /// Calendar file to write, too; one of that name is replaced.
    #[arg(long, value_name = "FILE")]
    calendar: Option<PathBuf>,
}

pub(crate) fn run(args: &BoardArgs, global: &Global, screen: &mut Screen) -> Result<Ending, Failure> {
    let today = crate::outcome::day(global);
    let given = global.policy.is_some();
    let given_policy = crate::outcome::settings(global)?.policy;
    let lines = super::runtime()?.block_on(async {
        let store = Store::open_reading(&args.data, args.rows.options()).await?;
        let stored = store.policy().await?;
        // The command line first, then the shop's own of the data folder.
        let own = stored
            .filter(|_| !given)
            .and_then(|stored| Policy::parse("the shop's policy", &stored.text).ok());
        let policy = own.unwrap_or(given_policy);
        let mut lines: Vec<BoardLine> = Vec::new();
        for summary in store.jobs().await? {
            let facts = store.facts(&summary.job).await?;
            if let Some(job) = record::settle(&facts, Some(today)).job {
                let named = |line: BoardLine| BoardLine { job: summary.job.clone(), ..line };
                lines.extend(study::board_lines(&job, &policy).into_iter().map(named));
            }
        }
        store.close().await;
        Ok::<_, Failure>(lines)
    });
    let mut lines = lines?;
    study::sort_board(&mut lines);
    if let Some(file) = &args.calendar {
        let made = TimeZone::UTC.to_datetime(Timestamp::now());
        let text = study::board_calendar(&lines, made, None);
        std::fs::write(file, text).map_err(|source| Failure::Write { path: file.clone(), source })?;
    }
    for line in &lines {
        let due = &line.due;
        let (kind, late) = (study::due_word(due.kind), due.day < today);
        if global.json {
            let line = json!({
                "day": due.day.to_string(),
                "late": late,
                "kind": kind,
                "job": line.job,
                "place": line.place,
                "invented": line.invented,
                "words": due.words,
                "fact": due.of.to_string(),
            });
            screen.line(&line.to_string())?;
        } else {
            let mark = if late { "LATE " } else { "" };
            screen.line(&format!("{} {mark}{kind}: {} ({})", due.day, due.words, line.job))?;
        }
    }
    if !global.json && lines.is_empty() {
        screen.line("nothing is due")?;
    }
    Ok(Ending::Fine)
}
