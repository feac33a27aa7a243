//! The page tree: what a paper says, before it becomes PDF or text. Both forms come from this one tree.

use serde::Serialize;

/// A finished paper.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Paper {
    /// Title, also in the properties of the PDF.
    pub title: String,
    /// Name for a file, without extension: letters, digits and hyphens.
    pub file_name: String,
    /// Language tag, for example `en`.
    pub language: String,
    /// Day it was computed for, ISO.
    pub day: String,
    /// One line at the head of every page.
    pub head: String,
    /// Mark of an invented job, at the head of every page.
    pub invented: Option<String>,
    /// One line at the foot of every page, before the page number.
    pub foot: String,
    /// `page {page} of {pages}` in the paper's language.
    pub page_of: String,
    /// At most this many pages, where the form promises it.
    pub max_pages: Option<usize>,
    /// What it is printed on.
    pub sheet: Sheet,
    /// Size of the body text, points.
    pub text_size_pt: f64,
    /// Content.
    pub body: Vec<Node>,
}

/// What a paper is printed on.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Sheet {
    /// US Letter.
    #[default]
    Letter,
    /// A label of four by six inches.
    Label,
}

impl Sheet {
    /// Width of the text, points.
    pub const fn text_width_pt(self) -> f64 {
        match self {
            Sheet::Letter => 504.0,
            Sheet::Label => 260.0,
        }
    }
}

/// A part of a paper.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[serde(tag = "kind", rename_all = "snake_case")]
pub enum Node {
    /// A heading; 1 is the title.
    Heading {
        /// 1 to 3.
        level: u8,
        /// Words.
        text: String,
    },
    /// Running text.
    Paragraph(Item),
    /// A list, numbered or not.
    List {
        /// Entries.
        items: Vec<Item>,
        /// The leads are numbers that also stand on a drawing.
        numbered: bool,
    },
    /// A table with a head.
    Table(Table),
    /// Names and values, one a line.
    Pairs {
        /// Name, value.
        rows: Vec<(String, String)>,
    },
    /// A drawing.
    Figure(Figure),
    /// A framed remark.
    Callout {
        /// First line, bold.
        title: String,
        /// Paragraphs.
        texts: Vec<Item>,
        /// Heavier frame.
        strong: bool,
    },
    /// Two columns side by side; in text one after the other.
    Columns {
        /// Left.
        left: Vec<Node>,
        /// Right.
        right: Vec<Node>,
        /// Width of the left one, points.
        left_pt: f64,
        /// Gap, points.
        gap_pt: f64,
    },
    /// Small print.
    Small {
        /// Words.
        text: String,
    },
    /// Parts that stay on one page.
    Together {
        /// Parts.
        nodes: Vec<Node>,
    },
    /// A new page.
    PageBreak,
}

/// A piece of running text.
#[derive(Debug, Clone, PartialEq, Default, Serialize)]
pub struct Item {
    /// Stands before the text in bold, for example a number of the drawing.
    pub lead: String,
    /// Words.
    pub text: String,
}

impl Item {
    /// Without a lead.
    pub fn plain(text: impl Into<String>) -> Self {
        Item { lead: String::new(), text: text.into() }
    }

    /// With a lead.
    pub fn led(lead: impl Into<String>, text: impl Into<String>) -> Self {
        Item { lead: lead.into(), text: text.into() }
    }
}

/// Side to which a column is set.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Align {
    /// Words.
    Left,
    /// Numbers.
    Right,
}

/// A column of a table.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Column {
    /// Title.
    pub title: String,
    /// Share of the width; shares need not sum to anything.
    pub share: f64,
    /// Side.
    pub align: Align,
}

/// A table.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Table {
    /// Columns.
    pub columns: Vec<Column>,
    /// Rows; each has as many cells as there are columns.
    pub rows: Vec<Vec<Item>>,
    /// Smaller type, for wide tables.
    pub small: bool,
}

impl Table {
    /// A table from titles with shares, a negative share meaning a column of numbers.
    pub fn new(columns: &[(&str, f64)]) -> Self {
        let column = |&(title, share): &(&str, f64)| Column {
            title: title.to_owned(),
            share: share.abs(),
            align: if share < 0.0 { Align::Right } else { Align::Left },
        };
        Table { columns: columns.iter().map(column).collect(), rows: Vec::new(), small: true }
    }

    /// Adds a row of plain cells; cells that are missing stay empty, cells too many are an error of ours and
    /// go into the last cell so that nothing is lost.
    pub fn row<S: Into<String>>(&mut self, cells: impl IntoIterator<Item = S>) {
        self.items(cells.into_iter().map(Item::plain));
    }

    /// Adds a row of cells.
    pub fn items(&mut self, cells: impl IntoIterator<Item = Item>) {
        let mut row: Vec<Item> = cells.into_iter().collect();
        while self.columns.len() < row.len() {
            let extra = row.pop().unwrap_or_default();
            if let Some(last) = row.last_mut() {
                last.text = format!("{} {}", last.text, extra.text);
            }
        }
        row.resize(self.columns.len(), Item::default());
        self.rows.push(row);
    }

    /// The node, or nothing where there are no rows.
    pub fn node(self) -> Option<Node> {
        if self.rows.is_empty() { None } else { Some(Node::Table(self)) }
    }
}

/// A drawing with its forms.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Figure {
    /// SVG text.
    pub svg: String,
    /// What it shows, for who cannot see it.
    pub alt: String,
    /// Words below.
    pub caption: String,
    /// Width, points.
    pub width_pt: f64,
    /// Height at that width, points.
    pub height_pt: f64,
    /// Greatest height, points; the drawing is made smaller where it is higher.
    pub max_height_pt: f64,
    /// The text form, at most 78 columns wide.
    pub lines: Vec<String>,
}

/// A list with dashes.
pub(crate) fn list(items: Vec<Item>) -> Node {
    Node::List { items, numbered: false }
}

/// A heading.
pub(crate) fn heading(level: u8, text: impl Into<String>) -> Node {
    Node::Heading { level, text: text.into() }
}

/// A paragraph.
pub(crate) fn paragraph(text: impl Into<String>) -> Node {
    Node::Paragraph(Item::plain(text))
}

/// A name for a file: lower-case letters, digits and hyphens of the text, at most 60 of them.
pub(crate) fn file_name(parts: &[&str]) -> String {
    let mut out = String::new();
    for mark in parts.join("-").chars().flat_map(char::to_lowercase) {
        if mark.is_ascii_alphanumeric() {
            out.push(mark);
        } else if !out.ends_with('-') && !out.is_empty() {
            out.push('-');
        }
        if 60 <= out.len() {
            break;
        }
    }
    out.trim_end_matches('-').to_owned()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn file_names_are_harmless() {
        assert_eq!(file_name(&["owner-letter", "Job 14/../x"]), "owner-letter-job-14-x");
        assert_eq!(file_name(&["../..", "é"]), "");
        assert!(file_name(&["a", &"b ".repeat(100)]).len() <= 60);
    }

    #[test]
    fn rows_have_as_many_cells_as_columns() {
        let mut table = Table::new(&[("a", 1.0), ("b", -1.0)]);
        table.row(["1"]);
        table.row(["1", "2", "3"]);
        assert!(table.rows.iter().all(|row| row.len() == 2));
        assert_eq!(table.rows[1][1].text, "2 3");
        assert_eq!(table.columns[1].align, Align::Right);
    }
}
