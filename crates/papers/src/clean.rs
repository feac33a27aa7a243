//! Text that came from outside, made fit for a page: no control characters, no hidden direction switches.

/// Replaces control characters by spaces, drops characters that change the direction of the text around them
/// or cannot stand in XML, and folds runs of spaces into one.
pub(crate) fn clean(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    let mut gap = false;
    for mark in text.chars() {
        match mark {
            '\u{200B}'..='\u{200F}' | '\u{202A}'..='\u{202E}' | '\u{2060}'..='\u{2069}' => {}
            '\u{FEFF}' | '\u{FFFE}' | '\u{FFFF}' | '\u{FE00}'..='\u{FE0F}' => {}
            mark if mark.is_control() || mark.is_whitespace() => gap = !out.is_empty(),
            mark => {
                if gap {
                    out.push(' ');
                    gap = false;
                }
                out.push(mark);
            }
        }
    }
    out
}

/// Shortens to at most `max_chars` characters: after a whole sentence where one ends late enough, else after
/// a whole word, with an ellipsis. The cut never falls inside a character that is made of several.
pub(crate) fn shorten(text: &str, max_chars: usize) -> String {
    use unicode_segmentation::UnicodeSegmentation;
    let pieces: Vec<&str> = text.graphemes(true).collect();
    if pieces.len() <= max_chars {
        return text.to_owned();
    }
    let keep = &pieces[..max_chars.saturating_sub(1)];
    let head = keep.concat();
    if let Some(end) = last_sentence_end(&head)
        && max_chars <= head[..end].chars().count() * 2
    {
        return head[..end].to_owned();
    }
    let cut = head.rfind(' ').filter(|&at| head.len() < at * 2).unwrap_or(head.len());
    format!("{}…", head[..cut].trim_end_matches([' ', ',', ';', ':', '.']))
}

/// Byte position just behind the last full stop that is followed by a space.
fn last_sentence_end(text: &str) -> Option<usize> {
    text.rmatch_indices(". ").map(|(at, _)| at + 1).next()
}

/// First letter large, for a sentence that starts with a foreign phrase.
pub(crate) fn capital(text: &str) -> String {
    let mut letters = text.chars();
    match letters.next() {
        Some(first) => first.to_uppercase().chain(letters).collect(),
        None => String::new(),
    }
}

/// With a full stop behind it, unless a mark that ends a sentence is there already or there is no text.
pub(crate) fn stopped(text: &str) -> String {
    let text = text.trim_end();
    let spoken = text.trim_end_matches(['”', '"', ')']);
    if text.is_empty() || spoken.ends_with(['.', '!', '?', '…', ':']) {
        text.to_owned()
    } else {
        format!("{text}.")
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn hidden_characters_go_and_spaces_fold() {
        assert_eq!(clean("  a\u{7}b\n\n c\u{202E}d\u{0}"), "a b cd");
        assert_eq!(clean("مرحبا"), "مرحبا");
    }

    #[test]
    fn cuts_fall_after_sentences_or_words() {
        let text = "The face was warm. The neighbour was cooler than that by far.";
        assert_eq!(shorten(text, 100), text);
        assert_eq!(shorten(text, 30), "The face was warm.");
        assert_eq!(shorten("one two three four five six", 16), "one two three…");
        assert_eq!(shorten(&"x".repeat(50), 10), format!("{}…", "x".repeat(9)));
        assert_eq!(shorten("👩‍👩‍👧👩‍👩‍👧👩‍👩‍👧", 2), "👩‍👩‍👧…");
        assert_eq!(shorten("abc", 0), "…");
    }

    #[test]
    fn sentences_get_one_stop() {
        assert_eq!(stopped("warm"), "warm.");
        assert_eq!(stopped("warm. "), "warm.");
        assert_eq!(stopped("“It is warm.”"), "“It is warm.”");
        assert_eq!(stopped("“warm”"), "“warm”.");
        assert_eq!(stopped(""), "");
        assert_eq!(capital("élan"), "Élan");
    }
}
