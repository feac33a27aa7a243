//! The close-out packet: what was filed, built, tightened, switched on, read and tried, and what does not agree.

use super::order::{closed, readings, sources};
use super::words::{Words, english};
use super::{InstallHead, cautions, head, paper, working};
use crate::clean::{capital, clean};
use crate::number::plain;
use crate::page::{Item, Node, Paper, Table, heading, paragraph};
use model::breaker::Protection;
use model::job::Job;
use model::proving::{HeldAgainst, Mismatch, NeutralVerdict, Outcome, SwitchingOn, TorqueLog};
use model::working::Working;

/// What the packet is made from.
#[derive(Debug, Clone, Copy)]
pub struct Packet<'a> {
    /// Head.
    pub head: &'a InstallHead,
    /// The job.
    pub job: &'a Job,
    /// What each breaker feeds, in the order of the breakers.
    pub feeds: &'a [String],
    /// Switching on.
    pub order: &'a SwitchingOn,
    /// Torque.
    pub torque: &'a TorqueLog,
    /// Shared neutrals.
    pub neutrals: &'a [NeutralVerdict],
    /// Held against the first readings.
    pub held: &'a [HeldAgainst],
    /// What does not agree.
    pub mismatches: &'a [Mismatch],
    /// Where the limits come from.
    pub sources: &'a [String],
}

/// The packet.
pub fn close_out(from: &Packet<'_>) -> Paper {
    let words = english();
    let w = &words;
    let mut body = vec![heading(1, w.get("packet_title")), head(w, from.head), cautions(w, from.head)];
    body.extend(permit(w, from));
    body.extend(mismatches(w, from.mismatches));
    body.extend(schedule(w, from));
    body.push(heading(2, w.get("order_readings")));
    body.push(readings(w, from.order));
    body.extend(closed(w, from.order));
    body.extend(torque(w, from.torque));
    body.extend(neutrals(w, from.neutrals));
    body.extend(held(w, from.held));
    body.extend(tried(w, from.job));
    body.extend(proofs(w, from.job));
    body.extend(photos(w, from.job));
    body.push(paragraph(w.get("packet_sign")));
    body.extend(sources(w, from.sources));
    let workings =
        from.neutrals.iter().map(|one| &one.working).chain(from.held.iter().filter_map(of_outcome));
    let workings: Vec<Node> = workings.map(|one| working(w, one)).collect();
    if !workings.is_empty() {
        body.push(heading(2, w.get("packet_working")));
        body.extend(workings);
    }
    paper(w, from.head, ("packet_title", "packet_file"), body)
}

fn of_outcome(held: &HeldAgainst) -> Option<&Working> {
    match &held.outcome {
        Outcome::Comparable { working, .. } => Some(working),
        Outcome::NotComparable(_) => None,
    }
}

fn permit(words: &Words, from: &Packet<'_>) -> Vec<Node> {
    let permit = from.job.install.permits.last();
    let open = || words.get("packet_open").to_owned();
    let filed = permit.map(|permit| {
        let rating = permit.rating.map(|rating| format!("{} A", plain(rating.a(), 0)));
        let spaces = permit.n_spaces.map(|n| format!("{n} spaces"));
        rating.into_iter().chain(spaces).collect::<Vec<_>>().join(", ")
    });
    let row = |name: &str, value: Option<String>| {
        (words.get(name).to_owned(), value.filter(|value| !value.is_empty()).unwrap_or_else(open))
    };
    let rows = vec![
        row("packet_number", permit.map(|permit| clean(&permit.number))),
        row("packet_rating", filed),
        row("packet_final", permit.and_then(|permit| permit.passed).map(|day| day.to_string())),
    ];
    vec![heading(2, words.get("packet_permit")), Node::Pairs { rows }]
}

/// What a breaker protects against beside overcurrent, as it follows its rating.
pub fn protection_words(protection: Protection) -> &'static str {
    match protection {
        Protection::ThermalMagnetic => "",
        Protection::ArcFault => ", arc-fault",
        Protection::GroundFault => ", ground-fault",
        Protection::ArcAndGroundFault => ", arc- and ground-fault",
        Protection::SwitchOnly => ", switch only",
    }
}

