//! The crew's sheet: the days, what was done and what was not seen, and the isolation drawn step by step with room to
//! tick. It goes by the record and says so.

use super::owner::{breaker, lacks_single_main};
use super::steps::{StepState, drawn};
use super::words::{Book, Phrases};
use crate::clean::{clean, shorten};
use crate::page::{Item, Node, Paper, Sheet, Table, file_name, heading, list, paragraph};
use crate::phrases::fill;
use model::isolation::{IsolationPlan, Part, ProofPoint};
use model::job::Job;
use model::plan::{Alarms, Answer, Interim};
use model::{Date, FactId};

/// What the crew's sheet is made from.
#[derive(Debug, Clone, Copy)]
pub struct CrewSheet<'a> {
    /// The job.
    pub job: &'a Job,
    /// The plan until the replacement, where there is one.
    pub plan: Option<&'a Interim>,
    /// How everything is cut off.
    pub isolation: Option<&'a IsolationPlan>,
    /// Every part of the installation, in order.
    pub parts: &'a [Part],
    /// Openings whose parts were not proven dead by the record.
    pub not_proven: &'a [FactId],
    /// Day of the paper.
    pub day: Date,
}

/// The sheet for the crew.
pub fn crew_sheet(from: &CrewSheet<'_>) -> Paper {
    let book = Book::new();
    let w = book.crew();
    let short = |text: &str, most| shorten(&clean(text), most);
    let (place, town) = (short(&from.job.place, 60), short(&from.job.town, 40));
    let (id, day) = (short(&from.job.id, 40), from.day.to_string());
    let mut body = vec![
        heading(1, w.get("title")),
        paragraph(fill(w.get("intro"), &[("place", &place), ("town", &town), ("job", &id), ("day", &day)])),
    ];
    body.extend(plan(from, &book));
    body.extend(stop_gaps(from, w));
    body.extend(openings(from, w));
    body.extend(isolation(from, w));
    Paper {
        title: w.get("title").to_owned(),
        file_name: file_name(&[w.get("file"), &from.job.id]),
        language: w.get("tag").to_owned(),
        day,
        head: fill(w.get("head"), &[("place", &place), ("town", &town), ("job", &id)]),
        invented: from.job.invented.then(|| w.get("invented").to_owned()),
        foot: w.get("foot").to_owned(),
        page_of: w.get("page_of").to_owned(),
        max_pages: None,
        sheet: Sheet::Letter,
        text_size_pt: 9.5,
        body,
    }
}

fn plan(from: &CrewSheet<'_>, book: &Book) -> Vec<Node> {
    let w = book.crew();
    let Some(plan) = from.plan else {
        return vec![heading(2, w.get("plan")), paragraph(w.get("no_plan"))];
    };
    let off: Vec<String> = plan
        .off
        .iter()
        .map(|slot| {
            let (spaces, feeds) = breaker(from.job, slot);
            format!("{spaces} {feeds}").trim_end().to_owned()
        })
        .collect();
    let mut limits: Vec<&str> = plan.limits.iter().map(|id| book.limit(id, "en")).collect();
    let limits_words = clean(&plan.limits_words);
    limits.push(&limits_words);
    let watch: Vec<&str> = plan.watch.iter().map(|id| book.watch(id, "en").0).collect();
    let slip: Vec<&str> = plan.slip.iter().map(|id| book.slip(id, "en")).collect();
    let alarms = match plan.alarms {
        Alarms::Tested => "tested, they sound",
        Alarms::Failed => "one did not sound",
        Alarms::NoneThere => "there are none",
        Alarms::NotTested => "not tested",
    };
    let answer = if plan.answer == Answer::Accepted { "accepted" } else { "declined" };
    let or_none = |text: String| if text.trim().is_empty() { w.get("none").to_owned() } else { text };
    let needs = [&plan.medical, &plan.food, &plan.heat].map(|text| or_none(clean(text))).join(" / ");
    let day = |day: Option<Date>| day.map_or_else(|| w.get("not_set").to_owned(), |day| day.to_string());
    let rows = [
        ("off", or_none(off.join("; "))),
        ("limits", or_none(limits.join(" ").trim().to_owned())),
        ("done", or_none(clean(&plan.done))),
        ("watch", or_none(watch.join("; "))),
        ("expires", plan.expires.to_string()),
        ("recheck", plan.recheck.to_string()),
        ("replacement", day(plan.replacement)),
        ("slip", or_none(slip.join(" "))),
        ("alarms", format!("{alarms}. {}", clean(&plan.alarms_words)).trim_end().to_owned()),
        ("needs", needs),
        (
            "answer",
            format!(
                "{answer}, {}: “{}” {}",
                clean(&plan.answer_by),
                clean(&plan.answer_words),
                clean(&plan.reasons)
            )
            .trim_end()
            .to_owned(),
        ),
    ];
    let rows = rows.into_iter().map(|(name, text)| (w.get(name).to_owned(), text)).collect();
    vec![heading(2, w.get("plan")), Node::Pairs { rows }]
}

fn stop_gaps(from: &CrewSheet<'_>, w: &Phrases) -> Vec<Node> {
    let columns = [
        (w.get("when"), 1.3),
        (w.get("what"), 4.2),
        (w.get("spaces"), 1.0),
        (w.get("moved_to"), 1.0),
        (w.get("expires"), 1.2),
        (w.get("recheck"), 1.3),
    ];
    let mut table = Table::new(&columns);
    let spaces = |slots: &[model::Slot]| {
        slots.iter().map(|slot| slot.space.to_string()).collect::<Vec<_>>().join(", ")
    };
    for work in from.job.work.iter().filter(|work| work.expires.is_some()) {
        let day = |day: Option<Date>| day.map_or(w.get("not_recorded").to_owned(), |day| day.to_string());
        table.row([
            work.at.date().to_string(),
            clean(&work.words),
            spaces(&work.slots),
            spaces(&work.moved_to),
            day(work.expires),
            day(work.recheck),
        ]);
    }
    let none = paragraph(w.get("no_stop_gaps"));
    vec![heading(2, w.get("stop_gaps")), table.node().unwrap_or(none)]
}

