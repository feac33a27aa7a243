//! The way through the spaces of a panel: down a column, then down the next.

use model::Space;
use model::panel::{Column, Panel};

/// All spaces in the order in which they are filled: the left column from the top, then the right one.
pub(crate) fn walk(panel: &Panel) -> impl Iterator<Item = Space> + use<'_> {
    let columns = if panel.n_columns < 2 { vec![Column::Left] } else { vec![Column::Left, Column::Right] };
    columns
        .into_iter()
        .flat_map(move |column| {
            (0..panel.n_rows()).map(move |row| Space::whole(panel.number_at(row, column)))
        })
        .filter(|&space| panel.has_space(space))
}

/// Is there a breaker, or half of one, in the space?
pub(crate) fn is_taken(panel: &Panel, space: Space) -> bool {
    panel.breakers.iter().any(|breaker| breaker.spaces.iter().any(|taken| taken.overlaps(space)))
}

/// The next empty space after this one, on the way; from the start again when the end is reached.
pub(crate) fn next_empty(panel: &Panel, after: Option<Space>, just_filled: &[Space]) -> Option<Space> {
    let order: Vec<Space> = walk(panel).collect();
    let from = after
        .and_then(|after| order.iter().position(|space| space.number == after.number))
        .map_or(0, |idx| idx + 1);
    let free = |space: &&Space| {
        !is_taken(panel, **space) && !just_filled.iter().any(|filled| filled.overlaps(**space))
    };
    let later = order.iter().skip(from).find(free);
    later.or_else(|| order.iter().take(from).find(|space| free(space) && Some(**space) != after)).copied()
}

/// The spaces of a breaker of so many poles whose first pole is here; `None` where the panel ends before.
pub(crate) fn spaces_from(panel: &Panel, first: Space, n_poles: u8) -> Option<Vec<Space>> {
    let (row, column) = (panel.row_of(first), panel.column_of(first));
    (0..u16::from(n_poles))
        .map(|pole| {
            let space = Space { number: panel.number_at(row + pole, column), half: first.half };
            panel.has_space(space).then_some(space)
        })
        .collect()
}

/// The breaker right above a space, in the same column.
pub(crate) fn above(panel: &Panel, space: Space) -> Option<&model::breaker::Breaker> {
    let row = panel.row_of(space).checked_sub(1)?;
    panel.breaker_at(Space::whole(panel.number_at(row, panel.column_of(space))))
}
