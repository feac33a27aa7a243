//! The bench as a browser meets it.

mod code;
mod away;
mod drops;
mod entries;
mod gate;
mod ground;
mod isolation;
mod judgement;
mod live;
mod papers;
mod phone;
mod photos;
mod plan;
mod prices;
mod roles;
mod serving;
mod watching;
mod shop;
