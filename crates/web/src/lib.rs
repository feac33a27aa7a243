//! The pages, served to phones and laptops.

mod assets;
mod authority;
mod bench;
mod clock;
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

pub use bench::{Bench, Setup};
pub use join::INVITATION_LASTS;
pub use router::router;
pub use serve::{Announcement, Config, ServeError, Served, start};
