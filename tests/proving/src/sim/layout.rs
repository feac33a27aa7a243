//! Draws an invented house: arrangement, panels, breakers, wires. Conditions are drawn in `truth`.

use super::dice::Dice;
use super::house::{
    Arrangement, House, Metal, SimBreaker, SimCabinet, SimFeed, SimPanel, SimPole, SimSection, TrueJoint,
    leg_word,
};
use super::wish::{Wish, heavy_wishes, light_wish, spare_wish};
use model::breaker::LoadClass;
use model::id::Half;
use model::job::Condition;
use model::panel::Mounting;
use model::{JointKind, Space};

/// Draws a house. Every joint is left sound at 0 mΩ until `truth::settle` has been over it.
pub(crate) fn draw_house(dice: &mut Dice, name: String) -> House {
    let arrangement =
        [Arrangement::MainBreaker, Arrangement::MainLugs, Arrangement::SplitBus, Arrangement::SubPanel]
            [dice.weighted(&[0.40, 0.15, 0.30, 0.15])];
    let garage = dice.chance(0.4);
    let room_c = if garage { dice.uniform(5.0, 35.0) } else { dice.uniform(16.0, 28.0) };
    let aluminium_wire = dice.chance(0.12);
    let mut panels = Vec::new();
    match arrangement {
        Arrangement::SubPanel => {
            let n_main = dice.pick(&[16, 20, 24, 30]);
            let n_sub = dice.pick(&[12, 12, 16]);
            let main_rating = dice.pick(&[100.0, 125.0, 200.0]);
            let mut main = Draft::new(dice, "main", n_main, aluminium_wire);
            main.section("bus", 0, n_main / 2 - 1, SimFeed::Main { rating_a: main_rating });
            let feeder_rating = dice.pick(&[50.0, 60.0]);
            let feeder = Wish::feeder(feeder_rating, "sub-panel");
            let breaker = main.place(dice, &feeder, 0..n_main / 2);
            main.fill(dice, 0..n_main / 2, true);
            let mut sub = Draft::new(dice, "sub", n_sub, aluminium_wire);
            sub.section(
                "bus",
                0,
                n_sub / 2 - 1,
                SimFeed::Breaker { panel: 0, breaker: breaker.unwrap_or(0) },
            );
            sub.fill(dice, 0..n_sub / 2, true);
            panels.push(main.finish(dice, garage, main_rating));
            panels.push(sub.finish(dice, garage, 100.0));
        }
        Arrangement::SplitBus => {
            let n_spaces = dice.pick(&[20, 24, 24, 30, 32, 40, 42]);
            let upper_rows = if n_spaces < 24 { 4 } else { dice.pick(&[4, 6, 6]) };
            let rating = dice.pick(&[100.0, 125.0, 150.0, 200.0]);
            let mut draft = Draft::new(dice, "main", n_spaces, aluminium_wire);
            draft.section("upper", 0, upper_rows - 1, SimFeed::Lugs);
            let lower_main = Wish::feeder(dice.pick(&[50.0, 60.0]), "lower section");
            let breaker = draft.place(dice, &lower_main, 0..upper_rows);
            let feed = SimFeed::Breaker { panel: 0, breaker: breaker.unwrap_or(0) };
            draft.section("lower", upper_rows, n_spaces / 2 - 1, feed);
            draft.fill_upper(dice, 0..upper_rows);
            draft.fill(dice, upper_rows..n_spaces / 2, false);
            panels.push(draft.finish(dice, garage, rating));
        }
        Arrangement::MainBreaker | Arrangement::MainLugs => {
            let n_spaces = dice.pick(&[12, 16, 20, 24, 24, 30, 32, 40, 42]);
            let rating = if n_spaces < 20 { 100.0 } else { dice.pick(&[100.0, 125.0, 150.0, 200.0, 200.0]) };
            let feed = if arrangement == Arrangement::MainBreaker {
                SimFeed::Main { rating_a: rating }
            } else {
                SimFeed::Lugs
            };
            let mut draft = Draft::new(dice, "main", n_spaces, aluminium_wire);
            draft.section("bus", 0, n_spaces / 2 - 1, feed);
            draft.fill(dice, 0..n_spaces / 2, true);
            panels.push(draft.finish(dice, garage, rating));
        }
    }
    let supply = dice.uniform(0.015, 0.05);
    let supply_ohm =
        [supply * dice.uniform(0.9, 1.1), supply * dice.uniform(0.9, 1.1), supply * dice.uniform(0.8, 1.3)];
    House { name, arrangement, panels, garage, room_c, supply_ohm }
}

/// A joint before its truth is drawn.
fn blank(id: String, kind: JointKind) -> TrueJoint {
    TrueJoint { id, kind, condition: Condition::Sound, mohm: 0.0 }
}

/// A panel in the making.
struct Draft {
    id: &'static str,
    n_spaces: u16,
    first_leg: usize,
    bus: Metal,
    half_width: bool,
    aluminium_wire: bool,
    /// Share of breakers of another make.
    other_make_share: f64,
    taken: Vec<bool>,
    sections: Vec<SimSection>,
    breakers: Vec<SimBreaker>,
}

