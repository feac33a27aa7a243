//! Invented facts that fit together, drawn from a string of numbers.

mod built;
mod offer;
mod replacement;

use jiff::civil::{Date, DateTime};
use model::breaker::{Attachment, Handle, LoadClass, Protection};
use model::conductor::{EntrySide, Metal, Plating, WireSize};
use model::dwelling::{Rating, Status, UseKind, Wires};
use model::evidence::{ClampPlace, Feel, Sign, SignScope, Surface, TemperatureMethod};
use model::isolation::{Disconnect, MovedTo, Part, ProofPoint};
use model::job::{CallAnswer, ComplaintKind, Condition, Exposure};
use model::panel::Mounting;
use model::place::Place;
use model::plan::{Alarms, Answer, KeptWhat, PromiseKind};
use model::service::SupplyPath;
use model::site::{Area, Outdoor, PlannedWork, ThreeWireNeutral};
use model::{FactId, JointId, Leg, PanelId, SectionId, Slot, Space, System};
use record::fact::*;
use record::text::AsText;

/// Draws choices from numbers, over and over.
pub(crate) struct Dice<'a> {
    numbers: &'a [u32],
    next: usize,
}

impl<'a> Dice<'a> {
    pub(crate) fn new(numbers: &'a [u32]) -> Self {
        Dice { numbers, next: 0 }
    }

    /// A number below `n`.
    fn below(&mut self, n: usize) -> usize {
        let number = self.numbers[self.next % self.numbers.len()];
        // Turned a little each round, so that a short string of numbers does not repeat itself.
        let turned = number.rotate_left((self.next / self.numbers.len()) as u32 * 7);
        self.next += 1;
        turned as usize % n
    }

    fn coin(&mut self) -> bool {
        self.below(2) == 1
    }

    fn of<T: Clone>(&mut self, all: &[T]) -> T {
        all[self.below(all.len())].clone()
    }

    fn maybe<T>(&mut self, draw: impl FnOnce(&mut Self) -> T) -> Option<T> {
        if self.coin() { Some(draw(self)) } else { None }
    }

    /// A number from `low` to `high` with one decimal.
    fn tenths(&mut self, low: f64, high: f64) -> f64 {
        let steps = ((high - low) * 10.0) as usize;
        ((low * 10.0).round() + self.below(steps + 1) as f64) / 10.0
    }

    fn words(&mut self) -> String {
        self.of(&[
            "",
            "plain",
            "with \"quotes\" and \\",
            "zwölf\nlines",
            "tab\tand '''quotes'''",
            "  blanks  ",
            "# no remark",
        ])
        .to_owned()
    }

    fn name(&mut self) -> String {
        self.of(&["JD", "spot 1", "Größe \"2\"", "a = b", "electrician"]).to_owned()
    }

    fn temperature(&mut self) -> TemperatureAs {
        if self.coin() {
            TemperatureAs::C(self.tenths(-10.0, 150.0))
        } else {
            TemperatureAs::F(self.tenths(20.0, 300.0))
        }
    }

    fn length(&mut self) -> LengthAs {
        if self.coin() {
            LengthAs::In(self.tenths(3.0, 40.0))
        } else {
            LengthAs::Mm(self.tenths(80.0, 900.0))
        }
    }

    fn conductor(&mut self) -> ConductorDescribed {
        let sizes = [WireSize::Awg(14), WireSize::Awg(10), WireSize::Aught(2), WireSize::Kcmil(250)];
        ConductorDescribed {
            size: self.maybe(|dice| AsText(dice.of(&sizes))),
            metal: self.maybe(|dice| AsText(dice.of(&[Metal::Copper, Metal::Aluminium]))),
            insulation: self.maybe(Self::name),
            free_length: self.maybe(Self::length),
            entry: self.maybe(|dice| AsText(dice.of(&[EntrySide::Top, EntrySide::Back]))),
            entry_down: self.maybe(Self::length),
            colour: self.maybe(Self::name),
        }
    }
}

