//! `panelwright exchange`.

use crate::args::Global;
use crate::failure::{Ending, Failure};
use crate::screen::Screen;
use clap::Args;
use serde_json::json;
use std::path::PathBuf;
use std::time::Duration;
use store::Store;
use web::{Errand, Report};

/// Exchange facts and photos with the shop: each side gets what it lacks.
///
/// For a laptop that was away. Compares job by job and sends and takes only what differs, in small parts, so a line that
/// breaks costs little: what went over is stored, and the rest goes on from there, in this run or the next. Nothing is
/// ever replaced. The first time a code is needed, from the page Devices of the shop: this machine joins as any device,
/// and what its role may not record is refused one by one and listed. The bench must not be served from the folder
/// meanwhile.
///
/// Listed, too: entries of the two sides that contradict each other (both are kept, and the page of the job shows them),
/// and jobs of one name that have no entry in common. Those are likely two houses, and are left as they are; --same says
/// of one that it is the same house.
#[derive(Debug, Args)]
#[command(after_long_help = "\
Examples:
  panelwright exchange https://bench.shop.example:7117 --code ABCDE-FGHJK --name \"laptop of JD\" --authority shop.crt
  panelwright exchange https://bench.shop.example:7117 --authority shop.crt
  panelwright exchange https://bench.shop.example:7117 Q-0117 --data /srv/bench --authority shop.crt")]
pub(crate) struct ExchangeArgs {
    /// Address of the shop, as its program prints it.
    #[arg(value_name = "ADDRESS")]
    shop: String,

    /// Only these jobs. Left out: all of both sides.
    #[arg(value_name = "JOB")]
    jobs: Vec<String>,

    /// The data folder; made where it is missing. The secret by which this machine comes in is kept there.
    #[arg(long, value_name = "FOLDER", default_value = super::DATA)]
    data: PathBuf,

    #[command(flatten)]
    rows: super::rows::Rows,

    /// Code of an invitation: the first time, and when the joining has run out.
    #[arg(long, value_name = "CODE")]
    code: Option<String>,

    /// Name of this machine on the page Devices of the shop.
    #[arg(long, value_name = "NAME", default_value = "laptop")]
    name: String,

    /// Certificate of the shop's own authority, `authority.crt` of its bench. Left out: those of this system.
    #[arg(long, value_name = "FILE")]
    authority: Option<PathBuf>,

    /// This job is the same house on both sides, although they share no entry; may be given several times.
    #[arg(long, value_name = "JOB")]
    same: Vec<String>,

    /// Compare every job, also those that were the same the last time: after a backup was restored on either side.
    #[arg(long)]
    every_job: bool,

    /// Give up when the line gave nothing for so long.
    #[arg(long, value_name = "SECONDS", default_value_t = 300)]
    patience: u64,
}

pub(crate) fn run(args: &ExchangeArgs, global: &Global, screen: &mut Screen) -> Result<Ending, Failure> {
    let errand = Errand {
        shop: args.shop.clone(),
        code: args.code.clone(),
        name: args.name.clone(),
        authority: args.authority.clone(),
        jobs: args.jobs.clone(),
        same: args.same.clone(),
        every_job: args.every_job,
        patience: Duration::from_secs(args.patience),
        by: Default::default(),
    };
    let report = super::runtime()?.block_on(async {
        let store = Store::open_as(&args.data, args.rows.options()).await?;
        let report = web::exchange(&store, &errand, |told| eprintln!("exchange: {told}")).await;
        store.close().await;
        Ok::<_, Failure>(report?)
    })?;
    if global.json {
        screen.line(&json_of(&report).to_string())?;
    } else {
        told(&report, screen)?;
    }
    let open = !report.not_taken.is_empty() || !report.other_jobs.is_empty();
    Ok(if open { Ending::InputErrors } else { Ending::Fine })
}

fn told(report: &Report, screen: &mut Screen) -> Result<(), Failure> {
    screen.line(&format!("{} jobs on both sides, {} of them differed", report.n_jobs, report.n_differed))?;
    screen.line(&format!("sent: {} facts, {} photos", report.n_facts_sent, report.n_photos_sent))?;
    screen.line(&format!("taken: {} facts, {} photos", report.n_facts_fetched, report.n_photos_fetched))?;
    if 0 < report.n_cuts {
        screen.line(&format!("the line broke {} times; nothing was lost by it", report.n_cuts))?;
    }
    if 0 < report.n_photos_without_original {
        let n = report.n_photos_without_original;
        screen
            .line(&format!("not sent: {n} photos of which only the copy without place and camera is here"))?;
    }
    for job in &report.other_jobs {
        screen.line(&format!(
            "{job}: both sides have a job of this name, and no entry in common; left as it is"
        ))?;
        screen
            .line("  if it is the same house, say so with --same; if not, one of them needs another name")?;
    }
    for one in &report.not_taken {
        screen.line(&format!("{}: {} was not taken: {}", one.job, one.what, one.why))?;
    }
    for one in &report.conflicts {
        let other = one.other.as_ref().map(|other| format!(" and `{other}`")).unwrap_or_default();
        screen.line(&format!("{}: look at `{}`{other}: {}", one.job, one.entry, one.why))?;
    }
    Ok(())
}

fn json_of(report: &Report) -> serde_json::Value {
    let refused =
        report.not_taken.iter().map(|one| json!({"job": one.job, "what": one.what, "why": one.why}));
    let conflicts = report
        .conflicts
        .iter()
        .map(|one| json!({"job": one.job, "entry": one.entry, "other": one.other, "why": one.why}));
    json!({
        "jobs": report.n_jobs,
        "differed": report.n_differed,
        "facts_sent": report.n_facts_sent,
        "facts_fetched": report.n_facts_fetched,
        "photos_sent": report.n_photos_sent,
        "photos_fetched": report.n_photos_fetched,
        "photos_without_original": report.n_photos_without_original,
        "cuts": report.n_cuts,
        "not_taken": refused.collect::<Vec<_>>(),
        "other_jobs": report.other_jobs,
        "conflicts": conflicts.collect::<Vec<_>>(),
    })
}
