//! The record of a visit as a job file, written as any outside program would write it: plain text, one stage.

use super::house::{House, Metal, SimBreaker, SimFeed, SimPanel, leg_word};
use super::load::Loads;
use super::visit::{DropFrom, SignPlace, Stage, Visit};
use model::breaker::LoadClass;
use model::evidence::Feel;
use model::panel::Mounting;
use std::fmt::Write;

/// Day of every simulated visit.
const DAY: &str = "2025-11-12";
const THERMOMETER: &str = "spot-1";
const CLAMP: &str = "clamp-1";
/// Name under which currents from appliance plates stand.
const PLATES: &str = "appliance plates";
const METER: &str = "meter-1";

/// Text of the job file of a visit at a stage.
pub(crate) fn job_text(house: &House, loads: &Loads, visit: &Visit, stage: Stage) -> String {
    let mut text = String::new();
    let out = &mut text;
    let exposure = if stage == Stage::CoverOn { "cover-on" } else { "cover-off" };
    line(out, "# Simulated. House and readings are invented.\npanelwright = 1\n\n[job]");
    line(out, &format!("id = \"{}-{}\"\nopened = {DAY}\ninvented = true", house.name, stage.letter()));
    line(out, &format!("place = \"simulated house {}\"\nexposure = \"{exposure}\"\n", house.name));
    complaint(out, house, visit);
    for panel in &house.panels {
        write_panel(out, house, panel, visit, stage);
    }
    for state in 0..visit.states.len() {
        write_state(out, house, loads, visit, stage, state);
    }
    let last = loads.states[visit.last()].name;
    for touch in &visit.touches {
        let place = at_pole(&house.panels[touch.panel], touch.pole);
        let feel = feel_word(touch.feel);
        line(out, &format!("[[touch]]\nspace = \"{place}\"\nfeel = \"{feel}\"\nstate = \"{last}\""));
        line(out, if touch.void { "void = true\n" } else { "" });
    }
    if stage != Stage::CoverOn {
        write_cover_off(out, house, loads, visit);
    }
    if stage == Stage::Drops {
        write_drops(out, house, visit, last);
    }
    for note in visit.signs.iter().filter(|note| note.stage <= stage) {
        let place = match note.place {
            SignPlace::Pole { panel, pole } => at_pole(&house.panels[panel], pole),
            SignPlace::Lug { panel, leg } => format!("{}/lug:{}", house.panels[panel].id, leg_word(leg)),
            SignPlace::Neutral { panel } => format!("{}/neutral", house.panels[panel].id),
            SignPlace::Panel { panel } => format!("{}/panel", house.panels[panel].id),
        };
        let (what, seen) = (note.sign.word(), note.seen);
        line(out, &format!("[[sign]]\nwhat = \"{what}\"\nplace = \"{place}\"\nseen = {seen}\n"));
    }
    text
}

fn line(out: &mut String, text: &str) {
    // Writing to a String cannot fail.
    let _ = writeln!(out, "{text}");
}

fn at_pole(panel: &SimPanel, pole: usize) -> String {
    format!("{}/{}", panel.id, panel.poles[pole].space)
}

const fn feel_word(feel: Feel) -> &'static str {
    match feel {
        Feel::NotWarm => "not-warm",
        Feel::Warm => "warm",
        Feel::Hot => "hot",
        Feel::Pain => "pain",
        Feel::Withdrawn => "withdrawn",
    }
}

const fn metal_word(metal: Metal) -> &'static str {
    match metal {
        Metal::Copper => "copper",
        Metal::Aluminium => "aluminium",
    }
}

fn complaint(out: &mut String, house: &House, visit: &Visit) {
    line(out, &format!("[[complaint]]\nkind = \"{}\"", visit.complaint.kind.word()));
    if let Some((panel, pole)) = visit.complaint.pole {
        line(out, &format!("space = \"{}\"", at_pole(&house.panels[panel], pole)));
    }
    line(out, "");
}