/// Begins the hash of every invented photo.
const PICTURE: &str = "0f";

const OPENED: Date = Date::constant(2026, 3, 4);

/// Facts of a job, all of which fit together.
pub(crate) fn facts(dice: &mut Dice<'_>) -> Vec<Fact> {
    let mut facts = Facts { all: Vec::new(), everybody: dice.maybe(Dice::name) };
    facts.job(dice);
    let panels = facts.panels(dice);
    facts.readings(dice, &panels);
    facts.course(dice, &panels);
    facts.isolation(dice, &panels);
    facts.plan(dice, &panels);
    facts.replacement(dice, &panels);
    facts.install(dice, &panels);
    facts.offer(dice);
    facts.premises(dice);
    facts.corrections(dice);
    facts.all
}

struct Facts {
    all: Vec<Fact>,
    everybody: Option<String>,
}

/// What readings need to know of a panel.
struct Known {
    id: PanelId,
    system: System,
    poles: Vec<Space>,
}

impl Known {
    fn slot(&self, dice: &mut Dice<'_>) -> Slot {
        Slot::new(self.id.clone(), dice.of(&self.poles))
    }
}

impl Facts {
    fn add(&mut self, dice: &mut Dice<'_>, base: DateTime, body: impl Into<Body>) -> FactId {
        let at = match dice.below(3) {
            0 => OPENED.at(14, dice.below(60) as i8, dice.below(60) as i8, 0),
            _ => base,
        };
        let by = self.everybody.clone().or_else(|| dice.maybe(Dice::name));
        let mut fact = Fact::new(at, by, Vec::new(), body.into());
        if dice.below(4) == 0 {
            fact.id = AsText(FactId::new(format!("own-{}", self.all.len())));
        }
        let id = fact.id().clone();
        if self.all.iter().all(|other| *other.id() != id) {
            self.all.push(fact);
        }
        id
    }

    fn start() -> DateTime {
        OPENED.at(0, 0, 0, 0)
    }

    fn job(&mut self, dice: &mut Dice<'_>) {
        let body = JobOpened {
            job: "2026-017".to_owned(),
            invented: dice.coin(),
            place: if dice.coin() { dice.name() } else { String::new() },
            town: if dice.coin() { dice.name() } else { String::new() },
            owner: if dice.coin() { dice.name() } else { String::new() },
            opened: OPENED,
        };
        self.add(dice, Self::start(), body);
        let reached = AsText(dice.of(&[Exposure::CoverOff, Exposure::ProvenDead]));
        self.add(dice, Self::start(), ExposureReached { reached });
        if dice.coin() {
            let body = ServiceDescribed {
                rating_a: dice.maybe(|dice| dice.of(&[100.0, 200.0])),
                transformer_kva: dice.maybe(|dice| dice.tenths(10.0, 50.0)),
                path: dice.maybe(|dice| AsText(dice.of(&[SupplyPath::Overhead, SupplyPath::Underground]))),
                drop: dice.conductor(),
                drop_length: dice.maybe(|dice| LengthAs::Ft(dice.tenths(1.0, 90.0))),
                entrance: dice.conductor(),
                entrance_length: dice.maybe(|dice| LengthAs::M(dice.tenths(1.0, 9.0))),
                electrode_ohm: dice.maybe(|dice| dice.tenths(2.0, 90.0)),
                meter: dice.maybe(Dice::words),
                other_sources: if dice.coin() { vec![dice.words(), dice.words()] } else { Vec::new() },
                ..ServiceDescribed::default()
            };
            self.add(dice, Self::start(), Box::new(body));
        }
    }

