//! Many devices append at once; tells how long each waited for its acknowledgement.
//!
//! `cargo run -p store --example many_writers -- [TASKS] [SECONDS] [PAUSE_MS] [FOLDER]`: so many tasks append one fact
//! after the other for so long, each pausing so long in between (0: none), into a new folder beside others in FOLDER
//! (the folder for temporary files where it is not given).

use record::Fact;
use record::fact::DecisionMade;
use std::error::Error;
use std::time::{Duration, Instant};
use store::Store;

/// A job is begun afresh before it has more facts than a record may.
const FACTS_A_JOB: usize = 10_000;

fn main() -> Result<(), Box<dyn Error>> {
    let args: Vec<String> = std::env::args().skip(1).collect();
    let number = |at: usize, otherwise: u64| args.get(at).map_or(Ok(otherwise), |text| text.parse());
    let (tasks, seconds, pause) = (number(0, 50)?, number(1, 60)?, number(2, 0)?);
    let parent = args.get(3).map_or_else(std::env::temp_dir, Into::into);
    let folder = parent.join(format!("panelwright-many-writers-{}", std::process::id()));
    let runtime = tokio::runtime::Builder::new_multi_thread().worker_threads(2).enable_all().build()?;
    let result = runtime.block_on(measure(&folder, tasks, seconds, Duration::from_millis(pause)));
    std::fs::remove_dir_all(&folder)?;
    result
}

async fn measure(
    folder: &std::path::Path,
    tasks: u64,
    seconds: u64,
    pause: Duration,
) -> Result<(), Box<dyn Error>> {
    let store = Store::open(folder).await?;
    let until = Instant::now() + Duration::from_secs(seconds);
    let mut handles = Vec::new();
    for task in 0..tasks {
        let store = store.clone();
        handles.push(tokio::spawn(async move {
            let (mut waits, mut n_errors) = (Vec::new(), 0);
            // Not all in step.
            tokio::time::sleep(pause * u32::try_from(task).unwrap_or(0) / u32::try_from(tasks).unwrap_or(1))
                .await;
            while Instant::now() < until {
                let n = waits.len() + n_errors;
                let job = format!("bench-{task}-{}", n / FACTS_A_JOB);
                let begun = Instant::now();
                match store.append(&job, &format!("{task}-{n}"), Some("bench"), &[fact(task, n)]).await {
                    Ok(_) => waits.push(begun.elapsed()),
                    Err(_) => n_errors += 1,
                }
                if !pause.is_zero() {
                    tokio::time::sleep(pause).await;
                }
            }
            (waits, n_errors)
        }));
    }
    let (mut waits, mut n_errors) = (Vec::new(), 0);
    for handle in handles {
        let (own, errors) = handle.await?;
        waits.extend(own);
        n_errors += errors;
    }
    let stored: usize = store.jobs().await?.iter().map(|job| job.n_facts).sum();
    store.close().await;
    let begun = Instant::now();
    Store::open(folder).await?.close().await;
    let reopened = begun.elapsed();
    waits.sort_unstable();
    let at = |share: usize| waits.get((waits.len() * share / 1000).min(waits.len().saturating_sub(1)));
    let ms = |wait: Option<&Duration>| wait.map_or(0.0, |wait| wait.as_secs_f64() * 1000.0);
    println!(
        "{tasks} tasks, {seconds} s, pause {} ms: {} facts acknowledged, {stored} stored, {n_errors} errors; \
         wait p50 {:.1} ms, p99 {:.1} ms, p99.9 {:.1} ms, longest {:.1} ms; \
         opened again, with the check of its integrity, in {:.2} s",
        pause.as_millis(),
        waits.len(),
        ms(at(500)),
        ms(at(990)),
        ms(at(999)),
        ms(waits.last()),
        reopened.as_secs_f64(),
    );
    Ok(())
}

fn fact(task: u64, n: usize) -> Fact {
    let words =
        format!("invented decision {n} of device {task}: watch the warm breaker in space 5 and come back");
    let at = jiff::civil::date(2026, 3, 4).at(15, 0, 0, 0);
    Fact::new(at, Some("bench".to_owned()), vec![], DecisionMade { words, declined: false }.into())
}