fn write_panel(out: &mut String, house: &House, panel: &SimPanel, visit: &Visit, stage: Stage) {
    line(out, &format!("[[panel]]\nid = \"{}\"\nspaces = {}", panel.id, panel.n_spaces));
    line(out, &format!("place = \"{}\"", if house.garage { "garage" } else { "indoors" }));
    line(out, &format!("first_leg = \"{}\"", leg_word(panel.first_leg)));
    let first_space = |panel: usize, breaker: usize| {
        format!("{}/{}", house.panels[panel].id, house.panels[panel].breakers[breaker].spaces[0])
    };
    let is_split = panel.sections.len() > 1;
    match panel.sections[0].feed {
        _ if is_split => line(out, "main = \"split\""),
        SimFeed::Lugs => line(out, "main = \"lugs\""),
        SimFeed::Main { rating_a } => line(out, &format!("main = \"breaker\"\nmain_a = {rating_a}")),
        SimFeed::Breaker { panel, breaker } => {
            line(out, &format!("main = \"feeder\"\nfed_by = \"{}\"", first_space(panel, breaker)));
        }
    }
    let rating = panel.bus_rating_a;
    // The bus shows once the cover is off, and not always then.
    if visit.bus_seen && stage != Stage::CoverOn {
        line(out, &format!("bus = {{ metal = \"{}\", rating_a = {rating} }}", metal_word(panel.bus)));
    } else {
        line(out, &format!("bus = {{ rating_a = {rating} }}"));
    }
    let mounting = match panel.cabinet.mounting {
        Mounting::Surface => "surface",
        Mounting::Flush => "flush",
        Mounting::FlushInsulated => "flush-insulated",
    };
    let mm = |m: f64| (m * 1e3).round();
    let (w, h, d) = (panel.cabinet.width_m, panel.cabinet.height_m, panel.cabinet.depth_m);
    line(
        out,
        &format!(
            "cabinet = {{ width_mm = {}, height_mm = {}, depth_mm = {}, mounting = \"{mounting}\" }}",
            mm(w),
            mm(h),
            mm(d)
        ),
    );
    if panel.half_width {
        line(out, "half_width = \"everywhere\"");
    }
    line(out, "");
    if is_split {
        for section in &panel.sections {
            let fed_by = match section.feed {
                SimFeed::Breaker { panel, breaker } => first_space(panel, breaker),
                _ => "lugs".to_owned(),
            };
            let rows = format!("[{}, {}]", section.first_row + 1, section.last_row + 1);
            let id = section.id;
            line(out, &format!("[[panel.section]]\nid = \"{id}\"\nrows = {rows}\nfed_by = \"{fed_by}\"\n"));
        }
    }
    for breaker in &panel.breakers {
        write_breaker(out, breaker, visit.list_read, stage);
    }
}

fn write_breaker(out: &mut String, breaker: &SimBreaker, list_read: bool, stage: Stage) {
    line(out, &format!("[[panel.breaker]]\nspace = \"{}\"", breaker.spaces[0]));
    if breaker.spaces.len() > 1 {
        line(out, &format!("poles = {}", breaker.spaces.len()));
    }
    line(out, &format!("rating_a = {}\nclass = \"{}\"", breaker.rating_a, breaker.class.word()));
    line(out, &format!("feeds = \"{}\"", breaker.feeds));
    if breaker.off {
        line(out, "handle = \"off\"");
    }
    if breaker.arc_fault {
        line(out, "protection = \"arc-fault\"");
    }
    if list_read {
        line(out, &format!("other_make = {}\nlater = {}", breaker.other_make, breaker.later));
    }
    if let Some(partner) = breaker.partner {
        line(out, &format!("partner = \"{partner}\""));
    }
    if !breaker.is_spare() {
        line(out, &format!("uses_neutral = {}", breaker.uses_neutral));
        if stage != Stage::CoverOn && breaker.class != LoadClass::Feeder {
            let (size, metal) = (breaker.wire_awg, metal_word(breaker.wire));
            line(out, &format!("conductor = {{ size = \"{size}\", metal = \"{metal}\" }}"));
        }
    }
    line(out, "");
}

