//! Which end of a drop is nearer the load.

use crate::evidence::DropReading;
use crate::id::Slot;
use crate::place::Place;

impl DropReading {
    /// The end nearer the load, whichever way round the ends were written: the pole that carries current where the other one was
    /// an unloaded tap, else the place further along one conductor of one panel; as written where neither tells.
    pub fn far_end(&self, unloaded: &[Slot]) -> &Place {
        let is_tap = |place: &Place| place.slot().is_some_and(|slot| unloaded.contains(slot));
        let one_pole = self.from.slot().is_some() && self.from.slot() == self.to.slot();
        let is_turned = match (is_tap(&self.from), is_tap(&self.to)) {
            (false, true) if self.from.slot().is_some() => true,
            (true, false) if self.to.slot().is_some() => false,
            // Two poles may each be the nearer one.
            _ if !one_pole && self.from.slot().is_some() && self.to.slot().is_some() => false,
            _ => match (along(&self.from), along(&self.to)) {
                (Some(from), Some(to)) => {
                    self.from.panel() == self.to.panel() && from.0 == to.0 && to.1 < from.1
                }
                _ => false,
            },
        };
        if is_turned { &self.from } else { &self.to }
    }

    /// The same reading with the end nearer the load last.
    #[must_use]
    pub fn from_the_source(&self, unloaded: &[Slot]) -> DropReading {
        let mut reading = self.clone();
        if *self.far_end(unloaded) != self.to {
            core::mem::swap(&mut reading.from, &mut reading.to);
        }
        reading
    }
}

/// How far along a conductor a place is, from the source; hot conductors are one kind, neutral ones the other.
const fn along(place: &Place) -> Option<(bool, u8)> {
    match place {
        Place::Line(..) => Some((true, 0)),
        Place::Lug(..) => Some((true, 1)),
        Place::Load(_) => Some((true, 2)),
        Place::Wire(_) => Some((true, 3)),
        Place::Receptacle(_) => Some((true, 4)),
        Place::NeutralLine(_) => Some((false, 0)),
        Place::NeutralLug(_) => Some((false, 1)),
        Place::NeutralBar(_) => Some((false, 2)),
        Place::NeutralWire(_) => Some((false, 3)),
        Place::Face(_) | Place::Cover(_) | Place::Earth(_) => None,
    }
}

#[cfg(test)]
mod tests {
    use crate::evidence::DropReading;
    use crate::place::Place;
    use crate::{Leg, PanelId, Slot, Space, Voltage};

    #[test]
    fn the_end_nearer_the_load_is_found_whichever_way_round_it_was_written() {
        let slot = |panel: &str, number: u16| Slot::new(PanelId::new(panel), Space::whole(number));
        let main = || PanelId::new("main");
        let (load, wire) = (|of: u16| Place::Load(slot("main", of)), |of: u16| Place::Wire(slot("main", of)));
        let (line, lug) = (Place::Line(main(), Leg::A), Place::Lug(main(), Leg::A));
        let (neutral_line, bar) = (Place::NeutralLine(main()), Place::NeutralBar(main()));
        let neutral_wire = Place::NeutralWire(slot("main", 15));
        let far = |from: &Place, to: &Place| {
            let drop = DropReading {
                from: from.clone(),
                to: to.clone(),
                value: Voltage::from_mv(50.0),
                current: None,
                instrument: None,
                state: String::new(),
            };
            let oriented = drop.from_the_source(&[slot("main", 23)]);
            assert_eq!(oriented.to, *drop.far_end(&[slot("main", 23)]));
            oriented.to
        };
        let ordered = [
            // A tap at 23 carries nothing.
            (load(23), load(15)),
            (load(23), wire(15)),
            (load(15), wire(15)),
            (lug.clone(), load(15)),
            (line, lug.clone()),
            (neutral_line, bar.clone()),
            (bar, neutral_wire),
        ];
        for (from, to) in &ordered {
            assert_eq!((&far(from, to), &far(to, from)), (to, to), "{from} {to}");
        }
        // Two loaded poles, or places of two panels: as written.
        let sub = Place::Lug(PanelId::new("sub"), Leg::A);
        for (from, to) in [(load(15), load(17)), (load(15), sub)] {
            assert_eq!((&far(&from, &to), &far(&to, &from)), (&to, &from));
        }
    }
}
