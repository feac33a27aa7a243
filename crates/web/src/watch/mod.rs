//! Watching over the program: counts and durations for a monitor, a line of log a request, and whether it is ready.
//! Nothing of it names a person, a job, an address or what was asked for.

mod count;
mod health;
mod log;

pub(crate) use count::{Watch, is_here, metrics, observe};
pub(crate) use health::health;