    fn panels(&mut self, dice: &mut Dice<'_>) -> Vec<Known> {
        let systems = [System::SplitPhase, System::TwoLegsOfWye, System::ThreePhaseWye];
        let system = dice.of(&systems);
        let main = PanelId::new("main");
        let n_spaces = 2 * (8 + dice.below(14) as u16);
        let feeder_at = Space::whole(1);
        let split = dice.coin();
        let sections = if split {
            let cut = 4 + dice.below(3) as u16;
            let feeds = [FeedDescribed::Lugs, FeedDescribed::MainBreaker { rating_a: 100.0 }];
            vec![
                section("upper", [1, cut], dice.of(&feeds), dice.conductor()),
                section(
                    "lower",
                    [cut + 1, n_spaces / 2],
                    FeedDescribed::Breaker(AsText(Slot::new(main.clone(), feeder_at))),
                    dice.conductor(),
                ),
            ]
        } else {
            let feeds = [FeedDescribed::Lugs, FeedDescribed::MainBreaker { rating_a: 200.0 }];
            vec![section("bus", [1, n_spaces / 2], dice.of(&feeds), dice.conductor())]
        };
        let first = self.panel(dice, &main, system, n_spaces, 2, sections);
        let mut known = vec![self.breakers(dice, &main, system, n_spaces, 2, 3)];
        let feeds_sub = !split && dice.coin();
        self.feeder(dice, &main, system, split || feeds_sub, first);
        known[0].poles.extend((0..system.legs().len() as u16).map(|pole| Space::whole(1 + 2 * pole)));
        if feeds_sub {
            let sub = PanelId::new("sub.2");
            let feed = FeedDescribed::Breaker(AsText(Slot::new(main, feeder_at)));
            let sections = vec![section("bus", [1, 9], feed, dice.conductor())];
            self.panel(dice, &sub, system, 9, 1, sections);
            known.push(self.breakers(dice, &sub, system, 9, 1, 0));
        }
        known.retain(|known| !known.poles.is_empty());
        known
    }

    fn panel(
        &mut self,
        dice: &mut Dice<'_>,
        id: &PanelId,
        system: System,
        spaces: u16,
        columns: u8,
        sections: Vec<SectionDescribed>,
    ) -> DateTime {
        let body = PanelDescribed {
            panel: AsText(id.clone()),
            place: if dice.coin() { dice.name() } else { String::new() },
            system: AsText(system),
            spaces,
            columns,
            first_leg: AsText(dice.of(system.legs())),
            bus: BusDescribed {
                metal: dice.maybe(|dice| AsText(dice.of(&[Metal::Copper, Metal::Aluminium]))),
                plating: dice.maybe(|dice| AsText(dice.of(&[Plating::Bare, Plating::Tin]))),
                rating_a: dice.maybe(|dice| dice.of(&[100.0, 225.0])),
            },
            cabinet: CabinetDescribed {
                width: dice.maybe(Dice::length),
                height: None,
                depth: dice.maybe(Dice::length),
                mounting: dice.maybe(|dice| AsText(dice.of(&[Mounting::Surface, Mounting::FlushInsulated]))),
            },
            half_width: Some(HalfWidthDescribed::Everywhere),
            year: dice.maybe(|dice| 1960 + dice.below(50) as i16),
            moisture: dice.maybe(Dice::coin),
            sections,
        };
        let id = self.add(dice, Self::start(), Box::new(body));
        self.all.iter().find(|fact| *fact.id() == id).map_or(Self::start(), |fact| fact.at)
    }

    /// The breaker in spaces 1, 3 (and 5), which feeds a section or sub-panel where there is one.
    fn feeder(&mut self, dice: &mut Dice<'_>, id: &PanelId, system: System, feeds: bool, at: DateTime) {
        let spaces = (0..system.legs().len() as u16).map(|pole| AsText(Space::whole(1 + 2 * pole))).collect();
        let feeder = CircuitDescribed {
            feeds: "lower bus".to_owned(),
            class: Some(AsText(LoadClass::Feeder)),
            ..CircuitDescribed::default()
        };
        let circuit = if feeds { dice.maybe(|_| feeder) } else { None };
        let body = plain_breaker(dice, id, spaces, 60.0, circuit);
        self.add(dice, at, Box::new(body));
    }

