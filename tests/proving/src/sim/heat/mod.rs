//! The fine thermal model of a house's panels, and its march through the hours of a visit.

mod bus;
mod cabinet;
mod march;
mod network;
mod pole;
mod source;

pub(crate) use bus::{FINGER_NODES, finger_ohm, segment_ohm};
pub(crate) use march::{Snapshot, Story, march};
pub(crate) use source::{contact_ohm, pole_ohm};
