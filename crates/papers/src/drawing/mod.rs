//! The panel as a drawing: true geometry of columns, rows, bus sections and what feeds them, with findings
//! marked by shape and pattern first and by a restrained colour second.

mod bands;
mod breakers;
mod glyph;
mod labels;
mod legend;
mod plan;
mod spoken;

use crate::mark::Marks;
use crate::page::Figure;
use crate::phrases::{Phrases, fill};
use crate::svg::{Attr, Svg, attrs};
pub(crate) use bands::space_list;
use model::assessment::Assessment;
use model::id::PanelId;
use model::job::Job;
use model::panel::Panel;
use plan::Plan;

/// Who reads the drawing.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Audience {
    /// The owner: few words, findings numbered.
    Owner,
    /// A technician: probabilities, temperatures and currents at each pole.
    Technician,
}

const INK: &str = "#1c2126";
const SOFT_INK: &str = "#565d63";
const LINE: &str = "#8b9298";
const PAPER: &str = "#ffffff";
const SHADE: &str = "#f1f3f4";
const FACE: &str = "Noto Sans, sans-serif";

/// One panel of a job as SVG text, with findings where a judgement is given.
///
/// The numbers of findings are those of the owner's letter. Groups of class `joint` carry the joint in
/// `data-joint`; on top lies one invisible rectangle of class `space` for each space, with its slot in
/// `data-slot`. A panel that the record does not hold gives a drawing that says so.
pub fn panel_svg(
    job: &Job,
    assessment: Option<&Assessment>,
    panel_id: &PanelId,
    audience: Audience,
) -> String {
    let phrases = Phrases::english();
    match job.installation.panel(panel_id) {
        Some(panel) => {
            let marks = assessment.map(Marks::of);
            let mut canvas = Canvas::new(job, panel, marks.as_ref(), audience, &phrases);
            canvas.touchable = true;
            canvas.draw()
        }
        None => missing(&phrases, panel_id),
    }
}

/// The drawing with its text form, for a paper.
pub(crate) fn panel_figure(
    job: &Job,
    panel: &Panel,
    marks: Option<&Marks>,
    audience: Audience,
    phrases: &Phrases,
) -> Figure {
    let canvas = Canvas::new(job, panel, marks, audience, phrases);
    let (width_pt, height_pt) = (canvas.plan.width, canvas.plan.height);
    Figure {
        alt: canvas.description(),
        lines: canvas.lines(),
        svg: canvas.draw(),
        caption: String::new(),
        width_pt,
        height_pt,
        max_height_pt: 640.0,
    }
}

fn missing(phrases: &Phrases, panel_id: &PanelId) -> String {
    let words = fill(&phrases.drawing.no_panel, &[("panel", &crate::clean::clean(panel_id.as_str()))]);
    let mut svg = Svg::default();
    svg.open("svg", &root(260.0, 40.0));
    svg.text("title", attrs![], &words);
    let line = crate::width::fit(&words, 8.0, 250.0);
    svg.text("text", attrs![x = 5.0, y = 24.0, "font-size" = 8.0, fill = INK], &line);
    svg.finish()
}

fn root(width: f64, height: f64) -> [Attr; 5] {
    let view = format!("0 0 {} {}", crate::number::plain(width, 2), crate::number::plain(height, 2));
    [
        ("xmlns", "http://www.w3.org/2000/svg".into()),
        ("viewBox", view.into()),
        ("role", "img".into()),
        ("font-family", FACE.into()),
        ("class", "panel-drawing".into()),
    ]
}

/// A drawing under construction.
pub(crate) struct Canvas<'a> {
    job: &'a Job,
    panel: &'a Panel,
    marks: Option<&'a Marks<'a>>,
    audience: Audience,
    phrases: &'a Phrases,
    plan: Plan,
    svg: Svg,
    /// With areas to choose a space by; paper needs none.
    touchable: bool,
}

/// Side to which a line of text is set.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Anchor {
    Start,
    Middle,
    End,
}

impl<'a> Canvas<'a> {
    fn new(
        job: &'a Job,
        panel: &'a Panel,
        marks: Option<&'a Marks<'a>>,
        audience: Audience,
        phrases: &'a Phrases,
    ) -> Self {
        let plan = Plan::of(panel, audience, marks.is_some());
        Canvas { job, panel, marks, audience, phrases, plan, svg: Svg::default(), touchable: false }
    }

    fn draw(mut self) -> String {
        let (width, height) = (self.plan.width, self.plan.height);
        self.svg.open("svg", &root(width, height));
        let title = self.title();
        self.svg.text("title", attrs![], &title);
        let description = self.description();
        self.svg.text("desc", attrs![], &description);
        glyph::patterns(&mut self.svg);
        if self.job.invented {
            let words = self.phrases.drawing.invented.clone();
            self.label((1.0, 5.6), 5.6, Anchor::Start, false, SOFT_INK, &words);
        }
        self.cabinet();
        self.bands();
        self.bars();
        self.spaces();
        self.neutral();
        if self.marks.is_some() {
            self.legend();
        }
        if self.touchable {
            self.touch_areas();
        }
        self.svg.finish()
    }

    fn title(&self) -> String {
        let template = if self.job.invented {
            &self.phrases.drawing.title_invented
        } else {
            &self.phrases.drawing.title
        };
        let (panel, place) = (self.clean(self.panel.id.as_str()), self.clean(&self.panel.place));
        fill(template, &[("panel", &panel), ("where", &place), ("n", &self.panel.n_spaces.to_string())])
    }

    fn cabinet(&mut self) {
        let (width, height) = (self.plan.width, self.plan.cabinet_height);
        self.svg.empty(
            "rect",
            attrs![
                x = 0.75,
                y = self.plan.top + 0.75,
                width = width - 1.5,
                height = height - 1.5,
                rx = 3.0,
                fill = PAPER,
                stroke = SOFT_INK,
                "stroke-width" = 1.5
            ],
        );
    }

    fn clean(&self, text: &str) -> String {
        crate::clean::clean(text)
    }

    fn is_owner(&self) -> bool {
        self.audience == Audience::Owner
    }

    /// One line of text; nothing is drawn for empty text.
    fn label(&mut self, at: (f64, f64), size: f64, anchor: Anchor, bold: bool, ink: &str, text: &str) {
        if text.is_empty() {
            return;
        }
        let anchor = match anchor {
            Anchor::Start => "start",
            Anchor::Middle => "middle",
            Anchor::End => "end",
        };
        let weight = if bold { "700" } else { "400" };
        self.svg.text(
            "text",
            attrs![
                x = at.0,
                y = at.1,
                "font-size" = size,
                "font-weight" = weight,
                "text-anchor" = anchor,
                fill = ink
            ],
            text,
        );
    }

    fn line(&mut self, from: (f64, f64), to: (f64, f64), width: f64, ink: &str) {
        self.svg.empty(
            "line",
            attrs![x1 = from.0, y1 = from.1, x2 = to.0, y2 = to.1, stroke = ink, "stroke-width" = width],
        );
    }
}
