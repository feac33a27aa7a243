//! What the code book asks out of the tree: the adopted code, dwellings, appliances, measured demand, the site.

use super::Decoder;
use super::entry::{Entry, versions};
use crate::fact::{
    AmendedAs, AmendmentMade, ApplianceDescribed, CircuitPlanned, CodeAdopted, DemandMeasured,
    DwellingDescribed, EditionTaken, ManagedDescribed, SiteSeen, ThreeWireFound,
};
use crate::text::{AsText, Textual};
use crate::tree::Node;
use model::dwelling::Status;

fn small(entry: &Entry<'_>, key: &str) -> Option<u32> {
    entry.count(key).and_then(|count| u32::try_from(count).ok())
}

/// A thing that may be left out. `None` where it is there and wrong.
fn maybe<T: Textual>(entry: &Entry<'_>, key: &str) -> Option<Option<AsText<T>>> {
    if entry.get(key).is_none() { Some(None) } else { entry.read(key).map(|thing| Some(AsText(thing))) }
}

fn year(entry: &Entry<'_>, key: &str) -> Option<u16> {
    entry.count(key).and_then(|count| u16::try_from(count).ok())
}

fn edition(node: &Node) -> Option<EditionTaken> {
    let entry = Entry::new(node);
    Some(EditionTaken {
        edition: year(&entry, "edition")?,
        from: entry.day("from")?,
        document: entry.owned("document")?,
    })
}

fn amendment(node: &Node) -> Option<AmendmentMade> {
    let entry = Entry::new(node);
    let to = match (entry.number("number"), entry.owned("word"), entry.flag("absent")) {
        (Some(number), ..) => AmendedAs::Number(number),
        (None, Some(word), _) => AmendedAs::Word(word),
        (None, None, Some(true)) => AmendedAs::Absent,
        _ => return None,
    };
    Some(AmendmentMade {
        rule: entry.owned("rule")?,
        edition: year(&entry, "edition")?,
        from: entry.day("from")?,
        to,
        document: entry.owned("document")?,
        section: entry.owned("section")?,
        note: entry.words("note"),
    })
}

fn managed(node: &Node) -> Option<ManagedDescribed> {
    let entry = Entry::new(node);
    Some(ManagedDescribed {
        name: entry.owned("name")?,
        limit_a: entry.number("limit_a"),
        listed: entry.flag("listed"),
    })
}

fn new_circuit(node: &Node) -> Option<CircuitPlanned> {
    let entry = Entry::new(node);
    Some(CircuitPlanned {
        name: entry.owned("name")?,
        area: maybe(&entry, "area")?,
        amps: small(&entry, "amps")?,
        is_120_v: entry.flag("is_120_v").unwrap_or(true),
        receptacles: entry.flag("receptacles").unwrap_or(true),
    })
}

fn three_wire(node: &Node) -> Option<ThreeWireFound> {
    let entry = Entry::new(node);
    Some(ThreeWireFound {
        name: entry.owned("name")?,
        neutral: maybe(&entry, "neutral")?,
        metal: maybe(&entry, "metal")?,
    })
}

fn all<T>(entry: &Entry<'_>, key: &str, read: impl Fn(&Node) -> Option<T>) -> Option<Vec<T>> {
    entry.items(key).iter().map(read).collect()
}

impl<'a> Decoder<'a> {
    pub(super) fn premises(&mut self, root: &Node) {
        let kinds: [super::Kind<'a>; 5] = [
            ("adoption", Self::adoption),
            ("dwelling", Self::dwelling),
            ("appliance", Self::appliance),
            ("demand", Self::demand),
            ("site", Self::site),
        ];
        for (key, read) in kinds {
            for node in versions(root, key) {
                // `None`: what is wrong with the entry has been told already.
                let _ = read(self, &Entry::new(node));
            }
        }
    }

    fn adoption(&mut self, entry: &Entry<'_>) -> Option<()> {
        let body = CodeAdopted {
            place: entry.owned("place")?,
            editions: all(entry, "edition", edition)?,
            amendments: all(entry, "amendment", amendment)?,
            permit: if entry.get("permit").is_some() { Some(entry.day("permit")?) } else { None },
        };
        let mut fields = entry.fields(&[("name", &["place"]), ("permit", &["permit"])]);
        for (field, key) in [("editions", "edition"), ("amendments", "amendment")] {
            for (idx, node) in entry.items(key).iter().enumerate() {
                fields.push(((field, idx), node.span.clone()));
            }
        }
        self.keep(entry, self.at(entry, self.start()), fields, body);
        Some(())
    }

