//! Sizes that the loads lead to: conductors, overcurrent protection, grounding, voltage drop, fault current, fill,
//! torque. Each with its working.

mod ampacity;
mod drop;
mod dwelling_service;
mod fault;
mod fill;
mod ground;
mod overcurrent;
mod result;
mod torque;

pub use ampacity::{Conditions, Load, ampacity, conductor};
pub use drop::{Drop, Raceway, voltage_drop};
pub use dwelling_service::{ServiceConductor, dwelling_service};
pub use fault::{Available, Interrupting, Run, Supply, available, interrupting};
pub use fill::{BoxContents, CabinetFill, box_volume, cabinet};
pub use ground::{
    Electrode, Ungrounded, bonding_jumper, electrode_conductor, equipment_ground, grounded_conductor,
};
pub use overcurrent::{Protection, protection, standard_rating};
pub use result::{NoSize, Sized};
pub use torque::{Fastener, torque};