fn schedule(words: &Words, from: &Packet<'_>) -> Vec<Node> {
    let mut table = Table::new(&[
        (words.get("packet_new"), 0.8),
        (words.get("packet_old"), 0.8),
        (words.get("order_feeds"), 3.6),
        (words.get("packet_breaker"), 2.0),
        (words.get("packet_wire"), 1.0),
        (words.get("packet_spliced"), 0.8),
    ]);
    for (one, feeds) in from.job.install.breakers().into_iter().zip(from.feeds) {
        let spaces: Vec<String> = one.spaces.iter().map(|space| space.to_string()).collect();
        let old: Vec<String> = one.from.iter().map(|slot| slot.space.to_string()).collect();
        let size = one.size.map_or_else(String::new, |size| size.to_string());
        table.items([
            Item::led(spaces.join("/"), ""),
            Item::plain(old.join("/")),
            Item::plain(clean(feeds)),
            Item::plain(format!("{} A{}", plain(one.rating.a(), 0), protection_words(one.protection))),
            Item::plain(size),
            Item::plain(if one.spliced { words.get("packet_yes") } else { "" }),
        ]);
    }
    let none = || paragraph(words.get("nothing"));
    vec![heading(2, words.get("packet_schedule")), table.node().unwrap_or_else(none)]
}

fn torque(words: &Words, log: &TorqueLog) -> Vec<Node> {
    let (missing, all, faulty) =
        (log.n_missing.to_string(), log.lines.len().to_string(), log.n_faulty.to_string());
    let intro =
        words.fill("packet_torque_intro", &[("missing", &missing), ("all", &all), ("faulty", &faulty)]);
    let mut table = Table::new(&[
        (words.get("packet_terminal"), 2.6),
        (words.get("packet_value"), 2.6),
        (words.get("packet_tool"), 1.8),
        (words.get("packet_by"), 1.3),
        (words.get("packet_wrong"), 2.0),
    ]);
    for line in &log.lines {
        let at = line.at.map(|at| at.strftime("%m-%d %H:%M").to_string()).unwrap_or_default();
        let by = [clean(&line.by), at].into_iter().filter(|part| !part.is_empty()).collect::<Vec<_>>();
        table.row([
            capital(&clean(&line.words)),
            clean(&line.value),
            clean(&line.tool),
            by.join(", "),
            clean(&line.faults.join(" ")),
        ]);
    }
    let mut nodes = vec![heading(2, words.get("packet_torque")), paragraph(intro)];
    nodes.extend(table.node());
    nodes.extend(log.notes.iter().map(|note| Node::Small { text: clean(note) }));
    nodes
}

fn neutrals(words: &Words, all: &[NeutralVerdict]) -> Vec<Node> {
    let mut table = Table::new(&[
        (words.get("order_space"), 0.8),
        (words.get("packet_expected"), 1.2),
        (words.get("packet_sum"), 1.4),
        (words.get("packet_shown"), 0.8),
        (words.get("packet_says"), 4.2),
    ]);
    let range = |band: [model::Current; 2]| format!("{} to {}", plain(band[0].a(), 1), plain(band[1].a(), 1));
    for one in all {
        table.row([
            format!("{}/{}", one.spaces[0], one.spaces[1]),
            range(one.expected),
            range(one.if_one_leg),
            plain(one.shown.a(), 1),
            clean(&one.sentence),
        ]);
    }
    let Some(node) = table.node() else { return Vec::new() };
    vec![heading(2, words.get("packet_neutral")), node]
}

