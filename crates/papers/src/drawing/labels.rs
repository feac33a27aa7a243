//! Words and figures on the body of a breaker.

use super::breakers::HANDLE;
use super::plan::Area;
use super::{Anchor, Canvas, INK, SOFT_INK, bands::space_list};
use crate::number::plain;
use crate::phrases::fill;
use crate::width::{fit, fit_lines, width};
use model::breaker::{Breaker, Handle};
use model::evidence::{ClampPlace, Observed};
use model::id::{Slot, Space};
use model::joint::JointId;
use model::panel::Column;
use model::place::Place;

impl Canvas<'_> {
    /// Rating, what it feeds and, for a technician, the figures of each pole.
    pub(super) fn words(
        &mut self,
        breaker: &Breaker,
        area: Area,
        column: Column,
        block: &[(Space, Area, Column)],
        first: bool,
    ) {
        let sizes = self.plan.sizes;
        let label = if block.iter().any(|(space, ..)| space.half.is_some()) {
            sizes.label.min(block[0].1.height - 2.2)
        } else {
            sizes.label
        };
        let rating = plain(breaker.rating.a(), 1);
        let rating_width = width(&rating, label) * 1.1;
        let inner = HANDLE + 10.0;
        let outer = if block.iter().any(|&(space, ..)| self.shows_terminal(space)) {
            if block.iter().any(|&(space, ..)| self.terminal_number(space).is_some()) { 24.0 } else { 12.0 }
        } else {
            3.0
        };
        let room = area.width - inner - outer - rating_width - 5.0;
        let (x, rating_at, anchor) = match column {
            Column::Left => (area.x + outer, area.right() - inner, Anchor::End),
            Column::Right => (area.x + inner + rating_width + 5.0, area.x + inner, Anchor::Start),
        };
        if first {
            for &(_, pole, _) in block.iter().take(1) {
                let at = (rating_at, pole.mid_y() + label * 0.36);
                self.label(at, label, anchor, true, INK, &rating);
            }
        }
        let figures = !self.is_owner() && self.marks.is_some();
        let name = if first {
            self.feeds(breaker)
        } else {
            fill(&self.phrases.drawing.with_space, &[("spaces", &space_list(&breaker.spaces))])
        };
        let free = if figures { block[0].1.height * 0.62 } else { area.height };
        let (label, lines) = set_label(&name, label, room, free - 3.4);
        let leading = label * 1.18;
        let middle = if figures { block[0].1.y + free / 2.0 + 1.0 } else { area.mid_y() };
        let top = middle - leading * (lines.len() as f64 - 1.0) / 2.0 + label * 0.36;
        for (idx, line) in lines.iter().enumerate() {
            self.label((x, top + leading * idx as f64), label, Anchor::Start, false, INK, line);
        }
        if figures {
            for (idx, &(space, pole, _)) in block.iter().enumerate() {
                let figures = self.figures(space);
                let room = area.width - inner - outer;
                let line = fit(&figures, sizes.small, room);
                let x = if column == Column::Left { area.x + outer } else { area.x + inner };
                let low =
                    if idx == 0 { pole.y + pole.height - 4.6 } else { pole.mid_y() + sizes.small * 0.36 };
                self.label((x, low), sizes.small, Anchor::Start, false, SOFT_INK, &line);
            }
        }
    }

    /// What a breaker feeds, with the words of its part in the panel where it feeds a section.
    pub(super) fn feeds(&self, breaker: &Breaker) -> String {
        let words = &self.phrases.drawing;
        let name = match breaker.spaces.first() {
            Some(&first) => {
                let slot = Slot::new(self.panel.id.clone(), first);
                crate::terms::feeds(self.phrases, &self.job.installation, &slot)
            }
            None => words.spare.clone(),
        };
        let state = match breaker.handle {
            Handle::On => "",
            Handle::Off => &words.off,
            Handle::Tripped => &words.tripped,
        };
        let later = if breaker.other_make == Some(true) && !self.is_owner() { &words.other_make } else { "" };
        [name.as_str(), state, later]
            .into_iter()
            .filter(|part| !part.is_empty())
            .collect::<Vec<_>>()
            .join(", ")
    }

    /// The figures of one pole, for a technician.
    fn figures(&self, space: Space) -> String {
        let slot = Slot::new(self.panel.id.clone(), space);
        let chance =
            |id: JointId| self.marks.and_then(|marks| marks.finding(&id)).map(|it| it.probability.burnt);
        let words = &self.phrases.drawing;
        let mut parts = Vec::new();
        if let Some(burnt) = chance(JointId::Stab(slot.clone())) {
            parts.push(fill(&words.at_stab, &[("burnt", &crate::number::probability(burnt))]));
        }
        if let Some(burnt) = chance(JointId::Terminal(slot.clone())) {
            parts.push(fill(&words.at_terminal, &[("burnt", &crate::number::probability(burnt))]));
        }
        if let Some(hottest) = self.hottest(&slot) {
            parts.push(format!("{} °C", plain(hottest, 0)));
        }
        if let Some(current) = self.largest_current(&slot) {
            parts.push(format!("{} A", plain(current, 1)));
        }
        parts.join(" · ")
    }

    fn hottest(&self, slot: &Slot) -> Option<f64> {
        let readings = self.job.observations.iter().filter_map(|observation| match &observation.what {
            Observed::Temperature(reading) => match &reading.place {
                Place::Face(at) | Place::Load(at) if at == slot => Some(reading.value.c()),
                _ => None,
            },
            _ => None,
        });
        readings.max_by(f64::total_cmp)
    }

    fn largest_current(&self, slot: &Slot) -> Option<f64> {
        let readings = self.job.observations.iter().filter_map(|observation| match &observation.what {
            Observed::Current(reading) if reading.place == ClampPlace::Pole(slot.clone()) => {
                Some(reading.value.a())
            }
            _ => None,
        });
        readings.max_by(f64::total_cmp)
    }
}

/// Lines of a label in its cell: at the usual size, or a little smaller where more of the text fits so.
fn set_label(text: &str, size: f64, room: f64, height: f64) -> (f64, Vec<String>) {
    let lines = |size: f64| {
        let most = (height / (size * 1.18)).floor().max(1.0) as usize;
        fit_lines(text, size, room, most)
    };
    let usual = lines(size);
    let is_cut = usual.last().is_some_and(|line| line.ends_with('…'));
    if is_cut && !text.ends_with('…') { (size * 0.88, lines(size * 0.88)) } else { (size, usual) }
}