fn write_state(out: &mut String, house: &House, loads: &Loads, visit: &Visit, stage: Stage, state: usize) {
    let (notes, truth) = (&visit.states[state], &loads.states[state]);
    line(out, &format!("[[state]]\nname = \"{}\"\nwords = \"{}\"", truth.name, truth.words));
    line(out, &format!("at = {DAY}T{:02}:00:00\nroom_c = {:.1}", 10 + state, visit.room_c));
    if let Some(minutes) = truth.told_min {
        line(out, &format!("held_min = {minutes:.0}"));
    }
    let unloaded: Vec<String> = notes
        .unloaded
        .iter()
        .filter(|&&(panel, pole)| stage == Stage::CoverOn || notes.clamps_a[panel][pole].is_none())
        .map(|&(panel, pole)| format!("\"{}\"", at_pole(&house.panels[panel], pole)))
        .collect();
    line(out, &format!("unloaded = [{}]", unloaded.join(", ")));
    let (mut amps, mut plates, mut faces) = (Vec::new(), Vec::new(), Vec::new());
    for (panel_idx, panel) in house.panels.iter().enumerate() {
        for pole in 0..panel.poles.len() {
            let place = at_pole(panel, pole);
            let clamped = if stage == Stage::CoverOn { None } else { notes.clamps_a[panel_idx][pole] };
            match (clamped, notes.plates_a[panel_idx][pole]) {
                (Some(a), _) => amps.push(format!("\"{place}\" = {a:.1}")),
                (None, Some(a)) => plates.push((place.clone(), a)),
                (None, None) => {}
            }
            if let Some(c) = notes.faces_c[panel_idx][pole] {
                faces.push(format!("\"{place}\" = {c:.1}"));
            }
        }
    }
    if let (Some(line_a), true) = (notes.line_a, stage != Stage::CoverOn) {
        for (leg, a) in line_a.iter().enumerate() {
            amps.push(format!("\"{}/line:{}\" = {a:.1}", house.panels[0].id, leg_word(leg)));
        }
    }
    line(out, &format!("amps = {{ {} }}\nclamp = \"{CLAMP}\"", amps.join(", ")));
    line(out, &format!("faces_c = {{ {} }}\nthermometer = \"{THERMOMETER}\"\n", faces.join(", ")));
    for (place, a) in plates {
        line(out, &format!("[[clamp]]\nplace = \"{place}\"\namps = {a:.1}\ninstrument = \"{PLATES}\""));
        line(out, &format!("state = \"{}\"\n", truth.name));
    }
}

fn write_cover_off(out: &mut String, house: &House, loads: &Loads, visit: &Visit) {
    let last = loads.states[visit.last()].name;
    let mut spot = |place: String, c: f64| {
        line(out, &format!("[[temperature]]\nplace = \"{place}\"\nc = {c:.1}\nsurface = \"matte\""));
        line(out, &format!("instrument = \"{THERMOMETER}\"\nstate = \"{last}\"\n"));
    };
    for (panel, readings) in house.panels.iter().zip(&visit.terminals_c) {
        for (pole, reading) in readings.iter().enumerate() {
            if let Some(c) = reading {
                spot(format!("{}/load:{}", panel.id, panel.poles[pole].space), *c);
            }
        }
    }
    for (leg, c) in visit.lugs_c.iter().flatten().enumerate() {
        spot(format!("{}/lug:{}", house.panels[0].id, leg_word(leg)), *c);
    }
    for (notes, truth) in visit.states.iter().zip(&loads.states) {
        for (leg, volts) in notes.legs_v.iter().flatten().enumerate() {
            let (panel, leg) = (house.panels[0].id, leg_word(leg));
            line(out, &format!("[[voltage]]\npanel = \"{panel}\"\nleg = \"{leg}\"\nvolts = {volts:.1}"));
            line(out, &format!("instrument = \"{METER}\"\nstate = \"{}\"\n", truth.name));
        }
    }
}

fn write_drops(out: &mut String, house: &House, visit: &Visit, last: &str) {
    for drop in &visit.drops {
        let panel = &house.panels[drop.panel];
        let from = match drop.from {
            DropFrom::Tap(tap) => format!("{}/load:{}", panel.id, panel.poles[tap].space),
            DropFrom::Lug => format!("{}/lug:{}", panel.id, leg_word(panel.poles[drop.pole].leg)),
        };
        let to = format!("{}/load:{}", panel.id, panel.poles[drop.pole].space);
        line(out, &format!("[[drop]]\nfrom = \"{from}\"\nto = \"{to}\"\nmv = {:.1}", drop.mv));
        line(out, &format!("amps = {:.1}\ninstrument = \"{METER}\"\nstate = \"{last}\"\n", drop.amps));
    }
}
