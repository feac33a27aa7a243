//! Marks of conditions: in words, and as shapes that are told apart without colour.

use study::Mark;

/// Half the size of a mark.
const MARK: f64 = 7.0;

/// A mark in words; unknown never means sound.
pub(crate) fn mark_words(mark: Mark) -> &'static str {
    match mark {
        Mark::Burnt => "probably burnt",
        Mark::Worn => "probably worn",
        Mark::Sound => "probably sound",
        Mark::Unknown => "not known",
    }
}

/// A mark around a point: its shape says which, without colour.
pub(super) fn glyph(mark: Mark, x: f64, y: f64) -> String {
    let round = |extra: &str| {
        format!(
            r#"<circle cx="{x}" cy="{y}" r="{}" fill="var(--sheet)" stroke="var(--ink)" stroke-width="2"{extra}/>"#,
            MARK - 1.0
        )
    };
    match mark {
        Mark::Burnt => format!(
            r#"<path d="M{x} {}L{} {y}L{x} {}L{} {y}Z" fill="var(--ink)" stroke="var(--sheet)" stroke-width="1"/>"#,
            y - MARK - 2.0,
            x + MARK + 2.0,
            y + MARK + 2.0,
            x - MARK - 2.0
        ),
        Mark::Worn => format!(
            r#"{}<path d="M{} {y}A{r} {r} 0 0 0 {} {y}Z" fill="var(--ink)"/>"#,
            round(""),
            x - MARK + 1.0,
            x + MARK - 1.0,
            r = MARK - 1.0
        ),
        Mark::Sound => round(""),
        Mark::Unknown => round(r#" stroke-dasharray="2.2 2.2""#),
    }
}

/// A text cut to a width, by the mean width of letters.
pub(crate) fn fit(text: &str, size: f64, width: f64) -> String {
    const LETTER: f64 = 0.53;
    let most = (width / (size * LETTER)).max(1.0) as usize;
    if text.chars().count() <= most {
        return text.to_owned();
    }
    let cut: String = text.chars().take(most.saturating_sub(1)).collect();
    format!("{}…", cut.trim_end_matches([' ', ',']))
}
