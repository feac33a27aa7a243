//! The new panel as both faces ask for it: order of switching on, torque, what the readings say, what does not agree,
//! how it stands now, and the papers.

mod plan;
mod set;

pub use plan::{Planned, planned, pull_lines};
pub use set::{permit_set, permit_set_names, permit_set_paper};

use crate::print::{Document, Press};
use crate::settings::StudyError;
use model::Date;
use model::job::Job;
use model::proving::{
    CardLine, HeldAgainst, LookBack, Mismatch, NeutralVerdict, PanelNow, SwitchingOn, TorqueLog,
};
use papers::{CardPaper, InstallHead, Packet, Paper};
use remedy::proving::{self, Limits};

pub use remedy::proving::system;

/// Everything that the record says of the new panel.
#[derive(Debug, Clone, PartialEq)]
pub struct Proven {
    /// Order of switching on.
    pub order: SwitchingOn,
    /// Torque log.
    pub torque: TorqueLog,
    /// Shared neutrals.
    pub neutrals: Vec<NeutralVerdict>,
    /// Held against the first readings.
    pub held: Vec<HeldAgainst>,
    /// Directory card.
    pub card: Vec<CardLine>,
    /// What does not agree.
    pub mismatches: Vec<Mismatch>,
    /// How it stands now.
    pub now: PanelNow,
    /// Look-back.
    pub look_back: LookBack,
    /// Where the limits come from.
    pub sources: Vec<String>,
}

/// What the record says of the new panel.
pub fn prove(job: &Job) -> Proven {
    let limits = Limits::standard().expect("the limits are part of the program and tested");
    let system = proving::system(job);
    let judge = |read| proving::judge_neutral(read, system, &limits);
    Proven {
        order: proving::switching_on(job, &limits),
        torque: proving::torque_log(job, &limits),
        neutrals: job.install.neutrals.iter().map(judge).collect(),
        held: proving::hold_against(job, &limits),
        card: proving::card_lines(job, &limits),
        mismatches: proving::mismatches(job, &limits),
        now: proving::panel_now(job, &limits),
        look_back: proving::look_back(job, &limits),
        sources: limits.sources(),
    }
}

/// What a line of a directory should not say.
pub fn words_faults(words: &str) -> Vec<String> {
    let limits = Limits::standard().expect("the limits are part of the program and tested");
    proving::words_faults(words, &limits)
}

/// Head of the papers.
pub(crate) fn head(job: &Job, day: Date) -> InstallHead {
    let place: Vec<&str> =
        [job.place.as_str(), job.town.as_str()].into_iter().filter(|part| !part.is_empty()).collect();
    InstallHead {
        job: job.id.clone(),
        place: place.join(", "),
        invented: job.invented,
        day: day.to_string(),
        supply: proving::system(job).label().to_owned(),
        cautions: proving::CAUTIONS.iter().map(|&text| text.to_owned()).collect(),
    }
}

/// The papers of the new panel: pull list, switching on, directory card, close-out packet, look-back, state now.
pub fn install_paper_trees(job: &Job, day: Date) -> Vec<Paper> {
    let proven = prove(job);
    let head = head(job, day);
    let feeds: Vec<String> =
        job.install.breakers().into_iter().map(|one| proving::words_of(job, one)).collect();
    let (lines, notes) = pull_lines(job);
    let card = job.install.cards.last();
    vec![
        papers::pull_list(&head, &lines, &notes),
        papers::switching_sheet(&head, &proven.order),
        papers::directory_card(&CardPaper {
            head: head.clone(),
            width: card.and_then(|card| card.width),
            height: card.and_then(|card| card.height),
            lines: proven.card.clone(),
        }),
        papers::close_out(&Packet {
            head: &head,
            job,
            feeds: &feeds,
            order: &proven.order,
            torque: &proven.torque,
            neutrals: &proven.neutrals,
            held: &proven.held,
            mismatches: &proven.mismatches,
            sources: &proven.sources,
        }),
        papers::look_back_sheet(&head, &proven.look_back),
        papers::panel_now_sheet(&head, &proven.now),
    ]
}

/// The papers of the new panel as PDF (without the feature `pdf` as printable HTML) and as text. Equal input gives equal bytes.
///
/// # Errors
/// Where the typesetter refuses a paper.
pub fn install_papers(job: &Job, day: Date, press: &Press) -> Result<Vec<Document>, StudyError> {
    press.documents(job, &install_paper_trees(job, day))
}

/// Names of the files of [`install_papers()`], in its order, without setting any.
pub fn install_names(job: &Job, day: Date) -> Vec<String> {
    let mut names = Vec::new();
    for paper in install_paper_trees(job, day) {
        names.push(format!("{}.{}", paper.file_name, crate::print::PRINTABLE));
        names.push(format!("{}.txt", paper.file_name));
    }
    names
}

/// One of the files of [`install_papers()`] by its name. `None` where there is no such file.
///
/// # Errors
/// Where the typesetter refuses the paper.
pub fn install_paper(
    job: &Job,
    day: Date,
    press: &Press,
    file_name: &str,
) -> Result<Option<Document>, StudyError> {
    press.named(job, &install_paper_trees(job, day), file_name)
}
