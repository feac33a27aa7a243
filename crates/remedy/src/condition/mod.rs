//! What a rule of the policy may ask for, and whether it holds.

mod explained;
mod wording;

use crate::growth::{self, Grown};
use crate::measured_heat::{self, Beyond, furthest};
use crate::situation::{JointGroup, JointView, LegsRead, Situation};
use crate::words::{self, CauseWord, ComplaintWord, MetalWord, SignWord, percent};
use explained::Explanation;
use model::evidence::{Observed, TemperatureReading};
use model::id::Slot;
use model::job::ComplaintKind;
use model::panel::Panel;
use model::place::Place;
use serde::Deserialize;

/// One condition, as written in the policy file.
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
pub(crate) enum Condition {
    /// Largest probability of burnt.
    Burnt(JointProbability),
    /// Largest probability of worn or burnt.
    WornOrBurnt(JointProbability),
    /// Expected number of burnt joints among the suspect ones.
    ExpectedBurnt(JointProbability),
    /// Median heat in the most loaded state seen.
    HeatNow(JointHeat),
    /// Median heat at the breaker's rating.
    HeatRated(JointHeat),
    /// Median of the hottest metal.
    HotSpot(JointHotSpot),
    /// One of these signs was found.
    Sign(Vec<SignWord>),
    /// One of these complaints was made.
    Complaint(Vec<ComplaintWord>),
    /// One of these causes is probable.
    Cause(CauseProbability),
    /// These causes together explain one of these complaints.
    Explained(Explanation),
    /// These causes together do not explain one of these complaints.
    NotExplained(Explanation),
    /// A path of the supply is failing.
    SupplyFailing(PathProbability),
    /// One of these complaints was made, and the legs were not all read to neutral since.
    LegsNotReadSince(Vec<ComplaintWord>),
    /// A measured leg-to-neutral voltage is outside limits.
    LegVoltage(VoltageLimits),
    /// The two legs of a panel were measured far apart in one state.
    LegsApart(ApartLimit),
    /// A breaker face was measured hot.
    FaceTemperature(FaceLimit),
    /// A lug, a load terminal or the neutral bar was measured hot.
    MetalTemperature(MetalLimit),
    /// A measured drop over a pole stands for more heat than a sound one makes.
    DropHeat(DropLimit),
    /// The same across a load terminal.
    TerminalDrop(DropLimit),
    /// The same across a line lug.
    LugDrop(DropLimit),
    /// A drop grew between two visits.
    DropGrown(GrowthLimit),
    /// Two poles of one breaker are unlike in warmth at like load.
    PolesApart(PolesLimit),
    /// A face is warmer over the room than a sound pole may make it at its load.
    FaceHeat(RiseLimit),
    /// A lug or a load terminal is warmer than a sound one may be at its load, and than what else was read in its panel.
    MetalHeat(RiseLimit),
    /// A reading is on record, or none is, that nothing else there explains.
    Unexplained(bool),
    /// Water marks were found, or were looked for and not found.
    Moisture(bool),
    /// Metal of the bus.
    BusMetal(MetalWord),
    /// A breaker of another make.
    OtherMake(bool),
    /// A panel without one single main.
    NoSingleMain(bool),
    /// Few free spaces.
    FullPanel(FreeSpaces),
    /// At least one holds.
    Any(Vec<Condition>),
    /// Does not hold.
    Not(Box<Condition>),
}

/// Joints and a probability or number.
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct JointProbability {
    joints: Vec<JointGroup>,
    at_least: f64,
}

/// Joints and watts.
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct JointHeat {
    joints: Vec<JointGroup>,
    at_least_w: f64,
}

/// Joints and a temperature.
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct JointHotSpot {
    joints: Vec<JointGroup>,
    at_least_c: f64,
}

/// Causes and a probability.
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct CauseProbability {
    is: Vec<CauseWord>,
    at_least: f64,
}

/// Paths of the supply and a probability.
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct PathProbability {
    path: Vec<String>,
    at_least: f64,
}

