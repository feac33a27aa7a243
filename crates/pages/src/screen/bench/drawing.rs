//! The panel as a drawing for a screen: true rows, columns, legs and sections, every space a link that a thumb can
//! hit, marks of conditions by shape first. The drawing of the papers is made elsewhere.

use super::glyph::{fit, glyph, mark_words};
use crate::context::JobView;
use crate::entry::standing::Standing;
use crate::entry::words::{feeds, space_route, with_query};
use crate::route::Route;
use maud::{Markup, PreEscaped, html};
use model::breaker::{Breaker, Handle};
use model::evidence::ClampPlace;
use model::installation::Installation;
use model::joint::JointId;
use model::panel::{Column, Feed, Panel};
use model::place::Place;
use model::{Half, Leg, Slot, Space};
use record::Body;
use record::fact::TemperatureAs;
use study::{Mark, Marks};

/// Width of the drawing: that of a small phone less its margins, so that one unit is one CSS pixel there.
const WIDTH: f64 = 328.0;
/// Between the cabinet and the breakers.
const EDGE: f64 = 6.0;
/// Between the columns: bus bars and leg letters.
const BUS: f64 = 44.0;
/// Height of a space: a thumb's.
const ROW: f64 = 56.0;
/// Room between two spaces.
const GAP: f64 = 4.0;
/// Height of the band above a section and of the neutral's.
const BAND: f64 = 74.0;
/// Least height of what is tapped.
const TARGET: f64 = 48.0;

/// Where a space lies.
#[derive(Debug, Clone, Copy)]
struct Area {
    x: f64,
    y: f64,
    width: f64,
    height: f64,
}

struct Drawing<'a> {
    view: &'a JobView,
    installation: &'a Installation,
    panel: &'a Panel,
    marks: Option<&'a Marks<'a>>,
    standing: &'a Standing<'a>,
    state: &'a str,
    /// Top of each row, and its height.
    rows: Vec<(f64, f64)>,
    /// Sections by index with the top of their band.
    bands: Vec<(usize, f64)>,
    height: f64,
}

/// The drawing; `state` is the load state that links carry on, empty where none was chosen.
pub(super) fn drawing<'a>(
    view: &'a JobView,
    installation: &'a Installation,
    panel: &'a Panel,
    marks: Option<&'a Marks<'a>>,
    standing: &'a Standing<'a>,
    state: &'a str,
) -> Markup {
    let (mut rows, mut bands) = (Vec::new(), Vec::new());
    let mut y = 4.0;
    for row in 0..panel.n_rows() {
        if let Some(idx) = panel.sections.iter().position(|section| section.first_row == row) {
            bands.push((idx, y));
            y += BAND;
        }
        let halved = panel
            .breakers
            .iter()
            .flat_map(|breaker| &breaker.spaces)
            .any(|space| space.half.is_some() && 0 < space.number && panel.row_of(*space) == row);
        let height = if halved { 2.0 * ROW } else { ROW };
        rows.push((y, height));
        y += height;
    }
    let drawing =
        Drawing { view, installation, panel, marks, standing, state, rows, bands, height: y + BAND + 4.0 };
    drawing.draw()
}