    /// Single poles and halves from a row on, some spaces left free.
    fn breakers(
        &mut self,
        dice: &mut Dice<'_>,
        id: &PanelId,
        system: System,
        spaces: u16,
        columns: u16,
        first_row: u16,
    ) -> Known {
        let mut poles = Vec::new();
        for number in first_row * columns + 1..=spaces {
            let taken: Vec<Space> = match dice.below(4) {
                0 => vec![Space::whole(number)],
                1 => vec!["a", "b"]
                    .into_iter()
                    .map(|half| format!("{number}{half}").parse().expect("a half"))
                    .collect(),
                _ => continue,
            };
            for space in taken {
                let circuit = dice.maybe(|dice| CircuitDescribed {
                    feeds: dice.words(),
                    class: dice.maybe(|dice| {
                        AsText(dice.of(&[LoadClass::General, LoadClass::Spare, LoadClass::Motor]))
                    }),
                    conductor: dice.conductor(),
                    partner: None,
                    uses_neutral: dice.maybe(Dice::coin),
                    doubled: dice.maybe(Dice::coin),
                });
                // Nothing said at all is what a left-out circuit is.
                let circuit = circuit.filter(|circuit| *circuit != CircuitDescribed::default());
                let rating = dice.of(&[15.0, 20.0, 22.5]);
                let body = plain_breaker(dice, id, vec![AsText(space)], rating, circuit);
                self.add(dice, Self::start(), Box::new(body));
                poles.push(space);
            }
        }
        Known { id: id.clone(), system, poles }
    }

    fn readings(&mut self, dice: &mut Dice<'_>, panels: &[Known]) {
        let mut states: Vec<(String, DateTime)> = Vec::new();
        for name in ["as found", "dryer \"on\"", "all off"].iter().take(1 + dice.below(3)) {
            let body = LoadStateHeld {
                name: (*name).to_owned(),
                words: dice.words(),
                held_min: dice.maybe(|dice| dice.tenths(0.0, 90.0)),
                room: dice.maybe(|dice| TemperatureAs::C(dice.tenths(5.0, 30.0))),
                unloaded: Vec::new(),
            };
            let id = self.add(dice, Self::start(), body);
            let at = self.all.iter().find(|fact| *fact.id() == id).map_or(Self::start(), |fact| fact.at);
            states.push(((*name).to_owned(), at));
        }
        if panels.is_empty() {
            return;
        }
        for _ in 0..dice.below(30) {
            let panel = &panels[dice.below(panels.len())];
            let (state, at) = dice.of(&states);
            let leg = dice.of(panel.system.legs());
            let body = reading(dice, panel, leg, state);
            self.add(dice, at, body);
        }
    }