impl Draft {
    fn new(dice: &mut Dice, id: &'static str, n_spaces: u16, aluminium_wire: bool) -> Self {
        Draft {
            id,
            n_spaces,
            first_leg: usize::from(dice.chance(0.15)),
            bus: if dice.chance(0.6) { Metal::Aluminium } else { Metal::Copper },
            half_width: dice.chance(0.3),
            aluminium_wire,
            other_make_share: if dice.chance(0.5) { 0.0 } else { dice.uniform(0.06, 0.3) },
            taken: vec![false; usize::from(n_spaces)],
            sections: Vec::new(),
            breakers: Vec::new(),
        }
    }

    fn section(&mut self, id: &'static str, first_row: u16, last_row: u16, feed: SimFeed) {
        let pair = |kind: JointKind, stem: String| {
            [0, 1].map(|leg| blank(format!("{}:{stem}:{}", self.id, leg_word(leg)), kind))
        };
        let lugs = (!matches!(feed, SimFeed::Breaker { .. })).then(|| pair(JointKind::Lug, "lug".to_owned()));
        let feeders = (feed != SimFeed::Lugs).then(|| pair(JointKind::Feeder, format!("feeder:{id}")));
        self.sections.push(SimSection { id, first_row, last_row, feed, lugs, feeders });
    }

    fn is_free(&self, number: u16) -> bool {
        self.taken.get(usize::from(number) - 1) == Some(&false)
    }

    /// Puts a breaker in free spaces of the rows, if there are any; returns its index.
    fn place(&mut self, dice: &mut Dice, wish: &Wish, rows: std::ops::Range<u16>) -> Option<usize> {
        let n_poles = wish.n_poles;
        let fits: Vec<u16> = rows
            .clone()
            .flat_map(|row| [2 * row + 1, 2 * row + 2])
            .filter(|&number| {
                (0..n_poles).all(|nth| {
                    let next = number + 2 * nth;
                    next <= 2 * rows.end && self.is_free(next)
                })
            })
            .collect();
        if fits.is_empty() {
            return None;
        }
        let first = dice.pick(&fits);
        let spaces: Vec<Space> = (0..n_poles).map(|nth| Space::whole(first + 2 * nth)).collect();
        for space in &spaces {
            self.taken[usize::from(space.number) - 1] = true;
        }
        Some(self.add(dice, wish, spaces))
    }

    fn add(&mut self, dice: &mut Dice, wish: &Wish, spaces: Vec<Space>) -> usize {
        let other_make = dice.chance(self.other_make_share);
        let later = dice.chance(if other_make { 0.85 } else { 0.1 });
        let arc_fault = wish.n_poles == 1 && later && wish.class == LoadClass::General && dice.chance(0.35);
        let small = wish.rating_a < 31.0;
        let wire = if self.aluminium_wire && small || !small && dice.chance(0.4) {
            Metal::Aluminium
        } else {
            Metal::Copper
        };
        let uses_neutral = match wish.class {
            LoadClass::Dryer | LoadClass::Cooking => dice.chance(0.8),
            LoadClass::Feeder => true,
            _ => wish.n_poles == 1,
        };
        let has_branch = !matches!(wish.class, LoadClass::Spare) && !wish.feeds_section;
        let neutral = (has_branch && uses_neutral)
            .then(|| blank(format!("{}:neutral:{}", self.id, spaces[0]), JointKind::Neutral));
        self.breakers.push(SimBreaker {
            spaces,
            rating_a: wish.rating_a,
            arc_fault,
            electronics_w: if arc_fault { dice.uniform(1.0, 2.0) } else { 0.0 },
            other_make,
            later,
            off: wish.class == LoadClass::Spare && dice.chance(0.7),
            class: wish.class,
            feeds: wish.feeds,
            partner: None,
            wire_awg: wire_for(wish.rating_a, wire),
            wire,
            uses_neutral,
            neutral,
        });
        self.breakers.len() - 1
    }

    /// Heavy two-pole circuits of an upper section; the rest of it stays open.
    fn fill_upper(&mut self, dice: &mut Dice, rows: std::ops::Range<u16>) {
        for wish in heavy_wishes(dice) {
            self.place(dice, &wish, rows.clone());
        }
    }

    fn fill(&mut self, dice: &mut Dice, rows: std::ops::Range<u16>, with_heavy: bool) {
        let n_here = 2 * (rows.end - rows.start);
        let target = (f64::from(n_here) * dice.uniform(0.7, 0.98)) as usize;
        let used = |draft: &Self| {
            (2 * rows.start..2 * rows.end).filter(|&idx| draft.taken[usize::from(idx)]).count()
        };
        if with_heavy {
            let n_most = usize::from(n_here) / 5;
            for wish in heavy_wishes(dice).into_iter().take(n_most.max(1)) {
                self.place(dice, &wish, rows.clone());
            }
        } else if dice.chance(0.3)
            && let Some(wish) = heavy_wishes(dice).first()
        {
            self.place(dice, wish, rows.clone());
        }
        let n_spares = usize::from(dice.whole(0, 2));
        for _ in 0..n_spares {
            let wish = spare_wish(dice);
            self.place(dice, &wish, rows.clone());
        }
        while used(self) < target {
            self.place_light(dice, rows.clone());
        }
    }

