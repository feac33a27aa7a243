//! Papers as printable HTML: one file that loads nothing, for where there is no typesetter. Its words are those of the
//! PDF and the text form, from the same page tree.

use crate::page::{Align, Figure, Item, Node, Paper, Sheet, Table};
use std::fmt::Write;

/// How it looks, on screen and on paper; black on white.
const LOOK: &str = "body{font-family:sans-serif;color:#000;background:#fff;margin:1.2rem auto;padding:0 1rem;line-height:1.35}\
h1{font-size:1.5em}h2{font-size:1.2em}h3{font-size:1em}h1,h2,h3{break-after:avoid;margin:.8em 0 .3em}p{margin:.4em 0}\
table{border-collapse:collapse;width:100%;margin:.5em 0}th,td{border-bottom:1px solid #000;padding:.15em .4em;text-align:left;\
vertical-align:top}.number{text-align:right}.small{font-size:.85em}.callout{border:1px solid #000;padding:.3em .6em;margin:.6em 0;\
break-inside:avoid}.strong{border-width:3px}.columns{display:flex;gap:1.2em;flex-wrap:wrap}.columns>div{flex:1 1 14em}\
.together,tr,figure{break-inside:avoid}.break{break-before:page}figure{margin:.6em 0}svg{max-width:100%;height:auto}\
dl{display:grid;grid-template-columns:minmax(8em,auto) 1fr;gap:.1em 1em;margin:.5em 0}dd{margin:0}.mark{border:2px solid #000;\
padding:.2em .6em;font-weight:bold}header,footer{font-size:.85em}footer{border-top:1px solid #000;margin-top:1em}";

impl Paper {
    /// The paper as one HTML file, to look at and to print.
    pub fn html(&self) -> String {
        let (size, width) = match self.sheet {
            Sheet::Letter => ("letter", "46rem"),
            Sheet::Label => ("4in 6in", "24rem"),
        };
        let mut out = format!(
            "<!doctype html>\n<html lang=\"{}\"><head><meta charset=\"utf-8\">\
             <meta name=\"viewport\" content=\"width=device-width, initial-scale=1\"><title>{}</title>\
             <style>@page{{size:{size};margin:{}}}body{{max-width:{width};font-size:{}pt}}{LOOK}</style></head><body>\n",
            escaped(&self.language),
            escaped(&self.title),
            if self.sheet == Sheet::Label { "8mm" } else { "15mm" },
            self.text_size_pt
        );
        if let Some(mark) = &self.invented {
            let _ = writeln!(out, "<p class=\"mark\">{}</p>", escaped(mark));
        }
        let _ = writeln!(out, "<header>{}</header>\n<main>", escaped(&self.head));
        nodes(&mut out, &self.body);
        let _ = writeln!(out, "</main>\n<footer>{}</footer>\n</body></html>", escaped(&self.foot));
        out
    }
}

fn nodes(out: &mut String, all: &[Node]) {
    for node in all {
        write_node(out, node);
    }
}

fn write_node(out: &mut String, node: &Node) {
    match node {
        Node::Heading { level, text } => {
            let level = (*level).clamp(1, 3);
            line(out, &format!("<h{level}>{}</h{level}>", escaped(text)));
        }
        Node::Paragraph(item) => line(out, &format!("<p>{}</p>", words(item))),
        Node::List { items, numbered } => {
            // The numbers stand on a drawing too, so they are written and not counted.
            line(out, if *numbered { "<ul class=\"numbered\">" } else { "<ul>" });
            for item in items {
                line(out, &format!("<li>{}</li>", words(item)));
            }
            line(out, "</ul>");
        }
        Node::Table(table) => write_table(out, table),
        Node::Pairs { rows } => {
            line(out, "<dl>");
            for (name, value) in rows {
                line(out, &format!("<dt>{}</dt><dd>{}</dd>", escaped(name), escaped(value)));
            }
            line(out, "</dl>");
        }
        Node::Figure(figure) => write_figure(out, figure),
        Node::Callout { title, texts, strong } => {
            line(out, if *strong { "<div class=\"callout strong\">" } else { "<div class=\"callout\">" });
            if !title.is_empty() {
                line(out, &format!("<p><strong>{}</strong></p>", escaped(title)));
            }
            for item in texts {
                line(out, &format!("<p>{}</p>", words(item)));
            }
            line(out, "</div>");
        }
        Node::Columns { left, right, .. } => {
            line(out, "<div class=\"columns\"><div>");
            nodes(out, left);
            line(out, "</div><div>");
            nodes(out, right);
            line(out, "</div></div>");
        }
        Node::Small { text } => line(out, &format!("<p class=\"small\">{}</p>", escaped(text))),
        Node::Together { nodes: all } => {
            line(out, "<div class=\"together\">");
            nodes(out, all);
            line(out, "</div>");
        }
        Node::PageBreak => line(out, "<div class=\"break\"></div>"),
    }
}