    fn course(&mut self, dice: &mut Dice<'_>, panels: &[Known]) {
        let Some(panel) = panels.first() else { return };
        let start = Self::start();
        for _ in 0..dice.below(8) {
            let slot = panel.slot(dice);
            let body: Body = match dice.below(8) {
                0 => ComplaintMade {
                    of: AsText(dice.of(&ComplaintKind::ALL)),
                    slot: dice.maybe(|_| AsText(slot)),
                    words: dice.words(),
                }
                .into(),
                1 => PhotoTaken { sha256: PICTURE.repeat(32), words: dice.words(), slot: Some(AsText(slot)) }
                    .into(),
                2 => DecisionMade { words: dice.words(), declined: dice.coin() }.into(),
                3 => WorkDone {
                    kind_of_work: WorkKind::StopGap,
                    words: dice.words(),
                    slots: vec![AsText(slot)],
                    moved_to: if dice.coin() { vec![AsText(panel.slot(dice))] } else { Vec::new() },
                    expires: Some(Date::constant(2026, 6, 1)),
                    recheck: Some(Date::constant(2026, 5, 1)),
                }
                .into(),
                4 => WorkDone {
                    kind_of_work: WorkKind::Lasting,
                    words: dice.words(),
                    slots: Vec::new(),
                    moved_to: Vec::new(),
                    expires: None,
                    recheck: None,
                }
                .into(),
                5 => CallTaken {
                    answers: vec![AsText(CallAnswer {
                        question: "smell".to_owned(),
                        answer: dice.of(&["now", "earlier", "no-2"]).to_owned(),
                    })],
                    words: dice.words(),
                }
                .into(),
                6 if self.all.iter().any(|fact| matches!(fact.body, Body::Photo(_))) => PhotoPinned {
                    photo: PICTURE.repeat(32),
                    x: dice.tenths(0.0, 1.0),
                    y: dice.tenths(0.0, 1.0),
                    slot: dice.maybe(|_| AsText(slot)),
                    words: dice.words(),
                }
                .into(),
                _ => JointOpened {
                    joint: AsText(JointId::Stab(slot)),
                    found: AsText(dice.of(&Condition::ALL)),
                    words: dice.words(),
                }
                .into(),
            };
            self.add(dice, start, body);
        }
    }

    fn isolation(&mut self, dice: &mut Dice<'_>, panels: &[Known]) {
        let Some(panel) = panels.first() else { return };
        for minute in 0..dice.below(8) as i8 {
            let slot = panel.slot(dice);
            let body: Body = match dice.below(4) {
                0 => HandleMoved {
                    what: AsText(Disconnect::Breaker(slot)),
                    to: AsText(dice.of(&[MovedTo::On, MovedTo::Off])),
                }
                .into(),
                1 => UtilityCutMade { restored: dice.coin(), words: dice.name() }.into(),
                2 => {
                    let found = dice.coin();
                    SourceLooked {
                        source: dice.name(),
                        found,
                        cut: found && dice.coin(),
                        looked: dice.name(),
                    }
                    .into()
                }
                _ => {
                    let part =
                        if dice.coin() { Part::LineLugs(panel.id.clone()) } else { Part::Branch(slot) };
                    let (leg, neutral, ground) =
                        (ProofPoint::Leg(Leg::A), ProofPoint::Neutral, ProofPoint::Ground);
                    let mut pairs = vec![(neutral, ground), (leg, neutral), (leg, ground)];
                    pairs.truncate(1 + dice.below(3));
                    let readings = pairs
                        .into_iter()
                        .map(|pair| PairRead { pair: AsText(pair), volts: dice.tenths(0.0, 130.0) })
                        .collect();
                    DeadProven {
                        part: AsText(part),
                        tester: dice.name(),
                        live_before: dice.maybe(|dice| dice.tenths(0.0, 250.0)),
                        live_after: dice.maybe(|dice| dice.tenths(0.0, 250.0)),
                        readings,
                    }
                    .into()
                }
            };
            self.add(dice, OPENED.at(16, minute, 0, 0), body);
        }
    }

