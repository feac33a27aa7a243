//! The sizes that a load leads to, each with its working or the reason why there is none.

use super::asks::{is_service, main_panel};
use super::loads::{Loads, loads};
use super::premises::service_a;
use codebook::load::{Method, Question};
use codebook::size::{
    self, Available, BoxContents, Conditions, Electrode, Fastener, Interrupting, Load, NoSize, Protection,
    Raceway, Run, Sized, Supply, Ungrounded,
};
use codebook::{Column, Law};
use model::Note;
use model::conductor::{Conductor, Metal, WireSize};
use model::dwelling::{Rating, Status, Use};
use model::job::Job;
use model::panel::Feed;
use model::working::Working;

/// What is wished, where the record does not say it or something else is to be tried.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Wish {
    /// Rating of the service, A.
    pub rating_a: Option<f64>,
    /// Metal of new conductors.
    pub metal: Option<Metal>,
    /// Air around the conductors, °C; 30 °C where nobody says otherwise.
    pub ambient_c: Option<f64>,
    /// Current-carrying conductors together; up to three where nobody says otherwise.
    pub n_carrying: Option<u32>,
    /// Length of the service conductors, one way, ft.
    pub length_ft: Option<f64>,
    /// Temperature of insulation and terminals, °C: 60, 75 or 90.
    pub insulation: Option<Column>,
    /// Temperature that the terminals are marked for.
    pub terminals: Option<Column>,
    /// Interrupting rating of the main, A.
    pub interrupting_a: Option<f64>,
    /// Wiring space of the cabinet at its fullest cross-section, and conductors and splices in it, in².
    pub fill_in2: Option<(f64, f64, f64)>,
    /// A box in which conductors are lengthened, and its volume as marked, in³, where it is known.
    pub splice_box: Option<(BoxContents, Option<f64>)>,
}

/// A size, or why there is none.
#[derive(Debug, Clone, PartialEq)]
pub struct SizeLine {
    /// What it is.
    pub title: String,
    /// The size as printed, or why there is none.
    pub result: Result<String, String>,
    /// How it came about.
    pub workings: Vec<Working>,
    /// Remarks.
    pub notes: Vec<Note>,
}

/// The sizes of a job.
#[derive(Debug, Clone, PartialEq)]
pub struct Sizes {
    /// Code, place and day in one line.
    pub law: String,
    /// Rating of the service that they are for, A.
    pub rating_a: Option<f64>,
    /// Sizes.
    pub lines: Vec<SizeLine>,
    /// What must be known for the others.
    pub questions: Vec<Question>,
}

fn question(subject: &str, ask: &str, why: &str) -> Question {
    Question { subject: subject.to_owned(), ask: ask.to_owned(), why: why.to_owned() }
}

/// Every size that the record allows, under a code.
pub fn sizes(law: &Law<'_>, job: &Job, wish: &Wish) -> Sizes {
    let mut draft = Draft { law, lines: Vec::new(), questions: Vec::new() };
    let rating_a = wish.rating_a.or_else(|| service_a(job));
    let all = loads(law, job);
    match rating_a {
        None => draft.questions.push(question(
            "service",
            "What rating is the service to have?",
            "service conductors, jumpers and electrode conductor follow from it",
        )),
        Some(rating_a) => draft.service(job, wish, rating_a, &all),
    }
    draft.fault(job, wish);
    draft.feeders(job, wish);
    draft.added(job, wish);
    draft.fill(wish);
    draft.splice_box(wish);
    Sizes { law: law.chosen().to_owned(), rating_a, lines: draft.lines, questions: draft.questions }
}

fn conditions(metal: Metal, wish: &Wish) -> Conditions {
    Conditions {
        ambient_c: wish.ambient_c.unwrap_or(30.0),
        n_carrying: wish.n_carrying.unwrap_or(3),
        insulation: wish.insulation.unwrap_or(Column::C75),
        terminals: Some(wish.terminals.unwrap_or(Column::C75)),
        ..Conditions::plain(metal)
    }
}

const fn metal_word(metal: Metal) -> &'static str {
    match metal {
        Metal::Copper => "copper",
        Metal::Aluminium => "aluminium",
        Metal::CopperCladAluminium => "copper-clad aluminium",
    }
}

/// Lines being gathered.
struct Draft<'l, 'b> {
    law: &'l Law<'b>,
    lines: Vec<SizeLine>,
    questions: Vec<Question>,
}

