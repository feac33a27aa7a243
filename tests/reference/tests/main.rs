//! Checks against the outside world, in one binary. `val_` holds a value against a published one or another
//! program's; `verif_` holds it against a law or against itself.
//!
//! `README.md` beside this package lists every check with its source, tolerance and result.

mod codebook;
mod forgotten;
mod inference;
mod physics;
mod remedy;