fn held(words: &Words, all: &[HeldAgainst]) -> Vec<Node> {
    let mut table = Table::new(&[
        (words.get("packet_terminal"), 2.2),
        (words.get("packet_now"), 1.6),
        (words.get("packet_first"), 2.0),
        (words.get("packet_outcome"), 3.6),
    ]);
    for one in all {
        let outcome = match &one.outcome {
            Outcome::Comparable { sentence, .. } => Item::plain(clean(sentence)),
            Outcome::NotComparable(why) => {
                Item::led(words.get("packet_not_comparable"), clean(&why.join(" ")))
            }
        };
        table.items([
            Item::plain(capital(&clean(&one.words))),
            Item::plain(clean(&one.now)),
            Item::plain(clean(one.first.as_deref().unwrap_or("–"))),
            outcome,
        ]);
    }
    let Some(node) = table.node() else { return Vec::new() };
    vec![heading(2, words.get("packet_compare")), node]
}

fn tried(words: &Words, job: &Job) -> Vec<Node> {
    let mut table = Table::new(&[
        (words.get("order_at"), 1.5),
        (words.get("order_space"), 0.8),
        (words.get("packet_how"), 1.1),
        ("", 1.0),
        (words.get("packet_words"), 4.0),
    ]);
    for one in &job.install.tried {
        let stand = words.get(if one.passed { "packet_passed" } else { "packet_failed" });
        table.row([
            one.at.strftime("%Y-%m-%d %H:%M").to_string(),
            one.space.to_string(),
            one.how.word().to_owned(),
            stand.to_owned(),
            clean(&one.words),
        ]);
    }
    let Some(node) = table.node() else { return Vec::new() };
    vec![heading(2, words.get("packet_tried")), node]
}

fn proofs(words: &Words, job: &Job) -> Vec<Node> {
    let mut table = Table::new(&[
        (words.get("order_at"), 1.5),
        (words.get("packet_part"), 1.6),
        (words.get("packet_tester"), 1.4),
        (words.get("order_shown"), 4.0),
    ]);
    for one in &job.proofs {
        let part = match &one.part {
            model::isolation::Part::LineLugs(panel) => format!("line lugs of {panel}"),
            model::isolation::Part::Bus(panel, section) => format!("bus {section}, {panel}"),
            model::isolation::Part::Branch(slot) => format!("load side of {slot}"),
        };
        let read: Vec<String> = one
            .readings
            .iter()
            .map(|read| format!("{} {} V", super::order::pair_words(read.pair), plain(read.value.v(), 1)))
            .collect();
        table.row([
            one.at.strftime("%Y-%m-%d %H:%M").to_string(),
            clean(&part),
            clean(&one.tester),
            read.join(", "),
        ]);
    }
    let Some(node) = table.node() else { return Vec::new() };
    vec![heading(2, words.get("packet_dead")), node]
}

fn photos(words: &Words, job: &Job) -> Vec<Node> {
    let mut table = Table::new(&[
        (words.get("order_at"), 1.5),
        (words.get("packet_photo"), 1.2),
        (words.get("order_space"), 0.8),
        (words.get("packet_words"), 4.6),
    ]);
    for one in &job.photos {
        table.row([
            one.at.strftime("%Y-%m-%d %H:%M").to_string(),
            one.sha256.chars().take(8).collect::<String>(),
            one.slot.as_ref().map_or_else(String::new, |slot| slot.space.to_string()),
            clean(&one.words),
        ]);
    }
    let Some(node) = table.node() else { return Vec::new() };
    vec![heading(2, words.get("packet_photos")), node]
}

/// What does not agree, or that all does.
pub(super) fn mismatches(words: &Words, all: &[Mismatch]) -> Vec<Node> {
    let mut table = Table::new(&[
        (words.get("packet_about"), 1.0),
        (words.get("packet_agree"), 4.2),
        (words.get("packet_mend"), 2.8),
    ]);
    for one in all {
        table.items([
            Item::led(clean(&one.subject), ""),
            Item::plain(clean(&one.sentence)),
            Item::plain(clean(&one.mend)),
        ]);
    }
    let none = || paragraph(words.get("packet_agree_none"));
    vec![heading(2, words.get("packet_agree")), table.node().unwrap_or_else(none)]
}