/// Limits of a leg's voltage.
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct VoltageLimits {
    below_v: f64,
    above_v: f64,
}

/// A difference of two legs to neutral.
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct ApartLimit {
    at_least_v: f64,
}

/// A temperature of a face.
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct FaceLimit {
    at_least_c: f64,
}

/// A temperature of metal behind the dead front.
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct MetalLimit {
    at_least_c: f64,
}

/// Heat that a drop over a pole stands for, beyond that of a sound pole.
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct DropLimit {
    sound_mv: f64,
    beyond_w: f64,
}

/// Warmth over the room, beyond that of something sound at its load.
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct RiseLimit {
    rise_at_rating_k: f64,
    beyond_k: f64,
}

/// Growth of a drop between two visits.
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct GrowthLimit {
    at_least_mv: f64,
}

/// A difference of two poles of a breaker, at currents that are like each other within a share.
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct PolesLimit {
    at_least_k: f64,
    currents_within: f64,
}

/// A number of spaces.
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct FreeSpaces {
    free_spaces_below: u16,
}

/// A face that was measured so hot.
fn hot_face<'a>(situation: &Situation<'a>, limit: &FaceLimit) -> Option<&'a TemperatureReading> {
    situation.job.observations.iter().find_map(|observation| match &observation.what {
        Observed::Temperature(reading) => (reading.place.is_outside()
            && reading.place.slot().is_some()
            && limit.at_least_c <= reading.value.c())
        .then_some(reading),
        _ => None,
    })
}

/// The face that is furthest beyond a sound one, and whether it was felt by hand.
fn warm_face<'a>(situation: &Situation<'a>, limit: &RiseLimit) -> Option<(Beyond<'a, Slot>, bool)> {
    let job = situation.job;
    let read = furthest(measured_heat::faces(job, limit.rise_at_rating_k), limit.beyond_k);
    let felt = furthest(measured_heat::felt_faces(job, limit.rise_at_rating_k), limit.beyond_k);
    let both = read.map(|face| (face, false)).into_iter().chain(felt.map(|face| (face, true)));
    both.max_by(|(one, _), (other, _)| one.beyond.total_cmp(&other.beyond))
}

/// The drop that grew most, where it grew by so much.
fn grown<'a>(situation: &Situation<'a>, limit: &GrowthLimit) -> Option<Grown<'a>> {
    growth::most(situation).filter(|grown| limit.at_least_mv <= grown.by_mv)
}

/// A drop across a lug or a terminal, in words.
fn across(situation: &Situation<'_>, drop: &Beyond<'_, &Place>) -> String {
    let Beyond { at, state, current_a, read, beyond } = drop;
    format!(
        "{read:.0} mV across {} at {current_a:.1} A in the state “{state}”, about {beyond:.0} W more than a sound one loses",
        words::place_label(&situation.job.installation, at)
    )
}

/// The hottest metal, where it was measured so hot.
fn hot_metal<'a>(situation: &Situation<'a>, limit: &MetalLimit) -> Option<&'a TemperatureReading> {
    measured_heat::hottest_metal(situation.job).filter(|metal| limit.at_least_c <= metal.value.c())
}

/// Why a condition makes no sense.
pub(crate) struct Senseless {
    pub(crate) what: String,
    pub(crate) hint: String,
}

const PATHS: [&str; 4] = ["leg A", "leg B", "leg C", "neutral"];

