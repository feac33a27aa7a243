//! Papers as plain text, at most 78 columns wide: for terminals, tests, and screen readers.

use crate::page::{Align, Figure, Item, Node, Paper, Table};
use textwrap::{Options, WordSplitter, wrap};
use unicode_width::UnicodeWidthStr;

/// Width of the text form, columns.
pub const WIDTH: usize = 78;

impl Paper {
    /// The paper as plain text.
    pub fn text(&self) -> String {
        let mut out = Lines::default();
        if let Some(mark) = &self.invented {
            out.line(&format!("*** {mark} ***"));
            out.blank();
        }
        out.nodes(&self.body);
        out.blank();
        out.wrapped("", "", &self.head);
        out.wrapped("", "", &self.foot);
        out.finish()
    }
}

#[derive(Default)]
struct Lines(Vec<String>);

impl Lines {
    fn line(&mut self, text: &str) {
        self.0.push(text.trim_end().to_owned());
    }

    fn blank(&mut self) {
        if self.0.last().is_some_and(|last| !last.is_empty()) {
            self.0.push(String::new());
        }
    }

    fn wrapped(&mut self, first: &str, other: &str, text: &str) {
        let options = Options::new(WIDTH)
            .initial_indent(first)
            .subsequent_indent(other)
            .word_splitter(WordSplitter::NoHyphenation);
        for line in wrap(text, options) {
            self.line(&line);
        }
    }

    fn nodes(&mut self, nodes: &[Node]) {
        for node in nodes {
            self.node(node);
        }
    }

    fn node(&mut self, node: &Node) {
        match node {
            Node::Heading { level, text } => {
                self.blank();
                self.wrapped("", "", text);
                let rule = match level {
                    1 => "=",
                    2 => "-",
                    _ => "",
                };
                if !rule.is_empty() {
                    self.line(&rule.repeat(text.width().clamp(1, WIDTH)));
                }
                self.blank();
            }
            Node::Paragraph(item) => {
                self.wrapped("", "", &joined(item));
                self.blank();
            }
            Node::List { items, numbered } => {
                for item in items {
                    if *numbered && !item.lead.is_empty() {
                        self.wrapped(&format!("{}. ", item.lead), "   ", &item.text);
                    } else {
                        self.wrapped("- ", "  ", &joined(item));
                    }
                }
                self.blank();
            }
            Node::Table(table) => self.table(table),
            Node::Pairs { rows } => self.pairs(rows),
            Node::Figure(figure) => self.figure(figure),
            Node::Callout { title, texts, .. } => {
                self.blank();
                if !title.is_empty() {
                    self.wrapped("| ", "| ", title);
                }
                for item in texts {
                    self.wrapped("| ", "| ", &joined(item));
                }
                self.blank();
            }
            Node::Columns { left, right, .. } => {
                self.nodes(left);
                self.nodes(right);
            }
            Node::Small { text } => {
                self.wrapped("", "", text);
                self.blank();
            }
            Node::Together { nodes } => self.nodes(nodes),
            Node::PageBreak => self.blank(),
        }
    }

    fn pairs(&mut self, rows: &[(String, String)]) {
        let name_width = rows.iter().map(|(name, _)| name.width()).max().unwrap_or(0).min(26) + 2;
        for (name, value) in rows {
            let names = wrap(name, name_width - 2);
            let values = wrap(value, WIDTH - name_width);
            for idx in 0..names.len().max(values.len()) {
                let name = names.get(idx).map_or("", |line| line.as_ref());
                let value = values.get(idx).map_or("", |line| line.as_ref());
                self.line(&format!("{}{value}", padded(name, name_width, Align::Left)));
            }
        }
        self.blank();
    }

    fn figure(&mut self, figure: &Figure) {
        self.blank();
        for line in &figure.lines {
            self.line(line);
        }
        if !figure.caption.is_empty() {
            self.wrapped("", "", &figure.caption);
        }
        self.blank();
    }

    fn table(&mut self, table: &Table) {
        let widths = column_widths(table);
        self.blank();
        let titles: Vec<String> = table.columns.iter().map(|column| column.title.clone()).collect();
        self.cells(table, &widths, &titles);
        let rule: Vec<String> = widths.iter().map(|&width| "-".repeat(width)).collect();
        self.line(&rule.join("  "));
        for row in &table.rows {
            let cells: Vec<String> = row.iter().map(joined).collect();
            self.cells(table, &widths, &cells);
        }
        self.blank();
    }

