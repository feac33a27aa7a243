//! A panel: geometry, bus sections, what feeds them, breakers.

use crate::breaker::Breaker;
use crate::conductor::{Conductor, Metal, Plating};
use crate::id::{PanelId, SectionId, Slot, Space};
use crate::quantity::{Current, Length};
use crate::system::{Leg, System};

/// Bus bars of a panel.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Bus {
    /// Metal, `None` where not seen.
    pub metal: Option<Metal>,
    /// Plating, `None` where not seen.
    pub plating: Option<Plating>,
    /// Rating on the label.
    pub rating: Option<Current>,
}

/// How the cabinet sits in the wall; decides how it sheds heat.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Default)]
pub enum Mounting {
    /// On the wall.
    Surface,
    /// Flush in a wall without insulation, or not known.
    #[default]
    Flush,
    /// Flush in an insulated wall: only the front sheds heat.
    FlushInsulated,
}

/// The cabinet. Sizes are `None` where not measured; the network then assumes them from the number of spaces
/// and says so.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Cabinet {
    /// Width.
    pub width: Option<Length>,
    /// Height.
    pub height: Option<Length>,
    /// Depth.
    pub depth: Option<Length>,
    /// How it sits in the wall.
    pub mounting: Mounting,
}

/// What feeds a bus section.
#[derive(Debug, Clone, PartialEq)]
pub enum Feed {
    /// Line lugs fed by the service conductors, nothing between.
    ServiceLugs,
    /// A main breaker of this panel between the service conductors and the bus.
    MainBreaker {
        /// Its rating.
        rating: Current,
    },
    /// A breaker of a section of this panel (split bus) or of another panel (sub-panel). `slot` is the space
    /// of its first pole.
    Breaker {
        /// First pole of the feeding breaker.
        slot: Slot,
    },
}

/// A run of rows on one set of bus bars.
#[derive(Debug, Clone, PartialEq)]
pub struct Section {
    /// Name, for example `upper`.
    pub id: SectionId,
    /// First row, from 0 at the top.
    pub first_row: u16,
    /// Last row, inclusive.
    pub last_row: u16,
    /// What feeds it.
    pub feed: Feed,
    /// Conductors from the feeding breaker or service to this section.
    pub feeder: Conductor,
}

impl Section {
    /// Does the section hold this row?
    pub fn holds_row(&self, row: u16) -> bool {
        self.first_row <= row && row <= self.last_row
    }
}

/// Which column of the panel a space is in.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Column {
    /// Left, odd numbers (all numbers of a one-column panel).
    Left,
    /// Right, even numbers.
    Right,
}

/// Where half-width breakers may go.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub enum HalfWidth {
    /// Nowhere, or not known.
    #[default]
    Nowhere,
    /// In every space.
    Everywhere,
    /// In these spaces.
    In(Vec<u16>),
}

impl HalfWidth {
    /// May a half-width breaker go into the space with this number?
    pub fn allows(&self, number: u16) -> bool {
        match self {
            HalfWidth::Nowhere => false,
            HalfWidth::Everywhere => true,
            HalfWidth::In(numbers) => numbers.contains(&number),
        }
    }
}

/// A panel.
#[derive(Debug, Clone, PartialEq)]
pub struct Panel {
    /// Name within the job.
    pub id: PanelId,
    /// Where it hangs, in words, for example `garage, north wall`.
    pub place: String,
    /// Supply system.
    pub system: System,
    /// Number of spaces.
    pub n_spaces: u16,
    /// One or two columns.
    pub n_columns: u8,
    /// Leg of the first row; the following rows take the next legs in turn.
    pub first_leg: Leg,
    /// Bus bars.
    pub bus: Bus,
    /// Cabinet.
    pub cabinet: Cabinet,
    /// Where half-width breakers may go.
    pub half_width: HalfWidth,
    /// Year it was put in, if known. Age alone is not evidence.
    pub year: Option<i16>,
    /// Signs of water in the cabinet? `None` where not looked for.
    pub moisture: Option<bool>,
    /// Sections, top first, without gaps.
    pub sections: Vec<Section>,
    /// Breakers.
    pub breakers: Vec<Breaker>,
}

impl Panel {
    /// Number of rows.
    pub fn n_rows(&self) -> u16 {
        self.n_spaces.div_ceil(u16::from(self.n_columns.max(1)))
    }

    /// Row of a space, from 0 at the top.
    pub fn row_of(&self, space: Space) -> u16 {
        (space.number - 1) / u16::from(self.n_columns.max(1))
    }

    /// Column of a space.
    pub fn column_of(&self, space: Space) -> Column {
        if self.n_columns < 2 || space.number % 2 == 1 { Column::Left } else { Column::Right }
    }

    /// Number of the space in a row and column, whether or not the panel has it.
    pub fn number_at(&self, row: u16, column: Column) -> u16 {
        match (self.n_columns < 2, column) {
            (true, _) => row + 1,
            (false, Column::Left) => 2 * row + 1,
            (false, Column::Right) => 2 * row + 2,
        }
    }

    /// Leg of a row.
    pub fn leg_of_row(&self, row: u16) -> Leg {
        let legs = self.system.legs();
        let first = legs.iter().position(|&leg| leg == self.first_leg).unwrap_or(0);
        legs[(first + usize::from(row)) % legs.len()]
    }

    /// Leg of a space. Both halves of a space sit on one stab and so on one leg.
    pub fn leg_of(&self, space: Space) -> Leg {
        self.leg_of_row(self.row_of(space))
    }

    /// Is the number printed on this panel?
    pub fn has_space(&self, space: Space) -> bool {
        space.number >= 1 && space.number <= self.n_spaces
    }

    /// The section that holds a space.
    pub fn section_of(&self, space: Space) -> Option<&Section> {
        let row = self.row_of(space);
        self.sections.iter().find(|section| section.holds_row(row))
    }

    /// The section with this name.
    pub fn section(&self, id: &SectionId) -> Option<&Section> {
        self.sections.iter().find(|section| section.id == *id)
    }

    /// The breaker with a pole in this space.
    pub fn breaker_at(&self, space: Space) -> Option<&Breaker> {
        self.breakers.iter().find(|breaker| breaker.spaces.contains(&space))
    }

    /// Does this panel lack one single main: several sections, or lugs straight to the bus?
    pub fn lacks_single_main(&self) -> bool {
        !matches!(
            self.sections.as_slice(),
            [Section { feed: Feed::MainBreaker { .. } | Feed::Breaker { .. }, .. }]
        )
    }
}
