//! The bench as a browser meets it.

mod away;
mod cards;
mod code;
mod drops;
mod entries;
mod experience;
mod gate;
mod ground;
mod hostile;
mod isolation;
mod judgement;
mod kills;
mod links;
mod live;
mod month;
mod papers;
mod people;
mod phone;
mod photos;
mod plan;
mod prices;
mod roles;
mod serving;
mod shop;
mod watching;