impl Condition {
    /// Does the condition make sense at all?
    pub(crate) fn check(&self) -> Result<(), Senseless> {
        let senseless = |what: String, hint: &str| Err(Senseless { what, hint: hint.to_owned() });
        match self {
            Condition::Burnt(asked) | Condition::WornOrBurnt(asked) => {
                joints_named(&asked.joints)?;
                probability(asked.at_least)
            }
            Condition::ExpectedBurnt(asked) => {
                joints_named(&asked.joints)?;
                positive("at_least", asked.at_least)
            }
            Condition::HeatNow(asked) | Condition::HeatRated(asked) => {
                joints_named(&asked.joints)?;
                positive("at_least_w", asked.at_least_w)
            }
            Condition::HotSpot(asked) => {
                joints_named(&asked.joints)?;
                positive("at_least_c", asked.at_least_c)
            }
            Condition::Cause(asked) if asked.is.is_empty() => {
                senseless("no cause is named".to_owned(), "write `is = [\"overload\"]`")
            }
            Condition::Cause(asked) => probability(asked.at_least),
            Condition::Explained(asked) | Condition::NotExplained(asked) => asked.check(),
            Condition::SupplyFailing(asked) => {
                let unknown = asked.path.iter().find(|path| !PATHS.contains(&path.as_str()));
                match unknown {
                    Some(path) => senseless(
                        format!("`{path}` is not a path of the supply"),
                        "the paths are leg A, leg B, leg C, neutral",
                    ),
                    None if asked.path.is_empty() => {
                        senseless("no path is named".to_owned(), "write `path = [\"neutral\"]`")
                    }
                    None => probability(asked.at_least),
                }
            }
            Condition::LegVoltage(limits) if limits.above_v <= limits.below_v => senseless(
                format!("`below_v = {}` is not under `above_v = {}`", limits.below_v, limits.above_v),
                "the lower limit comes first, for example below_v = 105.0, above_v = 130.0",
            ),
            Condition::LegsApart(asked) => positive("at_least_v", asked.at_least_v),
            Condition::DropGrown(asked) => positive("at_least_mv", asked.at_least_mv),
            Condition::PolesApart(asked) => positive("at_least_k", asked.at_least_k)
                .and_then(|()| positive("currents_within", asked.currents_within)),
            Condition::DropHeat(asked) | Condition::TerminalDrop(asked) | Condition::LugDrop(asked) => {
                positive("sound_mv", asked.sound_mv).and_then(|()| positive("beyond_w", asked.beyond_w))
            }
            Condition::FaceHeat(asked) | Condition::MetalHeat(asked) => {
                positive("rise_at_rating_k", asked.rise_at_rating_k)
                    .and_then(|()| positive("beyond_k", asked.beyond_k))
            }
            Condition::Sign(signs) if signs.is_empty() => {
                senseless("no sign is named".to_owned(), "name at least one sign")
            }
            Condition::Complaint(kinds) | Condition::LegsNotReadSince(kinds) if kinds.is_empty() => {
                senseless("no complaint is named".to_owned(), "name at least one complaint")
            }
            Condition::Any(conditions) if conditions.is_empty() => {
                senseless("`any` of nothing never holds".to_owned(), "put conditions into it, or take it out")
            }
            Condition::Any(conditions) => conditions.iter().try_for_each(Condition::check),
            Condition::Not(condition) => condition.check(),
            _ => Ok(()),
        }
    }

    /// Where it points at, if it holds by a reading at one place.
    pub(crate) fn place(&self, situation: &Situation<'_>) -> Option<Place> {
        let job = situation.job;
        match self {
            Condition::FaceTemperature(limit) => hot_face(situation, limit).map(|face| face.place.clone()),
            Condition::DropHeat(limit) => {
                let drops = measured_heat::drops(job, limit.sound_mv);
                furthest(drops, limit.beyond_w).map(|drop| Place::Load(drop.at))
            }
            Condition::TerminalDrop(limit) => {
                furthest(measured_heat::terminal_drops(job, limit.sound_mv), limit.beyond_w)
                    .map(|drop| drop.at.clone())
            }
            Condition::LugDrop(limit) => {
                furthest(measured_heat::lug_drops(job, limit.sound_mv), limit.beyond_w)
                    .map(|drop| drop.at.clone())
            }
            Condition::DropGrown(limit) => grown(situation, limit).map(|grown| grown.place.clone()),
            Condition::PolesApart(limit) => {
                let apart =
                    furthest(measured_heat::poles_apart(job, limit.currents_within), limit.at_least_k);
                apart.map(|Beyond { at: [warm, _], .. }| Place::Face(warm))
            }
            Condition::FaceHeat(limit) => warm_face(situation, limit).map(|(face, _)| Place::Face(face.at)),
            Condition::MetalHeat(limit) => {
                let metal = measured_heat::metal(job, limit.rise_at_rating_k);
                furthest(metal, limit.beyond_k).map(|metal| metal.at.clone())
            }
            Condition::MetalTemperature(limit) => {
                hot_metal(situation, limit).map(|metal| metal.place.clone())
            }
            Condition::Unexplained(true) => match &situation.unexplained()?.what {
                Observed::Temperature(reading) => Some(reading.place.clone()),
                Observed::Drop(reading) => Some(job.far_end(reading).clone()),
                _ => None,
            },
            Condition::Any(all) => all.iter().find_map(|condition| condition.place(situation)),
            _ => None,
        }
    }

