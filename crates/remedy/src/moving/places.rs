//! Free places for the poles of a breaker.

use model::breaker::Breaker;
use model::id::Space;
use model::panel::Panel;

/// Every free place with as many poles in one column, one row below the other, in the order of the numbers. A
/// half-width breaker may also go to a free half where the panel takes one.
pub(super) fn places(panel: &Panel, breaker: &Breaker) -> Vec<Vec<Space>> {
    let step = u16::from(panel.n_columns.max(1));
    let n_poles = breaker.n_poles() as u16;
    let halves = breaker.is_half_width();
    let mut places = Vec::new();
    for number in 1..=panel.n_spaces {
        for half in [None, Some(model::Half::Upper), Some(model::Half::Lower)] {
            if half.is_some() != halves {
                continue;
            }
            let spaces: Vec<Space> =
                (0..n_poles).map(|pole| Space { number: number + pole * step, half }).collect();
            let fits = spaces.iter().all(|&space| {
                panel.has_space(space)
                    && (half.is_none() || panel.half_width.allows(space.number))
                    && !panel
                        .breakers
                        .iter()
                        .any(|other| other.spaces.iter().any(|taken| taken.overlaps(space)))
            });
            if fits {
                places.push(spaces);
            }
        }
    }
    places
}
