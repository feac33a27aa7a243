//! What can be asked on the command line.

use crate::command::{
    asks, assess, backup, board, built, check, demo, editions, exchange, export, forget, import, isolate,
    layout, learn, load, meter, moving, outage, papers, permit, price, prove, restore, schema, serve, sizes,
    transfer,
};
use clap::{Args, Parser, Subcommand};
use model::Date;
use std::path::PathBuf;

/// Find burnt joints in old load centers without pulling a live breaker.
///
/// You write down in a job file what you saw and measured on a panel: faces and currents under load, leg voltages,
/// drops, smells. Panelwright says for each joint how likely it is sound, worn or burnt, why, what to check next,
/// and what the owner may choose from, and it writes the owner's letter and the technical record.
///
/// It never asks for a live breaker to be pulled. Unknown means live, and unknown does not mean sound.
#[derive(Debug, Parser)]
#[command(
    name = "panelwright",
    version,
    max_term_width = 80,
    after_long_help = "\
Start here:
  panelwright demo                   open the bench with three invented cases
  panelwright serve                  open your own bench, for phone and laptop
  panelwright check my-job.toml      is the file in order? what is missing?
  panelwright assess my-job.toml     the judgement
  panelwright papers my-job.toml     the owner's letter and the technical record

Exit codes:
  0  all is well
  1  a job file, the policy or stored data has errors; they were printed
  2  the command line is wrong
  3  a file, folder or network address could not be used
  4  a fault of this program"
)]
pub(crate) struct Cli {
    #[command(flatten)]
    pub(crate) global: Global,
    #[command(subcommand)]
    pub(crate) command: Command,
}

/// Options of every command.
#[derive(Debug, Clone, Args)]
#[command(next_help_heading = "Options of every command")]
pub(crate) struct Global {
    /// Write JSON for other programs, one object a line.
    #[arg(long, global = true)]
    pub(crate) json: bool,

    /// Seed of the sampler: the same file, day, policy and seed give the same result.
    #[arg(long, global = true, value_name = "NUMBER")]
    pub(crate) seed: Option<u64>,

    /// Draws kept in each chain of the sampler: more is slower and more exact. Where its checks fail the chains go on by themselves,
    /// for twice and then four times as long.
    #[arg(long, global = true, value_name = "NUMBER", value_parser = clap::value_parser!(u32).range(20..=1_000_000))]
    pub(crate) sweeps: Option<u32>,

    /// Day to compute for, printed on the papers. Left out: today.
    #[arg(long, global = true, value_name = "YYYY-MM-DD")]
    pub(crate) day: Option<Date>,

    /// The shop's own policy in place of the standard one (see `panelwright schema policy`).
    #[arg(long, global = true, value_name = "FILE")]
    pub(crate) policy: Option<PathBuf>,

    /// What the shop has counted at opened panels, beside the program's own chances (see `panelwright learn`).
    #[arg(long, global = true, value_name = "FILE")]
    pub(crate) experience: Option<PathBuf>,

    /// No colours. They are also left out where the output is no terminal or NO_COLOR is set.
    #[arg(long, global = true)]
    pub(crate) no_color: bool,
}

/// The commands.
#[derive(Debug, Subcommand)]
pub(crate) enum Command {
    Demo(demo::DemoArgs),
    Check(check::CheckArgs),
    Assess(assess::AssessArgs),
    Papers(papers::PapersArgs),
    Isolate(isolate::IsolateArgs),
    Move(moving::MoveArgs),
    Layout(layout::LayoutArgs),
    Price(price::PriceArgs),
    Outage(outage::OutageArgs),
    Built(built::BuiltArgs),
    Learn(learn::LearnArgs),
    Load(load::LoadArgs),
    Sizes(sizes::SizesArgs),
    Asks(asks::AsksArgs),
    Editions(editions::EditionsArgs),
    Meter(meter::MeterArgs),
    Permit(permit::PermitArgs),
    Prove(prove::ProveArgs),
    Board(board::BoardArgs),
    Schema(schema::SchemaArgs),
    Serve(serve::ServeArgs),
    Backup(backup::BackupArgs),
    Restore(restore::RestoreArgs),
    Transfer(transfer::TransferArgs),
    Exchange(exchange::ExchangeArgs),
    Export(export::ExportArgs),
    Forget(forget::ForgetArgs),
    Import(import::ImportArgs),
}
