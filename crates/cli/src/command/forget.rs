//! `panelwright forget`.

use crate::args::Global;
use crate::failure::{Ending, Failure};
use crate::outcome::day;
use crate::screen::Screen;
use clap::Args;
use record::Fact;
use record::fact::JobForgotten;
use serde_json::json;
use std::path::PathBuf;
use store::Store;

/// Forget a job's customer: names, address, words and photos go for good; readings and openings stay.
///
/// What stays is what the shop counts by: readings, what was found at opened joints, sizes, days, the town, and the
/// name of the job. All else that a person wrote is replaced by "removed on request", photos are deleted, and facts get
/// other names, for the old ones hold words. This cannot be taken back.
///
/// It holds for whatever comes later, too: a laptop or an exported file that still has the job brings nothing back, and
/// each machine that exchanges with this one forgets the job as well. Not reached: backups and exported files made
/// before, papers that were given out, and what a phone keeps until it next opens the job. On PostgreSQL the server's
/// own files lose it with the next VACUUM and the last archived log; see docs/shop.md.
#[derive(Debug, Args)]
#[command(after_long_help = "\
Examples:
  panelwright forget Q-0117                           says what would go
  panelwright forget Q-0117 --yes --words \"asked in writing\"")]
pub(crate) struct ForgetArgs {
    /// The job.
    #[arg(value_name = "JOB")]
    job: String,

    /// The data folder.
    #[arg(long, value_name = "FOLDER", default_value = super::DATA)]
    data: PathBuf,

    #[command(flatten)]
    rows: super::rows::Rows,

    /// On which ground, for the record; without a name. It is not kept once the job is forgotten again.
    #[arg(long, value_name = "WORDS", default_value = "")]
    words: String,

    /// Do it. Without this it is only said what would go.
    #[arg(long)]
    yes: bool,
}

pub(crate) fn run(args: &ForgetArgs, global: &Global, screen: &mut Screen) -> Result<Ending, Failure> {
    let (n_facts, n_photos, done) = super::runtime()?.block_on(async {
        let store = Store::open_as(&args.data, args.rows.options()).await?;
        let told = forget(&store, args, global).await;
        store.close().await;
        told
    })?;
    if global.json {
        let line = json!({ "job": args.job, "facts": n_facts, "photos": n_photos, "forgotten": done });
        screen.line(&line.to_string())?;
        return Ok(Ending::Fine);
    }
    let job = &args.job;
    if !done {
        screen.line(&format!(
            "{job}: {n_facts} facts would lose names and words, {n_photos} photos would be deleted"
        ))?;
        screen.line("this cannot be taken back; --yes does it")?;
        return Ok(Ending::Fine);
    }
    screen.line(&format!("{job}: {n_facts} facts redacted, {n_photos} photos deleted"))?;
    screen.line("what stays: readings, openings, sizes, days, the town, the name of the job")?;
    screen.line(
        "still to do by hand: backups and exported files from before, and papers that were given out",
    )?;
    Ok(Ending::Fine)
}

async fn forget(store: &Store, args: &ForgetArgs, global: &Global) -> Result<(usize, usize, bool), Failure> {
    let Some(n_facts) = store.revision(&args.job).await? else {
        return Err(store::Error::NoJob { job: args.job.clone() }.into());
    };
    let n_facts = usize::try_from(n_facts).unwrap_or(0);
    let n_photos = store.photos(&args.job).await?.len();
    let done = store.is_forgotten(&args.job).await?;
    if done || !args.yes {
        return Ok((n_facts, n_photos, done));
    }
    let body = JobForgotten { words: args.words.clone() };
    // To the day: when exactly is of no use to anybody.
    let fact = Fact::new(day(global).at(0, 0, 0, 0), None, Vec::new(), body.into());
    let entry = fact.id().as_str().to_owned();
    store.append(&args.job, &entry, None, &[fact]).await?;
    Ok((n_facts, n_photos, true))
}
