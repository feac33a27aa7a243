//! The pages, served.
