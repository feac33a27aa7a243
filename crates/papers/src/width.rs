//! Widths of printed text, to fit labels into their cells before they are drawn.

use unicode_segmentation::UnicodeSegmentation;
use unicode_width::UnicodeWidthStr;

/// Advance widths of the characters from space to tilde in thousandths of the type size.
/// Source: table `hmtx` of Noto Sans Regular, the face of the papers (SIL Open Font License).
const REGULAR: [u16; 95] = [
    260, 269, 408, 646, 572, 831, 732, 225, 300, 300, 551, 572, 268, 322, 268, 372, 572, 572, 572, 572, 572,
    572, 572, 572, 572, 572, 268, 268, 572, 572, 572, 434, 899, 639, 650, 632, 730, 556, 519, 728, 741, 339,
    273, 619, 524, 907, 760, 781, 605, 781, 622, 549, 556, 731, 600, 930, 586, 566, 572, 329, 372, 329, 572,
    444, 580, 561, 615, 480, 615, 564, 344, 615, 618, 258, 258, 534, 258, 935, 618, 605, 615, 615, 413, 479,
    361, 618, 508, 786, 529, 510, 470, 380, 551, 380, 572,
];

/// Width of one line of text at a type size, in the same unit as the size. Other scripts are counted at a
/// width that is rather too large than too small.
pub(crate) fn width(text: &str, size: f64) -> f64 {
    text.graphemes(true).map(grapheme).sum::<f64>() * size
}

/// Width of what a reader sees as one character, in units of the type size.
fn grapheme(piece: &str) -> f64 {
    match piece.as_bytes() {
        [byte @ b' '..=b'~'] => f64::from(REGULAR[usize::from(byte - b' ')]) / 1000.0,
        _ if piece == "·" => 0.268,
        _ if piece == "°" => 0.428,
        _ => match piece.width() {
            0 => 0.0,
            1 => 0.8,
            _ => 1.1,
        },
    }
}

/// The text if it fits, else as much of it as fits, with an ellipsis.
pub(crate) fn fit(text: &str, size: f64, room: f64) -> String {
    if width(text, size) <= room {
        return text.to_owned();
    }
    let room = room - 0.8 * size;
    let mut used = 0.0;
    let mut kept = String::new();
    for piece in text.graphemes(true) {
        used += grapheme(piece) * size;
        if room < used {
            break;
        }
        kept.push_str(piece);
    }
    // a word of which hardly anything is left says nothing
    let kept = match kept.rsplit_once(' ') {
        Some((head, tail)) if tail.chars().count() <= 2 => head,
        _ => kept.as_str(),
    };
    let kept = kept.trim_end_matches([' ', ',', '.', ';', '(', '-']);
    if kept.is_empty() { String::new() } else { format!("{kept}…") }
}

/// Breaks into at most `max_lines` lines that fit; the last one ends with an ellipsis where text is left.
pub(crate) fn fit_lines(text: &str, size: f64, room: f64, max_lines: usize) -> Vec<String> {
    let mut lines: Vec<String> = Vec::new();
    let mut line = String::new();
    let mut words = text.split(' ').filter(|word| !word.is_empty()).peekable();
    while let Some(word) = words.next() {
        let longer = if line.is_empty() { word.to_owned() } else { format!("{line} {word}") };
        if width(&longer, size) <= room {
            line = longer;
            continue;
        }
        if lines.len() + 1 < max_lines && !line.is_empty() {
            lines.push(line);
            line = word.to_owned();
            if width(&line, size) <= room {
                continue;
            }
        } else {
            line = longer;
        }
        let rest: Vec<&str> = words.collect();
        if !rest.is_empty() {
            line = format!("{line} {}", rest.join(" "));
        }
        lines.push(fit(&line, size, room));
        return lines.into_iter().filter(|line| !line.is_empty()).take(max_lines).collect();
    }
    if !line.is_empty() {
        lines.push(line);
    }
    lines.truncate(max_lines);
    lines
}

/// How many lines the text takes when it is set into this room; an estimate that is rather too large.
pub(crate) fn line_count(text: &str, size: f64, room: f64) -> usize {
    let mut lines = 1;
    let mut used = 0.0;
    for word in text.split(' ') {
        let wide = width(word, size);
        let space = if used == 0.0 { 0.0 } else { 0.26 * size };
        if used + space + wide <= room {
            used += space + wide;
            continue;
        }
        if 0.0 < used {
            lines += 1;
        }
        // a word wider than the line is broken into full lines
        let full = if 0.0 < room { (wide / room).floor() } else { 0.0 };
        lines += full as usize;
        used = wide - full * room;
    }
    lines
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn long_labels_are_cut_with_an_ellipsis() {
        assert_eq!(fit("dryer", 7.0, 100.0), "dryer");
        assert_eq!(fit("dryer, laundry room", 7.0, 40.0), "dryer, lau…");
        assert_eq!(fit("dryer", 7.0, 1.0), "");
        assert_eq!(fit_lines("kitchen counter left of sink", 7.0, 50.0, 2), ["kitchen", "counter left…"]);
        assert_eq!(fit_lines("", 7.0, 50.0, 2), Vec::<String>::new());
    }

    proptest! {
        #[test]
        fn nothing_is_wider_than_its_room(text in "\\PC{0,60}", room in 0.0f64..200.0, lines in 1usize..4) {
            for line in fit_lines(&text, 7.0, room, lines) {
                prop_assert!(width(&line, 7.0) <= room + 1e-9, "{line}");
            }
            prop_assert!(fit_lines(&text, 7.0, room, lines).len() <= lines);
        }
    }
}
