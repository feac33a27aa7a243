//! The plan until the replacement and what is due, as both faces ask for them.

use model::Note;
use model::advice::Urgency;
use model::assessment::Assessment;
use model::job::{Exposure, Job, Work};
use model::plan::{Due, DueKind};
use model::{Date, DateTime, FactId, JointId};
use remedy::{Findings, PlanDraft, Policy};

/// The plan that judgement, record and policy suggest on a day. A person confirms or changes it.
pub fn propose_plan(job: &Job, assessment: &Assessment, policy: &Policy, day: Date) -> PlanDraft {
    let findings = Findings {
        joints: &assessment.joints,
        supply: &assessment.supply,
        causes: &assessment.causes,
        next_checks: &assessment.next_checks,
        unexplained: &assessment.unexplained,
        trends: &assessment.trends,
    };
    remedy::propose(job, &findings, policy, day)
}

/// Everything of a job that has a day and is not settled, earliest first.
pub fn board(job: &Job, policy: &Policy) -> Vec<Due> {
    remedy::board(job, policy)
}

/// What is due of a job, for one list over all of them.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct BoardLine {
    /// The job.
    pub job: String,
    /// How the papers call the place.
    pub place: String,
    /// Invented?
    pub invented: bool,
    /// What is due.
    pub due: Due,
    /// Urgency of its job by the last judgement, where there is one.
    pub urgency: Option<Urgency>,
}

/// The lines of a job.
pub fn board_lines(job: &Job, policy: &Policy) -> Vec<BoardLine> {
    let (job_id, place, invented) = (&job.id, &job.place, job.invented);
    let line = |due| BoardLine { job: job_id.clone(), place: place.clone(), invented, due, urgency: None };
    board(job, policy).into_iter().map(line).collect()
}

/// Lines of all jobs in one order: by day, then by job.
pub fn sort_board(lines: &mut [BoardLine]) {
    lines.sort_by(|a, b| {
        (a.due.day, &a.job, a.due.kind, &a.due.of).cmp(&(b.due.day, &b.job, b.due.kind, &b.due.of))
    });
}

/// The word for a kind of day.
pub const fn due_word(kind: DueKind) -> &'static str {
    match kind {
        DueKind::Expiry => "ends",
        DueKind::Recheck => "recheck",
        DueKind::Replacement => "replacement",
        DueKind::LookBack => "look-back",
        DueKind::Promise => "promise",
    }
}

/// The board as a calendar file (RFC 5545). `made` is the time of making, as UTC; `address` is where the bench is opened,
/// without a slash at its end.
pub fn board_calendar(lines: &[BoardLine], made: DateTime, address: Option<&str>) -> String {
    let day = |line: &BoardLine| {
        let kind = due_word(line.due.kind);
        let place = if line.place.is_empty() { &line.job } else { &line.place };
        let invented = if line.invented { " (invented)" } else { "" };
        papers::CalendarDay {
            uid: format!("{}-{}-{kind}@panelwright", line.job, line.due.of),
            day: line.due.day,
            summary: format!("{kind}: {place}{invented}"),
            description: format!("{}\nJob {}.", line.due.words, line.job),
            category: kind.to_owned(),
            url: address.map(|address| format!("{address}/jobs/{}/plan", encoded(&line.job))),
        }
    };
    papers::calendar("Panelwright board", &lines.iter().map(day).collect::<Vec<_>>(), made)
}

/// A text as part of an address.
fn encoded(text: &str) -> String {
    let mut out = String::new();
    for byte in text.bytes() {
        if byte.is_ascii_alphanumeric() || b"-._~".contains(&byte) {
            out.push(char::from(byte));
        } else {
            out.push_str(&format!("%{byte:02X}"));
        }
    }
    out
}

/// Something done that needs a dead part, without the proof on record.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct NotProven {
    /// The fact.
    pub fact: FactId,
    /// What it says was done, in a few words.
    pub what: String,
    /// What is missing, in plain sentences.
    pub missing: Vec<String>,
}

/// Openings and moves on record whose parts did not count as dead at that moment. They are kept and shown, and nothing
/// is concluded from them.
pub fn not_proven(job: &Job) -> Vec<NotProven> {
    let mut all = Vec::new();
    for opening in &job.openings {
        let missing = remedy::gate::closed(job, &opening.joint, Some(moment(opening.at)));
        if !missing.is_empty() {
            let label = remedy::words::joint_label(&job.installation, &opening.joint);
            all.push(NotProven { fact: opening.fact.clone(), what: format!("opened: {label}"), missing });
        }
    }
    for work in job.work.iter().filter(|work| !work.moved_to.is_empty()) {
        let missing = closed_move(job, work);
        if !missing.is_empty() {
            all.push(NotProven { fact: work.fact.clone(), what: "a circuit moved".to_owned(), missing });
        }
    }
    all
}