impl Drawing<'_> {
    fn draw(&self) -> Markup {
        let view_box = format!("0 0 {WIDTH} {}", self.height);
        let label = format!("Panel {}, {} spaces", self.panel.id, self.panel.n_spaces);
        html! {
            svg.bench-drawing viewBox=(view_box) role="group" aria-label=(label) {
                (PreEscaped(self.backdrop()))
                @for &(idx, y) in &self.bands { (self.band(idx, y)) }
                @for row in 0..self.panel.n_rows() { (self.row(row)) }
                (self.neutral())
            }
        }
    }

    fn two_columns(&self) -> bool {
        1 < self.panel.n_columns
    }

    fn column(&self, column: Column) -> (f64, f64) {
        if !self.two_columns() {
            return (EDGE, WIDTH - BUS - 2.0 * EDGE);
        }
        let width = (WIDTH - BUS) / 2.0 - EDGE;
        match column {
            Column::Left => (EDGE, width),
            Column::Right => (WIDTH - EDGE - width, width),
        }
    }

    fn bar_x(&self, leg: Leg) -> f64 {
        let legs = self.panel.system.legs();
        let idx = legs.iter().position(|one| *one == leg).unwrap_or(0) as f64;
        let middle = if self.two_columns() { WIDTH / 2.0 } else { WIDTH - EDGE - BUS / 2.0 };
        middle + (idx - (legs.len() as f64 - 1.0) / 2.0) * 13.0
    }

    fn area(&self, space: Space) -> Option<Area> {
        if space.number < 1 {
            return None;
        }
        let (x, width) = self.column(self.panel.column_of(space));
        let &(y, height) = self.rows.get(usize::from(self.panel.row_of(space)))?;
        Some(match space.half {
            None => Area { x, y, width, height: height - GAP },
            Some(Half::Upper) => Area { x, y, width, height: height / 2.0 - GAP },
            Some(Half::Lower) => Area { x, y: y + height / 2.0, width, height: height / 2.0 - GAP },
        })
    }

    /// Cabinet, bus bars and the fingers that both columns of a row clip to.
    fn backdrop(&self) -> String {
        let mut out = format!(
            r#"<rect x="0.75" y="0.75" width="{}" height="{}" rx="5" fill="var(--wash)" stroke="var(--line)" stroke-width="1.5"/>"#,
            WIDTH - 1.5,
            self.height - 1.5
        );
        for section in &self.panel.sections {
            let (Some(&(top, _)), Some(&(bottom, height))) = (
                self.rows.get(usize::from(section.first_row)),
                self.rows.get(usize::from(section.last_row.min(self.panel.n_rows().saturating_sub(1)))),
            ) else {
                continue;
            };
            for &leg in self.panel.system.legs() {
                let x = self.bar_x(leg);
                out.push_str(&format!(
                    r#"<line x1="{x}" y1="{}" x2="{x}" y2="{}" stroke="var(--line)" stroke-width="4"/>"#,
                    top - 14.0,
                    bottom + height - GAP
                ));
            }
        }
        for row in 0..self.panel.n_rows() {
            let Some(&(y, height)) = self.rows.get(usize::from(row)) else { continue };
            let middle = y + (height - GAP) / 2.0;
            let leg = self.panel.leg_of_row(row);
            let bar = self.bar_x(leg);
            let (left, width) = self.column(Column::Left);
            let from = left + width;
            let has_right =
                self.two_columns() && self.panel.number_at(row, Column::Right) <= self.panel.n_spaces;
            let to = if has_right { self.column(Column::Right).0 } else { bar };
            out.push_str(&format!(
                r#"<line x1="{from}" y1="{middle}" x2="{to}" y2="{middle}" stroke="var(--line)" stroke-width="3"/><circle cx="{bar}" cy="{middle}" r="8" fill="var(--sheet)" stroke="var(--line)" stroke-width="1.5"/><text x="{bar}" y="{}" font-size="11" font-weight="700" text-anchor="middle" fill="var(--ink)">{leg}</text>"#,
                middle + 4.0
            ));
        }
        out
    }

    /// What feeds a section, with its joints.
    fn band(&self, idx: usize, y: f64) -> Markup {
        let section = &self.panel.sections[idx];
        let panel = &self.panel.id;
        let (service, feed) = match &section.feed {
            Feed::ServiceLugs => (true, "line lugs, no main".to_owned()),
            Feed::MainBreaker { rating } => (true, format!("main breaker {} A", rating.a())),
            Feed::Breaker { slot } => {
                let from =
                    if slot.panel == *panel { String::new() } else { format!("panel {}, ", slot.panel) };
                let breaker = self.installation.breaker_at(slot);
                let spaces =
                    breaker.map(study::words::spaces_label).unwrap_or_else(|| slot.space.to_string());
                let rating = breaker.map(|breaker| format!(", {} A", breaker.rating.a())).unwrap_or_default();
                (false, format!("fed by {from}{spaces}{rating}"))
            }
        };
        let mut joints: Vec<(JointId, String)> = Vec::new();
        for &leg in self.panel.system.legs() {
            if service {
                joints.push((JointId::Lug(panel.clone(), leg), format!("Lug {leg}")));
            }
            if !matches!(section.feed, Feed::ServiceLugs) {
                joints.push((JointId::Feeder(panel.clone(), section.id.clone(), leg), format!("Feed {leg}")));
            }
        }
        let name =
            if 1 < self.panel.sections.len() { format!("Section {}: ", section.id) } else { String::new() };
        let width = (WIDTH - 2.0 * EDGE) / joints.len().max(1) as f64;
        html! {
            text x=(EDGE + 2.0) y=(y + 14.0) font-size="12.5" fill="var(--ink)" { (fit(&format!("{name}{feed}"), 12.5, WIDTH - 20.0)) }
            @for (at, (id, words)) in joints.iter().enumerate() {
                @let area = Area { x: EDGE + at as f64 * width, y: y + 20.0, width: width - GAP, height: TARGET };
                (self.joint(id, words, area))
            }
        }
    }

    fn neutral(&self) -> Markup {
        let y = self.height - BAND;
        let id = JointId::NeutralLug(self.panel.id.clone());
        html! {
            text x=(EDGE + 2.0) y=(y + 13.0) font-size="12.5" fill="var(--ink)" { "Neutral bar" }
            (self.joint(&id, "Neutral lug", Area { x: EDGE, y: y + 19.0, width: WIDTH - 2.0 * EDGE, height: TARGET }))
        }
    }

    /// A joint that belongs to no pole, as a link with its mark.
    fn joint(&self, id: &JointId, words: &str, area: Area) -> Markup {
        let mark = self.marks.and_then(|marks| marks.mark(id));
        let said = mark.map(|mark| format!(": {}", mark_words(mark))).unwrap_or_default();
        let href = Route::Joint(self.view.name.clone(), id.to_string());
        let middle = area.y + area.height / 2.0;
        html! {
            a href=(href) aria-label=(format!("{words}{said}")) {
                rect x=(area.x) y=(area.y) width=(area.width) height=(area.height) rx="3" fill="var(--sheet)" stroke="var(--rule)" {}
                text x=(area.x + 26.0) y=(middle + 4.5) font-size="12.5" fill="var(--ink)" { (words) }
                @if let Some(mark) = mark { (PreEscaped(glyph(mark, area.x + 13.0, middle))) }
            }
        }
    }

    fn row(&self, row: u16) -> Markup {
        let columns: &[Column] =
            if self.two_columns() { &[Column::Left, Column::Right] } else { &[Column::Left] };
        html! {
            @for &column in columns {
                @let number = self.panel.number_at(row, column);
                @if number <= self.panel.n_spaces { (self.spaces(number)) }
            }
        }
    }

    /// The space with a number, or its halves.
    fn spaces(&self, number: u16) -> Markup {
        let whole = Space::whole(number);
        let mut places: Vec<Space> = self
            .panel
            .breakers
            .iter()
            .flat_map(|breaker| breaker.spaces.iter().copied())
            .filter(|space| space.overlaps(whole))
            .collect();
        places.sort();
        places.dedup();
        if places.is_empty() {
            places.push(whole);
        }
        html! { @for space in places { (self.space(space)) } }
    }

    fn space(&self, space: Space) -> Markup {
        let Some(area) = self.area(space) else { return Markup::default() };
        let slot = Slot::new(self.panel.id.clone(), space);
        let breaker = self.panel.breaker_at(space);
        let stab = self.mark(&JointId::Stab(slot.clone()));
        let terminal = self.mark(&JointId::Terminal(slot.clone()));
        let worst = [stab, terminal].into_iter().flatten().min();
        let href = with_query(&space_route(self.view, &slot), &[("state", self.state)]);
        let label = self.label(&slot, breaker, stab, terminal);
        let heavy = worst.is_some_and(Mark::is_finding);
        let right = self.two_columns() && self.panel.column_of(space) == Column::Right;
        let mark_x = if right { area.x + 13.0 } else { area.x + area.width - 13.0 };
        let (text_x, room) =
            if right { (area.x + 26.0, area.width - 32.0) } else { (area.x + 7.0, area.width - 32.0) };
        let middle = area.y + area.height / 2.0;
        let first = breaker.is_none_or(|breaker| breaker.spaces.first() == Some(&space));
        // Poles of one breaker touch; breakers do not.
        let joined = breaker.is_some_and(|breaker| {
            let below = breaker.spaces.iter().filter_map(|&other| self.area(other));
            below.into_iter().any(|other| {
                other.x == area.x && area.y < other.y && other.y < area.y + area.height + 2.0 * GAP
            })
        });
        let body_height = if joined { area.height + GAP } else { area.height };
        html! {
            a href=(href) data-slot=(slot) {
                title { (label) }
                rect.space x=(area.x) y=(area.y) width=(area.width) height=(body_height) rx="3"
                    fill=(if breaker.is_some() { "var(--sheet)" } else { "none" })
                    stroke=(if heavy { "var(--ink)" } else { "var(--line)" })
                    stroke-width=(if heavy { "3" } else { "1.2" })
                    stroke-dasharray=[breaker.is_none().then_some("4 4")] {}
                // Its name says all of this in whole words.
                g aria-hidden="true" {
                    text x=(text_x) y=(area.y + 17.0) font-size="15" font-weight="700" fill="var(--ink)" { (space) }
                    @match breaker {
                        None => {
                            text x=(text_x) y=(area.y + 35.0) font-size="12.5" fill="var(--soft)" { "empty" }
                        }
                        Some(breaker) => {
                            @let offset = 9.5 * space.to_string().len() as f64 + 6.0;
                            text x=(text_x + offset) y=(area.y + 17.0) font-size="12.5" fill="var(--ink)" {
                                @if first { (breaker.rating.a()) " A" (handle_words(breaker.handle)) }
                                @else { "with " (breaker.spaces[0]) }
                            }
                            @if first {
                                text x=(text_x) y=(area.y + 32.5) font-size="12.5" fill="var(--ink)" {
                                    (fit(&feeds(Some(self.installation), &slot), 12.5, room))
                                }
                            }
                            text x=(text_x) y=(area.y + 46.5) font-size="11.5" fill="var(--soft)" { (fit(&self.readings(&slot), 11.5, room)) }
                            @if let Some(mark) = stab { (PreEscaped(glyph(mark, mark_x, middle))) }
                            @if let Some(mark) = terminal.filter(|mark| mark.is_finding()) {
                                (PreEscaped(glyph(mark, if right { area.x + area.width - 11.0 } else { area.x + area.width - 34.0 }, area.y + 12.0)))
                            }
                        }
                    }
                }
            }
        }
    }

    fn mark(&self, id: &JointId) -> Option<Mark> {
        self.marks?.mark(id)
    }

    /// What a screen reader says of a space.
    fn label(
        &self,
        slot: &Slot,
        breaker: Option<&Breaker>,
        stab: Option<Mark>,
        terminal: Option<Mark>,
    ) -> String {
        let mut out = format!("Space {}", slot.space);
        match breaker {
            None => out.push_str(", empty"),
            Some(breaker) => {
                out.push_str(&format!(
                    ", {} A, {}",
                    breaker.rating.a(),
                    feeds(Some(self.installation), slot)
                ));
                out.push_str(handle_words(breaker.handle));
            }
        }
        if let Some(mark) = stab {
            out.push_str(&format!(", stab {}", mark_words(mark)));
        }
        if let Some(mark) = terminal.filter(|mark| mark.is_finding()) {
            out.push_str(&format!(", terminal {}", mark_words(mark)));
        }
        let readings = self.readings(slot);
        if !readings.is_empty() {
            out.push_str(&format!(", {readings}"));
        }
        out
    }

    /// Latest face temperature of a pole, and its current in the same load state.
    fn readings(&self, slot: &Slot) -> String {
        let latest = || self.standing.live.iter().rev();
        let face = latest().find_map(|fact| match &fact.body {
            Body::Temperature(body) if matches!(&body.place.0, Place::Face(face) if face == slot) => {
                Some((body.value, body.state.as_str()))
            }
            _ => None,
        });
        let amps = latest().find_map(|fact| match &fact.body {
            Body::Clamp(body) if face.is_none_or(|(_, state)| state == body.state) => {
                matches!(&body.place.0, ClampPlace::Pole(pole) if pole == slot).then_some(body.amps)
            }
            _ => None,
        });
        let mut parts = Vec::new();
        parts.extend(face.map(|(face, _)| match face {
            TemperatureAs::C(value) => format!("{value:.0} °C"),
            TemperatureAs::F(value) => format!("{value:.0} °F"),
        }));
        parts.extend(amps.map(|amps| format!("{amps} A")));
        parts.join(" · ")
    }
}

fn handle_words(handle: Handle) -> &'static str {
    match handle {
        Handle::On => "",
        Handle::Off => ", off",
        Handle::Tripped => ", tripped",
    }
}
