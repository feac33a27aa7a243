//! The code book: dated rules and tables of the electrical code, each value beside its citation.
//!
//! A caller makes a [`Book`] once, chooses a [`Law`] from it (an [`Edition`], or an adoption [`Profile`] and a day),
//! and asks: a load calculation, a size, or what the edition asks of a panel. Every answer carries its section and
//! standing; what is not verified for an edition is [`Refused`] with what a person would have to confirm.
//!
//! ```
//! use codebook::load::{Dwelling, Item, Rating, Use, compare};
//! use codebook::{Book, Edition};
//!
//! let book = Book::built_in();
//! let law = book.edition(Edition::Y2020);
//! let mut dwelling = Dwelling::unknown(model::System::SplitPhase);
//! dwelling.floor_ft2 = Some(1500.0);
//! dwelling.adaptable_ft2 = Some(0.0);
//! dwelling.small_appliance_circuits = Some(2);
//! dwelling.laundry_circuits = Some(1);
//! dwelling.items.push(Item::new("range", Use::Range, Rating::Kw(12.0)));
//! let side_by_side = compare(&law, &dwelling, None, Some(100.0));
//! let standard = side_by_side.rows[0].sheet.as_ref().expect("nothing is missing");
//! assert_eq!(standard.load_a, 55.0);
//! assert!(side_by_side.rows[0].room.as_ref().expect("a service was named").room_a == 45.0);
//! ```
//!
//! Entries: [`load::compare`] (all methods side by side), [`load::compare_editions`], [`meter::EspiReader`] and
//! [`meter::CsvReader`] (interval data in pieces), the functions of [`size`], [`ask::ask`] (what the edition asks of a
//! panel), [`register`] (the page of all rules).

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
