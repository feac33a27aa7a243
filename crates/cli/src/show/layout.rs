//! Lines of 80 columns: headings, paragraphs, lists.

use anstyle::{AnsiColor, Style};

/// Columns of the text.
pub(super) const WIDTH: usize = 80;

const STRONG: Style = Style::new().bold();
const ALARM: Style = Style::new().bold().fg_color(Some(anstyle::Color::Ansi(AnsiColor::Red)));
const INDENT: &str = "  ";

/// A text that grows line by line.
pub(super) struct Page {
    text: String,
}

impl Page {
    pub(super) fn new() -> Self {
        Page { text: String::new() }
    }

    pub(super) fn text(self) -> String {
        self.text
    }

    /// A line as it stands.
    pub(super) fn line(&mut self, line: &str) {
        self.text.push_str(line.trim_end());
        self.text.push('\n');
    }

    /// A line in bold, cut to the width of the page.
    pub(super) fn strong(&mut self, line: &str) {
        self.styled(line, STRONG);
    }

    /// A line in bold red: what must not be missed. Without colour its capitals say it.
    pub(super) fn alarm(&mut self, line: &str) {
        self.styled(line, ALARM);
    }

    fn styled(&mut self, line: &str, style: Style) {
        for line in textwrap::wrap(line, WIDTH) {
            self.line(&format!("{style}{line}{style:#}"));
        }
    }

    /// A line of one character.
    pub(super) fn rule(&mut self, of: char) {
        self.line(&of.to_string().repeat(WIDTH));
    }

    /// A heading with an empty line before it.
    pub(super) fn heading(&mut self, title: &str) {
        self.text.push('\n');
        self.strong(title);
        self.line(&"-".repeat(textwrap::core::display_width(title)));
    }

    /// A paragraph, indented.
    pub(super) fn paragraph(&mut self, text: &str) {
        self.indented(text, INDENT, INDENT);
    }

    /// A list item behind a mark.
    pub(super) fn item(&mut self, mark: &str, text: &str) {
        let first = format!("{INDENT}{mark} ");
        let rest = " ".repeat(textwrap::core::display_width(&first));
        self.indented(text, &first, &rest);
    }

    /// A list item one level deeper.
    pub(super) fn inner(&mut self, mark: &str, text: &str) {
        let first = format!("{INDENT}{INDENT}{mark} ");
        let rest = " ".repeat(textwrap::core::display_width(&first));
        self.indented(text, &first, &rest);
    }

    fn indented(&mut self, text: &str, first: &str, rest: &str) {
        let options = textwrap::Options::new(WIDTH).initial_indent(first).subsequent_indent(rest);
        for line in textwrap::wrap(&clean(text), options) {
            self.line(&line);
        }
    }
}

/// Free text of a job file on its way to a terminal: no control characters, no line ends.
pub(super) fn clean(text: &str) -> String {
    text.chars().map(|letter| if letter.is_control() { ' ' } else { letter }).collect()
}

/// The text cut to a number of columns, with an ellipsis where something is missing, and filled up to them.
pub(super) fn fitted(text: &str, columns: usize) -> String {
    let text = clean(text);
    let width = |text: &str| textwrap::core::display_width(text);
    let mut cut = text.clone();
    if columns < width(&text) {
        while columns.saturating_sub(1) < width(&cut) {
            cut.pop();
        }
        cut.push('…');
    }
    let missing = columns.saturating_sub(width(&cut));
    cut.push_str(&" ".repeat(missing));
    cut
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn no_line_is_wider_than_the_page() {
        let mut page = Page::new();
        page.item("-", &"several words that go on ".repeat(20));
        page.paragraph(&"x".repeat(300));
        page.strong(&"word ".repeat(60));
        for line in anstream::adapter::strip_str(&page.text()).to_string().lines() {
            assert!(line.chars().count() <= WIDTH, "{line}");
        }
    }

    #[test]
    fn text_is_fitted_by_columns_and_control_characters_are_taken_out() {
        assert_eq!(fitted("kitchen", 10), "kitchen   ");
        assert_eq!(fitted("kitchen receptacles", 10), "kitchen r…");
        assert_eq!(fitted("a\u{1b}[31m\nb", 8), "a [31m b");
        assert_eq!(fitted("漢字漢字漢字", 5), "漢字…");
    }
}
