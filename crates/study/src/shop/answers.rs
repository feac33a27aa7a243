//! The questions an owner of a shop asks, answered from all jobs with counts, intervals and the jobs behind them.
//!
//! What the record cannot answer says what would have to be recorded; nothing is guessed.

use super::notes::{JobNotes, OpenedJoint};
use super::share::Share;
use super::{Healthy, bands};
use model::Date;
use model::job::Condition;
use model::joint::JointId;
use std::collections::BTreeMap;

/// Days within which a second burnt stab counts: eighteen months.
const SECOND_DAYS: i64 = 548;

/// A question with its answer.
#[derive(Debug, Clone, PartialEq)]
pub struct Answer {
    /// Which, as in the list of questions.
    pub number: u8,
    /// The question.
    pub question: &'static str,
    /// Counts; empty where nothing is on record.
    pub lines: Vec<Line>,
    /// What the record does not tell; empty where it tells all.
    pub missing: &'static str,
}

/// A count with the jobs behind it.
#[derive(Debug, Clone, PartialEq)]
pub struct Line {
    /// What is counted.
    pub words: String,
    /// So many of so many.
    pub share: Option<Share>,
    /// How many stand behind a figure.
    pub n: usize,
    /// A figure, where the answer is one.
    pub figure: Option<f64>,
    /// Its unit.
    pub unit: &'static str,
    /// The jobs in which it was so.
    pub jobs: Vec<String>,
}

impl Line {
    /// A share: of all `of`, those for which it `is` so.
    fn share<'a>(words: &str, of: impl IntoIterator<Item = (&'a str, bool)>) -> Line {
        let (mut n, mut yes, mut jobs) = (0, 0, Vec::new());
        for (job, is) in of {
            n += 1;
            yes += usize::from(is);
            if is {
                jobs.push(job.to_owned());
            }
        }
        jobs.sort();
        jobs.dedup();
        Line { words: words.to_owned(), share: Some(Share { yes, n }), n, figure: None, unit: "", jobs }
    }

    /// The median of figures.
    fn median<'a>(
        words: &str,
        unit: &'static str,
        of: impl IntoIterator<Item = (&'a str, f64)>,
    ) -> Option<Line> {
        let all: Vec<(&str, f64)> = of.into_iter().collect();
        let mut figures: Vec<f64> = all.iter().map(|(_, figure)| *figure).collect();
        figures.sort_by(f64::total_cmp);
        let n = figures.len();
        let middle = (figures.get(n.checked_sub(1)? / 2)? + figures.get(n / 2)?) / 2.0;
        let mut jobs: Vec<String> = all.iter().map(|(job, _)| (*job).to_owned()).collect();
        jobs.sort();
        jobs.dedup();
        Some(Line { words: words.to_owned(), share: None, n, figure: Some(middle), unit, jobs })
    }
}

/// Answers all questions from what is kept of the jobs, on this day.
pub fn answers(notes: &[&JobNotes], today: Date) -> Vec<Answer> {
    let answer = |number, question, lines, missing| Answer { number, question, lines, missing };
    vec![
        answer(
            1,
            "Of panels with a burnt stab, how many had a second within 18 months? Did moved circuits come back?",
            second(notes, today),
            "Panels that nobody opened again count as without a second one only after 18 months.",
        ),
        answer(
            2,
            "Does water in the cabinet go with burnt or worn joints?",
            water(notes),
            "Garage, coast and basement are words in the record, and are not counted.",
        ),
        answer(
            3,
            "How long do our replacements really take, step by step, and what held them up?",
            hours(notes),
            "",
        ),
        answer(
            4,
            "How many permits passed?",
            permits(notes),
            "Who flagged what is not recorded yet: an inspection has only the day it passed.",
        ),
        answer(
            5,
            "Where does the utility give the supply back on the same day?",
            utility(notes),
            "By town; the district of the utility is not recorded.",
        ),
        answer(
            7,
            "What do healthy spaces read at 40 to 60 % load, by rating?",
            healthy(notes),
            "Faces of breakers whose stabs were opened and found sound.",
        ),
        answer(8, "Who declined advice, and what came later?", declined(notes), ""),
        answer(
            9,
            "Which stop-gaps are past their day or end within seven days?",
            ending(notes, today),
            "One-year scans stand on the board.",
        ),
        answer(
            10,
            "Did a house that was told \u{201c}safe until\u{201d} a day call before that day?",
            called(notes),
            "",
        ),
        answer(
            11,
            "Which surprises come how often?",
            surprises(notes),
            "What was not charged for is not recorded; quotes and hours of each job are on its page of prices.",
        ),
    ]
}

