//! Photos: what arrives is looked at, turned upright, made small, and freed of everything but the picture.

pub(crate) mod render;
mod sniff;
mod take;

pub(crate) use take::{give, take};
