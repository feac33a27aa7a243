//! What is wired there: service, panels, sections, breakers, and each panel drawn.

use super::Record;
use crate::clean::clean;
use crate::drawing::{Audience, panel_figure, space_list};
use crate::number::{amperes, length, plain};
use crate::page::{Node, Table, heading, paragraph};
use crate::phrases::fill;
use crate::terms::{self, term};
use model::breaker::Breaker;
use model::conductor::Conductor;
use model::panel::{HalfWidth, Panel};

impl Record<'_> {
    pub(super) fn installation(&self) -> Vec<Node> {
        let w = self.words;
        let mut nodes = vec![heading(2, w.installation.clone()), heading(3, w.service.clone())];
        nodes.push(self.service());
        for panel in &self.job.installation.panels {
            let name = clean(panel.id.as_str());
            nodes.push(heading(3, fill(&w.panel, &[("panel", &name)])));
            nodes.push(self.panel(panel));
            if panel.lacks_single_main() {
                nodes.push(paragraph(w.no_single_main.clone()));
            }
            let figure = panel_figure(self.job, panel, Some(self.marks), Audience::Technician, self.phrases);
            let title = heading(3, fill(&w.drawing, &[("panel", &name)]));
            nodes.push(Node::Together { nodes: vec![title, Node::Figure(figure)] });
            nodes.extend(self.sections(panel).node());
            nodes.extend(self.breakers(panel).node());
        }
        nodes
    }

    fn service(&self) -> Node {
        let w = self.words;
        let service = &self.job.installation.service;
        let or = |value: Option<String>| value.unwrap_or_else(|| w.not_recorded.clone());
        let transformer = service.transformer_kva.map(|kva| {
            let impedance = service.transformer_impedance_pct.map(|pct| format!(", {} %", plain(pct, 2)));
            format!("{} kVA{}", plain(kva, 1), impedance.unwrap_or_default())
        });
        let run = |conductor: &Conductor, run: Option<model::Length>| {
            let mut text = self.conductor(conductor);
            if let Some(run) = run {
                text = if text.is_empty() { length(run) } else { format!("{text}, {}", length(run)) };
            }
            (!text.is_empty()).then_some(text)
        };
        let others: Vec<String> = service.other_sources.iter().map(|text| clean(text)).collect();
        self.pairs([
            (&w.rating, or(service.rating.map(amperes))),
            (&w.transformer, or(transformer)),
            (&w.path, or(service.path.map(|path| self.word("path", term::path(path)).to_owned()))),
            (&w.drop, or(run(&service.drop, service.drop_length))),
            (&w.entrance, or(run(&service.entrance, service.entrance_length))),
            (&w.electrode, or(service.electrode.map(|ohms| format!("{} Ω", plain(ohms.ohm(), 1))))),
            (&w.meter, or(service.meter.as_deref().map(clean))),
            (&w.other_sources, or((!others.is_empty()).then(|| others.join("; ")))),
        ])
    }

    fn panel(&self, panel: &Panel) -> Node {
        let w = self.words;
        let or = |value: Option<String>| value.unwrap_or_else(|| w.not_recorded.clone());
        let bus = [
            panel.bus.metal.map(|metal| self.word("metal", term::metal(metal)).to_owned()),
            panel.bus.plating.map(|plating| self.word("plating", term::plating(plating)).to_owned()),
            panel.bus.rating.map(amperes),
        ];
        let bus: Vec<String> = bus.into_iter().flatten().collect();
        let cabinet = &panel.cabinet;
        let size = [cabinet.width, cabinet.height, cabinet.depth]
            .map(|side| side.map_or_else(|| "?".to_owned(), |side| plain(side.inches(), 1)));
        let half_width = match &panel.half_width {
            HalfWidth::Nowhere => w.nowhere.clone(),
            HalfWidth::Everywhere => w.everywhere.clone(),
            HalfWidth::In(numbers) => numbers.iter().map(ToString::to_string).collect::<Vec<_>>().join(", "),
        };
        self.pairs([
            (&w.place, clean(&panel.place)),
            (&w.system, panel.system.label().to_owned()),
            (&w.spaces, panel.n_spaces.to_string()),
            (&w.columns, panel.n_columns.to_string()),
            (&w.first_leg, panel.first_leg.to_string()),
            (&w.bus, or((!bus.is_empty()).then(|| bus.join(", ")))),
            (
                &w.cabinet,
                format!(
                    "{} in, {}",
                    size.join(" × "),
                    self.word("mounting", term::mounting(cabinet.mounting))
                ),
            ),
            (&w.half_width, half_width),
            (&w.year, or(panel.year.map(|year| year.to_string()))),
            (&w.moisture, self.yes_no(panel.moisture).unwrap_or_else(|| w.not_looked.clone())),
        ])
    }

    fn yes_no(&self, value: Option<bool>) -> Option<String> {
        value.map(|value| if value { self.words.yes.clone() } else { self.words.no.clone() })
    }

    fn sections(&self, panel: &Panel) -> Table {
        let w = self.words;
        let mut table =
            Table::new(&[(&w.section, 1.4), (&w.rows, 1.0), (&w.fed_by, 3.5), (&w.conductor, 3.0)]);
        for section in &panel.sections {
            table.row([
                clean(section.id.as_str()),
                format!("{}–{}", u32::from(section.first_row) + 1, u32::from(section.last_row) + 1),
                terms::feed(self.phrases, &self.job.installation, &panel.id, &section.feed),
                self.conductor(&section.feeder),
            ]);
        }
        table
    }

    fn breakers(&self, panel: &Panel) -> Table {
        let w = self.words;
        let mut table = Table::new(&[
            (&w.spaces, 1.0),
            (&w.legs, 0.7),
            (&w.rating, 0.9),
            (&w.kind, 1.9),
            (&w.feeds, 2.8),
            (&w.conductor, 2.3),
            (&w.remarks, 2.6),
        ]);
        for breaker in &panel.breakers {
            let legs = breaker.spaces.iter().filter(|space| 0 < space.number);
            let legs: Vec<String> = legs.map(|&space| panel.leg_of(space).to_string()).collect();
            let kind = format!(
                "{}, {}",
                self.word("protection", term::protection(breaker.protection)),
                self.word("attachment", term::attachment(breaker.attachment))
            );
            let circuit = breaker.circuit.as_ref();
            table.row([
                space_list(&breaker.spaces),
                legs.join(""),
                amperes(breaker.rating),
                kind,
                self.feeds(panel, breaker),
                circuit.map(|circuit| self.conductor(&circuit.conductor)).unwrap_or_default(),
                self.breaker_remarks(breaker),
            ]);
        }
        table
    }

    fn feeds(&self, panel: &Panel, breaker: &Breaker) -> String {
        let Some(&first) = breaker.spaces.first() else { return String::new() };
        let slot = model::Slot::new(panel.id.clone(), first);
        let feeds = terms::feeds(self.phrases, &self.job.installation, &slot);
        let class = breaker.circuit.as_ref().and_then(|circuit| circuit.class);
        match class {
            Some(class) => format!("{feeds} ({})", self.word("load", class.word())),
            None => feeds,
        }
    }

    fn breaker_remarks(&self, breaker: &Breaker) -> String {
        let w = self.words;
        let mut parts = Vec::new();
        if let Some(circuit) = &breaker.circuit {
            parts.push(match circuit.uses_neutral {
                Some(true) => w.neutral_used.clone(),
                Some(false) => w.neutral_unused.clone(),
                None => w.neutral_unknown.clone(),
            });
            if let Some(partner) = circuit.partner {
                parts.push(fill(&w.partner, &[("space", &partner.to_string())]));
            }
            if circuit.doubled == Some(true) {
                parts.push(w.doubled.clone());
            }
        }
        match breaker.other_make {
            Some(true) => parts.push(w.other_make.clone()),
            Some(false) => {}
            None => parts.push(w.make_unread.clone()),
        }
        if breaker.later == Some(true) {
            parts.push(w.later.clone());
        }
        let handle = self.word("handle", term::handle(breaker.handle));
        parts.push(fill(&w.handle, &[("state", handle)]));
        parts.join(", ")
    }

    fn conductor(&self, conductor: &Conductor) -> String {
        let parts = [
            conductor.size.map(|size| size.to_string()),
            conductor.metal.map(|metal| self.word("metal", term::metal(metal)).to_owned()),
            conductor.insulation.as_deref().map(clean),
            conductor.free_length.map(length),
            conductor.entry.map(|entry| self.word("entry", term::entry(entry)).to_owned()),
        ];
        parts.into_iter().flatten().collect::<Vec<_>>().join(", ")
    }
}
