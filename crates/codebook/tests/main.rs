//! Properties of loads, sizes and dates over random input.

mod budget;
mod dates;
mod dwellings;
mod files;
mod loads;
mod sizes;

/// The book, read once for all random cases.
pub(crate) fn book() -> &'static codebook::Book {
    static BOOK: std::sync::OnceLock<codebook::Book> = std::sync::OnceLock::new();
    BOOK.get_or_init(codebook::Book::built_in)
}
