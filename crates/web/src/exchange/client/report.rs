//! What an exchange came to.

/// What an exchange came to.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Report {
    /// Jobs on either side.
    pub n_jobs: usize,
    /// Jobs that were not the same on both sides.
    pub n_differed: usize,
    /// Facts that the shop did not have.
    pub n_facts_sent: usize,
    /// Facts that were not here.
    pub n_facts_fetched: usize,
    /// Photos that the shop did not have.
    pub n_photos_sent: usize,
    /// Photos that were not here.
    pub n_photos_fetched: usize,
    /// Photos of which only a copy without place and camera is here: those are not sent.
    pub n_photos_without_original: usize,
    /// Times that the line broke.
    pub n_cuts: usize,
    /// What one side did not take.
    pub not_taken: Vec<NotTaken>,
    /// Jobs of one name that share no entry on the two sides: they were left as they are.
    pub other_jobs: Vec<String>,
    /// Entries that contradict each other since this exchange.
    pub conflicts: Vec<Conflict>,
}

/// A fact or photo that one side did not take.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct NotTaken {
    /// The job.
    pub job: String,
    /// Name of the fact, or hash of the photo.
    pub what: String,
    /// Why.
    pub why: String,
}

/// Two entries of one job that contradict each other. Both are kept; its page shows them.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Conflict {
    /// The job.
    pub job: String,
    /// The entry that is not used, or the later of two that both are.
    pub entry: String,
    /// The other one, where there is one.
    pub other: Option<String>,
    /// What does not go together.
    pub why: String,
}

impl Report {
    /// Is there something in the job that did not go over, so that it must be looked at again?
    pub(super) fn is_open(&self, job: &str) -> bool {
        self.not_taken.iter().any(|one| one.job == job) || self.other_jobs.iter().any(|one| one == job)
    }

    pub(super) fn refuse(&mut self, job: &str, what: impl Into<String>, why: impl Into<String>) {
        self.not_taken.push(NotTaken { job: job.to_owned(), what: what.into(), why: why.into() });
    }
}
