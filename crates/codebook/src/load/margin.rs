//! The room under a rating, and the smallest vehicle circuit or appliance that would exceed it.

use super::compare::calculate;
use super::dwelling::{Dwelling, Item, Rating, Status, Use, Wires};
use super::measured::MeasuredDemand;
use super::readings::Readings;
use super::sheet::Sheet;
use crate::law::Law;

/// Largest load that is tried: no dwelling circuit is larger.
const MOST_EV_A: u32 = 80;
const MOST_APPLIANCE_STEPS: u32 = 200;
/// Steps in which an added appliance is tried, VA.
const APPLIANCE_STEP_VA: f64 = 100.0;

/// What still fits under the rating of a service by one method.
#[derive(Debug, Clone, PartialEq)]
pub struct Room {
    /// Rating, A.
    pub service_a: f64,
    /// Room, A; negative where the load exceeds it.
    pub room_a: f64,
    /// Largest current of added vehicle supply equipment that still fits, whole A; `None` where none fits.
    pub ev_a: Option<u32>,
    /// Largest 240 V (or 208 V) appliance on a circuit of its own that still fits, VA, in steps of 100 VA.
    pub appliance_va: Option<f64>,
}

impl Room {
    /// What would exceed it, in one sentence.
    pub fn sentence(&self) -> String {
        if self.room_a < 0.0 {
            return format!("exceeds {:.0} A by {:.0} A", self.service_a, -self.room_a);
        }
        let ev = match self.ev_a {
            None => "any vehicle supply equipment".to_owned(),
            Some(MOST_EV_A) => "nothing tried in vehicle supply equipment".to_owned(),
            Some(amps) => format!("vehicle supply equipment above {amps} A"),
        };
        let appliance = match self.appliance_va {
            None => "any further appliance".to_owned(),
            Some(va) if APPLIANCE_STEP_VA * f64::from(MOST_APPLIANCE_STEPS) <= va => {
                "no further appliance up to 20 kW".to_owned()
            }
            Some(va) => format!("a further appliance above {:.1} kW", va / 1000.0),
        };
        format!(
            "{:.0} A of {:.0} A are left; would exceed it: {ev}, or {appliance}",
            self.room_a, self.service_a
        )
    }
}

/// The room under a service rating by the method of a sheet, with the careful readings.
pub fn room(
    law: &Law<'_>,
    dwelling: &Dwelling,
    demand: Option<&MeasuredDemand>,
    sheet: &Sheet,
    service_a: f64,
) -> Room {
    let volts = dwelling.system.leg_to_leg_v();
    let fits = |item: Item| {
        let mut more = dwelling.clone();
        more.items.push(item);
        match calculate(law, sheet.method, &more, demand, &Readings::default()) {
            Some(Ok(sheet)) => sheet.load_a <= service_a,
            _ => false,
        }
    };
    let ev = |amps: u32| Item {
        name: "further vehicle supply".to_owned(),
        kind: Use::Ev,
        rating: Some(Rating::Amps { amps: f64::from(amps), volts }),
        wires: Some(Wires::LineToLine),
        motor: None,
        status: Status::Added,
        managed: None,
    };
    let appliance = |steps: u32| Item {
        name: "further appliance".to_owned(),
        kind: Use::Appliance,
        rating: Some(Rating::Va(APPLIANCE_STEP_VA * f64::from(steps))),
        wires: Some(Wires::LineToLine),
        motor: None,
        status: Status::Added,
        managed: None,
    };
    Room {
        service_a,
        room_a: sheet.room_a(service_a),
        ev_a: largest(MOST_EV_A, |amps| fits(ev(amps))),
        appliance_va: first_run(MOST_APPLIANCE_STEPS, |steps| fits(appliance(steps)))
            .map(|steps| APPLIANCE_STEP_VA * f64::from(steps)),
    }
}

/// The largest whole number from 1 to `most` that fits; the load rises with it, so halving finds it.
fn largest(most: u32, fits: impl Fn(u32) -> bool) -> Option<u32> {
    let (mut low, mut high) = (0, most + 1);
    while low + 1 < high {
        let middle = (low + high) / 2;
        if fits(middle) {
            low = middle;
        } else {
            high = middle;
        }
    }
    (0 < low).then_some(low)
}

/// The last of the whole numbers from 1 that fit without a gap. An appliance more can lower the load by the demand
/// factor of its number, so that halving would not find what exceeds first.
fn first_run(most: u32, fits: impl Fn(u32) -> bool) -> Option<u32> {
    let n = (1..=most).take_while(|number| fits(*number)).count() as u32;
    (0 < n).then_some(n)
}
