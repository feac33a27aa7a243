//! From the tree of a job file to facts, with the place in the text of everything they say.
//!
//! What could not be read has already been told by [`walk`]; here it is left out, and [`Doubt`] keeps the
//! checks from asking about what may stand in the part left out.

mod breaker;
mod course;
mod entry;
mod equipment;
mod install;
mod isolation;
pub(crate) mod moment;
mod offer;
mod plan;
mod premises;
mod readings;
mod replacement;
mod state;
pub(crate) mod walk;

use crate::fact::{Body, Fact};
use crate::limits;
use crate::problem::Problem;
use crate::source::Source;
use crate::text::{NotRead, Textual};
use crate::tree::{Key, Node, Value};
use entry::Entry;
pub(crate) use equipment::ONE_SECTION;
use jiff::civil::{Date, DateTime, Time};
use model::{FactId, PanelId};
use std::collections::BTreeSet;
use std::ops::Range;

/// A part of a fact: the name of its field and, for lists, the place in the list.
pub(crate) type Field = (&'static str, usize);

/// Where the parts of a fact stand in the text.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub(crate) struct Spans {
    pub(crate) whole: Range<usize>,
    pub(crate) fields: Vec<(Field, Range<usize>)>,
}

impl Spans {
    /// The place of a field; of the whole list where one of its items is not written, of the whole entry
    /// where nothing of it is.
    pub(crate) fn of(&self, field: Field) -> Range<usize> {
        let exact = self.fields.iter().find(|(mine, _)| *mine == field);
        let found = exact.or_else(|| self.fields.iter().find(|(mine, _)| *mine == (field.0, 0)));
        found.map_or(self.whole.clone(), |(_, span)| span.clone())
    }
}

/// A fact and where it stands.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Draft {
    pub(crate) fact: Fact,
    pub(crate) spans: Spans,
}

/// What the file may say where it could not be read.
#[derive(Debug, Clone, Default)]
pub(crate) struct Doubt {
    /// There may be other panels.
    pub(crate) panels: bool,
    /// Panels that are there but could not be read.
    pub(crate) blurred: BTreeSet<PanelId>,
    /// Panels that may have other breakers.
    pub(crate) breakers: BTreeSet<PanelId>,
    /// There may be other load states.
    pub(crate) states: bool,
    /// Ids of entries, read or not.
    pub(crate) ids: BTreeSet<FactId>,
    /// There may be other photos.
    pub(crate) photos: bool,
    /// The job's own entry could not be read.
    pub(crate) job: bool,
}

/// What was read.
#[derive(Debug)]
pub(crate) struct Decoded {
    pub(crate) drafts: Vec<Draft>,
    pub(crate) doubt: Doubt,
    pub(crate) problems: Vec<Problem>,
}

/// The panel meant where a text names none.
#[derive(Debug, Clone, PartialEq, Eq)]
enum Home {
    One(PanelId),
    Several,
    Unknown,
}

/// A kind of entry by its key, and what reads one. `None`: what is wrong with it has been told already.
type Kind<'a> = (&'static str, fn(&mut Decoder<'a>, &Entry<'_>) -> Option<()>);

/// A load state of the file, for readings to inherit from.
#[derive(Debug, Clone)]
struct StateHead {
    name: String,
    at: DateTime,
}

pub(crate) struct Decoder<'a> {
    source: &'a Source<'a>,
    problems: Vec<Problem>,
    home: Home,
    opened: Date,
    by: Option<String>,
    states: Vec<StateHead>,
    needs_as_found: bool,
    doubt: Doubt,
    drafts: Vec<Draft>,
    overflowed: bool,
}

/// Name of the state that is made where the file has none.
pub(crate) const AS_FOUND: &str = "as found";

/// Reads the facts out of the tree.
pub(crate) fn decode(source: &Source<'_>, root: &Node, torn: bool) -> Decoded {
    let mut decoder = Decoder {
        source,
        problems: Vec::new(),
        home: Home::Unknown,
        opened: Date::constant(2000, 1, 1),
        by: None,
        states: Vec::new(),
        needs_as_found: false,
        doubt: Doubt { panels: torn, states: torn, photos: torn, ..Doubt::default() },
        drafts: Vec::new(),
        overflowed: false,
    };
    decoder.collect_ids(root);
    decoder.job(root);
    decoder.equipment(root, torn);
    decoder.states(root);
    decoder.readings(root);
    decoder.course(root);
    decoder.premises(root);
    decoder.make_as_found();
    Decoded { drafts: decoder.drafts, doubt: decoder.doubt, problems: decoder.problems }
}

