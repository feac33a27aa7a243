//! One page of a list over all jobs: what was searched, where the next page begins, and what is not in it yet.

use crate::entry::words::with_query;
use crate::fields::Fields;
use crate::route::Route;
use maud::{Markup, html};

/// Which part of a list a page shows.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Leaf {
    /// Words that were searched; `None` where the list cannot be searched.
    pub search: Option<String>,
    /// Is it in the order of urgency, and not in the usual one?
    pub by_urgency: bool,
    /// Is it a later page than the first?
    pub is_later: bool,
    /// Where the next page begins; empty where this is the last.
    pub next: String,
    /// Jobs whose facts were not read yet: the list lacks what they say.
    pub n_unread: usize,
    /// Days that are past, in all pages together.
    pub n_late: usize,
}

/// Does an address ask for the order of urgency?
pub fn by_urgency(query: &Fields) -> bool {
    query.text("by") == Some(URGENCY)
}

/// The word in the address.
pub(super) const URGENCY: &str = "urgency";

impl Leaf {
    /// The two orders as links; the usual one by its name.
    pub(super) fn orders(&self, route: &Route, usual: &str) -> Markup {
        let search = self.search.as_deref().unwrap_or_default();
        let current = |is: bool| is.then_some("page");
        html! {
            nav.chips aria-label="Order" {
                a.chip href=(with_query(route, &[("find", search)])) aria-current=[current(!self.by_urgency)] { (usual) }
                a.chip href=(with_query(route, &[("find", search), ("by", URGENCY)])) aria-current=[current(self.by_urgency)] {
                    "Most urgent first"
                }
            }
        }
    }

    /// What is said where the list is not whole yet.
    pub(crate) fn lacking(&self, what: &str) -> Markup {
        html! {
            @if 0 < self.n_unread {
                div.caution {
                    p role="status" {
                        strong { (self.n_unread) @if self.n_unread == 1 { " job is" } @else { " jobs are" } " still being read." }
                        " " (what) " Load the page again in a minute."
                    }
                }
            }
        }
    }

    /// The ways to the first page and to the next one.
    pub(super) fn turn(&self, route: &Route) -> Markup {
        let search = self.search.as_deref().unwrap_or_default();
        let by = if self.by_urgency { URGENCY } else { "" };
        html! {
            @if self.is_later || !self.next.is_empty() {
                p.links {
                    @if self.is_later { a.plain href=(with_query(route, &[("find", search), ("by", by)])) { "First page" } }
                    @if !self.next.is_empty() {
                        a.plain href=(with_query(route, &[("find", search), ("by", by), ("after", &self.next)])) { "Next page" }
                    }
                }
            }
        }
    }
}
