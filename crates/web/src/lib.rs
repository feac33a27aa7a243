//! The pages, served to phones and laptops.

mod announce;
mod assets;
mod authority;
mod bench;
mod clock;
mod config;
mod entry;
mod export;
mod failure;
mod gate;
mod guard;
mod join;
mod judge;
mod light;
mod live;
mod members;
mod offline;
mod page;
mod papers;
mod photo;
mod plain;
mod qr;
mod router;
mod sent;
mod serve;
mod trouble;
mod views;

pub use announce::Announcement;
pub use bench::{Bench, Setup};
pub use config::{Config, ServeError};
pub use join::INVITATION_LASTS;
pub use router::router;
pub use serve::{Served, start};
