//! Chore: the register of the code book's rules.

use crate::tree::root;
use std::process::ExitCode;

/// Where it lies, relative to the root.
pub(crate) const PAGE: &str = "docs/codebook-register.md";

/// The page as the data of the code book make it now.
pub(crate) fn page() -> String {
    codebook::register(&codebook::Book::built_in())
}

/// Writes the page.
pub(crate) fn write() -> ExitCode {
    match std::fs::write(root().join(PAGE), page()) {
        Ok(()) => ExitCode::SUCCESS,
        Err(error) => {
            eprintln!("register: {PAGE} cannot be written: {error}");
            ExitCode::FAILURE
        }
    }
}
