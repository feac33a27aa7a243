//! A job file on its way through the program: read, checked, assessed.

use crate::args::Global;
use crate::failure::{Ending, Failure};
use crate::input::{self, Source};
use crate::threads::AllCores;
use model::Date;
use model::assessment::Assessment;
use model::job::Job;
use record::{Fact, Problem};
use std::fs;
use study::json::{self, ProblemOut};
use study::shop::Experience;
use study::{Policy, Settings};

/// A file that was read, with everything found in it.
pub(crate) struct Read {
    /// As named by the user.
    pub(crate) name: String,
    /// The text, empty where it could not be read.
    pub(crate) text: String,
    /// The job, where the file has no error.
    pub(crate) job: Option<Job>,
    /// The facts of a file with no error, as they were entered.
    pub(crate) facts: Vec<Fact>,
    /// Errors and warnings of the record.
    pub(crate) problems: Vec<Problem>,
    /// Why the file could not be read, where it could not.
    pub(crate) unread: Option<input::Unread>,
}

/// A file that was assessed, or why not.
pub(crate) struct Assessed {
    /// What was read.
    pub(crate) read: Read,
    /// The assessment, or why there is none although the file has no error.
    pub(crate) assessment: Option<Result<Assessment, study::StudyError>>,
}

impl Read {
    /// Reads and checks a file.
    pub(crate) fn of(source: &Source, today: Date) -> Read {
        let input = input::read(source);
        match input.text {
            Ok(text) => {
                let reading = record::read_job(&input.name, &text, today);
                let broken = reading.problems.iter().any(Problem::is_error);
                let job = reading.job.filter(|_| !broken);
                let facts = reading.facts;
                Read { name: input.name, text, job, facts, problems: reading.problems, unread: None }
            }
            Err(unread) => Read {
                name: input.name,
                text: String::new(),
                job: None,
                facts: Vec::new(),
                problems: Vec::new(),
                unread: Some(unread),
            },
        }
    }

    /// How the run would end if this were its only file.
    pub(crate) fn ending(&self) -> Ending {
        match (&self.unread, &self.job) {
            (Some(input::Unread::Io(_)), _) => Ending::Files,
            (_, None) => Ending::InputErrors,
            (_, Some(_)) => Ending::Fine,
        }
    }

    /// Its problems for other programs.
    pub(crate) fn problems_out(&self) -> Vec<ProblemOut> {
        let unread =
            self.unread.iter().map(|unread| ProblemOut::other(unread.code(), format!("the file {unread}")));
        unread.chain(self.problems.iter().map(ProblemOut::of)).collect()
    }

    /// Its problems for people.
    pub(crate) fn problems_text(&self, coloured: bool) -> String {
        let mut text = String::new();
        if let Some(unread) = &self.unread {
            text.push_str(&format!("{}: error[{}]: the file {unread}\n", self.name, unread.code()));
        }
        for problem in &self.problems {
            text.push_str(&if coloured {
                record::render_coloured(problem, &self.text)
            } else {
                record::render(problem, &self.text)
            });
        }
        text
    }
}

impl Assessed {
    /// Reads, checks and assesses a file.
    pub(crate) fn of(source: &Source, settings: &Settings) -> Assessed {
        let read = Read::of(source, settings.day);
        let assessment = read.job.as_ref().map(|job| study::assess_with(job, settings, &AllCores));
        Assessed { read, assessment }
    }

    /// Job and assessment, where there are both.
    pub(crate) fn done(&self) -> Option<(&Job, &Assessment)> {
        match (&self.read.job, &self.assessment) {
            (Some(job), Some(Ok(assessment))) => Some((job, assessment)),
            _ => None,
        }
    }

    /// How the run would end if this were its only file.
    pub(crate) fn ending(&self) -> Ending {
        match &self.assessment {
            Some(Err(_)) => Ending::InputErrors,
            _ => self.read.ending(),
        }
    }

    /// One line of JSON.
    pub(crate) fn json(&self) -> String {
        match self.done() {
            Some((job, assessment)) => json::line(&self.read.name, job, assessment, &self.read.problems),
            None => json::failure(&self.read.name, self.errors_out()),
        }
    }

    /// Why there is no assessment, for people.
    pub(crate) fn errors_text(&self, coloured: bool) -> String {
        let mut text = self.read.problems_text(coloured);
        if let Some(Err(error)) = &self.assessment {
            text.push_str(&format!("{}: error[not-judged]: {error}\n", self.read.name));
        }
        text
    }

    fn errors_out(&self) -> Vec<ProblemOut> {
        let mut errors = self.read.problems_out();
        if let Some(Err(error)) = &self.assessment {
            errors.push(ProblemOut::other("not-judged", error.to_string()));
        }
        errors
    }
}

/// The day to compute for.
pub(crate) fn day(global: &Global) -> Date {
    global.day.unwrap_or_else(|| jiff::ZonedDateTime::now().date())
}

/// Settings from the command line; reads the policy.
pub(crate) fn settings(global: &Global) -> Result<Settings, Failure> {
    let mut settings = Settings::on(day(global));
    if let Some(seed) = global.seed {
        settings.seed = seed;
    }
    if let Some(sweeps) = global.sweeps {
        settings.n_sweeps = sweeps as usize;
    }
    if let Some(path) = &global.policy {
        let text = fs::read_to_string(path).map_err(|source| Failure::Read { path: path.clone(), source })?;
        settings.policy = Policy::parse(&path.display().to_string(), &text)?;
    }
    if let Some(path) = &global.experience {
        let text = fs::read_to_string(path).map_err(|source| Failure::Read { path: path.clone(), source })?;
        settings.experience =
            Experience::parse(&text).map_err(|source| Failure::Experience { path: path.clone(), source })?;
    }
    Ok(settings)
}