    /// One space for a light circuit: whole, halved between two, or with a multiwire partner below it.
    fn place_light(&mut self, dice: &mut Dice, rows: std::ops::Range<u16>) {
        let wish = light_wish(dice);
        let Some(breaker) = self.place(dice, &wish, rows.clone()) else { return };
        let number = self.breakers[breaker].spaces[0].number;
        let below = number + 2;
        if self.half_width && dice.chance(0.2) {
            let second = Wish { rating_a: wish.rating_a.min(20.0), ..light_wish(dice) };
            let half = |half| Space { number, half: Some(half) };
            self.breakers[breaker].spaces = vec![half(Half::Upper)];
            if let Some(neutral) = &mut self.breakers[breaker].neutral {
                neutral.id = format!("{}:neutral:{}", self.id, half(Half::Upper));
            }
            self.add(dice, &second, vec![half(Half::Lower)]);
        } else if dice.chance(0.12) && below <= 2 * rows.end && self.is_free(below) {
            self.taken[usize::from(below) - 1] = true;
            let mate = self.add(dice, &wish, vec![Space::whole(below)]);
            self.breakers[mate].partner = Some(Space::whole(number));
            self.breakers[breaker].partner = Some(Space::whole(below));
            self.breakers[mate].wire = self.breakers[breaker].wire;
            self.breakers[mate].wire_awg = self.breakers[breaker].wire_awg;
        }
    }

    fn finish(self, dice: &mut Dice, garage: bool, bus_rating_a: f64) -> SimPanel {
        let height_m = 0.22 + 0.0254 * f64::from(self.n_spaces / 2) + dice.uniform(0.0, 0.15);
        let mounting = match dice.weighted(if garage { &[0.5, 0.35, 0.15] } else { &[0.3, 0.4, 0.3] }) {
            0 => Mounting::Surface,
            1 => Mounting::Flush,
            _ => Mounting::FlushInsulated,
        };
        let sunlit = garage && dice.chance(0.15);
        let cabinet = SimCabinet {
            width_m: dice.uniform(0.30, 0.38),
            height_m,
            depth_m: dice.uniform(0.085, 0.11),
            mounting,
            door: dice.chance(0.6),
            sun_w: if sunlit { dice.uniform(8.0, 40.0) } else { 0.0 },
            n_zones: usize::from((self.n_spaces / 6).clamp(4, 8)),
        };
        let mut panel = SimPanel {
            id: self.id,
            n_spaces: self.n_spaces,
            bus: self.bus,
            bus_rating_a,
            first_leg: self.first_leg,
            half_width: self.half_width,
            moisture: dice.chance(0.12),
            cabinet,
            sections: self.sections,
            breakers: self.breakers,
            poles: Vec::new(),
            neutral_lug: blank(format!("{}:neutral:lug", self.id), JointKind::Neutral),
        };
        let feeding: Vec<usize> = panel
            .sections
            .iter()
            .filter_map(|section| match section.feed {
                SimFeed::Breaker { breaker, .. } if panel.sections.len() > 1 => Some(breaker),
                _ => None,
            })
            .collect();
        for (idx, breaker) in panel.breakers.iter().enumerate() {
            let has_terminal = !breaker.is_spare() && !feeding.contains(&idx) && breaker.feeds != "sub-panel";
            for &space in &breaker.spaces {
                let row = (space.number - 1) / 2;
                let at = |kind: JointKind| blank(format!("{}:{}:{space}", panel.id, kind.word()), kind);
                panel.poles.push(SimPole {
                    breaker: idx,
                    space,
                    row,
                    column: usize::from(space.number % 2 == 0),
                    leg: panel.leg_of_row(row),
                    section: panel.section_of_row(row),
                    stab: at(JointKind::Stab),
                    terminal: has_terminal.then(|| at(JointKind::Terminal)),
                    pole_mohm: 0.0,
                    coupling: [0.0; 4].map(|_: f64| dice.uniform(0.75, 1.25)),
                });
            }
        }
        panel
    }
}

/// Usual branch wire for a rating, AWG. Common practice: aluminium goes two gauge numbers up.
fn wire_for(rating_a: f64, metal: Metal) -> u8 {
    let copper = match rating_a {
        rating if rating < 16.0 => 14,
        rating if rating < 21.0 => 12,
        rating if rating < 31.0 => 10,
        rating if rating < 41.0 => 8,
        _ => 6,
    };
    if metal == Metal::Aluminium { copper - 2 } else { copper }
}
