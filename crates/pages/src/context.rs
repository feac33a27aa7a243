//! What a page is made from.

use crate::fields::Fields;
use jiff::civil::DateTime;
use model::assessment::Assessment;
use model::job::Job;
use model::{Date, FactId};
use record::{Body, Fact, Settled};

/// Name of the hidden field that says how many facts the page of a form knew.
pub(crate) const KNOWN: &str = "known";

/// Everything a page may show. Parts that a route does not need are left empty.
#[derive(Debug, Clone, Copy)]
pub struct Context<'a> {
    /// Civil time at the machine, for new facts of a browser that does not give its own.
    pub now: DateTime,
    /// Who looks.
    pub viewer: Viewer<'a>,
    /// In which light.
    pub light: Light,
    /// Token that every form must carry back.
    pub csrf: &'a str,
    /// A fresh id for what is entered on this page: the same entry sent twice is stored once.
    pub entry: &'a str,
    /// All jobs, for the list of jobs.
    pub jobs: &'a [JobLine],
    /// The job, for pages of a job.
    pub job: Option<&'a JobView>,
    /// Devices, for the page of devices.
    pub devices: &'a [Device],
    /// An invitation just made, for the page of devices.
    pub invitation: Option<&'a Invitation>,
    /// What is due in all jobs, for the board.
    pub board: &'a [study::BoardLine],
    /// The shop's policy.
    pub policy: &'a study::Policy,
    /// The code book.
    pub book: &'a study::code::Book,
    /// Price book, notice and past jobs of the shop.
    pub shop: &'a study::Shop,
    /// Its text, for the page that changes it.
    pub policy_text: PolicyText<'a>,
}

/// The text of the policy in force, and whose it is.
#[derive(Debug, Clone, Copy, Default)]
pub struct PolicyText<'a> {
    /// The text.
    pub text: &'a str,
    /// Whose it is, in a sentence.
    pub origin: &'a str,
    /// Given on the command line, so that it is not changed here?
    pub locked: bool,
}

impl<'a> Context<'a> {
    /// The job as its facts leave it, where one is shown.
    pub(crate) fn settled_job(&self) -> Option<&'a Job> {
        self.job?.settled.job.as_ref()
    }

    /// A fact of whoever looks, from what is entered here.
    pub(crate) fn fact(&self, at: DateTime, supersedes: Vec<FactId>, body: impl Into<Body>) -> Fact {
        let by = self.viewer.name.trim();
        Fact::new(at, (!by.is_empty()).then(|| by.to_owned()), supersedes, body.into())
    }
}

/// The light in which the pages are read.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Light {
    /// As the device says.
    #[default]
    Auto,
    /// Ink on paper.
    Day,
    /// Light ink on black.
    Dark,
    /// Black on white with thicker lines, for the sun.
    Glare,
}

impl Light {
    /// All of them.
    pub const ALL: [Light; 4] = [Light::Auto, Light::Day, Light::Dark, Light::Glare];

    /// The word in the cookie and the style sheet.
    pub const fn word(self) -> &'static str {
        match self {
            Light::Auto => "auto",
            Light::Day => "day",
            Light::Dark => "dark",
            Light::Glare => "glare",
        }
    }

    /// The light with this word; as the device says, where there is none.
    pub fn of_word(word: &str) -> Self {
        Light::ALL.into_iter().find(|light| light.word() == word).unwrap_or_default()
    }
}

/// Who looks.
#[derive(Debug, Clone, Copy)]
pub struct Viewer<'a> {
    /// Name of the person or device, put into each fact as its author. Empty before signing in.
    pub name: &'a str,
}

/// A line of the list of jobs.
#[derive(Debug, Clone, PartialEq)]
pub struct JobLine {
    /// Name of the job.
    pub job: String,
    /// Place, as the papers call it.
    pub place: String,
    /// Town.
    pub town: String,
    /// Invented?
    pub invented: bool,
    /// Facts held.
    pub n_facts: usize,
    /// When the last fact arrived, civil time at the machine.
    pub changed: DateTime,
    /// Urgency by the last judgement, where there is one.
    pub urgency: Option<model::advice::Urgency>,
    /// Of what that judgement is, where it may be of an earlier day.
    pub as_of: Option<AsOf>,
}

/// What a judgement that was kept is of.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct AsOf {
    /// Its day.
    pub day: Date,
    /// Did facts arrive after it?
    pub older: bool,
    /// Is it by another policy than the one in force?
    pub otherwise: bool,
}

impl JobLine {
    /// The line of a job that cannot be read.
    pub fn unread(job: String, n_facts: usize, changed: DateTime) -> JobLine {
        let (place, town) = (String::new(), String::new());
        JobLine { job, place, town, invented: false, n_facts, changed, urgency: None, as_of: None }
    }

    /// The line of a job of so many facts, `changed` last.
    pub fn of(view: &JobView, n_facts: usize, changed: DateTime) -> JobLine {
        let job = view.settled.job.as_ref();
        JobLine {
            job: view.name.clone(),
            place: job.map(|job| job.place.clone()).unwrap_or_default(),
            town: job.map(|job| job.town.clone()).unwrap_or_default(),
            invented: job.is_some_and(|job| job.invented),
            n_facts,
            changed,
            urgency: view.urgency(),
            as_of: None,
        }
    }
}

