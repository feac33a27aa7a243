//! What breakers usually feed, with the rating that is usually on the handle: a table, so that the shop can read it.
//! It fills a form in; what is recorded is what a person confirmed.

use model::breaker::LoadClass;
use record::text::Textual;

const TABLE: &str = include_str!("../../../data/usual-loads.csv");

/// A usual load.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Usual {
    /// What it feeds, in the words of a directory.
    pub(crate) feeds: &'static str,
    /// Its class.
    pub(crate) class: LoadClass,
    /// Poles of its breaker.
    pub(crate) n_poles: u8,
    /// Rating of its breaker, amperes.
    pub(crate) rating_a: f64,
    /// Has it a tile of its own?
    pub(crate) tile: bool,
}

/// The table. A line that cannot be read is left out; a test holds that there is none.
pub(crate) fn usual_loads() -> Vec<Usual> {
    TABLE.lines().skip(1).filter_map(of_line).collect()
}

fn of_line(line: &'static str) -> Option<Usual> {
    let mut cells = line.split(',');
    Some(Usual {
        feeds: cells.next()?,
        class: LoadClass::read(cells.next()?, None).ok()?,
        n_poles: cells.next()?.parse().ok()?,
        rating_a: cells.next()?.parse().ok()?,
        tile: cells.next()? == "yes",
    })
}

/// The usual load with these words, or the one whose words they hold: `kitchen receptacles, east` is a kitchen's.
pub(crate) fn usual_of(feeds: &str) -> Option<Usual> {
    let lower = feeds.to_lowercase();
    let all = usual_loads();
    let exact = all.iter().find(|usual| usual.feeds == lower);
    let within =
        || all.iter().filter(|usual| lower.contains(usual.feeds)).max_by_key(|usual| usual.feeds.len());
    exact.or_else(within).cloned()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_line_of_the_table_is_read() {
        assert_eq!(usual_loads().len(), TABLE.lines().count() - 1);
        for usual in usual_loads() {
            assert!((1..=3).contains(&usual.n_poles) && 15.0 <= usual.rating_a, "{usual:?}");
        }
    }

    #[test]
    fn a_load_is_known_by_the_words_it_holds() {
        let class = |feeds| usual_of(feeds).map(|usual| usual.class);
        assert_eq!(class("Kitchen receptacles, east"), Some(LoadClass::SmallAppliance));
        assert_eq!(class("lights, ground floor"), Some(LoadClass::General));
        assert_eq!(class("organ blower"), None);
    }
}