fn openings(from: &CrewSheet<'_>, w: &Phrases) -> Vec<Node> {
    let mut table =
        Table::new(&[(w.get("when"), 1.4), (w.get("joint"), 1.6), (w.get("found"), 1.0), ("", 3.0)]);
    for opening in &from.job.openings {
        let stand = if from.not_proven.contains(&opening.fact) { "not_proven" } else { "seen_dead" };
        table.items([
            Item::plain(opening.at.date().to_string()),
            Item::plain(clean(&opening.joint.to_string())),
            Item::plain(opening.found.word()),
            Item::led(w.get(stand), clean(&opening.words)),
        ]);
    }
    let none = paragraph(w.get("no_openings"));
    vec![heading(2, w.get("openings")), table.node().unwrap_or(none)]
}

fn isolation(from: &CrewSheet<'_>, w: &Phrases) -> Vec<Node> {
    let Some(plan) = from.isolation else { return Vec::new() };
    let mut nodes =
        vec![Node::PageBreak, heading(2, w.get("isolation")), paragraph(w.get("isolation_intro"))];
    if lacks_single_main(from.job) {
        nodes.push(Node::Callout {
            title: String::new(),
            texts: plan.cautions.iter().map(|text| Item::plain(clean(text))).collect(),
            strong: true,
        });
    }
    let mut figures: Vec<(String, Vec<Node>)> = vec![(w.get("step_0").to_owned(), step(from, None))];
    for (idx, movement) in plan.movements.iter().enumerate() {
        let words = [("n", (idx + 1).to_string()), ("label", clean(&movement.label))];
        let words: Vec<(&str, &str)> = words.iter().map(|(name, text)| (*name, text.as_str())).collect();
        let mut step = step(from, Some(&movement.still_live));
        if !movement.mind.is_empty() {
            step.push(Node::Small {
                text: movement.mind.iter().map(|text| clean(text)).collect::<Vec<_>>().join(" "),
            });
        }
        figures.push((fill(w.get("step"), &words), step));
    }
    for pair in figures.chunks(2) {
        let column = |one: &(String, Vec<Node>)| {
            let mut nodes = vec![heading(3, one.0.clone())];
            nodes.extend(one.1.iter().cloned());
            nodes
        };
        let left = column(&pair[0]);
        let right = pair.get(1).map(column).unwrap_or_default();
        nodes.push(Node::Columns { left, right, left_pt: 244.0, gap_pt: 16.0 });
    }
    if let Some(utility) = &plan.utility {
        nodes.push(heading(2, w.get("utility")));
        nodes.push(paragraph(clean(utility)));
    }
    let sources: Vec<Item> = plan
        .sources
        .iter()
        .map(|one| {
            let (source, look) = (clean(&one.source), clean(&one.look));
            Item::plain(fill(w.get("tick_source"), &[("source", &source), ("look", &look)]))
        })
        .collect();
    nodes.push(heading(2, w.get("sources")));
    nodes.push(list(sources));
    let proofs: Vec<Item> = plan
        .proofs
        .iter()
        .map(|duty| {
            let pairs: Vec<String> = duty.pairs.iter().map(|&pair| pair_words(pair)).collect();
            let words =
                [("part", part(from.job, &duty.part)), ("at", clean(&duty.at)), ("pairs", pairs.join(", "))];
            let words: Vec<(&str, &str)> = words.iter().map(|(name, text)| (*name, text.as_str())).collect();
            Item::plain(fill(w.get("tick_proof"), &words))
        })
        .collect();
    nodes.push(heading(2, w.get("proofs")));
    nodes.push(list(proofs));
    nodes.push(heading(2, w.get("mind")));
    nodes.push(list(plan.cautions.iter().map(|text| Item::plain(clean(text))).collect()));
    nodes
}

/// The panels after a movement; before the first, everything is live.
fn step(from: &CrewSheet<'_>, still_live: Option<&Vec<Part>>) -> Vec<Node> {
    let parts: Vec<(Part, StepState)> = from
        .parts
        .iter()
        .map(|part| {
            let live = still_live.is_none_or(|live| live.contains(part));
            (part.clone(), if live { StepState::Live } else { StepState::CutOff })
        })
        .collect();
    from.job.installation.panels.iter().map(|panel| Node::Figure(drawn(from.job, panel, &parts))).collect()
}

fn part(job: &Job, part: &Part) -> String {
    match part {
        Part::LineLugs(panel) => format!("line lugs of {}", clean(panel.as_str())),
        Part::Bus(panel, section) => format!("bus {}, {}", clean(section.as_str()), clean(panel.as_str())),
        Part::Branch(slot) => {
            let (spaces, feeds) = breaker(job, slot);
            format!("load side of {spaces} {feeds}").trim_end().to_owned()
        }
    }
}

fn pair_words(pair: (ProofPoint, ProofPoint)) -> String {
    let point = |point| match point {
        ProofPoint::Leg(leg) => leg.to_string(),
        ProofPoint::Neutral => "N".to_owned(),
        ProofPoint::Ground => "G".to_owned(),
    };
    format!("{}-{} ____ V", point(pair.0), point(pair.1))
}
