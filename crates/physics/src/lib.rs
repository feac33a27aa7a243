//! Contacts, conductors, breakers, electrical and thermal networks.

pub mod thermal;
