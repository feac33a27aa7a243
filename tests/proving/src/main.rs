//! Runs the proving ground: `proving --panels 400 --seed 7 --stages abc`.

use clap::Parser;
use std::io;
use std::path::PathBuf;

/// Judges simulated panels with known truth and prints the scores beside simple rules of the field.
#[derive(Debug, Parser)]
struct Args {
    /// Simulated houses to judge.
    #[arg(long, default_value_t = 400)]
    panels: u64,
    /// Index of the first house, for a second look at a single one: `s7-00021` is house 21 of seed 7.
    #[arg(long, default_value_t = 0)]
    first: u64,
    /// Seed of the run. Same seed, same houses.
    #[arg(long, default_value_t = 7)]
    seed: u64,
    /// Stages of information: a cover on, b cover off, c with six drops.
    #[arg(long, default_value = "abc")]
    stages: String,
    /// Other houses that the logistic regression learns from.
    #[arg(long, default_value_t = 2000)]
    training: u64,
    /// Of those, houses whose joints a shop opened: the program judges with what it counted there.
    #[arg(long, default_value_t = 0)]
    taught: u64,
    /// Share of poles whose own contacts are bad; none unless asked for.
    #[arg(long, default_value_t = 0.0)]
    bad_contacts: f64,
    /// Score the simple rules only.
    #[arg(long)]
    rules_only: bool,
    /// Sweeps of the sampler a chain, where not the usual.
    #[arg(long)]
    sweeps: Option<usize>,
    /// Write job files and truth.csv into this folder, and do nothing else.
    #[arg(long)]
    emit: Option<PathBuf>,
    /// Instead of scoring: judge each house again after one new drop, with this many sweeps from a warm start.
    #[arg(long)]
    again: Option<usize>,
    /// Instead of scoring: judge one job file and print its joints with their strongest reasons.
    #[arg(long)]
    file: Option<PathBuf>,
    /// Where the details of every joint go.
    #[arg(long, default_value = "target/proving/details.csv")]
    details: PathBuf,
}

fn main() -> io::Result<()> {
    let args = Args::parse();
    let plan = proving::Plan {
        n_panels: args.panels,
        first: args.first,
        seed: args.seed,
        stages: args.stages,
        n_training: args.training,
        n_taught: args.taught,
        bad_contacts: args.bad_contacts,
        with_judge: !args.rules_only,
        n_sweeps: args.sweeps,
    };
    if let Some(folder) = &args.emit {
        return proving::emit(&plan, folder);
    }
    if let Some(file) = &args.file {
        print!("{}", proving::judged_file(&std::fs::read_to_string(file)?, plan.n_sweeps));
        return Ok(());
    }
    if let Some(n_sweeps) = args.again {
        println!("{}", plan.again(n_sweeps));
        return Ok(());
    }
    let run = plan.run();
    println!("{}", run.markdown());
    run.write_details(&args.details)?;
    eprintln!("details: {}", args.details.display());
    Ok(())
}
