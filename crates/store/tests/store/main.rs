//! The store from outside.

mod appending;
mod bucket;
mod carrying;
mod data;
mod devices;
mod exchange;
mod folder;
mod forgetting;
mod full;
mod ground;
mod kills;
mod mount;
mod people;
mod photos;
mod server;
mod server_kills;
mod summaries;
mod versions;