fn write_table(out: &mut String, table: &Table) {
    let class = |idx: usize| match table.columns.get(idx).map(|column| column.align) {
        Some(Align::Right) => " class=\"number\"",
        _ => "",
    };
    line(out, if table.small { "<table class=\"small\"><thead><tr>" } else { "<table><thead><tr>" });
    for (idx, column) in table.columns.iter().enumerate() {
        line(out, &format!("<th scope=\"col\"{}>{}</th>", class(idx), escaped(&column.title)));
    }
    line(out, "</tr></thead><tbody>");
    for row in &table.rows {
        out.push_str("<tr>");
        for (idx, cell) in row.iter().enumerate() {
            let _ = write!(out, "<td{}>{}</td>", class(idx), words(cell));
        }
        line(out, "</tr>");
    }
    line(out, "</tbody></table>");
}

fn write_figure(out: &mut String, figure: &Figure) {
    // Our own drawing; its texts are escaped where it is made.
    let _ = writeln!(out, "<figure role=\"img\" aria-label=\"{}\">{}", escaped(&figure.alt), figure.svg);
    if !figure.caption.is_empty() {
        line(out, &format!("<figcaption>{}</figcaption>", escaped(&figure.caption)));
    }
    line(out, "</figure>");
}

fn line(out: &mut String, text: &str) {
    out.push_str(text);
    out.push('\n');
}

fn words(item: &Item) -> String {
    match (item.lead.is_empty(), item.text.is_empty()) {
        (true, _) => escaped(&item.text),
        (false, true) => format!("<strong>{}</strong>", escaped(&item.lead)),
        (false, false) => format!("<strong>{}</strong> {}", escaped(&item.lead), escaped(&item.text)),
    }
}

fn escaped(text: &str) -> String {
    let mut out = String::new();
    for letter in text.chars() {
        match letter {
            '&' => out.push_str("&amp;"),
            '<' => out.push_str("&lt;"),
            '>' => out.push_str("&gt;"),
            '"' => out.push_str("&quot;"),
            _ => out.push(letter),
        }
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_word_is_there_and_none_becomes_markup() {
        let mut table = Table::new(&[("what", 1.0), ("W", -1.0)]);
        table.row(["lug <b>", "1.5"]);
        let body = vec![
            Node::Heading { level: 1, text: "Tag & paper".to_owned() },
            Node::Paragraph(Item::led("Off:", "space 15 \"east\"")),
            Node::List { items: vec![Item::led("2", "<script>")], numbered: true },
            Node::Table(table),
            Node::Callout { title: "Live".to_owned(), texts: vec![Item::plain("above")], strong: true },
            Node::Together { nodes: vec![Node::Pairs { rows: vec![("Leg".to_owned(), "A".to_owned())] }] },
        ];
        let paper = Paper {
            title: "Tag".to_owned(),
            file_name: "tag".to_owned(),
            language: "en".to_owned(),
            day: "2025-12-01".to_owned(),
            head: "Q-1".to_owned(),
            invented: Some("Invented".to_owned()),
            foot: "No guarantee".to_owned(),
            page_of: String::new(),
            max_pages: None,
            sheet: Sheet::Label,
            text_size_pt: 10.0,
            body,
        };
        let html = paper.html();
        for part in [
            "<h1>Tag &amp; paper</h1>",
            "<p><strong>Off:</strong> space 15 &quot;east&quot;</p>",
            "<li><strong>2</strong> &lt;script&gt;</li>",
            "<td>lug &lt;b&gt;</td><td class=\"number\">1.5</td>",
            "<dt>Leg</dt><dd>A</dd>",
            "size:4in 6in",
            "<p class=\"mark\">Invented</p>",
            "No guarantee",
        ] {
            assert!(html.contains(part), "{part}\n{html}");
        }
        assert!(!html.contains("<script"), "{html}");
    }
}