    /// A plan until the replacement, a promise, and what was done of them.
    fn plan(&mut self, dice: &mut Dice<'_>, panels: &[Known]) {
        let Some(panel) = panels.first().filter(|_| dice.coin()) else { return };
        let day = |month| Date::constant(2027, month, 1);
        let body = InterimPlanned {
            off: if dice.coin() { vec![AsText(panel.slot(dice))] } else { Vec::new() },
            limits: if dice.coin() { vec!["no-heaters".to_owned()] } else { Vec::new() },
            limits_words: dice.words(),
            done: dice.words(),
            watch: vec!["smell".to_owned(), "buzz".to_owned()],
            watch_words: dice.words(),
            alarms: AsText(dice.of(&[Alarms::Tested, Alarms::Failed, Alarms::NoneThere, Alarms::NotTested])),
            alarms_words: dice.words(),
            medical: dice.name(),
            food: dice.name(),
            heat: dice.name(),
            expires: day(3),
            recheck: day(2),
            replacement: dice.maybe(|_| day(3)),
            slip: vec!["call".to_owned()],
            answer: AsText(dice.of(&[Answer::Accepted, Answer::Declined])),
            answer_words: dice.name(),
            answer_by: dice.name(),
            reasons: dice.words(),
        };
        self.add(dice, OPENED.at(16, 30, 0, 0), Box::new(body));
        let Some(of) = self.all.last().map(|fact| fact.id.clone()) else { return };
        let of_kind = AsText(dice.of(&[PromiseKind::Promise, PromiseKind::LookBack]));
        let promise = PromiseGiven { of_kind, words: dice.name(), due: day(4) };
        self.add(dice, OPENED.at(16, 31, 0, 0), promise);
        let what =
            AsText(dice.of(&[KeptWhat::Recheck, KeptWhat::End, KeptWhat::LookBack, KeptWhat::Promise]));
        let words = dice.name();
        self.add(dice, OPENED.at(16, 32, 0, 0), DueKept { of, what, words });
    }

