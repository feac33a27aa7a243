//! A shop with one job, held in memory: what is entered is appended, and the pages are made from it.

use crate::html::{Form, forms};
use jiff::civil::{DateTime, date};
use pages::{Context, Entry, Fields, JobView, Judged, Light, Refusal, Route, Viewer};
use record::{Body, Fact};

/// The invented case of the demonstration.
pub(crate) const CASE: &str = include_str!("../../../../cases/1-burnt-stabs.toml");

#[derive(Debug, Clone)]
pub(crate) struct Shop {
    pub(crate) view: JobView,
    now: DateTime,
    n_entries: usize,
}

pub(crate) fn fields(pairs: &[(String, String)]) -> Fields {
    Fields::from_pairs(pairs.iter().cloned())
}

impl Shop {
    /// A shop with this job.
    pub(crate) fn of(facts: Vec<Fact>) -> Self {
        let settled = record::settle(&facts, None);
        let name = settled.job.as_ref().map(|job| job.id.clone()).unwrap_or_default();
        let view = JobView { name, facts, settled, revision: 1, judged: Judged::Waiting };
        Shop { view, now: date(2025, 11, 18).at(9, 0, 0, 0), n_entries: 0 }
    }

    /// The shop with the invented case.
    pub(crate) fn demo() -> Self {
        let reading = record::read_job("case", CASE, date(2026, 1, 1));
        assert!(!reading.facts.is_empty(), "{:?}", reading.problems);
        Shop::of(reading.facts)
    }

    /// A shop where the telephone just rang.
    pub(crate) fn fresh() -> Self {
        let mut shop = Shop::of(Vec::new());
        let form = shop.form(&Route::New, "", "/new");
        shop.send(&form.with(&[
            ("words", "It smells."),
            ("of", "smell"),
            ("place", "3 Withy Lane"),
            ("job", "J-1"),
        ]));
        shop
    }

    pub(crate) fn page(&self, route: &Route, query: &str) -> String {
        let entry = format!("entry{}", self.n_entries);
        pages::show(route, &fields(&pairs_of(query)), &self.cx(&entry)).html
    }

    fn cx<'a>(&'a self, entry: &'a str) -> Context<'a> {
        Context {
            now: self.now,
            viewer: Viewer { name: "electrician" },
            light: Light::Day,
            csrf: "token",
            entry,
            jobs: &[],
            job: (!self.view.name.is_empty()).then_some(&self.view),
            devices: &[],
            invitation: None,
            board: &[],
            policy: policy(),
            book: book(),
            policy_text: pages::PolicyText { text: study::Policy::standard_text(), ..Default::default() },
            shop: invented_shop(),
        }
    }

    /// The only form of a page that goes there.
    pub(crate) fn form(&self, route: &Route, query: &str, action: &str) -> Form {
        let html = self.page(route, query);
        forms(&html).into_iter().rfind(|form| form.action == action).expect(action)
    }

    /// Sends a form; the next one comes a minute later.
    pub(crate) fn try_send(&mut self, form: &Form) -> Result<Entry, Refusal> {
        let route = Route::of_path(&form.action).expect("a route");
        let entry_id = format!("entry{}", self.n_entries);
        let entry = pages::read(&route, &fields(&form.fields), &self.cx(&entry_id))?;
        self.n_entries += 1;
        self.now = self.now.checked_add(jiff::SignedDuration::from_mins(1)).expect("no end of time");
        let mut facts = self.view.facts.clone();
        facts.extend(entry.facts.iter().cloned());
        let (now, n_entries) = (self.now, self.n_entries);
        *self = Shop { now, n_entries, ..Shop::of(facts) };
        Ok(entry)
    }

    /// Sends a form that must be taken.
    pub(crate) fn send(&mut self, form: &Form) -> Entry {
        self.try_send(form).expect(&form.action)
    }

    /// The page again, after a refusal.
    pub(crate) fn refused(&self, form: &Form, refusal: &Refusal) -> String {
        let route = Route::of_path(&form.action).expect("a route");
        pages::show_refused(&route, &fields(&form.fields), refusal, &self.cx("entry")).html
    }

    /// Bodies of the facts of a kind that are used.
    pub(crate) fn used(&self, kind: &str) -> Vec<&Body> {
        let used = self.view.facts.iter().filter(|fact| self.view.settled.is_used(fact.id()));
        used.map(|fact| &fact.body).filter(|body| body.kind() == kind).collect()
    }

    /// Spaces, rating and load of each breaker that is used, in order of spaces.
    pub(crate) fn breakers(&self) -> Vec<String> {
        let job = self.view.settled.job.as_ref().expect("a job");
        let mut lines: Vec<(u16, String)> = job
            .installation
            .breakers()
            .map(|(_, breaker)| {
                let spaces: Vec<String> = breaker.spaces.iter().map(ToString::to_string).collect();
                let first = breaker.spaces[0].number;
                (first, format!("{} {} {}", spaces.join("+"), breaker.rating.a(), breaker.feeds_label()))
            })
            .collect();
        lines.sort();
        lines.into_iter().map(|(_, line)| line).collect()
    }
}

/// Pairs of a query without percent-encoding.
pub(crate) fn pairs_of(query: &str) -> Vec<(String, String)> {
    let pairs = query.split('&').filter_map(|pair| pair.split_once('='));
    pairs.map(|(name, value)| (name.to_owned(), value.to_owned())).collect()
}

/// The code book as it comes with the program.
fn book() -> &'static study::code::Book {
    static BOOK: std::sync::OnceLock<study::code::Book> = std::sync::OnceLock::new();
    BOOK.get_or_init(study::code::Book::built_in)
}

/// The policy of an invented shop.
fn policy() -> &'static study::Policy {
    static POLICY: std::sync::OnceLock<study::Policy> = std::sync::OnceLock::new();
    POLICY.get_or_init(study::Policy::standard)
}

/// A shop without anything of its own.
fn invented_shop() -> &'static study::Shop {
    static SHOP: std::sync::OnceLock<study::Shop> = std::sync::OnceLock::new();
    SHOP.get_or_init(study::Shop::default)
}
