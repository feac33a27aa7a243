//! The questions an owner of a shop asks, answered from all jobs with counts, intervals and the jobs behind them.
//!
//! What the record cannot answer says what would have to be recorded; nothing is guessed.

use super::JobNotes;
use super::healthy::Band;
use super::share::Share;
use super::tally::{Tally, Told};
use model::Date;
use std::sync::Arc;

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
    /// A median, where the answer is one.
    pub figure: Option<f64>,
    /// Its 95 % interval; `None` of fewer than six.
    pub range: Option<(f64, f64)>,
    /// Its unit.
    pub unit: &'static str,
    /// The jobs in which it was so, in the order of their names; as many of them as were asked for.
    pub jobs: Vec<Arc<str>>,
    /// How many there are.
    pub n_jobs: usize,
}

/// Answers all questions from what is kept of the jobs, on this day, with all jobs behind each count.
pub fn answers(notes: &[&JobNotes], today: Date) -> Vec<Answer> {
    let mut tally = Tally::default();
    notes.iter().for_each(|job| tally.put(0, job));
    tally.answers(today, usize::MAX)
}

/// Answers all questions from what was counted.
pub(super) fn told(told: &Told<'_>) -> Vec<Answer> {
    let answer = |number, question, lines, missing| Answer { number, question, lines, missing };
    vec![
        answer(
            1,
            "Of panels with a burnt stab, how many had a second within 18 months? Did moved circuits come back?",
            second(told),
            "Panels that nobody opened again count as without a second one only after 18 months.",
        ),
        answer(
            2,
            "Does water in the cabinet go with burnt or worn joints?",
            water(told),
            "Garage, coast and basement are words in the record, and are not counted.",
        ),
        answer(
            3,
            "How long do our replacements really take, step by step, and what held them up?",
            hours(told),
            "",
        ),
        answer(
            4,
            "How many permits and inspections passed, and what was flagged?",
            permits(told),
            "By town, which stands for the permit office; no inspector is named. Counted are inspections that somebody wrote down.",
        ),
        answer(
            5,
            "How long after asking does the utility come, and where does it give the supply back on the same day?",
            utility(told),
            "By town; the district of the utility is not recorded. The wait is counted where the day of asking was written down, from there to the first cut.",
        ),
        answer(
            7,
            "What do healthy spaces read at 40 to 60 % load, by rating?",
            healthy(told),
            "Faces of breakers whose stabs were opened and found sound.",
        ),
        answer(8, "Who declined advice, and what came later?", declined(told), ""),
        answer(
            9,
            "Which stop-gaps are past their day or end within seven days?",
            ending(told),
            "One-year scans stand on the board.",
        ),
        answer(
            10,
            "Did a house that was told \u{201c}safe until\u{201d} a day call before that day?",
            called(told),
            "",
        ),
        answer(
            11,
            "Which surprises come how often, what do they cost, and what did we not charge for?",
            surprises(told),
            "Costs are counted where somebody wrote them down: hours of all people beyond the plan, parts without the hours. Other work that was not charged for is not recorded.",
        ),
    ]
}

/// Those of which anything was counted.
fn counted(lines: impl IntoIterator<Item = Line>) -> Vec<Line> {
    lines.into_iter().filter(|line| 0 < line.n).collect()
}

fn second(told: &Told<'_>) -> Vec<Line> {
    let panels = told.share(1, 0, "more than one found burnt on the first day");
    let moved = told.share(
        1,
        2,
        "moved circuits after which the house complained or the new place was found worn or burnt",
    );
    if panels.n == 0 {
        return counted([moved]);
    }
    let further = told.share(1, 1, "a further one within 18 months, of panels followed so long");
    let mut lines = vec![panels, further];
    lines.extend(counted([moved]));
    lines
}

fn water(told: &Told<'_>) -> Vec<Line> {
    counted([
        told.share(2, 0, "burnt or worn, of joints opened where water was seen"),
        told.share(2, 1, "burnt or worn, of joints opened where none was seen"),
    ])
}