impl<'a> Decoder<'a> {
    /// Ids given anywhere, so that a pointer to an entry that could not be read is not called wrong as well.
    fn collect_ids(&mut self, node: &Node) {
        match &node.value {
            Value::Table(pairs) => {
                for (key, value) in pairs {
                    match &value.value {
                        Value::Text(text) if matches!(key.name.as_str(), "id" | "fact") => {
                            self.doubt.ids.insert(FactId::new(text.as_str()));
                        }
                        _ => self.collect_ids(value),
                    }
                }
            }
            Value::List(items) => items.iter().for_each(|item| self.collect_ids(item)),
            _ => {}
        }
    }

    /// Reads a text that may lean on the only panel of the job. `None` has been told of.
    fn located<T: Textual>(&mut self, node: &Node) -> Option<T> {
        let text = entry::as_text(node)?;
        self.located_text(&text, node.span.clone())
    }

    fn located_text<T: Textual>(&mut self, text: &str, span: Range<usize>) -> Option<T> {
        let home = match &self.home {
            Home::One(panel) => Some(panel),
            Home::Several | Home::Unknown => None,
        };
        match T::read(text, home) {
            Ok(thing) => Some(thing),
            Err(error @ NotRead::NoPanel { .. }) => {
                if self.home == Home::Several {
                    let problem = self.source.error("panel-needed", span, error.to_string(), error.hint());
                    self.problems.push(problem);
                }
                None
            }
            Err(NotRead::Form { .. }) => None,
        }
    }

    /// Keeps a fact. `fields` are the places of its parts beyond those that every entry has.
    fn keep(
        &mut self,
        entry: &Entry<'_>,
        at: DateTime,
        fields: Vec<(Field, Range<usize>)>,
        body: impl Into<Body>,
    ) {
        let by = entry.owned("by").or_else(|| self.by.clone());
        self.keep_by(entry, at, by, fields, body);
    }

    fn keep_by(
        &mut self,
        entry: &Entry<'_>,
        at: DateTime,
        by: Option<String>,
        fields: Vec<(Field, Range<usize>)>,
        body: impl Into<Body>,
    ) {
        if self.is_full() {
            return;
        }
        let supersedes: Vec<FactId> = entry
            .items("supersedes")
            .iter()
            .filter_map(entry::as_text)
            .filter_map(|text| FactId::read(&text, None).ok())
            .collect();
        let mut fact = Fact::new(at, by, supersedes, body.into());
        if let Some(id) = entry.text(entry.id_key()).and_then(|text| FactId::read(text, None).ok()) {
            fact.id.0 = id;
        }
        let mut spans = Spans { whole: entry.node().span.clone(), fields };
        for name in ["at", "by"] {
            if let Some(node) = entry.get(name) {
                spans.fields.push(((name, 0), node.span.clone()));
            }
        }
        if let Some(node) = entry.get(entry.id_key()) {
            spans.fields.push((("id", 0), node.span.clone()));
        }
        for (idx, item) in entry.items("supersedes").iter().enumerate() {
            spans.fields.push((("supersedes", idx), item.span.clone()));
        }
        self.drafts.push(Draft { fact, spans });
    }

    /// A fact that is not an entry of its own but a line in another.
    fn keep_line(&mut self, key: &Key, node: &Node, at: DateTime, by: Option<String>, body: impl Into<Body>) {
        if self.is_full() {
            return;
        }
        let fact = Fact::new(at, by, Vec::new(), body.into());
        let fields = vec![(("place", 0), key.span.clone()), (("value", 0), node.span.clone())];
        self.drafts.push(Draft { fact, spans: Spans { whole: key.span.clone(), fields } });
    }

    /// More facts than a job may have are told of once and not kept.
    fn is_full(&mut self) -> bool {
        let full = limits::FACTS_MAX <= self.drafts.len();
        if full && !self.overflowed {
            self.overflowed = true;
            let message = format!("the file has more than {} entries", limits::FACTS_MAX);
            let hint = "split the job if it really has more";
            self.problems.push(self.source.error("too-many", 0..0, message, hint));
        }
        full
    }

    /// Time of an entry. A time alone is on the day of `base`.
    fn at(&self, entry: &Entry<'_>, base: DateTime) -> DateTime {
        match entry.get("at").and_then(entry::as_moment) {
            Some(moment) => moment.on(base.date()),
            None => base,
        }
    }

    fn start(&self) -> DateTime {
        self.opened.to_datetime(Time::midnight())
    }
}
