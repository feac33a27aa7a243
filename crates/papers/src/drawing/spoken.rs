//! The drawing in words: titles of its parts, a description of the whole, and the text form.

use super::bands::space_list;
use super::{Audience, Canvas};
use crate::clean::shorten;
use crate::mark::Mark;
use crate::number::{amperes, plain};
use crate::phrases::fill;
use crate::text::WIDTH;
use model::breaker::Breaker;
use model::id::{Slot, Space};
use model::joint::JointId;
use model::panel::{Column, Feed};
use unicode_width::UnicodeWidthStr;

/// Width of one column of the text form.
const SIDE: usize = 26;

impl Canvas<'_> {
    /// `2 poles, 30 A: dryer`.
    pub(super) fn breaker_says(&self, breaker: &Breaker) -> String {
        fill(
            &self.phrases.drawing.poles,
            &[
                ("spaces", &space_list(&breaker.spaces)),
                ("n", &breaker.n_poles().to_string()),
                ("rating", &amperes(breaker.rating)),
                ("feeds", &self.feeds(breaker)),
            ],
        )
    }

    /// `stab of space 5: burnt, very likely (about 9 in 10)`.
    pub(super) fn joint_says(&self, id: &JointId) -> String {
        let Some(marks) = self.marks else { return String::new() };
        let (Some(mark), Some(finding)) = (marks.mark(id), marks.finding(id)) else { return String::new() };
        let chance = crate::chance::in_words(self.phrases, finding.probability.burnt);
        fill(
            &self.phrases.drawing.joint_says,
            &[
                ("joint", &crate::terms::joint(self.phrases, id)),
                ("mark", self.phrases.word("mark", mark.word())),
                ("chance", &chance),
            ],
        )
    }

    /// The whole drawing in a few sentences.
    pub(super) fn description(&self) -> String {
        let words = &self.phrases.drawing;
        let columns = if self.plan.two_columns() { "2" } else { "1" };
        let mut out = fill(
            &words.desc,
            &[
                ("n", &self.panel.n_spaces.to_string()),
                ("columns", columns),
                ("system", self.panel.system.label()),
                ("breakers", &self.panel.breakers.len().to_string()),
            ],
        );
        for section in self.panel.sections.iter().take(8) {
            let feed =
                crate::terms::feed(self.phrases, &self.job.installation, &self.panel.id, &section.feed);
            let name = self.clean(section.id.as_str());
            out.push(' ');
            out.push_str(&fill(&words.desc_section, &[("section", &name), ("feed", &feed)]));
        }
        out.push(' ');
        match self.marks {
            None => out.push_str(&words.desc_plain),
            Some(marks) => {
                let here: Vec<String> = marks
                    .findings()
                    .filter(|(_, finding, _)| *finding.joint.id.panel() == self.panel.id)
                    .take(12)
                    .map(|(number, finding, mark)| {
                        let joint = crate::terms::joint(self.phrases, &finding.joint.id);
                        format!("{number}: {joint}, {}", self.phrases.word("mark", mark.word()))
                    })
                    .collect();
                if here.is_empty() {
                    out.push_str(&words.desc_no_findings);
                } else {
                    out.push_str(&fill(&words.desc_findings, &[("findings", &here.join("; "))]));
                }
            }
        }
        out
    }

    /// The text form, row by row: what hangs left, marks of stabs, numbers, leg, the same for the right.
    pub(super) fn lines(&self) -> Vec<String> {
        let mut lines = Vec::new();
        for row in 0..self.plan.n_rows {
            if let Some(section) = self.panel.sections.iter().find(|section| section.first_row == row) {
                let feed =
                    crate::terms::feed(self.phrases, &self.job.installation, &self.panel.id, &section.feed);
                let name = self.clean(section.id.as_str());
                let words = format!("-- {name}: {feed} ");
                let words = shorten(&words, WIDTH - 4);
                lines.push(format!("{words}{}", "-".repeat(WIDTH.saturating_sub(words.width()))));
                lines.extend(self.section_joints(section));
            }
            lines.extend(self.row_lines(row));
        }
        let neutral = self.joint_text(&JointId::NeutralLug(self.panel.id.clone()));
        lines.push(format!("-- {} {neutral}", self.phrases.drawing.neutral_lug));
        if self.marks.is_some() {
            let of = |mark: Mark| format!("{} {}", mark.in_text(), self.phrases.word("mark", mark.word()));
            lines.push(Mark::ALL.map(of).join("   "));
            lines.push(self.phrases.drawing.text_legend.clone());
        }
        lines
    }

    fn section_joints(&self, section: &model::panel::Section) -> Vec<String> {
        let Some(marks) = self.marks else { return Vec::new() };
        let mut parts = Vec::new();
        for &leg in self.panel.system.legs() {
            let lug = JointId::Lug(self.panel.id.clone(), leg);
            let feeder = JointId::Feeder(self.panel.id.clone(), section.id.clone(), leg);
            let from_service = !matches!(section.feed, Feed::Breaker { .. });
            for id in [from_service.then_some(lug), Some(feeder)].into_iter().flatten() {
                if marks.mark(&id).is_some() {
                    let kind = self.phrases.word("joint", id.kind().word());
                    parts.push(format!("{kind} {leg} {}", self.joint_text(&id)));
                }
            }
        }
        parts.chunks(4).map(|some| shorten(&format!("   {}", some.join("   ")), WIDTH)).collect()
    }

    fn row_lines(&self, row: u16) -> Vec<String> {
        let leg = self.panel.leg_of_row(row);
        let left = self.cells(self.panel.number_at(row, Column::Left));
        let right = if self.plan.two_columns() {
            self.cells(self.panel.number_at(row, Column::Right))
        } else {
            Vec::new()
        };
        let n_lines = left.len().max(right.len());
        (0..n_lines)
            .map(|idx| {
                let empty = (String::new(), String::new(), String::new());
                let (words, mark, number) = left.get(idx).unwrap_or(&empty);
                let mut line = format!("{} {mark:>5} {number:>3}", right_aligned(words, SIDE));
                let bar = if idx == 0 { format!(" ={leg}= ") } else { "     ".to_owned() };
                line.push_str(&bar);
                if let Some((words, mark, number)) = right.get(idx) {
                    line.push_str(&format!("{number:<3} {mark:<5} {words}"));
                }
                line
            })
            .collect()
    }

    /// Text of a space: one entry, or two for its halves. Words, mark, number.
    fn cells(&self, number: u16) -> Vec<(String, String, String)> {
        let whole = Space::whole(number);
        if !self.panel.has_space(whole) {
            return Vec::new();
        }
        let mut found: Vec<(Space, &Breaker)> = Vec::new();
        for breaker in &self.panel.breakers {
            for &space in &breaker.spaces {
                if space.overlaps(whole) {
                    found.push((space, breaker));
                }
            }
        }
        found.sort_by_key(|(space, _)| *space);
        if found.is_empty() {
            return vec![(self.phrases.drawing.open.clone(), String::new(), number.to_string())];
        }
        found
            .into_iter()
            .map(|(space, breaker)| {
                let slot = Slot::new(self.panel.id.clone(), space);
                let pole =
                    if breaker.n_poles() < 2 || breaker.spaces.first() == Some(&space) { "" } else { "″ " };
                let rating = plain(breaker.rating.a(), 1);
                let terminal = match self.marks.and_then(|marks| marks.mark(&JointId::Terminal(slot.clone())))
                {
                    Some(mark) if mark.is_finding() => {
                        format!(" {}", self.joint_text(&JointId::Terminal(slot.clone())))
                    }
                    _ => String::new(),
                };
                let room = SIDE.saturating_sub(rating.len() + terminal.width() + pole.width() + 1);
                let feeds = cut(&self.feeds(breaker), room);
                let words = format!("{pole}{feeds} {rating}{terminal}");
                let mark = self.joint_text(&JointId::Stab(slot));
                (words, mark, space.to_string())
            })
            .collect()
    }

    /// `[X]1`: mark and number of a finding.
    fn joint_text(&self, id: &JointId) -> String {
        let Some(marks) = self.marks else { return String::new() };
        let mark = marks.mark(id).map_or("", Mark::in_text);
        match marks.number(id) {
            Some(number) => format!("{mark}{number}"),
            None if self.audience == Audience::Owner || !mark.is_empty() => mark.to_owned(),
            None => String::new(),
        }
    }
}

/// Cut to a number of columns.
fn cut(text: &str, columns: usize) -> String {
    if text.width() <= columns {
        return text.to_owned();
    }
    let mut kept = String::new();
    for mark in text.chars() {
        if columns < kept.width() + mark.to_string().width() + 1 {
            break;
        }
        kept.push(mark);
    }
    format!("{}…", kept.trim_end())
}

fn right_aligned(text: &str, columns: usize) -> String {
    format!("{}{text}", " ".repeat(columns.saturating_sub(text.width())))
}
