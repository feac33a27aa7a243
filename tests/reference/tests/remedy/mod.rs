//! Plans held against other solvers.

mod layout;
mod outage;
