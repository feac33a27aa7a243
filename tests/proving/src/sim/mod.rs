//! The simulator: invented houses with known truth, and what a technician would record of them.

pub(crate) mod dice;
pub(crate) mod heat;
pub(crate) mod house;
pub(crate) mod layout;
pub(crate) mod load;
pub(crate) mod truth;
mod wish;
