//! Loads, tables and sizes of the code book against published examples, second sources and physics.

mod asked;
mod loads;
mod meter;
mod sizes;
mod worked;