fn days(from: Date, to: Date) -> i64 {
    from.until(to).map_or(0, |span| i64::from(span.get_days()))
}

fn second(notes: &[&JobNotes], today: Date) -> Vec<Line> {
    let mut panels = Vec::new();
    for job in notes {
        let mut burnt: BTreeMap<String, Vec<&OpenedJoint>> = BTreeMap::new();
        for opened in job.opened.iter().filter(|opened| opened.found == Condition::Burnt) {
            if matches!(opened.joint, JointId::Stab(_)) {
                burnt.entry(opened.joint.panel().to_string()).or_default().push(opened);
            }
        }
        for stabs in burnt.values() {
            let Some(first) = stabs.iter().map(|stab| stab.day).min() else { continue };
            let together = stabs.iter().filter(|stab| stab.day == first).count();
            let later = stabs.iter().any(|stab| first < stab.day && days(first, stab.day) <= SECOND_DAYS);
            let followed = later || SECOND_DAYS <= days(first, today);
            panels.push((job.job.as_str(), 1 < together, later, followed));
        }
    }
    let moved: Vec<(&str, bool)> = notes
        .iter()
        .flat_map(|job| {
            job.stop_gaps.iter().filter(|gap| !gap.moved_to.is_empty()).map(move |gap| (job, gap))
        })
        .map(|(job, gap)| {
            let burnt_there = job.opened.iter().any(|opened| {
                let there = opened.joint.slot().is_some_and(|slot| gap.moved_to.contains(slot));
                there && opened.found != Condition::Sound && gap.day < opened.day
            });
            (job.job.as_str(), burnt_there || job.complaints.iter().any(|day| gap.day < *day))
        })
        .collect();
    if panels.is_empty() && moved.is_empty() {
        return Vec::new();
    }
    let followed = panels.iter().filter(|panel| panel.3).map(|panel| (panel.0, panel.2));
    let mut lines = vec![
        Line::share(
            "more than one found burnt on the first day",
            panels.iter().map(|panel| (panel.0, panel.1)),
        ),
        Line::share("a further one within 18 months, of panels followed so long", followed),
    ];
    if !moved.is_empty() {
        lines.push(Line::share(
            "moved circuits after which the house complained or the new place was found worn or burnt",
            moved,
        ));
    }
    lines
}

fn water(notes: &[&JobNotes]) -> Vec<Line> {
    let of = |wet: bool| {
        notes.iter().flat_map(move |job| {
            job.opened.iter().filter_map(move |opened| {
                let panel = opened.joint.panel().to_string();
                let known = job.moisture.iter().find(|(name, _)| *name == panel)?;
                (known.1 == wet).then_some((job.job.as_str(), opened.found != Condition::Sound))
            })
        })
    };
    let lines = [
        Line::share("burnt or worn, of joints opened where water was seen", of(true)),
        Line::share("burnt or worn, of joints opened where none was seen", of(false)),
    ];
    lines.into_iter().filter(|line| 0 < line.n).collect()
}

fn hours(notes: &[&JobNotes]) -> Vec<Line> {
    let mut steps: BTreeMap<&str, Vec<(&str, f64)>> = BTreeMap::new();
    let mut held: BTreeMap<&str, Vec<(&str, bool)>> = BTreeMap::new();
    let mut whole = Vec::new();
    for job in notes.iter().filter(|job| !job.steps.is_empty()) {
        whole.push((job.job.as_str(), job.steps.iter().map(|(_, hours, _)| hours).sum::<f64>()));
        for (step, hours, held_up) in &job.steps {
            steps.entry(step).or_default().push((&job.job, *hours));
            held.entry(step).or_default().push((&job.job, !held_up.is_empty()));
        }
    }
    let off = notes.iter().flat_map(|job| job.hours_off.iter().map(|hours| (job.job.as_str(), *hours)));
    let mut lines: Vec<Line> =
        Line::median("person-hours, all ticked steps of a job", "h", whole).into_iter().collect();
    lines.extend(Line::median("without power, from cut to giving back", "h", off));
    for (step, figures) in steps {
        lines.extend(Line::median(step, "person-hours", figures));
    }
    for (step, all) in held {
        let line = Line::share(&format!("{step}: held up"), all);
        if line.share.is_some_and(|share| 0 < share.yes) {
            lines.push(line);
        }
    }
    lines
}