impl Draft<'_, '_> {
    /// Keeps a size and gives its value on.
    fn keep<T: Copy>(
        &mut self,
        title: String,
        sized: Result<Sized<T>, NoSize>,
        told: impl Fn(T) -> String,
    ) -> Option<T> {
        match sized {
            Ok(sized) => {
                let result = Ok(told(sized.value));
                self.lines.push(SizeLine { title, result, workings: sized.workings, notes: sized.notes });
                Some(sized.value)
            }
            Err(error) => {
                let why = match &error {
                    NoSize::Refused(refused) => format!("{refused}; {}", refused.hint()),
                    other => other.to_string(),
                };
                self.lines.push(SizeLine {
                    title,
                    result: Err(why),
                    workings: Vec::new(),
                    notes: Vec::new(),
                });
                None
            }
        }
    }

    fn service(&mut self, job: &Job, wish: &Wish, rating_a: f64, all: &Loads) {
        let law = self.law;
        let metals = match wish.metal {
            Some(metal) => vec![metal],
            None => vec![Metal::Copper, Metal::Aluminium],
        };
        let neutral = all
            .of_service()
            .filter(|row| matches!(row.method, Method::Standard | Method::TwoFamily))
            .find_map(|row| row.sheet.as_ref().ok()?.neutral.as_ref().map(|neutral| neutral.amps));
        if neutral.is_none() {
            self.questions.push(question(
                "grounded conductor",
                "The load by the standard method is not known yet: what is it asked for?",
                "the grounded conductor is sized for the neutral load",
            ));
        }
        for metal in metals {
            let word = metal_word(metal);
            let conditions = conditions(metal, wish);
            let chosen = size::dwelling_service(law, rating_a, &conditions, true);
            let title = format!("service conductors, {rating_a:.0} A, {word}");
            let Some(chosen) = self.keep(title, chosen, |one| one.size.to_string()) else { continue };
            let service = Ungrounded { size: chosen.size, metal, n_parallel: 1 };
            if let Some(amps) = neutral {
                let grounded = size::grounded_conductor(law, service, amps, &conditions);
                self.keep(format!("grounded conductor, {word}"), grounded, |one| one.to_string());
            }
            let jumper = size::bonding_jumper(law, service, Metal::Copper);
            self.keep(format!("main bonding jumper, copper, for {word} service conductors"), jumper, |one| {
                one.to_string()
            });
            for electrode in Electrode::ALL {
                let what = electrode.words();
                let title = format!("electrode conductor, copper, {what}, for {word} service conductors");
                let sized = size::electrode_conductor(law, service, Metal::Copper, electrode);
                self.keep(title, sized, |one| one.to_string());
            }
            if site_has_outdoor_service(job) {
                let ground = size::equipment_ground(law, rating_a, Metal::Copper, chosen.size, chosen.size);
                let title = format!(
                    "equipment ground of the feeder from the outdoor service disconnect, copper, {word} feeder"
                );
                self.keep(title, ground, |one| one.to_string());
            }
            let length =
                wish.length_ft.or(job.installation.service.entrance_length.map(|length| length.feet()));
            let amps = all
                .of_service()
                .filter_map(|row| row.sheet.as_ref().ok())
                .map(|sheet| sheet.amps)
                .reduce(f64::max);
            match (length, amps, super::premises::system(job)) {
                (Some(length_ft), Some(amps), Some(system)) => {
                    let wire = (chosen.size, metal, Raceway::Nonmagnetic);
                    let drop = size::voltage_drop(law, wire, length_ft, amps, system.leg_to_leg_v(), 1.0);
                    self.keep(format!("voltage drop of the service conductors, {word}"), drop, |one| {
                        format!("{:.2} V, {:.2} %", one.volts, one.percent)
                    });
                }
                _ => self.ask_once(question(
                    "voltage drop",
                    "How long are the service conductors from the meter to the panel, and what is the load?",
                    "the drop follows from length, size and load",
                )),
            }
            for (fastener, what) in [(Fastener::SlotLarge, "slotted"), (Fastener::HexOther, "hex")] {
                let title =
                    format!("torque of {what} lugs for {}, {word}, where the label is gone", chosen.size);
                let torque = size::torque(law, chosen.size, fastener);
                self.keep(title, torque, |one| format!("{one:.0} lb-in"));
            }
        }
    }

    fn ask_once(&mut self, question: Question) {
        if !self.questions.contains(&question) {
            self.questions.push(question);
        }
    }