fn hours(told: &Told<'_>) -> Vec<Line> {
    let whole = told.median(3, 0, "", "person-hours, all ticked steps of a job", "h");
    let off = told.median(3, 1, "", "without power, from cut to giving back", "h");
    let steps = told.by(3, 2).into_iter().map(|step| told.median(3, 2, step, step, "person-hours"));
    let mut lines: Vec<Line> = [whole, off].into_iter().chain(steps).flatten().collect();
    let held = told.by(3, 3).into_iter().map(|step| told.share_by(3, 3, step, format!("{step}: held up")));
    lines.extend(held.filter(|line| line.share.is_some_and(|share| 0 < share.yes)));
    lines
}

fn permits(told: &Told<'_>) -> Vec<Line> {
    let mut lines =
        counted([told.share(4, 0, "passed, of permits filed"), told.share(4, 1, "passed, of inspections")]);
    let towns = told.by(4, 2).into_iter();
    lines.extend(counted(
        towns.map(|town| told.share_by(4, 2, town, format!("did not pass, of inspections, {town}"))),
    ));
    let words = told.by(4, 3).into_iter();
    let flagged = words
        .map(|word| told.share_by(4, 3, word, format!("{word} flagged, of inspections that did not pass")));
    lines.extend(flagged.filter(|line| line.share.is_some_and(|share| 0 < share.yes)));
    lines
}

fn utility(told: &Told<'_>) -> Vec<Line> {
    let waits = told.by(5, 1).into_iter();
    let waits = waits.map(|town| told.median(5, 1, town, &format!("from asking to the cut, {town}"), "days"));
    let mut lines: Vec<Line> = waits.flatten().collect();
    let booked = told.by(5, 2).into_iter();
    lines.extend(counted(
        booked.map(|town| told.share_by(5, 2, town, format!("cut on the day booked, {town}"))),
    ));
    let towns = told.by(5, 0).into_iter();
    lines.extend(counted(towns.map(|town| told.share_by(5, 0, town, format!("same day, {town}")))));
    lines
}

fn healthy(told: &Told<'_>) -> Vec<Line> {
    let middle = told.bands().into_iter().filter(|band| (0.39..0.41).contains(&band.load.0));
    let line = |band: Band| Line {
        words: format!(
            "{} A: median rise of the face over the room, {:.0} to {:.0} K",
            band.rating_a, band.rise_k.0, band.rise_k.2
        ),
        share: None,
        n: band.n,
        figure: Some(band.rise_k.1),
        range: band.range_k,
        unit: "K",
        jobs: band.jobs,
        n_jobs: band.n_jobs,
    };
    middle.map(line).collect()
}

fn declined(told: &Told<'_>) -> Vec<Line> {
    let later = told.share(8, 1, "complained or called again later, of those");
    if later.n == 0 {
        return Vec::new();
    }
    let declined = told.share(8, 0, "jobs in which advice was declined");
    vec![declined, later, told.share(8, 2, "a joint found burnt later, of those")]
}

fn ending(told: &Told<'_>) -> Vec<Line> {
    counted([
        told.share(9, 0, "past their day, of stop-gaps still open"),
        told.share(9, 1, "end within seven days, of those"),
    ])
}

fn called(told: &Told<'_>) -> Vec<Line> {
    counted([told.share(10, 0, "called before the last day, of stop-gaps")])
}

fn surprises(told: &Told<'_>) -> Vec<Line> {
    let n = told.share(11, 9, "").n;
    let ids = told.by(11, 0).into_iter();
    let line = |id: &str| {
        let line = told.share_by(11, 0, id, format!("{}, of jobs with any", id.replace('-', " ")));
        Line { n, share: line.share.map(|share| Share { n, ..share }), ..line }
    };
    let mut lines: Vec<Line> =
        ids.map(line).filter(|line| line.share.is_some_and(|share| 0 < share.yes)).collect();
    let named = |id: &str| if id.is_empty() { "a surprise".to_owned() } else { id.replace('-', " ") };
    for (place, words, unit) in
        [(1, "hours beyond the plan", "person-hours"), (2, "parts and others", "US dollars")]
    {
        let by = told.by(11, place).into_iter();
        lines
            .extend(by.filter_map(|id| told.median(11, place, id, &format!("{}: {words}", named(id)), unit)));
    }
    let unpaid = told.by(11, 3).into_iter();
    lines
        .extend(counted(unpaid.map(|id| {
            told.share_by(11, 3, id, format!("{}: not on the bill, where it was said", named(id)))
        })));
    lines
}

#[cfg(test)]
mod tests;