fn permits(notes: &[&JobNotes]) -> Vec<Line> {
    let all = notes.iter().flat_map(|job| job.permits.iter().map(|passed| (job.job.as_str(), *passed)));
    let line = Line::share("passed, of permits filed", all);
    if line.n == 0 { Vec::new() } else { vec![line] }
}

fn utility(notes: &[&JobNotes]) -> Vec<Line> {
    let mut towns: BTreeMap<&str, Vec<(&str, bool)>> = BTreeMap::new();
    for job in notes {
        for (cut, back) in &job.cuts {
            if let Some(back) = back {
                towns.entry(&job.town).or_default().push((&job.job, cut == back));
            }
        }
    }
    towns.into_iter().map(|(town, all)| Line::share(&format!("same day, {town}"), all)).collect()
}

fn healthy(notes: &[&JobNotes]) -> Vec<Line> {
    let readings: Vec<&Healthy> = notes.iter().flat_map(|job| &job.healthy).collect();
    let middle = bands(readings).into_iter().filter(|band| (0.39..0.41).contains(&band.load.0));
    let line = |band: super::Band| Line {
        words: format!(
            "{} A: median rise of the face over the room, {:.0} to {:.0} K",
            band.rating_a, band.rise_k.0, band.rise_k.2
        ),
        share: None,
        n: band.n,
        figure: Some(band.rise_k.1),
        unit: "K",
        jobs: band.jobs,
    };
    middle.map(line).collect()
}

fn declined(notes: &[&JobNotes]) -> Vec<Line> {
    let later = |job: &JobNotes| {
        let first = job.declined.iter().min().copied();
        first.map(|first| {
            let burnt =
                job.opened.iter().any(|opened| first < opened.day && opened.found == Condition::Burnt);
            (job.complaints.iter().any(|day| first < *day), burnt)
        })
    };
    let all: Vec<(&str, bool, bool)> = notes
        .iter()
        .filter_map(|job| later(job).map(|(called, burnt)| (job.job.as_str(), called, burnt)))
        .collect();
    if all.is_empty() {
        return Vec::new();
    }
    vec![
        Line::share(
            "jobs in which advice was declined",
            notes.iter().map(|job| (job.job.as_str(), !job.declined.is_empty())),
        ),
        Line::share("complained or called again later, of those", all.iter().map(|one| (one.0, one.1))),
        Line::share("a joint found burnt later, of those", all.iter().map(|one| (one.0, one.2))),
    ]
}

fn ending(notes: &[&JobNotes], today: Date) -> Vec<Line> {
    let open = || {
        notes.iter().flat_map(|job| {
            let open = job.stop_gaps.iter().filter(|gap| gap.settled.is_none());
            open.filter_map(|gap| Some((job.job.as_str(), days(today, gap.expires?))))
        })
    };
    if open().next().is_none() {
        return Vec::new();
    }
    vec![
        Line::share("past their day, of stop-gaps still open", open().map(|(job, left)| (job, left < 0))),
        Line::share(
            "end within seven days, of those",
            open().map(|(job, left)| (job, (0..=7).contains(&left))),
        ),
    ]
}

fn called(notes: &[&JobNotes]) -> Vec<Line> {
    let all: Vec<(&str, bool)> = notes
        .iter()
        .flat_map(|job| {
            job.stop_gaps.iter().filter_map(move |gap| {
                let expires = gap.expires?;
                let within = |day: &Date| gap.day < *day && *day < expires;
                Some((job.job.as_str(), job.complaints.iter().any(within)))
            })
        })
        .collect();
    if all.is_empty() {
        Vec::new()
    } else {
        vec![Line::share("called before the last day, of stop-gaps", all)]
    }
}

fn surprises(notes: &[&JobNotes]) -> Vec<Line> {
    let surveyed: Vec<&&JobNotes> = notes.iter().filter(|job| !job.surprises.is_empty()).collect();
    let mut ids: Vec<&str> =
        surveyed.iter().flat_map(|job| job.surprises.iter().map(String::as_str)).collect();
    ids.sort_unstable();
    ids.dedup();
    let line = |id: &str| {
        let has = surveyed.iter().map(|job| (job.job.as_str(), job.surprises.iter().any(|one| one == id)));
        Line::share(&format!("{}, of jobs with any", id.replace('-', " ")), has)
    };
    ids.into_iter().map(line).collect()
}

#[cfg(test)]
mod tests;