    fn dwelling(&mut self, entry: &Entry<'_>) -> Option<()> {
        let body = DwellingDescribed {
            unit: entry.words("unit"),
            floor_ft2: entry.number("floor_ft2"),
            adaptable_ft2: entry.number("adaptable_ft2"),
            adaptable_garage_ft2: entry.number("adaptable_garage_ft2"),
            small_appliance_circuits: small(entry, "small_appliance_circuits"),
            laundry_circuits: small(entry, "laundry_circuits"),
            managed: all(entry, "managed", managed)?,
        };
        let fields = entry.fields(&[
            ("name", &["unit"]),
            ("floor_ft2", &["floor_ft2"]),
            ("adaptable_ft2", &["adaptable_ft2"]),
            ("adaptable_garage_ft2", &["adaptable_garage_ft2"]),
            ("managed", &["managed"]),
        ]);
        self.keep(entry, self.at(entry, self.start()), fields, body);
        Some(())
    }

    fn appliance(&mut self, entry: &Entry<'_>) -> Option<()> {
        let body = ApplianceDescribed {
            name: entry.owned("name")?,
            unit: entry.words("unit"),
            what: AsText(entry.read("what")?),
            rating: maybe(entry, "rating")?,
            wires: maybe(entry, "wires")?,
            motor: maybe(entry, "motor")?,
            controls: small(entry, "controls"),
            supplement: maybe(entry, "supplement")?,
            together: entry.flag("together"),
            status: AsText(entry.read_or("status", Status::Existing)?),
            managed: entry.owned("managed"),
        };
        let fields = entry.fields(&[
            ("name", &["name"]),
            ("controls", &["controls"]),
            ("supplement", &["supplement"]),
            ("together", &["together"]),
        ]);
        self.keep(entry, self.at(entry, self.start()), fields, body);
        Some(())
    }

    fn demand(&mut self, entry: &Entry<'_>) -> Option<()> {
        let body = DemandMeasured {
            least_kw: entry.number("least_kw")?,
            most_kw: entry.number("most_kw")?,
            interval_min: small(entry, "interval_min")?,
            days: small(entry, "days"),
            own_generation: entry.flag("own_generation"),
            occupied: entry.flag("occupied"),
            season_included: entry.flag("season_included"),
            power_factor: entry.number("power_factor"),
            words: entry.words("words"),
        };
        let fields = entry.fields(&[
            ("least_kw", &["least_kw"]),
            ("most_kw", &["most_kw"]),
            ("power_factor", &["power_factor"]),
        ]);
        self.keep(entry, self.at(entry, self.start()), fields, body);
        Some(())
    }

    fn site(&mut self, entry: &Entry<'_>) -> Option<()> {
        let body = SiteSeen {
            work: maybe(entry, "work")?,
            outdoor: maybe(entry, "outdoor")?,
            dwellings: small(entry, "dwellings"),
            disconnects: small(entry, "disconnects"),
            neutrals_at_terminal: small(entry, "neutrals_at_terminal"),
            rods: small(entry, "rods"),
            service_a: entry.number("service_a"),
            extension_ft: entry.number("extension_ft"),
            highest_handle_in: entry.number("highest_handle_in"),
            space_depth_in: entry.number("space_depth_in"),
            space_width_in: entry.number("space_width_in"),
            space_height_in: entry.number("space_height_in"),
            fault_a: entry.number("fault_a"),
            interrupting_a: entry.number("interrupting_a"),
            rod_spacing_ft: entry.number("rod_spacing_ft"),
            in_one_enclosure: entry.flag("in_one_enclosure"),
            surge: entry.flag("surge"),
            adds_outlets: entry.flag("adds_outlets"),
            in_bathroom: entry.flag("in_bathroom"),
            in_closet: entry.flag("in_closet"),
            over_stairs: entry.flag("over_stairs"),
            directory: entry.flag("directory"),
            openings: entry.flag("openings"),
            interior_evaluated: entry.flag("interior_evaluated"),
            water_pipe: entry.flag("water_pipe"),
            other_electrode: entry.flag("other_electrode"),
            intersystem: entry.flag("intersystem"),
            new_circuits: all(entry, "new_circuit", new_circuit)?,
            three_wire: all(entry, "three_wire", three_wire)?,
        };
        let fields = entry.fields(&[
            ("service_a", &["service_a"]),
            ("extension_ft", &["extension_ft"]),
            ("highest_handle_in", &["highest_handle_in"]),
            ("space_depth_in", &["space_depth_in"]),
            ("space_width_in", &["space_width_in"]),
            ("space_height_in", &["space_height_in"]),
            ("fault_a", &["fault_a"]),
            ("interrupting_a", &["interrupting_a"]),
            ("rod_spacing_ft", &["rod_spacing_ft"]),
        ]);
        self.keep(entry, self.at(entry, self.start()), fields, Box::new(body));
        Some(())
    }
}
