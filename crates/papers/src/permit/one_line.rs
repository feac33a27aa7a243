//! The one-line diagram: from the utility by meter and disconnects to the panels and what they feed.

use super::PermitHead;
use super::sheet::{cautions, head, paper};
use super::words::{Words, english};
use crate::clean::clean;
use crate::number::plain;
use crate::page::{Figure, Node, Paper, heading, paragraph};
use crate::svg::{Svg, attrs};
use crate::width::fit_lines;

/// What a stage is drawn as.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Symbol {
    /// Transformer of the utility.
    Transformer,
    /// Meter.
    Meter,
    /// A disconnect.
    Disconnect,
    /// A panel with a bus.
    Panel,
}

/// Conductors between two stages.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Wire {
    /// Lines of text beside it.
    pub lines: Vec<String>,
    /// Planned, not there yet? Drawn broken.
    pub planned: bool,
}

/// A piece of equipment with what is below it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Stage {
    /// What it is drawn as.
    pub symbol: Symbol,
    /// Planned, not there yet?
    pub planned: bool,
    /// First line, bold.
    pub title: String,
    /// Further lines.
    pub lines: Vec<String>,
    /// Conductors from the stage above; nothing for the first.
    pub wire: Option<Wire>,
    /// What hangs on its bus, each in one line; of a panel.
    pub circuits: Vec<String>,
    /// How deep it is below the service: sub-panels stand further right.
    pub depth: u8,
    /// Grounding at it, each in one line.
    pub grounding: Vec<String>,
}

/// The diagram.
#[derive(Debug, Clone, PartialEq)]
pub struct OneLine {
    /// Head.
    pub head: PermitHead,
    /// Stages from the utility down.
    pub stages: Vec<Stage>,
}

const WIDTH: f64 = 480.0;
const AXIS: f64 = 40.0;
const INDENT: f64 = 26.0;
const TEXT: f64 = 8.0;
const LEADING: f64 = 10.4;
const INK: &str = "currentColor";
/// Symbols stand before their conductors, so that no line shows through.
const PAPER: &str = "#ffffff";
/// Room from the axis of a stage to its words.
const GAP: f64 = 26.0;

/// The diagram as SVG text, black and white.
pub fn one_line_svg(diagram: &OneLine) -> String {
    let mut draw = Draw { svg: Svg::default(), y: 16.0 };
    let height = height_of(diagram);
    let view = format!("0 0 {} {}", plain(WIDTH, 2), plain(height, 2));
    draw.svg.open(
        "svg",
        attrs![
            xmlns = "http://www.w3.org/2000/svg",
            viewBox = view,
            role = "img",
            "font-family" = "Noto Sans, sans-serif",
            class = "one-line",
            color = "#000000"
        ],
    );
    draw.svg.empty("rect", attrs![width = WIDTH, height = height, fill = PAPER]);
    let words = english();
    let title = format!("{}, {}", words.get("line_title"), clean(&diagram.head.job));
    draw.svg.text("title", attrs![], &title);
    draw.svg.text("desc", attrs![], &text_lines(diagram).join(" "));
    draw.words((4.0, 10.0), 8.0, true, &headline(&words, &diagram.head));
    draw.y += 8.0;
    for (idx, stage) in diagram.stages.iter().enumerate() {
        let above = diagram.stages[..idx]
            .iter()
            .rev()
            .find(|one| one.depth <= stage.depth || one.depth + 1 == stage.depth);
        let follows = diagram.stages.get(idx + 1).is_some_and(|next| next.depth == stage.depth);
        draw.stage(stage, above, follows);
    }
    draw.svg.finish()
}

fn headline(words: &Words, head: &PermitHead) -> String {
    let invented = if head.invented { format!(" · {}", words.get("invented")) } else { String::new() };
    format!(
        "{}{invented}",
        words.fill("head", &[("job", &clean(&head.job)), ("place", &clean(&head.place)), ("day", &head.day)])
    )
}

