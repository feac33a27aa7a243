//! Proving ground: simulated panels with known truth, and scores of the judgement on them.

mod sim;