    fn cells(&mut self, table: &Table, widths: &[usize], cells: &[String]) {
        let wrapped: Vec<Vec<_>> = cells.iter().zip(widths).map(|(cell, &width)| wrap(cell, width)).collect();
        for idx in 0..wrapped.iter().map(Vec::len).max().unwrap_or(0) {
            let parts: Vec<String> = wrapped
                .iter()
                .zip(widths)
                .zip(&table.columns)
                .map(|((lines, &width), column)| {
                    padded(lines.get(idx).map_or("", |line| line.as_ref()), width, column.align)
                })
                .collect();
            self.line(&parts.join("  "));
        }
    }

    fn finish(mut self) -> String {
        while self.0.last().is_some_and(String::is_empty) {
            self.0.pop();
        }
        let mut text = self.0.join("\n");
        text.push('\n');
        text
    }
}

fn joined(item: &Item) -> String {
    match (item.lead.is_empty(), item.text.is_empty()) {
        (true, _) => item.text.clone(),
        (false, true) => item.lead.clone(),
        (false, false) => format!("{} {}", item.lead, item.text),
    }
}

fn padded(text: &str, width: usize, align: Align) -> String {
    let gap = " ".repeat(width.saturating_sub(text.width()));
    match align {
        Align::Left => format!("{text}{gap}"),
        Align::Right => format!("{gap}{text}"),
    }
}

/// Widths in columns: what each needs if all fit, else shares of the line, none below the longest word of its
/// title where that is possible.
fn column_widths(table: &Table) -> Vec<usize> {
    let n_columns = table.columns.len().max(1);
    let room = WIDTH.saturating_sub(2 * (n_columns - 1)).max(n_columns);
    let needed: Vec<usize> = (0..table.columns.len())
        .map(|idx| {
            let cells = table.rows.iter().filter_map(|row| row.get(idx)).map(|item| joined(item).width());
            cells.chain([table.columns[idx].title.width()]).max().unwrap_or(1).max(1)
        })
        .collect();
    if needed.iter().sum::<usize>() <= room {
        return needed;
    }
    let least: Vec<usize> = (0..table.columns.len())
        .map(|idx| {
            let title = table.columns[idx].title.split(' ').map(UnicodeWidthStr::width).max().unwrap_or(1);
            title.max(3).min(needed[idx])
        })
        .collect();
    let mut widths = least.clone();
    let mut left = room.saturating_sub(least.iter().sum());
    // hand out one column at a time to the one that lags furthest behind its share
    while 0 < left {
        let hungry = (0..widths.len()).filter(|&idx| widths[idx] < needed[idx]).min_by(|&one, &two| {
            let filled = |idx: usize| widths[idx] as f64 / table.columns[idx].share.max(1e-6);
            filled(one).total_cmp(&filled(two)).then(one.cmp(&two))
        });
        match hungry {
            Some(idx) => widths[idx] += 1,
            None => break,
        }
        left -= 1;
    }
    widths
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::page::heading;

    fn paper(body: Vec<Node>) -> Paper {
        Paper {
            title: "t".into(),
            file_name: "t".into(),
            language: "en".into(),
            day: "2026-10-14".into(),
            head: "head".into(),
            invented: None,
            foot: "foot".into(),
            page_of: String::new(),
            max_pages: None,
            sheet: crate::page::Sheet::Letter,
            text_size_pt: 10.0,
            body,
        }
    }

    #[test]
    fn no_line_is_wider_than_the_page() {
        let mut table = Table::new(&[("joint", 1.0), ("reason", 4.0), ("weight", -1.0)]);
        table.row(["main:stab:5", &"word ".repeat(40), "12.5"]);
        table.row(["x".repeat(200), "مرحبا 👩‍👩‍👧".into(), "1".into()]);
        let text = paper(vec![heading(1, "x ".repeat(100)), Node::Table(table)]).text();
        for line in text.lines() {
            assert!(line.width() <= WIDTH, "{line}");
        }
        assert!(text.contains("12.5"));
    }
}
