//! The experience of a shop that opened simulated panels: every joint of houses that are not judged, found as it truly was.

use crate::judge::{DAY, NotJudged, read};
use crate::sim::Simulated;
use crate::sim::visit::Stage;
use model::FactId;
use model::job::Opening;
use rayon::prelude::*;
use std::collections::BTreeMap;
use study::shop::{Experience, OpenedJob, learn};
use study::{Run, Settings};

/// Counts what the openings of these houses say, each house judged before as it was recorded at the stage.
pub(crate) fn experience_of(
    houses: &[Simulated],
    stage: Stage,
    n_sweeps: Option<usize>,
) -> Result<Experience, NotJudged> {
    let opened: Result<Vec<OpenedJob>, NotJudged> =
        houses.par_iter().map(|house| opened(house, stage)).collect();
    let usual = Settings::on(DAY);
    let settings = Settings { n_sweeps: n_sweeps.unwrap_or(usual.n_sweeps), ..usual };
    Ok(learn(&opened?, &settings, &Pool, |_| ())?)
}

/// Runs chains on the pool.
struct Pool;

impl Run for Pool {
    fn run<T: Send>(&self, n_chains: usize, chain: impl Fn(usize) -> T + Send + Sync) -> Vec<T> {
        (0..n_chains).into_par_iter().map(chain).collect()
    }
}

fn opened(house: &Simulated, stage: Stage) -> Result<OpenedJob, NotJudged> {
    let job = read(&house.job_text(stage))?;
    let truth: BTreeMap<&str, _> =
        house.house.joints().map(|joint| (joint.id.as_str(), joint.condition)).collect();
    let described = model::joint::joints(&job.installation).into_iter().enumerate();
    let openings = described.filter_map(|(number, joint)| {
        Some(Opening {
            fact: FactId::new(format!("opened-{number}")),
            at: DAY.at(23, 0, 0, 0),
            found: *truth.get(joint.id.to_string().as_str())?,
            joint: joint.id,
            words: String::new(),
        })
    });
    let openings = openings.collect();
    Ok(OpenedJob { before: job.clone(), job, openings })
}
