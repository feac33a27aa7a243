//! What feeds each bus section, the bus bars with their fingers, and the neutral bar.

use super::{Anchor, Canvas, INK, LINE, PAPER, SHADE, SOFT_INK, glyph};
use crate::mark::Mark;
use crate::number::amperes;
use crate::phrases::fill;
use crate::svg::attrs;
use crate::width::fit;
use model::id::Slot;
use model::joint::JointId;
use model::panel::{Column, Feed, Section};
use model::system::Leg;

impl Canvas<'_> {
    /// Bands above the sections: lugs, main breaker, or the wires from the feeding breaker.
    pub(super) fn bands(&mut self) {
        for (idx, y, height) in self.plan.bands.clone() {
            let section = &self.panel.sections[idx];
            if 0 < idx {
                self.split_line(y);
            }
            match &section.feed {
                Feed::ServiceLugs => self.service(section, None, y, height),
                Feed::MainBreaker { rating } => self.service(section, Some(*rating), y, height),
                Feed::Breaker { slot } => self.fed_by_breaker(section, slot, y, height),
            }
        }
    }

    fn split_line(&mut self, y: f64) {
        let width = self.plan.width;
        self.svg.empty(
            "line",
            attrs![
                x1 = self.plan.sizes.gutter + 1.0,
                y1 = y + 3.5,
                x2 = width - self.plan.sizes.gutter - 1.0,
                y2 = y + 3.5,
                stroke = LINE,
                "stroke-width" = 0.8,
                "stroke-dasharray" = "5 2 1 2"
            ],
        );
    }

    /// Service conductors on lugs, with a main breaker behind them or not.
    fn service(&mut self, section: &Section, main: Option<model::Current>, y: f64, height: f64) {
        let (left, right) = self.plan.bus();
        let small = self.plan.sizes.small;
        let lug_y = y + 15.0;
        let n_legs = self.panel.system.legs().len();
        for &leg in self.panel.system.legs() {
            let x = self.plan.bar_x(leg);
            self.line((x, y - 8.0), (x, y + height), 2.2, SOFT_INK);
        }
        if let Some(rating) = main {
            let (top, pad) = (y + 24.0, 14.0);
            self.svg.empty(
                "rect",
                attrs![
                    x = left - pad,
                    y = top,
                    width = right - left + 2.0 * pad,
                    height = 15.0,
                    rx = 1.5,
                    fill = SHADE,
                    stroke = INK,
                    "stroke-width" = 1.0
                ],
            );
            let words = fill(&self.phrases.drawing.main, &[("rating", &amperes(rating))]);
            let words = fit(&words, small, right - left + 2.0 * pad - 2.0);
            self.label(((left + right) / 2.0, top + 9.8), small, Anchor::Middle, true, INK, &words);
        }
        for &leg in self.panel.system.legs() {
            let x = self.plan.bar_x(leg);
            self.joint(&JointId::Lug(self.panel.id.clone(), leg), x, lug_y, leg_side(leg, n_legs));
            if main.is_some() {
                let id = JointId::Feeder(self.panel.id.clone(), section.id.clone(), leg);
                self.joint(&id, x, y + height - 7.0, leg_side(leg, n_legs));
            }
        }
        let words = fill(&self.phrases.drawing.lug, &[("section", &self.clean(section.id.as_str()))]);
        self.band_words(Column::Left, &[words], y);
        let several = 1 < self.panel.sections.len();
        if several {
            let name = self.clean(section.id.as_str());
            let words = fill(&self.phrases.drawing.fed_by_service, &[("section", &name)]);
            self.band_words(Column::Right, &[words], y);
        }
    }

    /// A section fed by a breaker: its wires run down the gutter from the terminals of that breaker.
    fn fed_by_breaker(&mut self, section: &Section, slot: &Slot, y: f64, height: f64) {
        let joint_y = y + height - 7.0;
        let n_legs = self.panel.system.legs().len();
        let breaker = self.job.installation.breaker_at(slot);
        let rating = breaker.map(|breaker| amperes(breaker.rating)).unwrap_or_default();
        let here = slot.panel == self.panel.id;
        let spaces = match breaker {
            Some(breaker) => space_list(&breaker.spaces),
            None => slot.space.to_string(),
        };
        let mut column = Column::Left;
        for (idx, &leg) in self.panel.system.legs().iter().enumerate() {
            let x = self.plan.bar_x(leg);
            let pole = breaker
                .filter(|_| here)
                .and_then(|breaker| {
                    breaker.spaces.iter().find(|&&space| 0 < space.number && self.panel.leg_of(space) == leg)
                })
                .and_then(|&space| self.plan.body(space));
            match pole {
                Some((area, side)) => {
                    column = side;
                    self.gutter_wire(area, side, idx, (x, y + 9.0 + 5.0 * idx as f64, joint_y));
                }
                None if !here => self.line((x, y - 8.0), (x, y + height), 2.2, SOFT_INK),
                None => {}
            }
            let id = JointId::Feeder(self.panel.id.clone(), section.id.clone(), leg);
            self.joint(&id, x, joint_y, leg_side(leg, n_legs));
        }
        let name = self.clean(section.id.as_str());
        let panel = self.clean(slot.panel.as_str());
        let template = if here { &self.phrases.drawing.fed_by } else { &self.phrases.drawing.from_panel };
        let feed = fill(template, &[("panel", &panel), ("spaces", &spaces), ("rating", &rating)]);
        let split = fill(&self.phrases.drawing.split, &[("section", &name)]);
        let opposite = if column == Column::Left { Column::Right } else { Column::Left };
        let side = if self.plan.two_columns() { opposite } else { Column::Left };
        let words = if 1 < self.panel.sections.len() { vec![split, feed] } else { vec![feed] };
        self.band_words(side, &words, y);
    }

    /// From the outer end of a pole along the gutter and in to a bar: `to` is (bar, height of the run,
    /// joint).
    fn gutter_wire(&mut self, area: super::plan::Area, side: Column, idx: usize, to: (f64, f64, f64)) {
        let lane = 3.0 + 3.0 * idx as f64;
        let (start, gutter) = match side {
            Column::Left => (area.x, lane),
            Column::Right => (area.right(), self.plan.width - lane),
        };
        // below the number of the space
        let y = area.y + area.height - 3.5;
        let p = |value: f64| crate::number::plain(value, 2);
        let path = format!(
            "M{} {}L{} {}L{} {}L{} {}L{} {}",
            p(start),
            p(y),
            p(gutter),
            p(y),
            p(gutter),
            p(to.1),
            p(to.0),
            p(to.1),
            p(to.0),
            p(to.2)
        );
        self.svg.empty(
            "path",
            attrs![
                d = path,
                fill = "none",
                stroke = SOFT_INK,
                "stroke-width" = 1.4,
                "stroke-linejoin" = "round"
            ],
        );
    }

    fn band_words(&mut self, side: Column, words: &[String], y: f64) {
        let (left, right) = self.plan.bus();
        let sizes = self.plan.sizes;
        let edge = sizes.gutter + 3.0;
        let (x, room) = match side {
            Column::Left => (edge, left - sizes.joint - edge),
            Column::Right => (right + sizes.joint, self.plan.width - right - sizes.joint - edge),
        };
        for (idx, line) in words.iter().enumerate() {
            let line = fit(line, sizes.small, if idx == 0 { room / 1.08 } else { room });
            let at = (x, y + 14.0 + 9.0 * idx as f64);
            self.label(at, sizes.small, Anchor::Start, idx == 0, SOFT_INK, &line);
        }
    }

    /// Bus bars of every section and the fingers that both columns of a row clip to.
    pub(super) fn bars(&mut self) {
        for row in 0..self.plan.n_rows {
            self.finger(row);
        }
        for section in &self.panel.sections {
            let last = section.last_row.min(self.plan.n_rows.saturating_sub(1));
            let (Some(top), Some(bottom)) = (self.plan.row_y(section.first_row), self.plan.row_y(last))
            else {
                continue;
            };
            if last < section.first_row {
                continue;
            }
            let height = bottom - top + self.plan.row_height - 2.0;
            for &leg in self.panel.system.legs() {
                let fill = if leg == Leg::B { PAPER } else { LINE };
                self.svg.empty(
                    "rect",
                    attrs![
                        x = self.plan.bar_x(leg) - 1.8,
                        y = top - 2.0,
                        width = 3.6,
                        height = height + 2.0,
                        fill = fill,
                        stroke = SOFT_INK,
                        "stroke-width" = 0.8
                    ],
                );
            }
        }
        for row in 0..self.plan.n_rows {
            self.leg_letter(row);
        }
    }

    fn finger(&mut self, row: u16) {
        let Some(y) = self.plan.row_y(row) else { return };
        let (left, right) = self.plan.bus();
        let joint = self.plan.sizes.joint;
        let middle = y + self.plan.row_height / 2.0;
        let bar = self.plan.bar_x(self.panel.leg_of_row(row));
        let has_right = self.plan.two_columns() && row.saturating_mul(2) + 2 <= self.panel.n_spaces;
        let end = if has_right { right + joint } else { bar };
        self.svg.empty(
            "rect",
            attrs![
                x = left - joint,
                y = middle - 1.4,
                width = end - left + joint,
                height = 2.8,
                fill = SHADE,
                stroke = LINE,
                "stroke-width" = 0.6
            ],
        );
    }

    fn leg_letter(&mut self, row: u16) {
        let Some(y) = self.plan.row_y(row) else { return };
        let leg = self.panel.leg_of_row(row);
        let (x, middle) = (self.plan.bar_x(leg), y + self.plan.row_height / 2.0);
        let (paper, ink) = if leg == Leg::B { (PAPER, INK) } else { (SOFT_INK, PAPER) };
        self.svg.empty(
            "circle",
            attrs![cx = x, cy = middle, r = 4.4, fill = paper, stroke = SOFT_INK, "stroke-width" = 0.8],
        );
        self.label((x, middle + 2.2), 6.0, Anchor::Middle, true, ink, &leg.to_string());
    }

    /// Neutral bar below the rows, with its lug and the terminals that are findings.
    pub(super) fn neutral(&mut self) {
        let sizes = self.plan.sizes;
        let (x, y) = (sizes.gutter + sizes.number, self.plan.neutral_y + 13.0);
        let width = self.plan.width - 2.0 * x;
        self.svg.empty(
            "rect",
            attrs![
                x = x,
                y = y,
                width = width,
                height = 6.0,
                fill = SHADE,
                stroke = SOFT_INK,
                "stroke-width" = 0.8
            ],
        );
        let lug = JointId::NeutralLug(self.panel.id.clone());
        self.line((x - 10.0, y + 3.0), (x, y + 3.0), 2.2, SOFT_INK);
        self.joint(&lug, x + 8.0, y + 3.0, Side::Right);
        let mut at = x + 40.0;
        let mut not_drawn = 0;
        for breaker in &self.panel.breakers {
            let Some(&first) = breaker.spaces.first() else { continue };
            let id = JointId::NeutralTerminal(Slot::new(self.panel.id.clone(), first));
            if !self.marks.and_then(|marks| marks.mark(&id)).is_some_and(Mark::is_finding) {
                continue;
            }
            if x + width < at + 20.0 {
                not_drawn += 1;
                continue;
            }
            self.joint(&id, at, y + 3.0, Side::Right);
            self.label((at, y + 15.5), sizes.small, Anchor::Middle, false, INK, &first.to_string());
            at += 32.0;
        }
        let words = if 0 < not_drawn {
            fill(&self.phrases.drawing.neutral_marks, &[("n", &not_drawn.to_string())])
        } else {
            self.phrases.drawing.neutral.clone()
        };
        let words = fit(&words, sizes.small, width);
        self.label((x + width, y - 3.5), sizes.small, Anchor::End, false, SOFT_INK, &words);
    }

    /// Mark of a joint that belongs to no pole, with the number of its finding beside it.
    pub(super) fn joint(&mut self, id: &JointId, x: f64, y: f64, side: Side) {
        let Some(marks) = self.marks else {
            self.svg.empty("circle", attrs![cx = x, cy = y, r = 2.2, fill = PAPER, stroke = SOFT_INK]);
            return;
        };
        let Some(mark) = marks.mark(id) else { return };
        let size = self.plan.sizes.mark;
        let half = if mark.is_finding() { size } else { size * 0.85 };
        self.svg.open("g", attrs![class = format!("joint {}", mark.word()), "data-joint" = id.to_string()]);
        let title = self.joint_says(id);
        self.svg.text("title", attrs![], &title);
        glyph::draw(&mut self.svg, mark, x, y, half);
        if let Some(number) = marks.number(id) {
            let (dx, dy) = match side {
                Side::Left => (-2.3 * size, 0.0),
                Side::Right => (2.3 * size, 0.0),
                Side::Above => (0.0, -2.1 * size),
            };
            glyph::number(&mut self.svg, number, x + dx, y + dy, size);
        }
        self.svg.close();
    }
}

/// Where the number of a finding stands beside its mark.
#[derive(Debug, Clone, Copy)]
pub(super) enum Side {
    Left,
    Right,
    Above,
}

fn leg_side(leg: Leg, n_legs: usize) -> Side {
    match leg {
        Leg::A => Side::Left,
        Leg::B if 2 < n_legs => Side::Above,
        Leg::B | Leg::C => Side::Right,
    }
}

/// `9` or `9-11` or `9-11-13`.
pub(crate) fn space_list(spaces: &[model::Space]) -> String {
    spaces.iter().map(ToString::to_string).collect::<Vec<_>>().join("-")
}
