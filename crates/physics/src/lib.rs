//! Contacts, conductors, breakers, electrical and thermal networks.
