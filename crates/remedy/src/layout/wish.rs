//! What the installer wishes for: the panel to fill, the circuits, and what counts how much.

use std::collections::BTreeSet;

/// Current in tenths of an ampere: whole numbers keep the proof exact.
pub type DeciAmps = i64;

/// The panel to fill, by rows from the top.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Board {
    /// Rows.
    pub n_rows: usize,
    /// Columns, one or two.
    pub n_columns: usize,
    /// Legs of the supply, two or three. Rows take them in turn.
    pub n_legs: usize,
    /// Leg of the first row, from 0.
    pub first_leg: usize,
    /// Last space there is: an odd number leaves the last row half empty.
    pub n_spaces: usize,
    /// Is the bus fed at the top?
    pub fed_at_top: bool,
    /// Largest sum of the ratings of the breakers on one stab, where the label states one.
    pub stab_limit: Option<DeciAmps>,
}

impl Board {
    /// Number printed at a place.
    pub fn number(&self, place: Place) -> usize {
        place.row * self.n_columns + place.column + 1
    }

    /// The place of a number.
    pub fn place(&self, number: usize) -> Option<Place> {
        (1..=self.n_spaces)
            .contains(&number)
            .then(|| Place { row: (number - 1) / self.n_columns, column: (number - 1) % self.n_columns })
    }

    /// Leg of a row, from 0.
    pub fn leg(&self, row: usize) -> usize {
        (self.first_leg + row) % self.n_legs
    }

    /// Rows between the feed and this row.
    pub(crate) fn rows_from_feed(&self, row: usize) -> i64 {
        let rows = if self.fed_at_top { row } else { self.n_rows - 1 - row };
        i64::try_from(rows).unwrap_or(i64::MAX)
    }
}

/// A space by row and column, both from 0.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Place {
    /// Row from the top.
    pub row: usize,
    /// Column from the left.
    pub column: usize,
}

/// What goes in as one piece: a breaker, or partners of a multiwire circuit under one common disconnect, on poles one
/// below the other and so on different legs.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Block {
    /// Name, unique.
    pub id: String,
    /// Poles from the top, one to three.
    pub poles: Vec<Pole>,
    /// May the poles be put in the opposite order?
    pub turnable: bool,
    /// Space of its first pole, where it was decided.
    pub locked: Option<usize>,
    /// The only spaces it may take, where not every one will do: half-width breakers.
    pub only: Option<BTreeSet<usize>>,
}

/// One pole of a block.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Pole {
    /// Rating of the breaker.
    pub rating: DeciAmps,
    /// Current in each scenario.
    pub demand: Vec<DeciAmps>,
    /// Runs for three hours or more at a large part of its rating.
    pub continuous: bool,
    /// An electronic device that makes heat of its own (arc-fault, ground-fault).
    pub electronic: bool,
    /// Spaces that its conductor reaches without a splice; `None` where it was not measured.
    pub reach: Option<BTreeSet<usize>>,
    /// Space it had, for the owner's sake.
    pub old: Option<usize>,
    /// The second of two half-width breakers in this space. Rating and demand of the pole are then those of both.
    pub half: Option<Half>,
}

/// The second of two half-width breakers in one space.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Half {
    /// Current in each scenario, which is in that of the pole already.
    pub demand: Vec<DeciAmps>,
    /// Spaces that its conductor reaches without a splice; `None` where it was not measured.
    pub reach: Option<BTreeSet<usize>>,
    /// Space it had.
    pub old: Option<usize>,
}

/// What a deviation counts, in points. Each is a whole number.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Weights {
    /// A conductor that must be spliced.
    pub splice: i64,
    /// Each tenth of an ampere by which the fullest and the emptiest leg differ in a scenario beyond `tolerance`.
    pub leg_difference: i64,
    /// Difference of the legs that counts as none.
    pub tolerance: DeciAmps,
    /// Each row between the feed and a continuous load.
    pub continuous_row: i64,
    /// Two continuous loads on one stab.
    pub continuous_pair: i64,
    /// Two electronic devices on one stab.
    pub electronic_pair: i64,
    /// Each row by which a circuit moves from the height it had.
    pub moved_row: i64,
    /// Each row between the circuits of a group, beyond what they fill themselves.
    pub apart_row: i64,
}

/// The whole wish.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Wish {
    /// Panel to fill.
    pub board: Board,
    /// What goes in.
    pub blocks: Vec<Block>,
    /// Spaces to be kept free.
    pub reserved: BTreeSet<usize>,
    /// Further free places for a breaker of two poles.
    pub spare_pairs: usize,
    /// Names of the scenarios of demand.
    pub scenarios: Vec<String>,
    /// What counts how much.
    pub weights: Weights,
    /// Blocks that stay next to each other for the owner's sake, by their places in the list.
    pub groups: Vec<Vec<usize>>,
}
