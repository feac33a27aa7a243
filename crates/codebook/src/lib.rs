//! The code book: dated rules and tables of the electrical code, each value beside its citation.
//!
//! A caller makes a [`Book`] once, chooses a [`Law`] from it (an [`Edition`], or an adoption [`Profile`] and a day),
//! and asks: a load calculation, a size, or what the edition asks of a panel. Every answer carries its section and
//! standing; what is not verified for an edition is [`Refused`] with what a person would have to confirm.

mod adoption;
pub mod ask;
mod book;
mod edition;
mod law;
pub mod load;
pub mod meter;
mod refusal;
mod register;
pub mod rule;
mod ruling;
pub mod size;
mod table;

pub use adoption::{Adopted, Amendment, NotYetAdopted, Profile};
pub use book::{BadData, Book, Dated, Rule, Value};
pub use edition::{Edition, NotAnEdition};
pub use law::Law;
pub use refusal::{Confirmation, Refusal};
pub use register::register;
pub use ruling::{Refused, Ruling, Standing};
pub use table::Column;