    fn fault(&mut self, job: &Job, wish: &Wish) {
        let supply = supply(job);
        let Some(supply) = supply else {
            self.questions.push(question(
                "fault current",
                "What fault current does the utility give for this service, or what stands on the transformer: kVA and impedance?",
                "the interrupting rating must not be below what can be there",
            ));
            return;
        };
        let runs = runs(job);
        let available = size::available(self.law, supply, &runs);
        let title = "available fault current at the line terminals".to_owned();
        let Some(available) =
            self.keep(title, available, |one| format!("{:.0} to {:.0} A", one.least_a, one.most_a))
        else {
            return;
        };
        match wish.interrupting_a.or(job.premises.site().interrupting_a) {
            Some(rating_a) => {
                let sized = size::interrupting(self.law, available, rating_a);
                self.keep(format!("interrupting rating of {rating_a:.0} A"), sized, |one| {
                    match one {
                        Interrupting::Enough => "enough",
                        Interrupting::TooLow => "too low",
                        Interrupting::NotTold => "not told by what is known: ask the utility",
                    }
                    .to_owned()
                });
            }
            None => self.questions.push(question(
                "interrupting rating",
                "What interrupting rating is marked on the main?",
                "it is held against the available fault current",
            )),
        }
    }

    /// Feeders to sub-panels, as they are: for their breaker, as a part of the dwelling's load.
    fn feeders(&mut self, job: &Job, wish: &Wish) {
        for panel in job.installation.panels.iter().filter(|panel| !is_service(panel)) {
            let fed = panel.sections.iter().find_map(|section| match &section.feed {
                Feed::Breaker { slot } => Some((slot, &section.feeder)),
                _ => None,
            });
            let Some((slot, feeder)) = fed else { continue };
            let Some(breaker) = job.installation.breaker_at(slot) else { continue };
            let rating_a = breaker.rating.a();
            let metal = wish.metal.or(feeder.metal).unwrap_or(Metal::Copper);
            let put = size::dwelling_service(self.law, rating_a, &conditions(metal, wish), false);
            let title = format!("feeder of panel {}, {rating_a:.0} A, {}", panel.id, metal_word(metal));
            let Some(chosen) = self.keep(title, put, |one| one.size.to_string()) else { continue };
            let ground = size::equipment_ground(self.law, rating_a, metal, chosen.size, chosen.size);
            self.keep(format!("equipment ground of the feeder of panel {}", panel.id), ground, |one| {
                one.to_string()
            });
        }
    }

    /// Circuits of what is added, each on its own circuit.
    fn added(&mut self, job: &Job, wish: &Wish) {
        let volts = super::premises::system(job).map_or(240.0, model::System::leg_to_leg_v);
        for appliance in &job.premises.appliances {
            let item = &appliance.item;
            if item.status != Status::Added {
                continue;
            }
            let Some(amps) = item.rating.as_ref().and_then(|rating| amps(rating, volts)) else {
                self.questions.push(question(
                    &item.name,
                    "What does the nameplate say, in amperes or watts?",
                    "its circuit is sized for it",
                ));
                continue;
            };
            // Vehicle supply runs for hours; what else does, a person must say.
            let continuous = item.kind == Use::Ev;
            let load = Load {
                noncontinuous_a: if continuous { 0.0 } else { amps },
                continuous_a: if continuous { amps } else { 0.0 },
            };
            let metal = wish.metal.unwrap_or(Metal::Copper);
            // Terminals of small circuits are taken at 60 °C: their mark is not known.
            let put = Conditions { terminals: wish.terminals, ..conditions(metal, wish) };
            let title = format!(
                "circuit of {}, {amps:.1} A{}",
                item.name,
                if continuous { ", continuous" } else { "" }
            );
            let Some(size) = self.keep(title, size::conductor(self.law, load, &put), |one| one.to_string())
            else {
                continue;
            };
            let Some(ampacity) = size::ampacity(self.law, size, &put, amps).ok() else { continue };
            let wire = Protection { size, metal, ampacity_a: ampacity.value, several_receptacles: false };
            let breaker = size::protection(self.law, &wire);
            let title = format!("largest breaker for {size} of {}", item.name);
            let Some(rating_a) = self.keep(title, breaker, |one| format!("{one:.0} A")) else { continue };
            let ground = size::equipment_ground(self.law, rating_a, metal, size, size);
            self.keep(format!("equipment ground of {}", item.name), ground, |one| one.to_string());
        }
    }

    fn fill(&mut self, wish: &Wish) {
        if let Some((space, wires, splices)) = wish.fill_in2 {
            let fill = size::cabinet(self.law, space, wires, splices);
            self.keep("fill of the cabinet with splices".to_owned(), fill, |one| {
                let fits = if one.fits { "fits" } else { "does not fit" };
                format!("{:.0} % conductors, {:.0} % in all: {fits}", one.conductors_percent, one.all_percent)
            });
        }
    }

