//! What a rule of the policy may ask for, and whether it holds.

use crate::measured_heat::{self, Beyond, furthest};
use crate::situation::{JointGroup, JointView, LegsRead, Situation};
use crate::words::{self, CauseWord, ComplaintWord, MetalWord, SignWord, percent};
use model::evidence::{Observed, TemperatureReading};
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
    /// A path of the supply is failing.
    SupplyFailing(PathProbability),
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

impl Condition {
    /// What it asks for, in words.
    pub(crate) fn words(&self) -> String {
        let of = |joints: &[JointGroup]| {
            let names: Vec<&str> = joints.iter().map(|group| group.phrase()).collect();
            words::listed(&names)
        };
        let several = |all: &[&str]| words::listed(all);
        match self {
            Condition::Burnt(one) => {
                format!("one of these is burnt with {} or more: {}", percent(one.at_least), of(&one.joints))
            }
            Condition::WornOrBurnt(one) => {
                format!(
                    "one of these is worn or burnt with {} or more: {}",
                    percent(one.at_least),
                    of(&one.joints)
                )
            }
            Condition::ExpectedBurnt(one) => {
                format!("{} or more burnt are expected among the suspect: {}", one.at_least, of(&one.joints))
            }
            Condition::HeatNow(one) => {
                format!("{} W or more in one of these, loaded as seen: {}", one.at_least_w, of(&one.joints))
            }
            Condition::HeatRated(one) => {
                format!("{} W or more in one of these at its rating: {}", one.at_least_w, of(&one.joints))
            }
            Condition::HotSpot(one) => {
                format!("{} °C or more in the metal of one of these: {}", one.at_least_c, of(&one.joints))
            }
            Condition::Sign(signs) => {
                let all: Vec<&str> = signs.iter().map(|sign| words::sign_phrase(sign.0)).collect();
                format!("one of these was found: {}", several(&all))
            }
            Condition::Complaint(complaints) => {
                let all: Vec<&str> = complaints.iter().map(|one| one.0.word()).collect();
                format!("one of these was complained of: {}", several(&all))
            }
            Condition::Cause(one) => {
                let all: Vec<&str> = one.is.iter().map(|cause| cause.0.word()).collect();
                format!(
                    "one of these explains a complaint with {} or more: {}",
                    percent(one.at_least),
                    several(&all)
                )
            }
            Condition::SupplyFailing(one) => {
                let all: Vec<&str> = one.path.iter().map(String::as_str).collect();
                format!(
                    "one of these is failing before the panel with {} or more: {}",
                    percent(one.at_least),
                    several(&all)
                )
            }
            Condition::LegVoltage(one) => {
                format!("a leg was measured below {} V or above {} V", one.below_v, one.above_v)
            }
            Condition::LegsApart(one) => {
                format!(
                    "the two legs of a panel were measured {} V or more apart in one state",
                    one.at_least_v
                )
            }
            Condition::FaceTemperature(one) => {
                format!("a breaker face was measured at {} °C or more", one.at_least_c)
            }
            Condition::MetalTemperature(one) => {
                format!(
                    "a lug, a load terminal or the neutral bar was measured at {} °C or more",
                    one.at_least_c
                )
            }
            Condition::DropHeat(one) => format!(
                "a drop measured over a pole stands for {} W or more beyond a sound one, which loses {} mV at its rating",
                one.beyond_w, one.sound_mv
            ),
            Condition::FaceHeat(one) => format!(
                "a breaker face was measured {} K or more above what a sound pole makes it at its load, which is {} K over the room at \
                 its rating",
                one.beyond_k, one.rise_at_rating_k
            ),
            Condition::MetalHeat(one) => format!(
                "a lug or a load terminal was measured {} K or more above what a sound one may have at its load, which is {} K over the room at \
                 its rating, and above the middle of what else was read in its panel",
                one.beyond_k, one.rise_at_rating_k
            ),
            Condition::Unexplained(true) => "a reading fits nothing else on record".to_owned(),
            Condition::Unexplained(false) => "no reading is at odds with all others".to_owned(),
            Condition::Moisture(true) => "water marks were found in the cabinet".to_owned(),
            Condition::Moisture(false) => "water marks were looked for and not found".to_owned(),
            Condition::BusMetal(metal) => format!("the bus is of {:?}", metal.0).to_lowercase(),
            Condition::OtherMake(true) => {
                "a breaker is of another make than the list of the panel".to_owned()
            }
            Condition::OtherMake(false) => {
                "no breaker is of another make than the list of the panel".to_owned()
            }
            Condition::NoSingleMain(true) => "a panel has no single main breaker".to_owned(),
            Condition::NoSingleMain(false) => "every panel has one single main breaker".to_owned(),
            Condition::FullPanel(one) => {
                format!("a panel has fewer than {} free spaces", one.free_spaces_below)
            }
            Condition::Any(all) => {
                let all: Vec<String> = all.iter().map(Condition::words).collect();
                all.join(", or ")
            }
            Condition::Not(one) => format!("it is not so that {}", one.words()),
        }
    }
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
            Condition::DropHeat(asked) => {
                positive("sound_mv", asked.sound_mv).and_then(|()| positive("beyond_w", asked.beyond_w))
            }
            Condition::FaceHeat(asked) | Condition::MetalHeat(asked) => {
                positive("rise_at_rating_k", asked.rise_at_rating_k)
                    .and_then(|()| positive("beyond_k", asked.beyond_k))
            }
            Condition::Sign(signs) if signs.is_empty() => {
                senseless("no sign is named".to_owned(), "name at least one sign")
            }
            Condition::Complaint(kinds) if kinds.is_empty() => {
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
            Condition::FaceHeat(limit) => {
                let faces = measured_heat::faces(job, limit.rise_at_rating_k);
                furthest(faces, limit.beyond_k).map(|face| Place::Face(face.at))
            }
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

    /// Does it hang on what was found of joints or supply, beside what is on record?
    pub(crate) fn hangs_on_joints(&self) -> bool {
        match self {
            Condition::Burnt(_)
            | Condition::WornOrBurnt(_)
            | Condition::ExpectedBurnt(_)
            | Condition::HeatNow(_)
            | Condition::HeatRated(_)
            | Condition::HotSpot(_)
            | Condition::SupplyFailing(_) => true,
            Condition::Sign(_)
            | Condition::Complaint(_)
            | Condition::Cause(_)
            | Condition::LegVoltage(_)
            | Condition::LegsApart(_)
            | Condition::FaceTemperature(_)
            | Condition::MetalTemperature(_)
            | Condition::DropHeat(_)
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
            Condition::SupplyFailing(asked) => {
                let (path, failing) =
                    situation.supply_failing(|path| asked.path.iter().any(|one| one == path))?;
                (asked.at_least <= failing)
                    .then(|| format!("the supply path “{path}” is failing with {}", percent(failing)))
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
            Condition::FaceHeat(limit) => {
                let faces = measured_heat::faces(situation.job, limit.rise_at_rating_k);
                let Beyond { at, state, current_a, read, beyond } = furthest(faces, limit.beyond_k)?;
                Some(format!(
                    "the face of space {} at {read:.0} °C with {current_a:.1} A in the state “{state}”, {beyond:.0} K warmer than a sound \
                     pole may be at that load",
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
            Condition::Not(condition) => {
                condition.holds(situation).is_none().then(|| "the exception does not apply".to_owned())
            }
        }
    }
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
    let named: Vec<String> = named
        .map(|(view, probability)| format!("{} is {condition} with {}", view.label, percent(*probability)))
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
