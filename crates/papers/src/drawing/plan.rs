//! Where everything of a drawing lies. One unit is one point on paper; the view box makes it free of scale.

use super::Audience;
use model::id::{Half, Space};
use model::panel::{Column, Feed, Panel, Section};
use model::system::Leg;

/// Most rows that are drawn; a panel with more is not a panel.
const MOST_ROWS: u16 = 126;

/// Sizes that depend on who reads.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Sizes {
    /// Between cabinet wall and space number: wires of section feeders run here.
    pub gutter: f64,
    /// Column of space numbers.
    pub number: f64,
    /// Breaker body.
    pub body: f64,
    /// Between body and bus bars: mark of the stab joint and number of the finding.
    pub joint: f64,
    /// Type size of labels.
    pub label: f64,
    /// Type size of small print.
    pub small: f64,
    /// Half the size of a mark of a finding.
    pub mark: f64,
    /// Distance between bus bars.
    pub pitch: f64,
    /// Room for all rows, least and greatest height of one.
    rows: (f64, f64, f64),
}

const OWNER: Sizes = Sizes {
    gutter: 9.0,
    number: 11.0,
    body: 86.0,
    joint: 24.0,
    label: 7.0,
    small: 6.4,
    mark: 4.8,
    pitch: 13.0,
    rows: (370.0, 16.4, 25.0),
};

const TECHNICIAN: Sizes = Sizes {
    gutter: 10.0,
    number: 14.0,
    body: 170.0,
    joint: 26.0,
    label: 7.2,
    small: 6.0,
    mark: 4.8,
    pitch: 15.0,
    rows: (480.0, 21.0, 27.0),
};

/// A rectangle.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Area {
    pub x: f64,
    pub y: f64,
    pub width: f64,
    pub height: f64,
}

impl Area {
    /// Middle between top and bottom.
    pub(crate) fn mid_y(&self) -> f64 {
        self.y + self.height / 2.0
    }

    /// Right edge.
    pub(crate) fn right(&self) -> f64 {
        self.x + self.width
    }
}

/// The layout of one panel.
#[derive(Debug)]
pub(crate) struct Plan {
    pub sizes: Sizes,
    pub width: f64,
    pub height: f64,
    /// Top of the cabinet; service conductors come in above it.
    pub top: f64,
    pub cabinet_height: f64,
    pub row_height: f64,
    pub n_rows: u16,
    /// Top of the band that holds the neutral bar.
    pub neutral_y: f64,
    /// Top of each row.
    row_y: Vec<f64>,
    /// Bands above sections: index of the section, top, height.
    pub bands: Vec<(usize, f64, f64)>,
    two_columns: bool,
    n_spaces: u16,
    bus_x: f64,
    n_legs: usize,
}

impl Plan {
    /// Lays a panel out.
    pub(crate) fn of(panel: &Panel, audience: Audience, legend: bool) -> Self {
        let mut sizes = if audience == Audience::Owner { OWNER } else { TECHNICIAN };
        let two_columns = 1 < panel.n_columns;
        if !two_columns {
            sizes.body *= 1.6;
        }
        let n_rows = panel.n_rows().min(MOST_ROWS);
        let n_legs = panel.system.legs().len();
        let (room, least, greatest) = sizes.rows;
        let halves = panel.breakers.iter().any(|breaker| breaker.is_half_width());
        let least = if halves { least * 1.2 } else { least };
        let row_height = (room / f64::from(n_rows.max(1))).clamp(least, greatest);

        let top = 8.0;
        let mut y = top;
        let (mut row_y, mut bands) = (Vec::new(), Vec::new());
        for row in 0..n_rows {
            match panel.sections.iter().position(|section| section.first_row == row) {
                Some(idx) => {
                    let height = band_height(&panel.sections[idx]);
                    bands.push((idx, y, height));
                    y += height;
                }
                None if row == 0 => y += 10.0,
                None => {}
            }
            row_y.push(y);
            y += row_height;
        }
        let neutral_y = y + 4.0;
        let cabinet_height = neutral_y + 33.0 - top;
        let side = sizes.gutter + sizes.number + sizes.body + sizes.joint;
        let bars = sizes.pitch * n_legs as f64;
        let bus_x = side;
        let width = if two_columns { 2.0 * side + bars } else { side + bars + sizes.joint };
        let legend_height = match (legend, audience) {
            (false, _) => 2.0,
            (true, Audience::Owner) => 34.0,
            (true, Audience::Technician) => 34.0,
        };
        Plan {
            sizes,
            width,
            height: top + cabinet_height + legend_height,
            top,
            cabinet_height,
            row_height,
            n_rows,
            neutral_y,
            row_y,
            bands,
            two_columns,
            n_spaces: panel.n_spaces,
            bus_x,
            n_legs,
        }
    }

    /// Top of a row, where it is drawn.
    pub(crate) fn row_y(&self, row: u16) -> Option<f64> {
        self.row_y.get(usize::from(row)).copied()
    }

    /// Middle of a bus bar.
    pub(crate) fn bar_x(&self, leg: Leg) -> f64 {
        let idx = match leg {
            Leg::A => 0,
            Leg::B => 1,
            Leg::C => 2,
        };
        self.bus_x + self.sizes.pitch * (0.5 + idx.min(self.n_legs.saturating_sub(1)) as f64)
    }

    /// Left and right edge of the bus bars.
    pub(crate) fn bus(&self) -> (f64, f64) {
        (self.bus_x, self.bus_x + self.sizes.pitch * self.n_legs as f64)
    }

    /// Are there two columns?
    pub(crate) fn two_columns(&self) -> bool {
        self.two_columns
    }

    /// Row and column of a space, where it is drawn.
    pub(crate) fn place(&self, space: Space) -> Option<(u16, Column)> {
        let number = space.number.checked_sub(1)?;
        if self.n_spaces <= number {
            return None;
        }
        let (row, column) = match (self.two_columns, number % 2) {
            (false, _) => (number, Column::Left),
            (true, 0) => (number / 2, Column::Left),
            (true, _) => (number / 2, Column::Right),
        };
        (row < self.n_rows).then_some((row, column))
    }

    /// Where the body of a breaker pole in a space lies.
    pub(crate) fn body(&self, space: Space) -> Option<(Area, Column)> {
        let (row, column) = self.place(space)?;
        let y = self.row_y(row)?;
        let x = match column {
            Column::Left => self.sizes.gutter + self.sizes.number,
            Column::Right => self.bus().1 + self.sizes.joint,
        };
        let (y, height) = match space.half {
            None => (y, self.row_height),
            Some(Half::Upper) => (y, self.row_height / 2.0),
            Some(Half::Lower) => (y + self.row_height / 2.0, self.row_height / 2.0),
        };
        Some((Area { x, y, width: self.sizes.body, height }, column))
    }
}

/// Height of the band above a section.
fn band_height(section: &Section) -> f64 {
    match section.feed {
        Feed::MainBreaker { .. } => 56.0,
        Feed::ServiceLugs => 34.0,
        Feed::Breaker { .. } => 36.0,
    }
}