/// A job with what is thought of it.
#[derive(Debug, Clone, PartialEq)]
pub struct JobView {
    /// Name of the job: the key of the store, and what its first fact calls it.
    pub name: String,
    /// All facts, in the order of arrival.
    pub facts: Vec<Fact>,
    /// What they come to.
    pub settled: Settled,
    /// Grows by at least one with every fact that arrives.
    pub revision: i64,
    /// The judgement.
    pub judged: Judged,
}

impl JobView {
    /// The job, where it has what a judgement needs.
    ///
    /// # Errors
    /// A sentence on what is missing.
    pub fn ready(&self) -> Result<&Job, String> {
        let Some(job) = &self.settled.job else {
            return Err("The call sheet is missing: no fact opens this job yet.".to_owned());
        };
        if job.installation.panels.is_empty() {
            return Err("Describe the panel first: there is nothing to judge yet.".to_owned());
        }
        if job.installation.panels.iter().all(|panel| panel.breakers.is_empty()) {
            return Err("Fill in the breakers first: there is no joint to judge yet.".to_owned());
        }
        Ok(job)
    }

    /// Urgency by its judgement, where there is one.
    pub fn urgency(&self) -> Option<model::advice::Urgency> {
        self.judged.assessment().map(|assessment| assessment.verdict.urgency)
    }

    /// What is due in it.
    pub fn board_lines(&self, policy: &study::Policy) -> Vec<study::BoardLine> {
        let Some(job) = &self.settled.job else { return Vec::new() };
        let lines = study::board_lines(job, policy).into_iter();
        // The key of the store, which the addresses use.
        let own = |line| study::BoardLine { job: self.name.clone(), urgency: self.urgency(), ..line };
        lines.map(own).collect()
    }

    /// The facts that are used, in the order of arrival.
    pub(crate) fn used(&self) -> impl DoubleEndedIterator<Item = &Fact> {
        self.facts.iter().filter(|fact| self.settled.is_used(fact.id()))
    }

    /// Could the page that sent these fields show this fact? What came in later from elsewhere, while the entry waited
    /// for a network, is neither replaced by it nor in its way: both stand, and the later one is used.
    pub(crate) fn is_known_to(&self, fields: &Fields, id: &FactId) -> bool {
        let n_known = fields.text(KNOWN).and_then(|text| text.parse::<usize>().ok());
        self.facts.iter().take(n_known.unwrap_or(usize::MAX)).any(|fact| fact.id() == id)
    }
}

/// How far the judgement of a job is.
#[derive(Debug, Clone, PartialEq)]
pub enum Judged {
    /// It is being computed; nothing earlier is there.
    Waiting,
    /// It cannot be computed; the sentence says what is missing.
    NotPossible(String),
    /// Done.
    Done {
        /// The judgement.
        assessment: Box<Assessment>,
        /// Is it of the facts shown, or of fewer while a newer one is computed?
        current: bool,
        /// A first look at the facts shown, while the whole judgement of them is computed.
        first: Option<Box<Assessment>>,
    },
}

impl Judged {
    /// The whole judgement, where there is one. Papers, lists and forms are made from it and from nothing else.
    pub fn assessment(&self) -> Option<&Assessment> {
        match self {
            Judged::Done { assessment, .. } => Some(assessment),
            Judged::Waiting | Judged::NotPossible(_) => None,
        }
    }

    /// The first look that is shown in place of an older judgement, where there is one.
    pub fn first_look(&self) -> Option<&Assessment> {
        match self {
            Judged::Done { current: false, first, .. } => first.as_deref(),
            _ => None,
        }
    }

    /// What a page shows of joints and checks: the first look, else the judgement. A page that asks for it says which it is.
    pub(crate) fn shown(&self) -> Option<&Assessment> {
        self.first_look().or_else(|| self.assessment())
    }

    /// Whose verdict and choices a page shows: beside a first look the earlier judgement's, where that is the more urgent.
    pub(crate) fn leading(&self) -> Option<&Assessment> {
        let (whole, first) = (self.assessment()?, self.first_look());
        // The most urgent comes first.
        Some(first.filter(|first| first.verdict.urgency <= whole.verdict.urgency).unwrap_or(whole))
    }
}

/// A device that may use the bench.
#[derive(Debug, Clone, PartialEq)]
pub struct Device {
    /// Its id.
    pub id: String,
    /// Its name, given when it joined.
    pub name: String,
    /// The person who signed in on it; empty where it joined by a code alone.
    pub person: String,
    /// When it joined.
    pub joined: DateTime,
    /// When it was last seen, where it was.
    pub seen: Option<DateTime>,
    /// Until when it may use the bench without joining again.
    pub expires: DateTime,
    /// What it may do.
    pub role: crate::rights::Role,
    /// Shut out?
    pub revoked: bool,
    /// Is it the one that looks?
    pub this: bool,
}

/// An invitation for a further device.
#[derive(Debug, Clone, PartialEq)]
pub struct Invitation {
    /// The code, as it is typed.
    pub code: String,
    /// Address that a phone opens.
    pub address: String,
    /// The address as a QR code, SVG text.
    pub qr_svg: String,
    /// Until when it may be used.
    pub expires: DateTime,
}
