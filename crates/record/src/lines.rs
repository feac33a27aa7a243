//! Lines and columns of byte positions in a text.

/// Start of every line of a text.
#[derive(Debug, Clone)]
pub(crate) struct Lines<'a> {
    text: &'a str,
    starts: Vec<usize>,
}

impl<'a> Lines<'a> {
    pub(crate) fn new(text: &'a str) -> Self {
        let mut starts = vec![0];
        starts.extend(text.bytes().enumerate().filter(|&(_, byte)| byte == b'\n').map(|(idx, _)| idx + 1));
        Lines { text, starts }
    }

    /// Line and column in characters, both from 1. A position past the end or inside a character is moved
    /// back.
    pub(crate) fn line_column(&self, position: usize) -> (u32, u32) {
        let position = floor(self.text, position);
        let line = self.starts.partition_point(|&start| start <= position) - 1;
        let column = self.text[self.starts[line]..position].chars().count();
        (line as u32 + 1, column as u32 + 1)
    }
}

/// Line of a position, from 1, counted out.
pub(crate) fn line_number(text: &str, position: usize) -> u32 {
    text[..floor(text, position)].matches('\n').count() as u32 + 1
}

/// The nearest character boundary at or before a position.
pub(crate) fn floor(text: &str, position: usize) -> usize {
    let mut position = position.min(text.len());
    while !text.is_char_boundary(position) {
        position -= 1;
    }
    position
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn columns_count_characters_not_bytes() {
        let lines = Lines::new("eins\nzwölf = 12\r\n\n");
        assert_eq!(lines.line_column(0), (1, 1));
        assert_eq!(lines.line_column(5), (2, 1));
        assert_eq!(lines.line_column("eins\nzwölf".len()), (2, 6));
        assert_eq!(lines.line_column(8), (2, 3), "inside the two bytes of ö");
        assert_eq!(lines.line_column(999), (4, 1));
        assert_eq!(line_number("a\nb\nc", 2), 2);
        assert_eq!(Lines::new("").line_column(0), (1, 1));
    }
}
