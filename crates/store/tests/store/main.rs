//! The store from outside.

mod appending;
mod carrying;
mod data;
mod devices;
mod exchange;
mod folder;
mod full;
mod kills;
mod mount;
mod photos;
mod versions;
