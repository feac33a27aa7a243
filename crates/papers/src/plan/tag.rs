//! The tag on the panel: one label of four by six inches, in black and white, with a code that opens the record.

use super::code::code;
use super::owner::{breaker, lacks_single_main};
use super::words::Book;
use crate::clean::{clean, shorten};
use crate::page::{Item, Node, Paper, Sheet, file_name, heading, list, paragraph};
use crate::phrases::fill;
use model::job::{Job, Work};
use model::plan::Interim;

/// Side of the code, points: read from an arm's length.
const CODE_PT: f64 = 118.0;
/// Lines of a list on a label; the rest is on the sheets.
const MOST: usize = 4;

/// The tag of what bridges the time: of the plan where there is one, else of the last stop-gap. Nothing where there is
/// neither. `address` opens the record; without one the code holds the mark of the job.
pub fn stop_gap_tag(job: &Job, plan: Option<&Interim>, address: Option<&str>) -> Option<Paper> {
    let book = Book::new();
    let w = book.tag();
    let stop_gap = job.work.iter().rev().find(|work| work.expires.is_some());
    let expires = plan.map(|plan| plan.expires).or(stop_gap.and_then(|work| work.expires))?;
    let recheck = plan.map(|plan| plan.recheck).or(stop_gap.and_then(|work| work.recheck));
    let (made, by) = match (plan, stop_gap) {
        (Some(plan), _) => (plan.at.date(), plan.by.clone().unwrap_or_default()),
        (None, Some(work)) => (work.at.date(), String::new()),
        (None, None) => return None,
    };
    let day = expires.to_string();
    let mut body = vec![heading(1, w.get("title")), heading(2, fill(w.get("until"), &[("day", &day)]))];
    let off = off(job, plan, stop_gap);
    if !off.is_empty() {
        body.push(Node::Paragraph(Item::led(fill(w.get("off"), &[("list", &off.join("; "))]), "")));
    }
    let why = plan.map(|plan| clean(&plan.reasons)).unwrap_or_default();
    if !why.trim().is_empty() {
        body.push(paragraph(fill(w.get("why"), &[("words", &shorten(why.trim(), 140))])));
    }
    let moved = moved(job);
    if !moved.is_empty() {
        body.push(paragraph(fill(w.get("moved"), &[("list", &moved.join("; "))])));
    }
    let limits: Vec<Item> = plan
        .map(|plan| plan.limits.iter().map(|id| Item::plain(book.limit(id, "en"))).take(MOST).collect())
        .unwrap_or_default();
    if !limits.is_empty() {
        body.push(list(limits));
    }
    if let Some(recheck) = recheck {
        body.push(Node::Paragraph(Item::led(fill(w.get("recheck"), &[("day", &recheck.to_string())]), "")));
    }
    body.push(paragraph(w.get("call")));
    body.push(paragraph(w.get("live")));
    if lacks_single_main(job) {
        body.push(Node::Paragraph(Item::led(w.get("no_main"), "")));
    }
    let id = shorten(&clean(&job.id), 40);
    let mark = address.map_or_else(|| format!("panelwright job {id}"), str::to_owned);
    let by = if by.trim().is_empty() { "–".to_owned() } else { shorten(&clean(&by), 24) };
    let who = [("job", id.as_str()), ("day", &made.to_string()), ("by", &by)];
    let under = w.get(if address.is_some() { "code" } else { "code_mark" });
    let under = fill(under, &[("code", &mark)]);
    let right =
        vec![Node::Small { text: fill(w.get("who"), &who) }, Node::Small { text: shorten(&under, 160) }];
    let alt = shorten(&under, 160);
    body.push(match code(&mark, CODE_PT, &alt) {
        Some(figure) => {
            Node::Columns { left: vec![Node::Figure(figure)], right, left_pt: CODE_PT, gap_pt: 8.0 }
        }
        None => Node::Together { nodes: right },
    });
    Some(Paper {
        title: w.get("title").to_owned(),
        file_name: file_name(&[w.get("file"), &job.id]),
        language: "en".to_owned(),
        day: made.to_string(),
        head: shorten(&clean(&job.place), 40),
        invented: job.invented.then(|| w.get("invented").to_owned()),
        foot: w.get("foot").to_owned(),
        page_of: w.get("page_of").to_owned(),
        max_pages: Some(1),
        sheet: Sheet::Label,
        text_size_pt: 9.5,
        body,
    })
}

fn off(job: &Job, plan: Option<&Interim>, stop_gap: Option<&Work>) -> Vec<String> {
    let slots = match (plan, stop_gap) {
        (Some(plan), _) => plan.off.clone(),
        (None, Some(work)) if work.moved_to.is_empty() => work.slots.clone(),
        _ => Vec::new(),
    };
    let mut all: Vec<String> = slots.iter().map(|slot| in_short(job, slot)).collect();
    all.dedup();
    cut(all)
}

fn moved(job: &Job) -> Vec<String> {
    let moves = job.work.iter().filter(|work| !work.moved_to.is_empty());
    let spaces =
        |slots: &[model::Slot]| slots.iter().map(|slot| slot.space.to_string()).collect::<Vec<_>>().join("/");
    cut(moves.map(|work| format!("{} → {}", spaces(&work.slots), spaces(&work.moved_to))).collect())
}

fn in_short(job: &Job, slot: &model::Slot) -> String {
    let (spaces, feeds) = breaker(job, slot);
    if feeds.is_empty() { spaces } else { format!("{spaces} {}", shorten(&feeds, 28)) }
}

fn cut(mut all: Vec<String>) -> Vec<String> {
    let rest = all.len().saturating_sub(MOST);
    if 0 < rest {
        all.truncate(MOST);
        all.push(format!("+{rest}"));
    }
    all
}