    /// The adopted code, a dwelling with appliances, a measured demand, the site.
    fn premises(&mut self, dice: &mut Dice<'_>) {
        let day = |month| Date::constant(2024, month, 1);
        let plate = |dice: &mut Dice<'_>| {
            AsText(match dice.below(4) {
                0 => Rating::Va(dice.tenths(0.0, 9000.0)),
                1 => Rating::Kw(dice.tenths(0.5, 20.0)),
                2 => Rating::Amps { amps: dice.tenths(1.0, 60.0), volts: 240.0 },
                _ => Rating::Hp { hp: "1/2".to_owned(), volts: 115.0 },
            })
        };
        let mut bodies: Vec<Body> = Vec::new();
        if dice.coin() {
            let edition =
                |edition, month| EditionTaken { edition, from: day(month), document: "Ord. 1".to_owned() };
            let amendment = |dice: &mut Dice<'_>| AmendmentMade {
                rule: dice.name(),
                edition: 2020,
                from: day(3),
                to: dice.of(&[AmendedAs::Absent, AmendedAs::Number(125.5), AmendedAs::Word("x".to_owned())]),
                document: dice.name(),
                section: "5".to_owned(),
                note: dice.words(),
            };
            bodies.push(
                CodeAdopted {
                    place: dice.name(),
                    editions: if dice.coin() {
                        vec![edition(2017, 1), edition(2020, 2)]
                    } else {
                        vec![edition(2023, 1)]
                    },
                    amendments: if dice.coin() { vec![amendment(dice)] } else { Vec::new() },
                    permit: dice.maybe(|_| day(5)),
                }
                .into(),
            );
        }
        for unit in ["", "upper"].into_iter().take(dice.below(3)) {
            let limit = |dice: &mut Dice<'_>| dice.tenths(10.0, 100.0);
            let group = ManagedDescribed {
                name: dice.name(),
                limit_a: dice.maybe(limit),
                listed: dice.maybe(Dice::coin),
            };
            bodies.push(
                DwellingDescribed {
                    unit: unit.to_owned(),
                    floor_ft2: dice.maybe(|dice| dice.tenths(200.0, 6000.0)),
                    adaptable_ft2: dice.maybe(|dice| dice.tenths(0.0, 900.0)),
                    adaptable_garage_ft2: dice.maybe(|dice| dice.tenths(0.0, 600.0)),
                    small_appliance_circuits: dice.maybe(|dice| dice.below(6) as u32),
                    laundry_circuits: dice.maybe(|dice| dice.below(3) as u32),
                    managed: if dice.coin() { vec![group] } else { Vec::new() },
                }
                .into(),
            );
        }
        for idx in 0..dice.below(4) {
            let what =
                dice.of(&[UseKind::Range, UseKind::Heat, UseKind::HeatPump, UseKind::Ev, UseKind::Appliance]);
            let (heat, pump) = (what == UseKind::Heat, what == UseKind::HeatPump);
            bodies.push(
                ApplianceDescribed {
                    name: format!("thing {idx}"),
                    unit: dice.of(&["", "upper"]).to_owned(),
                    what: AsText(what),
                    rating: dice.maybe(plate),
                    wires: dice.maybe(|dice| {
                        AsText(dice.of(&[Wires::LineToNeutral, Wires::LineToLine, Wires::Both]))
                    }),
                    motor: dice.maybe(plate),
                    controls: dice.maybe(|dice| 1 + dice.below(5) as u32).filter(|_| heat),
                    supplement: dice.maybe(plate).filter(|_| pump),
                    together: dice.maybe(Dice::coin).filter(|_| pump),
                    status: AsText(dice.of(&[Status::Existing, Status::Added, Status::Removed])),
                    managed: dice.maybe(Dice::name),
                }
                .into(),
            );
        }
        if dice.coin() {
            bodies.push(
                DemandMeasured {
                    least_kw: dice.tenths(1.0, 5.0),
                    most_kw: dice.tenths(5.0, 20.0),
                    interval_min: 60,
                    days: dice.maybe(|_| 31),
                    own_generation: dice.maybe(Dice::coin),
                    occupied: dice.maybe(Dice::coin),
                    season_included: dice.maybe(Dice::coin),
                    power_factor: dice.maybe(|_| 0.9),
                    words: dice.words(),
                }
                .into(),
            );
        }
        if dice.coin() {
            let circuit = CircuitPlanned {
                name: dice.name(),
                area: dice.maybe(|dice| AsText(dice.of(&[Area::Living, Area::Garage]))),
                amps: 20,
                is_120_v: dice.coin(),
                receptacles: dice.coin(),
            };
            let three = ThreeWireFound {
                name: dice.name(),
                neutral: dice
                    .maybe(|dice| AsText(dice.of(&[ThreeWireNeutral::Bare, ThreeWireNeutral::Insulated]))),
                metal: dice.maybe(|_| AsText(Metal::Copper)),
            };
            let site = SiteSeen {
                work: dice.maybe(|dice| AsText(dice.of(&[PlannedWork::None, PlannedWork::Relocate]))),
                outdoor: dice.maybe(|dice| AsText(dice.of(&[Outdoor::Nothing, Outdoor::Emergency]))),
                dwellings: dice.maybe(|dice| 1 + dice.below(3) as u32),
                service_a: dice.maybe(|dice| dice.tenths(60.0, 400.0)),
                surge: dice.maybe(Dice::coin),
                extension_ft: dice.maybe(|dice| dice.tenths(0.0, 40.0)),
                rods: dice.maybe(|dice| dice.below(3) as u32),
                fault_a: dice.maybe(|dice| dice.tenths(1000.0, 22_000.0)),
                new_circuits: if dice.coin() { vec![circuit] } else { Vec::new() },
                three_wire: if dice.coin() { vec![three] } else { Vec::new() },
                ..SiteSeen::default()
            };
            bodies.push(Box::new(site).into());
        }
        for body in bodies {
            self.add(dice, OPENED.at(17, 0, 0, 0), body);
        }
    }

    /// Some facts are said again a little later, and some taken back.
    fn corrections(&mut self, dice: &mut Dice<'_>) {
        for idx in 0..self.all.len() {
            if dice.below(8) != 0 {
                continue;
            }
            let old = self.all[idx].clone();
            let at = OPENED.at(17, (idx % 60) as i8, 0, 0);
            let body = match &old.body {
                Body::Temperature(_) | Body::Clamp(_) if dice.coin() => {
                    Retraction { words: dice.words() }.into()
                }
                Body::Job(job) => JobOpened { owner: "somebody else".to_owned(), ..job.clone() }.into(),
                body => body.clone(),
            };
            self.all.push(Fact::new(at, old.by.clone(), vec![old.id().clone()], body));
        }
    }
}

