//! Seen, measured, inferred, unknown: four sections in this order, cut to what page one can hold.

use super::{Letter, WORDS_PT};
use crate::clean::{capital, clean, shorten, stopped};
use crate::page::{Item, Node, heading, list, paragraph};
use crate::phrases::fill;
use crate::width::line_count;
use model::assessment::Class;
use model::id::Slot;

/// One statement is at most this long, characters.
const MOST_CHARS: usize = 260;
/// Height of one line, and of a heading with its space, in sizes of type.
const LINE: f64 = 1.2;
const HEADING: f64 = 2.35;
/// Between two entries of a list, in lines.
const BETWEEN: f64 = 0.18;

/// Order of the sections and how many lines each may take at least.
const SHARES: [(Class, f64); 4] =
    [(Class::Seen, 8.0), (Class::Measured, 8.0), (Class::Inferred, 9.0), (Class::Unknown, 7.0)];

/// Which class gets room that is left over, first to last.
const NEEDIEST: [usize; 4] = [2, 0, 1, 3];

/// A section as far as it fits.
struct Section {
    /// Statements that did not fit.
    n_cut: usize,
    /// Lines it takes.
    used: f64,
    node: Node,
}

impl Letter<'_> {
    /// How many statements did not find room, and the four sections.
    pub(super) fn four_classes(&self, height_pt: f64, size: f64) -> (usize, Vec<Node>) {
        let all: Vec<Vec<String>> = SHARES.iter().map(|(class, _)| self.statements(*class)).collect();
        let room = (height_pt / size - 4.0 * HEADING) / LINE;
        let needs: Vec<f64> =
            all.iter().map(|texts| texts.iter().map(|text| lines(text, size)).sum()).collect();
        let mut rooms = shares(&needs, room);
        let mut sections = self.sections(&all, &rooms, size);
        // a statement is kept whole or not at all: what is left of the room goes to one class after the other
        for class in NEEDIEST {
            let left = room - sections.iter().map(|section| section.used).sum::<f64>();
            if let (Some(section), Some(mine)) = (sections.get(class), rooms.get_mut(class))
                && 0 < section.n_cut
            {
                *mine = section.used + left.max(0.0);
                sections = self.sections(&all, &rooms, size);
            }
        }
        let n_cut = sections.iter().map(|section| section.n_cut).sum();
        let titles = SHARES.iter().map(|(class, _)| heading(2, self.heading_of(*class).to_owned()));
        let nodes = titles.zip(sections).flat_map(|(title, section)| [title, section.node]).collect();
        (n_cut, nodes)
    }

    fn sections(&self, all: &[Vec<String>], rooms: &[f64], size: f64) -> Vec<Section> {
        let classes = SHARES.iter().zip(all).zip(rooms);
        classes.map(|(((class, _), texts), room)| self.section(*class, texts, *room, size)).collect()
    }

    fn heading_of(&self, class: Class) -> &str {
        let words = &self.phrases.letter;
        match class {
            Class::Seen => &words.seen,
            Class::Measured => &words.measured,
            Class::Inferred => &words.inferred,
            Class::Unknown => &words.unknown,
        }
    }

    fn section(&self, class: Class, texts: &[String], room: f64, size: f64) -> Section {
        let words = &self.phrases.letter;
        if texts.is_empty() {
            let nothing = match class {
                Class::Seen => &words.nothing_seen,
                Class::Measured => &words.nothing_measured,
                Class::Inferred => &words.nothing_inferred,
                Class::Unknown => &words.nothing_unknown,
            };
            return Section { n_cut: 0, used: 1.0, node: paragraph(nothing.clone()) };
        }
        let all: f64 = texts.iter().map(|text| lines(text, size)).sum();
        let (mut used, left) = (0.0, if all <= room + 1e-6 { f64::INFINITY } else { room });
        let mut kept = Vec::new();
        for (idx, text) in texts.iter().enumerate() {
            let is_last = idx + 1 == texts.len();
            let reserve = if is_last { 0.0 } else { 1.0 + BETWEEN };
            let need = lines(text, size);
            if left < used + need + reserve && !kept.is_empty() {
                break;
            }
            used += need;
            kept.push(Item::plain(text.clone()));
        }
        let n_more = texts.len() - kept.len();
        if 0 < n_more {
            used += 1.0 + BETWEEN;
            kept.push(Item::plain(fill(&words.more, &[("n", &n_more.to_string())])));
        }
        Section { n_cut: n_more, used, node: list(kept) }
    }

    /// The statements of a class, ready for the page.
    fn statements(&self, class: Class) -> Vec<String> {
        let texts = match class {
            Class::Seen => self.seen(),
            Class::Measured => self.measured(),
            Class::Inferred => self.inferred(),
            Class::Unknown => self.unknown(),
        };
        let mut texts: Vec<String> = texts.iter().map(|text| stopped(&capital(&clean(text)))).collect();
        self.name_once(&mut texts);
        texts.iter().map(|text| shorten(text, MOST_CHARS)).filter(|text| !text.is_empty()).collect()
    }

    /// What a breaker feeds is said where it is first spoken of; after that its number is enough.
    fn name_once(&self, texts: &mut [String]) {
        for (panel, breaker) in self.job.installation.breakers() {
            let Some(&first) = breaker.spaces.first() else { continue };
            let name = self.breaker_name(&Slot::new(panel.id.clone(), first));
            let Some((short, _)) = name.split_once(" (") else { continue };
            let mut met = false;
            for text in texts.iter_mut() {
                let Some(at) = text.to_lowercase().find(&name.to_lowercase()) else { continue };
                let start = if met { 0 } else { at + name.len() };
                met = true;
                let (Some(head), Some(tail)) = (text.get(..start), text.get(start..)) else { continue };
                *text =
                    format!("{head}{}", tail.replace(&name, short).replace(&capital(&name), &capital(short)));
            }
        }
    }
}

fn lines(text: &str, size: f64) -> f64 {
    line_count(text, size, WORDS_PT - 14.0) as f64 + BETWEEN
}

/// Divides the room: nobody gets more than it needs, everybody at least its share, what is left over goes to
/// those that lack most, inferred before the others.
fn shares(needs: &[f64], room: f64) -> Vec<f64> {
    let total: f64 = SHARES.iter().map(|(_, share)| share).sum();
    let mut rooms: Vec<f64> =
        needs.iter().zip(SHARES).map(|(&need, (_, share))| need.min(room * share / total)).collect();
    let mut left = room - rooms.iter().sum::<f64>();
    for class in NEEDIEST {
        if let (Some(mine), Some(need)) = (rooms.get_mut(class), needs.get(class)) {
            let more = (need - *mine).clamp(0.0, left.max(0.0));
            *mine += more;
            left -= more;
        }
    }
    rooms
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn room_is_shared_and_not_exceeded() {
        let rooms = shares(&[100.0, 2.0, 100.0, 1.0], 32.0);
        assert!(rooms.iter().sum::<f64>() <= 32.0 + 1e-9);
        assert_eq!((rooms[1], rooms[3]), (2.0, 1.0));
        assert!(8.0 <= rooms[0] && 9.0 < rooms[2]);
        assert_eq!(shares(&[1.0, 1.0, 1.0, 1.0], 32.0), [1.0; 4]);
    }
}
