//! The plan against a search that knows nothing of graphs, and cases whose answer the trade knows.

mod cases;
mod search;
