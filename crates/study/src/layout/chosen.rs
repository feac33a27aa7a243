//! A layout that somebody chose, as a fact; a chosen one taken up again; what it would carry and warm up to.

use super::{LaidOut, LayoutAsk, Origin};
use model::job::Job;
use model::replacement::{ArrangedSeat, Arrangement, HeldFor, HeldSpaces, Seated};
use model::{FactId, PanelId, Slot, Space};
use record::fact::{CabinetDescribed, HalfWidthDescribed, LayoutChosen, LengthAs, SeatChosen, SpacesHeld};
use record::text::AsText;
use remedy::forecast::{Forecast, forecast};
use remedy::survey::KnownCircuit;
use std::collections::BTreeMap;

/// One of the layouts as the fact that it was chosen. `None`: there is no layout of that number.
pub fn chosen(laid_out: &LaidOut, plan: usize, words: &str) -> Option<LayoutChosen> {
    let arrangement = arrangement(laid_out, plan)?;
    let new = &arrangement.new;
    let seats = arrangement.seats.iter().map(|seat| {
        let (circuit, name) = match &seat.what {
            Seated::Circuit(slot) => (Some(AsText(slot.clone())), None),
            Seated::New(name) => (None, Some(name.clone())),
        };
        let to = seat.spaces.iter().copied().map(AsText).collect();
        SeatChosen { circuit, new: name, to, locked: seat.locked }
    });
    let held = arrangement.held.iter().map(|held| SpacesHeld {
        spaces: held.spaces.iter().copied().map(AsText).collect(),
        held_for: AsText(held.held_for),
    });
    let inches = |length: Option<model::Length>| length.map(|length| LengthAs::In(length.inches()));
    Some(LayoutChosen {
        panel: AsText(arrangement.panel.clone()),
        spaces: new.n_spaces,
        columns: new.n_columns,
        first_leg: AsText(new.first_leg),
        fed_at: new.fed_at.map(AsText),
        half_width: match &new.half_width {
            model::panel::HalfWidth::Nowhere => None,
            model::panel::HalfWidth::Everywhere => Some(HalfWidthDescribed::Everywhere),
            model::panel::HalfWidth::In(numbers) => Some(HalfWidthDescribed::In(numbers.clone())),
        },
        bus_rating_a: new.bus_rating.map(|rating| rating.a()),
        main_a: new.main.map(|rating| rating.a()),
        stab_limit_a: new.stab_limit.map(|limit| limit.a()),
        cabinet: CabinetDescribed {
            width: inches(new.cabinet.width),
            height: inches(new.cabinet.height),
            depth: inches(new.cabinet.depth),
            mounting: None,
        },
        seats: seats.collect(),
        held: held.collect(),
        aim: arrangement.aim,
        words: words.trim().to_owned(),
    })
}

/// One of the layouts as an arrangement that nobody has chosen yet.
fn arrangement(laid_out: &LaidOut, plan: usize) -> Option<Arrangement> {
    let (aim, layout) = laid_out.plans.get(plan)?;
    let mut seats = Vec::new();
    for it in 0..layout.seats.len() {
        let locked = laid_out.wish.blocks[it].locked.is_some();
        let places = laid_out.places(plan, it);
        let mut at = 0;
        for member in &laid_out.members[it] {
            let spaces = places.iter().skip(at).take(member.n_poles).map(|(space, _)| *space).collect();
            seats.push(ArrangedSeat { what: member.what.clone(), spaces, locked });
            at += member.n_poles;
        }
    }
    let columns = usize::from(laid_out.new.n_columns.max(1));
    let spares = layout.spares.iter().map(|&spare| HeldSpaces {
        spaces: [spare, spare + columns].into_iter().map(|number| Space::whole(number as u16)).collect(),
        held_for: HeldFor::Spare,
    });
    let asked = laid_out.wish.reserved.iter().map(|&number| Space::whole(number as u16));
    let is_held = |space: &Space| laid_out.held.iter().any(|held| held.spaces.contains(space));
    let other: Vec<Space> = asked.filter(|space| !is_held(space)).collect();
    let other = (!other.is_empty()).then_some(HeldSpaces { spaces: other, held_for: HeldFor::Other });
    Some(Arrangement {
        fact: FactId::new("not-chosen-yet"),
        at: model::DateTime::constant(2000, 1, 1, 0, 0, 0, 0),
        by: None,
        panel: laid_out.panel.clone(),
        new: laid_out.new.clone(),
        seats,
        held: laid_out.held.iter().cloned().chain(spares).chain(other).collect(),
        aim: aim.name.clone(),
        words: String::new(),
    })
}