/// The diagram as a paper, with the words of the drawing for who cannot see it.
pub fn one_line_paper(diagram: &OneLine) -> Paper {
    let words = english();
    let figure = Figure {
        svg: one_line_svg(diagram),
        alt: words.get("line_alt").to_owned(),
        caption: String::new(),
        width_pt: WIDTH,
        height_pt: height_of(diagram),
        max_height_pt: 560.0,
        lines: text_lines(diagram).iter().flat_map(|line| wrapped(line)).collect(),
    };
    let mut body = vec![
        heading(1, words.get("line_title")),
        head(&words, &diagram.head),
        paragraph(words.get("line_intro")),
        Node::Figure(figure),
    ];
    body.extend(cautions(&words, &diagram.head));
    paper(&words, &diagram.head, ("line_title", "line_file"), body)
}

fn wrapped(line: &str) -> Vec<String> {
    let indent = "  ".repeat(line.chars().take_while(|mark| *mark == ' ').count() / 2 + 1);
    let options = textwrap::Options::new(78).subsequent_indent(&indent);
    textwrap::wrap(line, options).into_iter().map(|line| line.into_owned()).collect()
}

/// The diagram in words, one line a thing.
fn text_lines(diagram: &OneLine) -> Vec<String> {
    let words = english();
    let mark = |planned: bool| if planned { format!(" ({})", words.get("planned")) } else { String::new() };
    let mut lines = Vec::new();
    for stage in &diagram.stages {
        let indent = "  ".repeat(usize::from(stage.depth));
        if let Some(wire) = &stage.wire {
            lines.push(format!("{indent}| {}{}", clean(&wire.lines.join("; ")), mark(wire.planned)));
        }
        let more =
            if stage.lines.is_empty() { String::new() } else { format!(": {}", stage.lines.join("; ")) };
        lines.push(clean_kept(&format!("{indent}[{}]{}{more}", stage.title, mark(stage.planned)), &indent));
        lines.extend(stage.grounding.iter().map(|line| format!("{indent}  = {}", clean(line))));
        lines.extend(stage.circuits.iter().map(|line| format!("{indent}  - {}", clean(line))));
    }
    lines
}

fn clean_kept(line: &str, indent: &str) -> String {
    format!("{indent}{}", clean(line))
}

/// Lines of a text as drawn from `x` on.
fn lines_at(text: &str, x: f64) -> Vec<String> {
    // A viewer without the font sets wider letters; a seventh of the width is left for them.
    fit_lines(&clean(text), TEXT, (WIDTH - x) * 0.86, 3)
}

fn room(stage: &Stage) -> f64 {
    let x = axis(stage) + GAP;
    let count = |texts: &[String]| texts.iter().map(|text| lines_at(text, x).len()).sum::<usize>() as f64;
    let n = 1.0 + count(&stage.lines) + count(&stage.grounding);
    let circuits = count(&stage.circuits);
    (n * LEADING + 6.0).max(30.0) + circuits * LEADING + if 0.0 < circuits { 6.0 } else { 0.0 }
}

fn wire_room(stage: &Stage) -> f64 {
    let x = axis(stage) + 10.0;
    let wires = stage.wire.as_ref().map_or(&[] as &[String], |wire| &wire.lines);
    let n = wires.iter().map(|text| lines_at(text, x).len()).sum::<usize>() as f64;
    if stage.wire.is_some() { (n * LEADING + 12.0).max(24.0) } else { 0.0 }
}

fn axis(stage: &Stage) -> f64 {
    AXIS + INDENT * f64::from(stage.depth)
}

fn height_of(diagram: &OneLine) -> f64 {
    24.0 + diagram.stages.iter().map(|stage| room(stage) + wire_room(stage)).sum::<f64>() + 10.0
}

struct Draw {
    svg: Svg,
    y: f64,
}

impl Draw {
    fn words(&mut self, at: (f64, f64), size: f64, bold: bool, text: &str) {
        if text.is_empty() {
            return;
        }
        let weight = if bold { "700" } else { "400" };
        self.svg.text(
            "text",
            attrs![x = at.0, y = at.1, "font-size" = size, "font-weight" = weight, fill = INK],
            text,
        );
    }

