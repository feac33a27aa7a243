//! What the marks mean, below the cabinet.

use super::{Anchor, Canvas, INK, SOFT_INK, glyph};
use crate::mark::Mark;
use crate::width::{fit_lines, width};

impl Canvas<'_> {
    pub(super) fn legend(&mut self) {
        let size = self.plan.sizes.small + 0.4;
        let mut x = 6.0;
        let y = self.plan.top + self.plan.cabinet_height + 9.0;
        for mark in Mark::ALL {
            let words = self.phrases.word("mark", mark.word()).to_owned();
            glyph::draw(&mut self.svg, mark, x + 4.0, y, 4.2);
            self.label((x + 11.0, y + size * 0.36), size, Anchor::Start, false, INK, &words);
            x += 11.0 + width(&words, size) + 12.0;
        }
        let words = if self.is_owner() {
            &self.phrases.drawing.legend_finding
        } else {
            &self.phrases.drawing.figures_note
        };
        for (idx, line) in fit_lines(words, size, self.plan.width - 12.0, 2).iter().enumerate() {
            let at = (6.0, y + 13.0 + 8.0 * idx as f64);
            self.label(at, size, Anchor::Start, false, SOFT_INK, line);
        }
    }
}