/// The job without what was done unproven, and open no further than is proven: what a judgement goes by.
pub(crate) fn trusted(job: &Job) -> Job {
    let mut trusted = job.clone();
    let unproven: Vec<FactId> = not_proven(job).into_iter().map(|one| one.fact).collect();
    trusted.openings.retain(|opening| !unproven.contains(&opening.fact));
    if trusted.exposure == Exposure::ProvenDead {
        trusted.exposure = remedy::allowed(job, None);
    }
    trusted
}

/// What a reader has to know of what was left out.
pub(crate) fn remarks(job: &Job) -> Vec<Note> {
    let mut notes = Vec::new();
    for one in not_proven(job) {
        let missing = one.missing.join(" ");
        let words = format!(
            "On record, and not trusted: {}. The parts it needs were not proven dead by the record. {missing}",
            one.what
        );
        notes.push(Note::new(one.fact.to_string(), words));
    }
    if job.exposure == Exposure::ProvenDead && remedy::allowed(job, None) < Exposure::ProvenDead {
        let words = "The record says that the panel was proven dead, and holds no whole proof of it: it counts as live, \
                     and nothing that needs a dead part is offered.";
        notes.push(Note::new("exposure", words));
    }
    for doubt in &job.doubts {
        let words = format!(
            "An entry that may speak against a dead part could not be used ({}). Until it is corrected or taken back, no \
             test before it counts.",
            doubt.why
        );
        notes.push(Note::new(doubt.fact.to_string(), words));
    }
    notes
}

fn closed_move(job: &Job, work: &Work) -> Vec<String> {
    let stabs = work.slots.iter().chain(&work.moved_to).map(|slot| JointId::Stab(slot.clone()));
    let at = Some(moment(work.at));
    let mut missing: Vec<String> = stabs.flat_map(|stab| remedy::gate::closed(job, &stab, at)).collect();
    missing.dedup();
    missing
}

/// A day without a time stands for all of it.
fn moment(at: DateTime) -> DateTime {
    if at.time() == DateTime::default().time() { at.date().at(23, 59, 59, 0) } else { at }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::sample::{DAY, job};
    use crate::settings::Settings;

    #[test]
    fn what_was_opened_without_proof_is_kept_marked_and_not_gone_by() {
        let mut job = job(1);
        let settings = Settings { n_sweeps: 40, ..Settings::on(DAY) };
        let fact = FactId::new("opened");
        let joint = model::joint::joints(&job.installation)[0].id.clone();
        let (at, found, words) = (DAY.at(9, 0, 0, 0), model::job::Condition::Sound, "clean".to_owned());
        job.openings.push(model::job::Opening { fact: fact.clone(), at, joint, found, words });
        job.exposure = Exposure::ProvenDead;
        assert_eq!(trusted(&job).openings, []);
        assert_eq!(trusted(&job).exposure, Exposure::CoverOff, "a written exposure proves nothing");
        let assessment = crate::assess(&job, &settings).expect("the job can be judged");
        let subjects: Vec<&str> = assessment.notes.iter().map(|note| note.subject.as_str()).collect();
        assert!(subjects.contains(&"opened") && subjects.contains(&"exposure"), "{subjects:?}");
        let needs_dead = |check: &model::advice::CheckAdvice| check.exposure == Exposure::ProvenDead;
        assert!(!assessment.next_checks.iter().any(needs_dead));
        // The letter says nothing of it, the record says why.
        let papers = crate::papers(&job, &assessment, &crate::Press::new(), None).expect("papers");
        let text = |start: &str| {
            let paper = papers
                .iter()
                .find(|paper| paper.file_name.starts_with(start) && paper.file_name.ends_with("txt"));
            String::from_utf8(paper.expect("a paper").bytes.clone()).expect("text")
        };
        assert!(!text("owner-letter").contains("Opened with the power off"));
        assert!(text("technical-record").contains("not trusted"));
        assert!(text("crew-sheet").contains("not trusted"));
    }

    #[test]
    fn every_line_that_is_proposed_has_its_words() {
        let words = papers::PlanWords::new();
        for number in 1..=2 {
            let job = job(number);
            let settings = Settings { n_sweeps: 40, ..Settings::on(DAY) };
            let assessment = crate::assess(&job, &settings).expect("the job can be judged");
            let draft = propose_plan(&job, &assessment, &settings.policy, DAY);
            let known = |all: &[(String, String)], id: &str| all.iter().any(|(one, _)| one == id);
            assert!(draft.limits.iter().all(|(id, _)| known(&words.limits, id)), "{:?}", draft.limits);
            assert!(draft.watch.iter().all(|id| known(&words.watch, id)), "{:?}", draft.watch);
            assert!(draft.slip.iter().all(|id| known(&words.slip, id)), "{:?}", draft.slip);
            assert!(DAY < draft.recheck && draft.recheck <= draft.expires);
        }
    }
}
