//! Spaces and the breakers in them.

use super::plan::Area;
use super::{Anchor, Canvas, INK, LINE, PAPER, SHADE, SOFT_INK, glyph};
use crate::mark::Mark;
use crate::svg::attrs;
use model::breaker::{Breaker, Handle};
use model::id::{Half, Slot, Space};
use model::joint::JointId;
use model::panel::Column;

/// Length of the slot in which a handle moves.
pub(super) const HANDLE: f64 = 13.0;

impl Canvas<'_> {
    /// Numbers, open spaces, breakers.
    pub(super) fn spaces(&mut self) {
        for number in 1..=self.panel.n_spaces.min(self.plan.n_rows.saturating_mul(2)) {
            let space = Space::whole(number);
            let Some((area, column)) = self.plan.body(space) else { continue };
            self.space_number(number, area, column);
            if self
                .panel
                .breakers
                .iter()
                .all(|breaker| breaker.spaces.iter().all(|mine| !mine.overlaps(space)))
            {
                self.open_space(area);
            }
        }
        for breaker in &self.panel.breakers {
            self.breaker(breaker);
        }
    }

    /// Invisible areas above everything, one a space or half of one, for pages on which a space can be
    /// chosen.
    pub(super) fn touch_areas(&mut self) {
        let halves = |number: u16| {
            let mut found: Vec<Space> =
                self.panel.breakers.iter().flat_map(|breaker| breaker.spaces.clone()).collect();
            found.retain(|space| space.number == number && space.half.is_some());
            found.sort();
            found
        };
        let numbers = 1..=self.panel.n_spaces.min(self.plan.n_rows.saturating_mul(2));
        let spaces: Vec<Space> = numbers
            .flat_map(|number| {
                let halves = halves(number);
                if halves.is_empty() { vec![Space::whole(number)] } else { halves }
            })
            .collect();
        for space in spaces {
            let Some((area, _)) = self.plan.body(space) else { continue };
            let slot = Slot::new(self.panel.id.clone(), space).to_string();
            self.svg.empty(
                "rect",
                attrs![
                    class = "space",
                    "data-slot" = slot,
                    x = area.x,
                    y = area.y,
                    width = area.width,
                    height = area.height,
                    fill = PAPER,
                    "fill-opacity" = 0.0
                ],
            );
        }
    }

    fn space_number(&mut self, number: u16, area: Area, column: Column) {
        let size = self.plan.sizes.label;
        let (x, anchor) = match column {
            Column::Left => (area.x - 2.0, Anchor::End),
            Column::Right => (area.right() + 2.0, Anchor::Start),
        };
        self.label((x, area.mid_y() + size * 0.36), size, anchor, false, SOFT_INK, &number.to_string());
    }

    fn open_space(&mut self, area: Area) {
        self.svg.empty(
            "rect",
            attrs![
                x = area.x,
                y = area.y + 1.0,
                width = area.width,
                height = area.height - 2.0,
                rx = 1.0,
                fill = PAPER,
                stroke = LINE,
                "stroke-width" = 0.6,
                "stroke-dasharray" = "2 2"
            ],
        );
        let size = self.plan.sizes.small;
        let words = self.phrases.drawing.open.clone();
        let at = (area.x + area.width / 2.0, area.mid_y() + size * 0.36);
        self.label(at, size, Anchor::Middle, false, LINE, &words);
    }

    fn breaker(&mut self, breaker: &Breaker) {
        let poles: Vec<(Space, Area, Column)> = breaker
            .spaces
            .iter()
            .filter_map(|&space| self.plan.body(space).map(|(area, column)| (space, area, column)))
            .collect();
        let Some(&(first, _, _)) = poles.first() else { return };
        let slot = Slot::new(self.panel.id.clone(), first).to_string();
        self.svg.open("g", attrs![class = "breaker", "data-slot" = slot]);
        let title = self.breaker_says(breaker);
        self.svg.text("title", attrs![], &title);
        for (idx, block) in blocks(&poles).iter().enumerate() {
            self.body(breaker, block, idx == 0);
        }
        self.tie(&poles);
        for &(space, area, column) in &poles {
            self.handle(breaker.handle, area, column);
            self.pole_marks(space, area, column);
        }
        self.svg.close();
    }

    /// One body over poles that lie below each other.
    fn body(&mut self, breaker: &Breaker, block: &[(Space, Area, Column)], first: bool) {
        let (_, top, column) = block[0];
        let last = block[block.len() - 1].1;
        let area = Area { height: last.y + last.height - top.y, ..top };
        let worst = breaker.spaces.iter().filter_map(|&space| self.worst_of(space)).min();
        let (ink, stroke) = match worst {
            Some(Mark::Burnt) => (glyph::inks(Mark::Burnt).0, 2.0),
            Some(Mark::Worn) => (glyph::inks(Mark::Worn).0, 1.5),
            _ => (INK, 0.8),
        };
        self.svg.empty(
            "rect",
            attrs![
                x = area.x,
                y = area.y + 1.0,
                width = area.width,
                height = area.height - 2.0,
                rx = 1.5,
                fill = SHADE,
                stroke = ink,
                "stroke-width" = stroke
            ],
        );
        for &(space, pole, column) in block {
            if let Some(mark) = self.stab_mark(space).filter(|mark| mark.is_finding()) {
                self.strip(mark, pole, column);
            }
        }
        self.words(breaker, area, column, block, first);
    }

    /// Patterned strip at the end that sits on the stab.
    fn strip(&mut self, mark: Mark, pole: Area, column: Column) {
        let x = match column {
            Column::Left => pole.right() - 6.0,
            Column::Right => pole.x,
        };
        self.svg.empty(
            "rect",
            attrs![
                x = x,
                y = pole.y + 1.6,
                width = 6.0,
                height = pole.height - 3.2,
                fill = format!("url(#joint-{})", mark.word())
            ],
        );
    }

    /// Handles of the poles of one breaker move together.
    fn tie(&mut self, poles: &[(Space, Area, Column)]) {
        for pair in poles.windows(2) {
            let [(_, one, side), (_, two, other)] = pair else { continue };
            if side != other {
                continue;
            }
            let x = handle_x(*one, *side) + HANDLE / 2.0;
            self.line((x, one.mid_y()), (x, two.mid_y()), 3.0, SOFT_INK);
        }
    }

    fn handle(&mut self, handle: Handle, area: Area, column: Column) {
        let (x, y) = (handle_x(area, column), area.mid_y());
        let half = 3.2f64.min(area.height / 2.0 - 1.5);
        self.svg.empty(
            "rect",
            attrs![
                x = x,
                y = y - half,
                width = HANDLE,
                height = 2.0 * half,
                rx = 1.2,
                fill = PAPER,
                stroke = INK,
                "stroke-width" = 0.7
            ],
        );
        // on is towards the middle of the panel, off towards the outside
        let inward = if column == Column::Left { 1.0 } else { -1.0 };
        let shift = match handle {
            Handle::On => inward * (HANDLE / 2.0 - 3.4),
            Handle::Off => -inward * (HANDLE / 2.0 - 3.4),
            Handle::Tripped => 0.0,
        };
        self.svg.empty(
            "rect",
            attrs![
                x = x + HANDLE / 2.0 + shift - 2.4,
                y = y - half + 0.8,
                width = 4.8,
                height = 2.0 * half - 1.6,
                rx = 0.8,
                fill = INK
            ],
        );
    }

    fn pole_marks(&mut self, space: Space, area: Area, column: Column) {
        let slot = Slot::new(self.panel.id.clone(), space);
        let size = if space.half.is_some() {
            (area.height / 2.0 - 0.8).min(self.plan.sizes.mark)
        } else {
            self.plan.sizes.mark
        };
        let inward = if column == Column::Left { 1.0 } else { -1.0 };
        let edge = if column == Column::Left { area.right() } else { area.x };
        let stab = edge + inward * (size + 1.6);
        if let Some(half) = space.half {
            // both halves of a space sit on one stab
            let down = if half == Half::Upper { 1.0 } else { -1.0 };
            let y = area.mid_y();
            self.line((edge, y), (stab, y), 1.4, LINE);
            self.line((stab, y), (stab, y + down * area.height / 2.0), 1.4, LINE);
        }
        self.pole_mark(&JointId::Stab(slot.clone()), (stab, area.mid_y()), inward, size);
        if self.shows_terminal(space) {
            let x = if column == Column::Left { area.x + size + 1.5 } else { area.right() - size - 1.5 };
            self.pole_mark(&JointId::Terminal(slot), (x, area.mid_y()), inward, size);
        }
    }

    fn pole_mark(&mut self, id: &JointId, at: (f64, f64), inward: f64, size: f64) {
        let Some(marks) = self.marks else { return };
        let Some(mark) = marks.mark(id) else { return };
        let half = if mark.is_finding() { size } else { size * 0.85 };
        self.svg.open("g", attrs![class = format!("joint {}", mark.word()), "data-joint" = id.to_string()]);
        let title = self.joint_says(id);
        self.svg.text("title", attrs![], &title);
        glyph::draw(&mut self.svg, mark, at.0, at.1, half);
        if let Some(number) = marks.number(id) {
            glyph::number(&mut self.svg, number, at.0 + inward * 2.3 * size, at.1, size);
        }
        self.svg.close();
    }

    fn stab_mark(&self, space: Space) -> Option<Mark> {
        self.marks?.mark(&JointId::Stab(Slot::new(self.panel.id.clone(), space)))
    }

    fn terminal_mark(&self, space: Space) -> Option<Mark> {
        self.marks?.mark(&JointId::Terminal(Slot::new(self.panel.id.clone(), space)))
    }

    pub(super) fn terminal_number(&self, space: Space) -> Option<usize> {
        self.marks?.number(&JointId::Terminal(Slot::new(self.panel.id.clone(), space)))
    }

    /// An owner sees the mark of a terminal only where it is a finding.
    pub(super) fn shows_terminal(&self, space: Space) -> bool {
        self.terminal_mark(space).is_some_and(|mark| mark.is_finding() || !self.is_owner())
    }

    fn worst_of(&self, space: Space) -> Option<Mark> {
        [self.stab_mark(space), self.terminal_mark(space)].into_iter().flatten().min()
    }
}

fn handle_x(area: Area, column: Column) -> f64 {
    match column {
        Column::Left => area.right() - HANDLE - 7.5,
        Column::Right => area.x + 7.5,
    }
}

/// Poles that lie below each other in one column share a body.
fn blocks(poles: &[(Space, Area, Column)]) -> Vec<Vec<(Space, Area, Column)>> {
    let mut sorted = poles.to_vec();
    sorted.sort_by(|one, two| {
        (one.2, one.1.y).partial_cmp(&(two.2, two.1.y)).unwrap_or(std::cmp::Ordering::Equal)
    });
    let mut blocks: Vec<Vec<(Space, Area, Column)>> = Vec::new();
    for pole in sorted {
        match blocks.last_mut().and_then(|block| block.last().copied().map(|last| (block, last))) {
            Some((block, (_, above, side)))
                if side == pole.2 && (above.y + above.height - pole.1.y).abs() < 0.5 =>
            {
                block.push(pole);
            }
            _ => blocks.push(vec![pole]),
        }
    }
    blocks
}
