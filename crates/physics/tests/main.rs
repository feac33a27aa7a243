//! Properties of the formulas and networks over many inputs at random.

mod closed_forms;
mod installations;
