//! The store from outside.

mod appending;
mod data;
mod devices;
mod photos;