    /// Does it speak of the supply, by a voltage or by a complaint that points before the panel?
    pub(crate) fn is_of_supply(&self) -> bool {
        let points_before = |kinds: &[ComplaintWord]| {
            kinds.iter().all(|one| matches!(one.0, ComplaintKind::DimBright | ComplaintKind::HalfHouse))
        };
        match self {
            Condition::LegVoltage(_) | Condition::LegsApart(_) => true,
            Condition::Complaint(kinds) | Condition::LegsNotReadSince(kinds) => points_before(kinds),
            Condition::NotExplained(asked) => points_before(&asked.complaint),
            Condition::Any(all) => all.iter().any(Condition::is_of_supply),
            _ => false,
        }
    }

    /// Does it hang on what was found of joints or supply, beside what is on record?
    pub(crate) fn hangs_on_joints(&self) -> bool {
        match self {
            Condition::Burnt(_)
            | Condition::WornOrBurnt(_)
            | Condition::ExpectedBurnt(_)
            | Condition::HeatNow(_)
            | Condition::HeatRated(_)
            | Condition::HotSpot(_)
            | Condition::Explained(_)
            | Condition::NotExplained(_)
            | Condition::SupplyFailing(_) => true,
            Condition::Sign(_)
            | Condition::Complaint(_)
            | Condition::Cause(_)
            | Condition::LegsNotReadSince(_)
            | Condition::LegVoltage(_)
            | Condition::LegsApart(_)
            | Condition::FaceTemperature(_)
            | Condition::MetalTemperature(_)
            | Condition::DropHeat(_)
            | Condition::TerminalDrop(_)
            | Condition::LugDrop(_)
            | Condition::DropGrown(_)
            | Condition::PolesApart(_)
            | Condition::FaceHeat(_)
            | Condition::MetalHeat(_)
            | Condition::Unexplained(_)
            | Condition::Moisture(_)
            | Condition::BusMetal(_)
            | Condition::OtherMake(_)
            | Condition::NoSingleMain(_)
            | Condition::FullPanel(_) => false,
            Condition::Any(all) => all.iter().any(Condition::hangs_on_joints),
            Condition::Not(one) => one.hangs_on_joints(),
        }
    }

