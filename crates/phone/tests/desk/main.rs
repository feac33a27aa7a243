//! The phone's answers: against the judgement of `study`, between the two builds of the program, and as facts that
//! meet from several devices.

mod chains;
mod first;
mod ground;
mod judged;
mod meet;
mod module;
