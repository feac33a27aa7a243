//! Plans held against other solvers.

mod layout;
mod outage;
mod surveyed;

/// Nodes of a layout's search: those of the environment, which the tables of `docs/layout.md` were made with, or these.
fn nodes(usual: usize) -> usize {
    std::env::var("LAYOUT_NODES").ok().and_then(|text| text.parse().ok()).unwrap_or(usual)
}
