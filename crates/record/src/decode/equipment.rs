//! Service, panels, sections and breakers out of the tree.

use super::entry::{Entry, as_count, as_text, versions};
use super::{Decoder, Home};
use crate::fact::{
    BusDescribed, CabinetDescribed, ConductorDescribed, FeedDescribed, HalfWidthDescribed, PanelDescribed,
    SectionDescribed, ServiceDescribed,
};
use crate::grammar::{FedBy, Main};
use crate::limits;
use crate::text::{AsText, Textual};
use crate::tree::{Node, Value};
use model::{Leg, PanelId, SectionId, Slot, System};

/// Name of the only section of a panel whose bus is not split.
pub(crate) const ONE_SECTION: &str = "bus";

/// Id of a panel that names none.
const ONLY_PANEL: &str = "main";

impl Decoder<'_> {
    pub(super) fn equipment(&mut self, root: &Node, torn: bool) {
        let nodes = root.get("panel").map_or(&[] as &[Node], |node| node.items());
        let ids: Vec<Option<PanelId>> = nodes
            .iter()
            .map(|node| Entry::named(node).read_or::<PanelId>("id", PanelId::new(ONLY_PANEL)))
            .collect();
        self.doubt.panels |= ids.is_empty()
            || ids.iter().any(Option::is_none)
            || root.get("panel").is_some_and(|node| node.items().is_empty());
        self.home = match ids.as_slice() {
            [] => Home::Unknown,
            [Some(only)] => Home::One(only.clone()),
            [None] => Home::Unknown,
            _ => Home::Several,
        };
        for node in versions(root, "service") {
            self.service(&Entry::new(node));
        }
        for (node, id) in nodes.iter().zip(ids) {
            let Some(id) = id else { continue };
            let entry = Entry::named(node);
            if torn {
                self.doubt.breakers.insert(id.clone());
            }
            if self.panel(&entry, &id).is_none() {
                self.doubt.blurred.insert(id.clone());
            }
            let at = self.at(&entry, self.start());
            let columns = if entry.count("columns") == Some(1) { 1 } else { 2 };
            for breaker in entry.items("breaker") {
                if self.breaker(&Entry::new(breaker), &id, at, columns).is_none() {
                    self.doubt.breakers.insert(id.clone());
                }
            }
            if entry.get("breaker").is_some_and(|node| !matches!(node.value, Value::List(_))) {
                self.doubt.breakers.insert(id.clone());
            }
        }
    }

    fn service(&mut self, entry: &Entry<'_>) {
        let body = ServiceDescribed {
            rating_a: entry.number("rating_a"),
            transformer_kva: entry.number("transformer_kva"),
            transformer_impedance_pct: entry.number("transformer_impedance_pct"),
            path: entry.read("path").map(AsText),
            drop: conductor(entry, "drop"),
            drop_length: entry.length("drop_length"),
            entrance: conductor(entry, "entrance"),
            entrance_length: entry.length("entrance_length"),
            electrode_ohm: entry.number("electrode_ohm"),
            meter: entry.owned("meter"),
            other_sources: entry.items("other_sources").iter().filter_map(as_text).collect(),
        };
        let at = self.at(entry, self.start());
        let mut fields = entry.fields(&[
            ("rating_a", &["rating_a"]),
            ("transformer_kva", &["transformer_kva"]),
            ("transformer_impedance_pct", &["transformer_impedance_pct"]),
            ("electrode_ohm", &["electrode_ohm"]),
            ("drop_length", &["drop_length_ft", "drop_length_m"]),
            ("entrance_length", &["entrance_length_ft", "entrance_length_m"]),
        ]);
        fields.extend(conductor_field(entry, "drop", "drop"));
        fields.extend(conductor_field(entry, "entrance", "entrance"));
        self.keep(entry, at, fields, Box::new(body));
    }

    fn panel(&mut self, entry: &Entry<'_>, id: &PanelId) -> Option<()> {
        let spaces =
            u16::try_from(entry.count("spaces")?).ok().filter(|n| 0 < *n && *n <= limits::SPACES_MAX)?;
        let columns = match entry.get("columns") {
            None => 2,
            Some(node) => as_count(node).filter(|n| (1..=2).contains(n))? as u8,
        };
        let system = entry.read_or("system", System::SplitPhase)?;
        let first_leg = entry.read_or("first_leg", Leg::A)?;
        let n_rows = spaces.div_ceil(u16::from(columns));
        let sections = self.sections(entry, id, n_rows, columns)?;
        let bus = entry.get("bus").map(Entry::new);
        let cabinet = entry.get("cabinet").map(Entry::new);
        let body = PanelDescribed {
            panel: AsText(id.clone()),
            place: entry.words("place"),
            system: AsText(system),
            spaces,
            columns,
            first_leg: AsText(first_leg),
            bus: bus.map(|bus| bus_of(&bus)).unwrap_or_default(),
            cabinet: cabinet.map(|cabinet| cabinet_of(&cabinet)).unwrap_or_default(),
            half_width: entry.get("half_width").and_then(half_width),
            year: entry.count("year").and_then(|year| i16::try_from(year).ok()),
            moisture: entry.flag("moisture"),
            sections,
        };
        let at = self.at(entry, self.start());
        let mut fields = entry.fields(&[
            ("panel", &["id"]),
            ("spaces", &["spaces"]),
            ("columns", &["columns"]),
            ("system", &["system"]),
            ("first_leg", &["first_leg"]),
            ("half_width", &["half_width"]),
            ("year", &["year"]),
        ]);
        for (name, table) in [("bus_rating", bus), ("cabinet", cabinet)] {
            if let Some(table) = table {
                let key = if name == "bus_rating" { table.get("rating_a") } else { Some(table.node()) };
                fields.extend(key.map(|node| ((name, 0), node.span.clone())));
            }
        }
        let sections = entry.items("section");
        for (idx, section) in sections.iter().enumerate() {
            let section = Entry::new(section);
            let rows = section.get("rows").or_else(|| section.get("spaces")).unwrap_or(section.node());
            fields.push((("rows", idx), rows.span.clone()));
            fields.push((("feed", idx), section.get("fed_by").unwrap_or(section.node()).span.clone()));
            fields.push((("main_a", idx), section.get("main_a").unwrap_or(section.node()).span.clone()));
            fields.push((("section_id", idx), section.get("id").unwrap_or(section.node()).span.clone()));
            fields.extend(section.get("feeder").map(|node| (("feeder", idx), node.span.clone())));
        }
        if sections.is_empty() {
            let feed = entry.get("fed_by").or_else(|| entry.get("main")).unwrap_or(entry.node());
            fields.push((("feed", 0), feed.span.clone()));
            fields.extend(entry.get("main_a").map(|node| (("main_a", 0), node.span.clone())));
            fields.extend(entry.get("feeder").map(|node| (("feeder", 0), node.span.clone())));
        }
        self.keep(entry, at, fields, Box::new(body));
        Some(())
    }

    /// The sections of a panel, or `None` with the reason told.
    fn sections(
        &mut self,
        entry: &Entry<'_>,
        id: &PanelId,
        n_rows: u16,
        columns: u8,
    ) -> Option<Vec<SectionDescribed>> {
        let main: Main = entry.read("main")?;
        let main_span = entry.get("main").map_or(entry.node().span.clone(), |node| node.span.clone());
        let nodes = entry.items("section");
        let mut good = true;
        let mut tell = |decoder: &mut Self, code, span, message: String, hint: &str| {
            let problem = decoder.source.error(code, span, message, hint);
            decoder.problems.push(problem);
            good = false;
        };
        let told = |key: &str| entry.get(key).map(|node| node.span.clone());
        match (main, told("main_a")) {
            (Main::Breaker, None) if entry.get("section").is_none() => tell(
                self,
                "missing-key",
                main_span.clone(),
                format!("panel {id} has a main breaker without a rating"),
                "add `main_a = 100`, the rating on its handle",
            ),
            (Main::Lugs | Main::Split | Main::Feeder, Some(span)) => tell(
                self,
                "key-does-not-fit",
                span,
                format!("`main_a` does not fit `main = \"{}\"`", main.write()),
                "`main_a` is the rating of the one main breaker: write `main = \"breaker\"`, or leave it out",
            ),
            _ => {}
        }
        match (main, told("fed_by")) {
            (Main::Feeder, None) => tell(
                self,
                "missing-key",
                main_span.clone(),
                format!("panel {id} is fed by a breaker, but the file does not say which"),
                "add `fed_by = \"main/6\"`: the first space of the breaker that feeds it, with its panel",
            ),
            (Main::Breaker | Main::Lugs | Main::Split, Some(span)) => tell(
                self,
                "key-does-not-fit",
                span,
                format!("`fed_by` does not fit `main = \"{}\"`", main.write()),
                "write `main = \"feeder\"` for a sub-panel; a section of a split bus has a `fed_by` of its own",
            ),
            _ => {}
        }
        match (main, nodes.first()) {
            (Main::Split, None) => tell(
                self,
                "split-without-sections",
                main_span,
                format!("panel {id} has a split bus, but no section is described"),
                "add `[[panel.section]]` with `id`, `rows` and `fed_by`, the upper one first",
            ),
            (Main::Breaker | Main::Lugs | Main::Feeder, Some(first)) => tell(
                self,
                "key-does-not-fit",
                first.span.clone(),
                format!("sections do not fit `main = \"{}\"`", main.write()),
                "write `main = \"split\"` for a bus of several sections, each with its own `fed_by`",
            ),
            _ => {}
        }
        if !good {
            return None;
        }
        let feeder = conductor(entry, "feeder");
        let one = |feed| {
            let rows = [1, n_rows];
            let id = AsText(SectionId::new(ONE_SECTION));
            Some(vec![SectionDescribed { id, rows, feed, feeder }])
        };
        match main {
            Main::Lugs => one(FeedDescribed::Lugs),
            Main::Breaker => one(FeedDescribed::MainBreaker { rating_a: entry.number("main_a")? }),
            Main::Feeder => {
                let slot = self.located::<Slot>(entry.get("fed_by")?)?;
                one(FeedDescribed::Breaker(AsText(slot)))
            }
            Main::Split => {
                let read: Vec<Option<SectionDescribed>> =
                    nodes.iter().map(|node| self.section(&Entry::new(node), id, columns)).collect();
                read.into_iter().collect()
            }
        }
    }

    fn section(&mut self, entry: &Entry<'_>, panel: &PanelId, columns: u8) -> Option<SectionDescribed> {
        let id: SectionId = entry.read("id")?;
        // A bare space means the panel that the section is in.
        let text = as_text(entry.get("fed_by")?)?;
        let feed = match FedBy::read(&text, Some(panel)).ok()? {
            FedBy::Lugs => FeedDescribed::Lugs,
            FedBy::Breaker(slot) => FeedDescribed::Breaker(AsText(slot)),
            FedBy::MainBreaker => match entry.number("main_a") {
                Some(rating_a) => FeedDescribed::MainBreaker { rating_a },
                None => {
                    if entry.get("main_a").is_none() {
                        let span = entry.get("fed_by")?.span.clone();
                        let message = format!("section {id} has a main breaker without a rating");
                        let hint = "add `main_a = 100`, the rating on its handle";
                        let problem = self.source.error("missing-key", span, message, hint);
                        self.problems.push(problem);
                    }
                    return None;
                }
            },
        };
        let rows = match (entry.get("rows"), entry.get("spaces")) {
            (Some(node), _) => first_last(node)?,
            (None, Some(node)) => {
                let [first, last] = first_last(node)?;
                self.rows_of_spaces(node, first, last, columns)?
            }
            (None, None) => return None,
        };
        Some(SectionDescribed { id: AsText(id), rows, feed, feeder: conductor(entry, "feeder") })
    }

    /// Rows of a run of spaces, which must fill its rows.
    fn rows_of_spaces(&mut self, node: &Node, first: u16, last: u16, columns: u8) -> Option<[u16; 2]> {
        let columns = u16::from(columns);
        if (first - 1).is_multiple_of(columns) && last.is_multiple_of(columns) {
            return Some([(first - 1) / columns + 1, last / columns]);
        }
        let (from, to) = (first - (first - 1) % columns, last.div_ceil(columns) * columns);
        let message = format!("spaces {first} to {last} do not fill whole rows");
        let hint = format!("a section ends at the end of a row, for example `spaces = [{from}, {to}]`");
        let problem = self.source.error("section-rows", node.span.clone(), message, hint);
        self.problems.push(problem);
        None
    }
}

