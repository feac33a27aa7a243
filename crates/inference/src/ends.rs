//! Drops whose two ends were written the other way round: a meter shows the same millivolts, and the path is the same.

use crate::conclude::place_words;
use model::Note;
use model::evidence::Observed;
use model::job::Job;
use std::borrow::Cow;

/// The job with the end nearer the load last in every drop, and what a reader has to know of that.
pub(crate) fn from_the_source(job: &Job) -> (Cow<'_, Job>, Vec<Note>) {
    let mut turned = Cow::Borrowed(job);
    let mut notes = Vec::new();
    for (at, observation) in job.observations.iter().enumerate() {
        let Observed::Drop(reading) = &observation.what else { continue };
        let oriented = reading.from_the_source(job.unloaded_in(&reading.state));
        if oriented == *reading {
            continue;
        }
        notes.push(Note::new(
            format!("drop {} to {} in \"{}\"", reading.from, reading.to, reading.state),
            format!(
                "weighed the other way round: of the two ends, {} is nearer the load",
                place_words(&oriented.to)
            ),
        ));
        turned.to_mut().observations[at].what = Observed::Drop(oriented);
    }
    (turned, notes)
}