    fn rule(&mut self, from: (f64, f64), to: (f64, f64), width: f64, planned: bool) {
        let dash = if planned { "4 3" } else { "none" };
        self.svg.empty(
            "line",
            attrs![
                x1 = from.0,
                y1 = from.1,
                x2 = to.0,
                y2 = to.1,
                stroke = INK,
                "stroke-width" = width,
                "stroke-dasharray" = dash
            ],
        );
    }

    /// Lines of text from `x` down, each as wide as the room allows.
    fn block(&mut self, x: f64, texts: &[String], lead: &str) {
        for text in texts {
            for line in lines_at(&format!("{lead}{text}"), x) {
                self.words((x, self.y), TEXT, false, &line);
                self.y += LEADING;
            }
        }
    }

    fn stage(&mut self, stage: &Stage, above: Option<&Stage>, follows: bool) {
        let x = axis(stage);
        if let Some(wire) = &stage.wire {
            let (from, room) = (self.y, wire_room(stage));
            let start = above.map_or(x, axis);
            if start < x {
                self.rule((start, from), (x, from), 1.2, wire.planned);
            }
            self.rule((x, from), (x, from + room), 1.2, wire.planned);
            self.y = from + LEADING + 2.0;
            self.block(x + 10.0, &wire.lines, "");
            self.y = from + room;
        }
        let (from, whole) = (self.y, room(stage));
        if follows {
            self.rule((x, from), (x, from + whole), 1.2, false);
        }
        self.symbol(stage, x, from);
        self.y = from + 9.0;
        self.words((x + GAP, self.y), TEXT + 0.6, true, &lines_at(&stage.title, x + GAP).join(" "));
        self.y += LEADING;
        self.block(x + GAP, &stage.lines, "");
        self.block(x + GAP, &stage.grounding, "ground: ");
        if !stage.circuits.is_empty() {
            self.y = self.y.max(from + 34.0);
            for text in &stage.circuits {
                let y = self.y - 2.8;
                self.rule((x, y), (x + GAP - 6.0, y), 0.7, false);
                // A breaker: a small open square on its branch.
                self.svg.empty(
                    "rect",
                    attrs![
                        x = x + 8.0,
                        y = y - 2.4,
                        width = 6.0,
                        height = 4.8,
                        fill = PAPER,
                        stroke = INK,
                        "stroke-width" = 0.8
                    ],
                );
                self.block(x + GAP, std::slice::from_ref(text), "");
            }
            self.rule((x, from + 26.0), (x, self.y - LEADING - 2.8), 2.4, false);
        }
        self.y = from + whole;
    }

    fn symbol(&mut self, stage: &Stage, x: f64, y: f64) {
        let dash = if stage.planned { "4 3" } else { "none" };
        let circle = |svg: &mut Svg, cy: f64, r: f64| {
            svg.empty(
                "circle",
                attrs![
                    cx = x,
                    cy = cy,
                    r = r,
                    fill = PAPER,
                    stroke = INK,
                    "stroke-width" = 1.2,
                    "stroke-dasharray" = dash
                ],
            );
        };
        let square = |svg: &mut Svg, height: f64| {
            svg.empty(
                "rect",
                attrs![
                    x = x - 13.0,
                    y = y,
                    width = 26.0,
                    height = height,
                    fill = PAPER,
                    stroke = INK,
                    "stroke-width" = 1.2,
                    "stroke-dasharray" = dash
                ],
            );
        };
        match stage.symbol {
            Symbol::Transformer => {
                circle(&mut self.svg, y + 8.0, 8.0);
                circle(&mut self.svg, y + 19.0, 8.0);
            }
            Symbol::Meter => {
                circle(&mut self.svg, y + 14.0, 12.0);
                self.words((x - 3.6, y + 17.0), 9.0, true, "M");
            }
            Symbol::Disconnect => {
                square(&mut self.svg, 28.0);
                self.rule((x, y), (x, y + 8.0), 1.2, false);
                self.rule((x, y + 20.0), (x - 7.0, y + 9.0), 1.2, false);
                self.rule((x, y + 20.0), (x, y + 28.0), 1.2, false);
            }
            Symbol::Panel => {
                square(&mut self.svg, 28.0);
                self.rule((x, y + 4.0), (x, y + 28.0), 2.4, false);
            }
        }
    }
}