    /// Does it hold? With the figures that make it hold, as part of a sentence.
    pub(crate) fn holds(&self, situation: &Situation<'_>) -> Option<String> {
        match self {
            Condition::Burnt(asked) => worst(situation, asked, |view| view.burnt(), "burnt"),
            Condition::WornOrBurnt(asked) => {
                worst(situation, asked, |view| view.worn_or_burnt(), "worn or burnt")
            }
            Condition::ExpectedBurnt(asked) => {
                let suspect = situation.suspect(|group| asked.joints.contains(&group));
                let expected: f64 = suspect.iter().map(|view| view.burnt()).sum();
                (asked.at_least <= expected)
                    .then(|| format!("{expected:.1} burnt joints are expected among the suspect ones"))
            }
            Condition::HeatNow(asked) => hottest(situation, &asked.joints, asked.at_least_w, |view| {
                view.finding.heat_now_w.map(|heat| heat.median)
            })
            .map(|(view, watts)| format!("about {watts:.1} W in {} in the most loaded state", view.label)),
            Condition::HeatRated(asked) => hottest(situation, &asked.joints, asked.at_least_w, |view| {
                Some(view.finding.heat_rated_w.median)
            })
            .map(|(view, watts)| format!("about {watts:.1} W in {} at the breaker's rating", view.label)),
            Condition::HotSpot(asked) => hottest(situation, &asked.joints, asked.at_least_c, |view| {
                view.finding.hot_spot_c.map(|spot| spot.median)
            })
            .map(|(view, celsius)| format!("the hottest metal in {} near {celsius:.0} °C", view.label)),
            Condition::Sign(signs) => {
                let found = |reading: &&model::evidence::SignReading| signs.contains(&SignWord(reading.sign));
                let reading = situation.signs_found().find(found)?;
                Some(format!("{} was found", words::sign_phrase(reading.sign)))
            }
            Condition::Complaint(kinds) => {
                let wanted = |kind| kinds.contains(&ComplaintWord(kind));
                let complaint = situation.job.complaints.iter().find(|complaint| wanted(complaint.kind))?;
                Some(format!("complaint: {}", complaint.kind.word()))
            }
            Condition::Cause(asked) => {
                let found = asked.is.iter().filter_map(|word| situation.cause(word.0));
                let (_, cause) =
                    found.max_by(|(_, one), (_, other)| one.probability.total_cmp(&other.probability))?;
                (asked.at_least <= cause.probability)
                    .then(|| format!("cause: {}, {}", cause.cause.phrase(), percent(cause.probability)))
            }
            Condition::Explained(asked) => asked.explained(situation),
            Condition::NotExplained(asked) => asked.not_explained(situation),
            Condition::SupplyFailing(asked) => {
                let (path, failing) =
                    situation.supply_failing(|path| asked.path.iter().any(|one| one == path))?;
                (asked.at_least <= failing)
                    .then(|| format!("the supply path “{path}” is probably failing ({})", percent(failing)))
            }
            Condition::LegsNotReadSince(kinds) => {
                let complaint = situation.legs_not_read_since(|kind| kinds.contains(&ComplaintWord(kind)))?;
                Some(format!("complaint: {}, the legs not yet read to neutral", complaint.kind.word()))
            }
            Condition::LegVoltage(limits) => {
                let outside = |volts: f64| volts < limits.below_v || limits.above_v < volts;
                let (volts, state) = situation.leg_voltages().find(|(volts, _)| outside(*volts))?;
                Some(format!("{volts:.1} V from a leg to neutral in the state “{state}”"))
            }
            Condition::LegsApart(limit) => {
                let apart = |one: &LegsRead<'_>| limit.at_least_v <= (one.volts[0] - one.volts[1]).abs();
                let LegsRead { panel, state, volts: [a, b] } = situation.legs_read().find(apart)?;
                Some(format!(
                    "{a:.1} V on leg A and {b:.1} V on leg B of panel {panel} in the state “{state}”"
                ))
            }
            Condition::DropHeat(limit) => {
                let drops = measured_heat::drops(situation.job, limit.sound_mv);
                let Beyond { at, state, current_a, read, beyond } = furthest(drops, limit.beyond_w)?;
                Some(format!(
                    "{read:.0} mV over the pole of space {} at {current_a:.1} A in the state “{state}”, about {beyond:.0} W more than a \
                     sound pole loses",
                    at.space
                ))
            }
            Condition::TerminalDrop(limit) => {
                let drops = measured_heat::terminal_drops(situation.job, limit.sound_mv);
                Some(across(situation, &furthest(drops, limit.beyond_w)?))
            }
            Condition::LugDrop(limit) => {
                let drops = measured_heat::lug_drops(situation.job, limit.sound_mv);
                Some(across(situation, &furthest(drops, limit.beyond_w)?))
            }
            Condition::DropGrown(limit) => {
                let Grown { first, last, place, by_mv } = grown(situation, limit)?;
                Some(format!(
                    "the drop to {} grew by {by_mv:.0} mV at equal load: {} on {}, {} on {}",
                    words::place_label(&situation.job.installation, place),
                    first.reading,
                    first.day,
                    last.reading,
                    last.day
                ))
            }
            Condition::PolesApart(limit) => {
                let apart = measured_heat::poles_apart(situation.job, limit.currents_within);
                let Beyond { at: [warm, cool], state, current_a, read, beyond } =
                    furthest(apart, limit.at_least_k)?;
                Some(format!(
                    "the face of space {} at {read:.0} °C with {current_a:.1} A in the state “{state}”, {beyond:.0} K warmer than that of \
                     space {} of the same breaker at like current",
                    warm.space, cool.space
                ))
            }
            Condition::FaceHeat(limit) => {
                let (Beyond { at, state, current_a, read, beyond }, is_felt) = warm_face(situation, limit)?;
                let how = if is_felt { "felt at no less than" } else { "at" };
                Some(format!(
                    "the face of space {} {how} {read:.0} °C with {current_a:.1} A in the state “{state}”, {beyond:.0} K warmer than a \
                     sound pole may be at that load",
                    at.space
                ))
            }
            Condition::MetalHeat(limit) => {
                let metal = measured_heat::metal(situation.job, limit.rise_at_rating_k);
                let Beyond { at, state, current_a, read, beyond } = furthest(metal, limit.beyond_k)?;
                Some(format!(
                    "{} at {read:.0} °C with {current_a:.1} A in the state “{state}”, {beyond:.0} K warmer than a sound one may be at that \
                     load",
                    words::place_label(&situation.job.installation, at)
                ))
            }
            Condition::FaceTemperature(limit) => hot_face(situation, limit).and_then(|reading| {
                let slot = reading.place.slot()?;
                Some(format!("the face of space {} measured at {:.0} °C", slot.space, reading.value.c()))
            }),
            Condition::MetalTemperature(limit) => hot_metal(situation, limit).map(|reading| {
                format!(
                    "{} measured at {:.0} °C in the state “{}”",
                    words::place_label(&situation.job.installation, &reading.place),
                    reading.value.c(),
                    reading.state
                )
            }),
            Condition::Unexplained(wanted) => match situation.unexplained() {
                Some(seen) if *wanted => Some(format!(
                    "{} fits nothing else on record",
                    words::reading_label(&situation.job.installation, &seen.what)
                )),
                None if !wanted => Some("no reading is at odds with all others".to_owned()),
                _ => None,
            },
            Condition::Moisture(wanted) => (situation.is_wet() == *wanted)
                .then(|| if *wanted { "water marks were found" } else { "no water marks" }.to_owned()),
            Condition::BusMetal(metal) => {
                let panels = &situation.job.installation.panels;
                let panel = panels.iter().find(|panel| panel.bus.metal == Some(metal.0))?;
                Some(format!("the bus of panel {} is of the metal named", panel.id))
            }
            Condition::OtherMake(wanted) => {
                let mut breakers = situation.job.installation.breakers();
                match breakers.find(|(_, breaker)| breaker.other_make == Some(true)) {
                    Some((_, breaker)) if *wanted => {
                        Some(format!("breaker {} is of another make", words::spaces_label(breaker)))
                    }
                    None if !wanted => Some("no breaker of another make is recorded".to_owned()),
                    _ => None,
                }
            }
            Condition::NoSingleMain(wanted) => match situation.without_single_main().next() {
                Some(panel) if *wanted => Some(format!("panel {} has no single main", panel.id)),
                None if !wanted => Some("every panel has one single main".to_owned()),
                _ => None,
            },
            Condition::FullPanel(asked) => {
                let free = |panel: &Panel| {
                    let taken = |number: &u16| {
                        panel
                            .breakers
                            .iter()
                            .any(|breaker| breaker.spaces.iter().any(|space| space.number == *number))
                    };
                    (1..=panel.n_spaces).filter(|number| !taken(number)).count()
                };
                let mut panels = situation.job.installation.panels.iter();
                let panel = panels.find(|panel| free(panel) < usize::from(asked.free_spaces_below))?;
                Some(format!("panel {} has {} free spaces", panel.id, free(panel)))
            }
            Condition::Any(conditions) => conditions.iter().find_map(|condition| condition.holds(situation)),
            Condition::Not(condition) => condition
                .holds(situation)
                .is_none()
                .then(|| format!("it is not so that {}", condition.words())),
        }
    }
}