/// The question whose answer a chosen layout is: its panel, its held places, and what was locked in it.
pub fn current_layout(job: &Job, panel: &PanelId, max_nodes: usize) -> Option<LayoutAsk> {
    let chosen = job.replacement.arrangement(panel)?;
    let mut ask = LayoutAsk::of_spaces(chosen.new.n_spaces);
    ask.panel = Some(panel.as_str().to_owned());
    ask.new = chosen.new.clone();
    ask.max_nodes = max_nodes;
    ask.spare_pairs = 0;
    for held in &chosen.held {
        match held.held_for {
            HeldFor::Spare => ask.spare_pairs += 1,
            HeldFor::Other => ask.reserved.extend(held.spaces.iter().map(|space| space.number)),
            named => ask.hold.push((named, held.spaces.iter().map(|space| space.number).collect())),
        }
    }
    // Two halves of one space are two circuits that share it.
    for (k, seat) in chosen.seats.iter().enumerate() {
        let shared = |other: &&ArrangedSeat| match (&other.spaces[..], &seat.spaces[..]) {
            ([one], [two]) => one.number == two.number,
            _ => false,
        };
        if let Seated::Circuit(second) = &seat.what
            && let Some(first) = chosen.seats[..k].iter().find(shared)
            && let Seated::Circuit(first) = &first.what
        {
            ask.share.push((first.space.number, second.space.number));
        }
    }
    let known = remedy::survey::circuits(job, panel);
    for seat in chosen.seats.iter().filter(|seat| seat.locked) {
        let (Some(origin), Some(first)) = (origin_of_seat(chosen, &known, seat), seat.spaces.first()) else {
            continue;
        };
        ask.locks.push((origin, first.number));
    }
    Some(ask)
}

/// By which circuit a seat is decided: of partners, which go in as one piece, by the first of the two alone.
pub(crate) fn origin_of_seat(
    chosen: &Arrangement,
    known: &[KnownCircuit],
    seat: &ArrangedSeat,
) -> Option<Origin> {
    let slot = match &seat.what {
        Seated::New(name) => return Some(Origin::New(name.clone())),
        Seated::Circuit(slot) => slot,
    };
    let partner = known.iter().find(|one| one.slot == *slot).and_then(|one| one.partner.flatten());
    let follows = partner.is_some_and(|partner| {
        partner < slot.space && chosen.seat(&Slot::new(slot.panel.clone(), partner)).is_some()
    });
    (!follows).then_some(Origin::Old(slot.space.number))
}

/// The question with one circuit put somewhere else: its place is then decided, whatever else moves for it.
pub fn moved_seat(ask: &LayoutAsk, from: &Origin, to: u16) -> LayoutAsk {
    let mut ask = ask.clone();
    ask.locks.retain(|(old, new)| old != from && *new != to);
    ask.locks.push((from.clone(), to));
    ask
}

/// Currents of legs and neutral, and temperatures, of a layout in each load state, by the networks of the diagnosis.
/// Where they have no answer, the reason.
pub fn forecasts(job: &Job, laid_out: &LaidOut, plan: usize) -> Vec<(String, Result<Forecast, String>)> {
    let Some(arrangement) = arrangement(laid_out, plan) else { return Vec::new() };
    let Some(panel) = remedy::rebuilt(job, &arrangement) else { return Vec::new() };
    let amps = |scenario: usize| -> BTreeMap<Space, f64> {
        let mut all = BTreeMap::new();
        for (it, block) in laid_out.wish.blocks.iter().enumerate() {
            let places: Vec<Space> = laid_out.places(plan, it).into_iter().map(|(space, _)| space).collect();
            for (k, pole) in block.poles.iter().enumerate() {
                let both = pole.demand.get(scenario).copied().unwrap_or(0);
                let second = pole.half.as_ref().map_or(0, |half| half.demand[scenario]);
                all.extend(places.get(k).map(|space| (*space, (both - second) as f64 / 10.0)));
                if pole.half.is_some() {
                    all.extend(places.get(k + 1).map(|space| (*space, second as f64 / 10.0)));
                }
            }
        }
        all
    };
    let names = laid_out.wish.scenarios.iter().enumerate();
    names.map(|(it, name)| (name.clone(), forecast(&job.installation, &panel, &amps(it)))).collect()
}
