//! The audit trail: who did what, newest first.

use crate::context::Context;
use crate::route::Route;
use crate::screen::devices::when;
use crate::shell::{Page, shell};
use jiff::civil::DateTime;
use maud::html;

/// A line, in words.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct AuditWords {
    /// Which.
    pub number: i64,
    /// When, civil time at the machine.
    pub at: DateTime,
    /// Who, by the name that stands there now.
    pub who: String,
    /// What.
    pub what: String,
    /// Where it leads, where the job is still there.
    pub job: Option<String>,
}

/// What the page is made from.
#[derive(Debug, Clone, Default)]
pub struct AuditGround {
    /// The lines.
    pub lines: Vec<AuditWords>,
    /// Number before which there are older ones.
    pub older: Option<i64>,
}

/// The page.
pub fn audit_page(ground: &AuditGround, cx: &Context<'_>) -> Page {
    let body = html! {
        p.lede { "Who came, who went, and who changed what others rely on. It is only added to. Entries in jobs are not here: each fact names its author." }
        section.sheet {
            @if ground.lines.is_empty() { p { "Nothing yet." } }
            ol.rows {
                @for line in &ground.lines {
                    li.row {
                        span.grow {
                            (line.what)
                            @if let Some(job) = &line.job { ": " a href=(Route::Bench(job.clone())) { (job) } }
                            br;
                            span.quiet { (when(line.at)) " · " (line.who) " · " (line.number) }
                        }
                    }
                }
            }
            @if let Some(older) = ground.older {
                a.plain href={ (Route::Audit) "?before=" (older) } { "Older" }
            }
        }
    };
    shell(cx, "Audit trail", &Route::Audit, body)
}