/// Do all of them hold? With their figures; an exception that does not apply has none worth telling beside them.
pub(crate) fn figures(when: &[Condition], situation: &Situation<'_>) -> Option<String> {
    let all: Vec<(&Condition, String)> =
        when.iter().map(|one| Some((one, one.holds(situation)?))).collect::<Option<_>>()?;
    let is_exception = |one: &Condition| matches!(one, Condition::Not(_));
    let has_others = all.iter().any(|(one, _)| !is_exception(one));
    let told = all.into_iter().filter(|(one, _)| !has_others || !is_exception(one));
    let told: Vec<String> = told.map(|(_, figures)| figures).collect();
    Some(told.join("; "))
}

fn worst(
    situation: &Situation<'_>,
    asked: &JointProbability,
    probability: impl Fn(&JointView<'_>) -> f64,
    condition: &str,
) -> Option<String> {
    let mut found: Vec<(&JointView<'_>, f64)> = situation
        .joints
        .iter()
        .filter(|view| asked.joints.contains(&view.group))
        .map(|view| (view, probability(view)))
        .filter(|(_, probability)| asked.at_least <= *probability)
        .collect();
    found.sort_by(|(_, one), (_, other)| other.total_cmp(one));
    let named = found.iter().take(3);
    let likely = situation.thresholds().likely_burnt;
    let named: Vec<String> = named
        .map(|(view, probability)| {
            let how = if likely <= *probability { "is likely" } else { "may be" };
            format!("{} {how} {condition} ({})", view.label, percent(*probability))
        })
        .collect();
    match found.len() {
        0 => None,
        number if named.len() < number => {
            Some(format!("{} and {} more", named.join(", "), number - named.len()))
        }
        _ => Some(words::listed(&named)),
    }
}

fn hottest<'s, 'a>(
    situation: &'s Situation<'a>,
    joints: &[JointGroup],
    at_least: f64,
    value: impl Fn(&JointView<'a>) -> Option<f64>,
) -> Option<(&'s JointView<'a>, f64)> {
    let among = situation.joints.iter().filter(|view| joints.contains(&view.group));
    let found = among.filter_map(|view| value(view).map(|value| (view, value)));
    found.filter(|(_, value)| at_least <= *value).max_by(|(_, one), (_, other)| one.total_cmp(other))
}

fn joints_named(joints: &[JointGroup]) -> Result<(), Senseless> {
    if joints.is_empty() {
        let hint = "write `joints = [\"stab\"]`".to_owned();
        return Err(Senseless { what: "no joints are named".to_owned(), hint });
    }
    Ok(())
}

fn probability(value: f64) -> Result<(), Senseless> {
    if 0.0 < value && value <= 1.0 {
        return Ok(());
    }
    let hint = "a probability is above 0 and at most 1; 50 % is 0.5".to_owned();
    Err(Senseless { what: format!("`at_least = {value}` is not a probability"), hint })
}

fn positive(name: &str, value: f64) -> Result<(), Senseless> {
    if 0.0 < value && value.is_finite() {
        return Ok(());
    }
    Err(Senseless {
        what: format!("`{name} = {value}` always holds or never"),
        hint: "write a number above 0".to_owned(),
    })
}

#[cfg(test)]
mod tests;
