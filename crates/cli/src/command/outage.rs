//! `panelwright outage`.

use super::code::{Told, with_job};
use super::shop::ShopArgs;
use crate::args::Global;
use crate::failure::{Ending, Failure};
use crate::outcome::day;
use crate::screen::Screen;
use crate::show::{offer, outage};
use clap::Args;
use jiff::Timestamp;
use jiff::tz::TimeZone;
use model::Date;
use model::job::Job;
use std::path::PathBuf;
use study::code::{Book, Chosen, Edition};
use study::outage::minute_of;
use study::{Booking, OutageAsk, Press};

/// Plan the day without power: steps, windows, the critical path, and how likely the power is back by each hour.
///
/// The day is run through many thousand times: durations between least and most, surprises by their chances, utility and
/// inspector within their windows. What the household needs, and who is told when, is on the same sheet.
#[derive(Debug, Args)]
#[command(after_long_help = "\
Examples:
  panelwright outage my-job.toml
  panelwright outage my-job.toml --option replace-service --crew 3 --start 06:30
  panelwright outage my-job.toml --cut 08:00-10:00 --reconnect-by 15:30 --done trace
      the circuits are traced on a day before
  panelwright outage my-job.toml --data bench
      with the times that the jobs of that folder really took
  panelwright outage my-job.toml --date 2026-12-03 --calendar day.ics")]
pub(crate) struct OutageArgs {
    /// A job file, or `-` for standard input.
    #[arg(value_name = "FILE")]
    file: PathBuf,

    /// Which option. Left out: the booked one, else a new panel.
    #[arg(long, value_name = "OPTION")]
    option: Option<String>,

    /// Day of the work. Left out: the booked one.
    #[arg(long, value_name = "YYYY-MM-DD")]
    date: Option<Date>,

    /// Start of the crew. Left out: as booked, else 07:00.
    #[arg(long, value_name = "HH:MM", value_parser = minute)]
    start: Option<f64>,

    /// People. Left out: as booked, else 2.
    #[arg(long, value_name = "NUMBER", value_parser = clap::value_parser!(u32).range(1..=6))]
    crew: Option<u32>,

    /// Window in which the utility cuts.
    #[arg(long, value_name = "HH:MM-HH:MM", value_parser = window)]
    cut: Option<(f64, f64)>,

    /// Window of the inspector, where it is booked; else he is called.
    #[arg(long, value_name = "HH:MM-HH:MM", value_parser = window)]
    inspector: Option<(f64, f64)>,

    /// Window in which the utility gives the supply back, where it is booked ahead.
    #[arg(long, value_name = "HH:MM-HH:MM", value_parser = window)]
    reconnect: Option<(f64, f64)>,

    /// Latest time at which the utility gives the supply back.
    #[arg(long, value_name = "HH:MM", value_parser = minute)]
    reconnect_by: Option<f64>,

    /// A step that is done before the day, by its name: `trace`. Several: once more.
    #[arg(long, value_name = "STEP")]
    done: Vec<String>,

    /// Count what is contested, too.
    #[arg(long)]
    with_contested: bool,

    /// Panel, where there are several.
    #[arg(long, value_name = "PANEL")]
    panel: Option<String>,

    #[command(flatten)]
    shop: ShopArgs,

    /// Edition that decides what is contested. Left out: the adoption in the job file.
    #[arg(long, value_name = "YEAR")]
    edition: Option<Edition>,

    /// Folder for the sheet of the day, as PDF and text.
    #[arg(long, value_name = "FOLDER")]
    out: Option<PathBuf>,

    /// Calendar file to write, too; it needs the day.
    #[arg(long, value_name = "FILE")]
    calendar: Option<PathBuf>,
}

/// Reads `07:30`.
fn minute(text: &str) -> Result<f64, String> {
    minute_of(text).ok_or_else(|| format!("`{text}` is no time: write `07:30`"))
}

/// Reads `08:00-10:00`.
fn window(text: &str) -> Result<(f64, f64), String> {
    let (from, to) =
        text.split_once('-').ok_or_else(|| format!("`{text}` is no window: write `08:00-10:00`"))?;
    let (from, to) = (minute(from)?, minute(to)?);
    if to < from { Err(format!("`{text}` ends before it begins")) } else { Ok((from, to)) }
}

/// The code of a job, where it has one.
pub(crate) fn law_of(job: &Job, book: &Book, named: Option<Edition>, today: Date) -> Option<Chosen> {
    Chosen::of(job, book, named, today).ok()
}

pub(crate) fn run(args: &OutageArgs, global: &Global, screen: &mut Screen) -> Result<Ending, Failure> {
    let today = day(global);
    with_job(&args.file, global, screen, |job| {
        let code = Book::built_in();
        let chosen = law_of(job, &code, args.edition, today);
        let law = chosen.as_ref().and_then(|chosen| chosen.law(&code).ok());
        let shop = match args.shop.read(today)? {
            Ok(shop) => shop,
            Err(ending) => return Ok(Err(ending)),
        };
        let booked = study::booked(job);
        let word =
            args.option.as_deref().or(booked.map(|day| day.option.as_str())).unwrap_or("replace-panel");
        let Some(option) = study::option_of_word(word) else {
            eprintln!("panelwright: `{word}` is no option that is planned: {}", offer::option_list());
            return Ok(Err(Ending::InputErrors));
        };
        let date = args.date.or(booked.map(|day| day.date));
        if args.calendar.is_some() && date.is_none() {
            eprintln!("panelwright: a calendar needs the day: give --date, or book it in the job file");
            return Ok(Err(Ending::InputErrors));
        }
        let own = booked.map_or_else(Booking::default, study::booking_of);
        let booking = Booking {
            start: args.start.unwrap_or(own.start),
            crew: args.crew.unwrap_or(own.crew),
            cut: args.cut.or(own.cut),
            inspector: args.inspector.or(own.inspector),
            inspector_latest: own.inspector_latest,
            reconnect: args.reconnect.or(own.reconnect),
            reconnect_latest: args.reconnect_by.or(own.reconnect_latest),
            done: own.done.iter().chain(&args.done).cloned().collect(),
        };
        let ask = OutageAsk {
            option,
            panel: args.panel.as_deref(),
            date,
            booking,
            with_contested: args.with_contested,
            law: law.as_ref(),
            past: &shop.past,
            cards: &shop.cards,
            today,
            seed: global.seed.unwrap_or(1),
            n_runs: study::RUNS,
        };
        match study::plan_outage(job, &ask) {
            Ok(plan) => {
                if let Some(folder) = &args.out {
                    let documents = study::day_documents(job, &plan, today, &Press::new())?;
                    super::price::write_all(folder, &documents)?;
                }
                let made = TimeZone::UTC.to_datetime(Timestamp::now());
                if let Some(file) = &args.calendar
                    && let Some(text) = study::outage_calendar(job, &plan, made)
                {
                    std::fs::write(file, text)
                        .map_err(|source| Failure::Write { path: file.clone(), source })?;
                }
                Ok(Ok(Told { text: outage::text(job, &plan), json: study::outage_json(&plan) }))
            }
            Err(error) => {
                eprintln!("panelwright: {error}");
                Ok(Err(Ending::InputErrors))
            }
        }
    })
}