fn section(id: &str, rows: [u16; 2], feed: FeedDescribed, feeder: ConductorDescribed) -> SectionDescribed {
    SectionDescribed { id: AsText(SectionId::new(id)), rows, feed, feeder }
}

fn plain_breaker(
    dice: &mut Dice<'_>,
    panel: &PanelId,
    spaces: Vec<AsText<Space>>,
    rating_a: f64,
    circuit: Option<CircuitDescribed>,
) -> BreakerDescribed {
    BreakerDescribed {
        panel: AsText(panel.clone()),
        spaces,
        rating_a,
        protection: AsText(dice.of(&[Protection::ThermalMagnetic, Protection::ArcFault])),
        attachment: AsText(dice.of(&[Attachment::PlugOn, Attachment::BoltOn])),
        other_make: dice.maybe(Dice::coin),
        later: dice.maybe(Dice::coin),
        handle: AsText(dice.of(&[Handle::On, Handle::Off, Handle::Tripped])),
        circuit,
    }
}

fn reading(dice: &mut Dice<'_>, panel: &Known, leg: Leg, state: String) -> Body {
    let id = panel.id.clone();
    let slot = panel.slot(dice);
    let instrument = dice.maybe(Dice::name);
    match dice.below(8) {
        0 | 1 => {
            let plain = dice.coin();
            let metal = dice.coin();
            TemperatureTaken {
                place: AsText(if metal { Place::Lug(id, leg) } else { Place::Face(slot) }),
                value: dice.temperature(),
                method: AsText(if plain { TemperatureMethod::Infrared } else { TemperatureMethod::Contact }),
                surface: AsText(if metal && dice.coin() { Surface::BareMetal } else { Surface::Matte }),
                emissivity: if plain { None } else { Some(0.9) },
                reflected: if plain { None } else { Some(dice.temperature()) },
                instrument,
                state,
            }
            .into()
        }
        2 => TouchTaken {
            slot: AsText(slot),
            feel: AsText(dice.of(&[Feel::Warm, Feel::Pain])),
            void: dice.coin(),
            state,
        }
        .into(),
        3 | 4 => {
            let places = [
                ClampPlace::Pole(slot),
                ClampPlace::Line(id.clone(), leg),
                ClampPlace::Neutral(id.clone()),
                ClampPlace::Electrode(id),
            ];
            ClampTaken { place: AsText(dice.of(&places)), amps: dice.tenths(0.0, 60.0), instrument, state }
                .into()
        }
        5 => VoltageTaken {
            from: AsText(Place::Lug(id.clone(), leg)),
            to: AsText(Place::NeutralBar(id)),
            volts: dice.tenths(100.0, 130.0),
            instrument,
            state,
        }
        .into(),
        6 => DropTaken {
            from: AsText(Place::Load(slot.clone())),
            to: AsText(Place::Wire(slot)),
            mv: dice.tenths(0.1, 400.0),
            amps: dice.maybe(|dice| dice.tenths(0.1, 50.0)),
            instrument,
            state,
        }
        .into(),
        _ => {
            if dice.coin() {
                let state = dice.maybe(|_| state);
                let amps = dice.maybe(|dice| dice.tenths(1.0, 90.0));
                let after_min = dice.maybe(|dice| dice.tenths(0.1, 90.0));
                TripSeen { slot: AsText(slot), amps, after_min, state }.into()
            } else {
                let scopes = [
                    SignScope::Slot(slot),
                    SignScope::Leg(id.clone(), leg),
                    SignScope::Neutral(id.clone()),
                    SignScope::Panel(id),
                ];
                SignLookedFor {
                    sign: AsText(dice.of(&Sign::ALL)),
                    scope: AsText(dice.of(&scopes)),
                    seen: dice.coin(),
                    words: dice.words(),
                    photo: None,
                }
                .into()
            }
        }
    }
}