fn first_last(node: &Node) -> Option<[u16; 2]> {
    let numbers: Vec<u16> = node
        .items()
        .iter()
        .map(|item| as_count(item).and_then(|n| u16::try_from(n).ok()))
        .collect::<Option<_>>()?;
    match numbers.as_slice() {
        &[first, last] if 1 <= first && first <= last && last <= limits::SPACES_MAX => Some([first, last]),
        _ => None,
    }
}

pub(super) fn half_width(node: &Node) -> Option<HalfWidthDescribed> {
    match &node.value {
        Value::Text(text) if text == "everywhere" => Some(HalfWidthDescribed::Everywhere),
        Value::List(items) => {
            let numbers = items
                .iter()
                .map(|item| as_count(item).and_then(|n| u16::try_from(n).ok()))
                .collect::<Option<_>>();
            numbers.map(HalfWidthDescribed::In)
        }
        _ => None,
    }
}

fn bus_of(entry: &Entry<'_>) -> BusDescribed {
    BusDescribed {
        metal: entry.read("metal").map(AsText),
        plating: entry.read("plating").map(AsText),
        rating_a: entry.number("rating_a"),
    }
}

pub(super) fn cabinet_of(entry: &Entry<'_>) -> CabinetDescribed {
    CabinetDescribed {
        width: entry.length("width"),
        height: entry.length("height"),
        depth: entry.length("depth"),
        mounting: entry.read("mounting").map(AsText),
    }
}

pub(super) fn conductor(entry: &Entry<'_>, key: &str) -> ConductorDescribed {
    let Some(entry) = entry.get(key).map(Entry::new) else { return ConductorDescribed::default() };
    ConductorDescribed {
        size: entry.read("size").map(AsText),
        metal: entry.read("metal").map(AsText),
        insulation: entry.owned("insulation"),
        free_length: entry.length("free_length"),
        entry: entry.read("entry").map(AsText),
        entry_down: entry.length("entry_down"),
        colour: entry.owned("colour"),
    }
}

/// Place of the free length of a conductor, the only part of it that a check asks about.
pub(super) fn conductor_field(
    entry: &Entry<'_>,
    key: &str,
    field: &'static str,
) -> Option<(super::Field, std::ops::Range<usize>)> {
    let conductor = Entry::new(entry.get(key)?);
    let node = conductor.get("free_length_in").or_else(|| conductor.get("free_length_mm"));
    Some(((field, 0), node.unwrap_or(conductor.node()).span.clone()))
}