    fn splice_box(&mut self, wish: &Wish) {
        if let Some((contents, marked_in3)) = &wish.splice_box {
            let volume = size::box_volume(self.law, contents);
            self.keep("volume of a box for splices".to_owned(), volume, |one| {
                let needs = format!("{one:.2} in³ needed");
                match marked_in3 {
                    Some(marked) if one <= *marked => format!("{needs}: {marked} in³ is enough"),
                    Some(marked) => format!("{needs}: {marked} in³ is too small"),
                    None => needs,
                }
            });
        }
    }
}

/// What is in a box for splices: conductors as `12x4, 14x2` (size and number), grounds as `12x3` (largest size, and how
/// many in all), and whether it has clamps inside.
///
/// # Errors
/// What of it cannot be read, and what would be right.
pub fn box_contents(conductors: &str, grounds: &str, clamps: bool) -> Result<BoxContents, String> {
    let pair = |text: &str| -> Result<(WireSize, u32), String> {
        let wrong = || format!("`{}` is no size and number: write `12x4`", text.trim());
        let (size, count) = text.trim().split_once(['x', 'X', '×']).ok_or_else(wrong)?;
        let count: u32 = count.trim().parse().map_err(|_| wrong())?;
        if !(1..=MOST_IN_A_BOX).contains(&count) {
            return Err(format!("{count} conductors in one box cannot be: 1 to {MOST_IN_A_BOX}"));
        }
        Ok((size.parse().map_err(|_| wrong())?, count))
    };
    let conductors = conductors
        .split(',')
        .filter(|part| !part.trim().is_empty())
        .map(pair)
        .collect::<Result<Vec<_>, _>>()?;
    if conductors.is_empty() {
        return Err("no conductor is named: write `12x4, 14x2`".to_owned());
    }
    let grounds = if grounds.trim().is_empty() { None } else { Some(pair(grounds)?) };
    Ok(BoxContents { conductors, grounds, clamps, yokes: Vec::new() })
}

/// More conductors of one size are a slip of the finger.
const MOST_IN_A_BOX: u32 = 60;

fn site_has_outdoor_service(job: &Job) -> bool {
    job.premises.site().outdoor == Some(model::site::Outdoor::ServiceDisconnect)
}

/// Amperes of a nameplate between the legs; of a motor in horsepower nothing, for its table is the code's.
fn amps(rating: &Rating, volts: f64) -> Option<f64> {
    match rating {
        Rating::Va(va) => Some(va / volts),
        Rating::Kw(kw) => Some(kw * 1000.0 / volts),
        Rating::Amps { amps, .. } => Some(*amps),
        Rating::Hp { .. } => None,
    }
}

/// What feeds the service: the utility's figure, else the transformer's plate.
fn supply(job: &Job) -> Option<Supply> {
    let service = &job.installation.service;
    if let Some(most_a) = job.premises.site().fault_a {
        // The least is not told with it; the figure itself bounds what can be there.
        return Some(Supply::Told { least_a: most_a, most_a });
    }
    let kva = service.transformer_kva?;
    // Where the plate was not read the range of what is usual for such transformers is taken.
    let (least, most) = service.transformer_impedance_pct.map_or((1.5, 3.0), |percent| (percent, percent));
    Some(Supply::Transformer { kva, impedance_least_percent: least, impedance_most_percent: most })
}

/// The conductors on the way, as far as size, metal and length are on record. Without them the current is the larger.
fn runs(job: &Job) -> Vec<Run> {
    let service = &job.installation.service;
    if job.premises.site().fault_a.is_some() {
        return Vec::new();
    }
    let run = |conductor: &Conductor, length: Option<model::Length>| {
        let (size, metal, length) = (conductor.size?, conductor.metal?, length?);
        let known = !matches!(size, WireSize::Awg(16 | 18));
        known.then(|| Run {
            size,
            metal,
            length_ft: length.feet(),
            n_parallel: 1,
            raceway: Raceway::Nonmagnetic,
        })
    };
    let drop = run(&service.drop, service.drop_length);
    drop.into_iter().chain(run(&service.entrance, service.entrance_length)).collect()
}

/// The fault current that can be there, as told or computed; nothing where neither is possible.
pub(super) fn told_or_computed(law: &Law<'_>, job: &Job) -> Option<Available> {
    // The panel must be there for anything to end at it.
    main_panel(&job.installation)?;
    size::available(law, supply(job)?, &runs(job)).ok().map(|sized| sized.value)
}
