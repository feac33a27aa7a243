//! The data files behind every probability, read and checked.

use crate::problem::Eye;
use crate::running::Running;
use model::assessment::Cause;
use model::evidence::Sign;
use model::job::ComplaintKind;
use serde::Deserialize;
use std::collections::BTreeMap;

/// A data file does not say what it must.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum PriorsError {
    /// The text is not the expected TOML.
    #[error("{file}: {message}")]
    Form {
        /// Which file.
        file: &'static str,
        /// What the reader said, with line and column.
        message: String,
    },
    /// A value is out of its range.
    #[error("{file}: {what}")]
    Value {
        /// Which file.
        file: &'static str,
        /// What is wrong.
        what: String,
    },
}

/// A lognormal resistance.
#[derive(Debug, Clone, Copy, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Spread {
    /// Median, mΩ.
    pub median_mohm: f64,
    /// Standard deviation of the natural logarithm.
    pub spread: f64,
    /// A share that shows little and reads low; for burnt joints only.
    #[serde(default)]
    pub mild: Option<Mild>,
    /// A share of the others that a film holds; for burnt joints only.
    #[serde(default)]
    pub film: Option<Film>,
}

/// The share of burnt joints, the mild ones aside, whose metal no longer touches: current passes an oxide film or a bridge that glows.
#[derive(Debug, Clone, Copy, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Film {
    /// Share of the burnt joints that are not mild.
    pub share: f64,
    /// Their median, mΩ.
    pub median_mohm: f64,
    /// Their standard deviation of the natural logarithm.
    pub spread: f64,
}

/// The share of burnt joints that show little: damage that only began, or that reads low on the day.
#[derive(Debug, Clone, Copy, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Mild {
    /// Share of the burnt joints.
    pub share: f64,
    /// Their part of the sensitivity of every sign.
    pub shows: f64,
    /// Their median, mΩ.
    pub median_mohm: f64,
    /// Their standard deviation of the natural logarithm.
    pub spread: f64,
}

/// Resistance in each condition.
#[derive(Debug, Clone, Copy, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct ByCondition {
    /// Sound.
    pub sound: Spread,
    /// Worn.
    pub worn: Spread,
    /// Burnt.
    pub burnt: Spread,
}

/// Odds against sound.
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Odds {
    /// Worn.
    pub worn: f64,
    /// Burnt.
    pub burnt: f64,
    /// Why, for modifiers.
    #[serde(default)]
    pub because: String,
}

#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct Prevalence {
    pub(crate) weight: f64,
    pub(crate) worn: f64,
    pub(crate) burnt: f64,
}

#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct Cluster {
    pub(crate) finger_probability: f64,
    pub(crate) finger_worn: f64,
    pub(crate) finger_burnt: f64,
    pub(crate) prevalence: Vec<Prevalence>,
}

#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct Pole {
    pub(crate) of_limit: f64,
    pub(crate) common_spread: f64,
    pub(crate) rating_spread: f64,
    pub(crate) own_spread: f64,
    pub(crate) own_spread_other_make: f64,
    pub(crate) own_contacts: OwnContacts,
}

/// Poles whose own contacts are bad: how many, and their logarithm of ohms beside that of a usual pole.
#[derive(Debug, Clone, Copy, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct OwnContacts {
    pub(crate) share: f64,
    pub(crate) shift: f64,
    pub(crate) spread: f64,
}

/// How unlikely a large voltage across one joint is.
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct Bound {
    pub(crate) free_v: f64,
    pub(crate) width_v: f64,
    pub(crate) beyond: f64,
}

impl Bound {
    /// Relative chance of a voltage across a joint.
    pub(crate) fn chance(&self, volts: f64) -> f64 {
        if volts <= self.free_v {
            return 1.0;
        }
        let x = (volts - self.free_v) / self.width_v;
        let square = x * x;
        self.beyond + (1.0 - self.beyond) / (1.0 + square * square)
    }
}

#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct Share {
    pub(crate) median: f64,
    pub(crate) spread: f64,
}

/// How a house is found: how often, and the chance that a load in it is idle.
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct House {
    pub(crate) weight: f64,
    pub(crate) idle: f64,
}

#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct LoadPrior {
    pub(crate) idle: Share,
    pub(crate) heavy_idle: Share,
    pub(crate) busy: Share,
    pub(crate) heavy_busy: Share,
    pub(crate) least: f64,
    pub(crate) most: f64,
    pub(crate) house: Vec<House>,
}

#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct Instrument {
    pub(crate) infrared_noise_k: f64,
    pub(crate) contact_noise_k: f64,
    pub(crate) bias_k: f64,
    pub(crate) room_k: f64,
    pub(crate) unknown_room_c: f64,
    pub(crate) unknown_room_k: f64,
    pub(crate) clamp_relative: f64,
    pub(crate) clamp_a: f64,
    pub(crate) plate_relative: f64,
    pub(crate) drop_relative: f64,
    pub(crate) drop_mv: f64,
    pub(crate) bar_mv: f64,
    pub(crate) volt_v: f64,
    pub(crate) branch_v: f64,
    pub(crate) source_v: f64,
    pub(crate) source_spread_v: f64,
    pub(crate) drift_v: f64,
    pub(crate) degrees_of_freedom: f64,
    pub(crate) wrong_chance: f64,
    pub(crate) wrong_temperature_k: f64,
    pub(crate) wrong_drop_mv: f64,
    pub(crate) most_drop_mv: f64,
}

impl Instrument {
    /// Error of a clamp that shows a current, A.
    pub(crate) fn clamp_error_a(&self, current_a: f64) -> f64 {
        self.clamp_relative * libm::fabs(current_a) + self.clamp_a
    }
}

/// A normal error that is now and then wider by a factor (a contaminated normal law: Tukey 1960, A survey of sampling from contaminated
/// distributions).
#[derive(Debug, Clone, Copy, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct Tail {
    /// How often.
    pub(crate) share: f64,
    /// How many times as wide.
    pub(crate) times: f64,
}

impl Tail {
    /// Width, beside that of the usual error: one of the two, by a number drawn evenly from 0 to 1.
    pub(crate) fn width(self, drawn: f64) -> f64 {
        if drawn < self.share { self.times } else { 1.0 }
    }

    /// Precision, beside that of the usual error, at `z` usual errors: one of the two, by a number drawn evenly from 0 to 1.
    pub(crate) fn precision(self, z: f64, drawn: f64) -> f64 {
        let narrow = 1.0 / (self.times * self.times);
        let usual = (1.0 - self.share) * libm::exp(-0.5 * (1.0 - narrow) * z * z);
        let wide = self.share / self.times;
        if drawn * (usual + wide) < wide { narrow } else { 1.0 }
    }
}

#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct Discrepancy {
    pub(crate) of_rise: f64,
    pub(crate) of_rise_pole: f64,
    pub(crate) pole_tail: Tail,
    pub(crate) metal_spread: f64,
    pub(crate) metal_alone: f64,
    pub(crate) floor_k: f64,
    pub(crate) air_k: f64,
    pub(crate) of_air: f64,
    pub(crate) body_trip_k: f64,
    pub(crate) film_spread: f64,
    pub(crate) cabinet_spread: f64,
    pub(crate) path_spread: f64,
    pub(crate) neck_spread: f64,
    pub(crate) gradient: f64,
    pub(crate) gradient_spread: f64,
    pub(crate) unsaid_min: f64,
    pub(crate) of_held: f64,
}

#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
struct PriorsFile {
    version: String,
    resistance: BTreeMap<String, ByCondition>,
    odds: BTreeMap<String, Odds>,
    modifiers: BTreeMap<String, Odds>,
    cluster: Cluster,
    bound: Bound,
    pole: Pole,
    load: LoadPrior,
    instrument: Instrument,
    discrepancy: Discrepancy,
}

#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct Elsewhere {
    pub(crate) slot: f64,
    pub(crate) leg: f64,
    pub(crate) panel: f64,
}

#[derive(Debug, Clone, PartialEq, Deserialize)]
pub(crate) struct SignPrior {
    #[serde(rename = "else")]
    pub(crate) elsewhere: Elsewhere,
    #[serde(flatten)]
    pub(crate) shows: BTreeMap<String, [f64; 3]>,
}

#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct ComplaintPrior {
    pub(crate) joints: BTreeMap<String, [f64; 2]>,
    pub(crate) rivals: BTreeMap<String, f64>,
    pub(crate) protected: Option<f64>,
    pub(crate) off_voltage: Option<f64>,
    pub(crate) warm_room: Option<WarmRoom>,
    pub(crate) silent: Option<Silent>,
}

/// How a warm room leads to a complaint: not below one temperature, with a chance at another, evenly between.
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct WarmRoom {
    from_c: f64,
    to_c: f64,
    chance: f64,
}

impl WarmRoom {
    /// The chance in a room of this temperature.
    pub(crate) fn chance_at(&self, room_c: f64) -> f64 {
        self.chance * ((room_c - self.from_c) / (self.to_c - self.from_c)).clamp(0.0, 1.0)
    }
}

/// What it says that nobody complained: chances that a joint, worn or burnt, would have been complained of.
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct Silent {
    /// Chance that this household would have noticed none of them.
    pub(crate) unnoticed: f64,
    pub(crate) joints: BTreeMap<String, [f64; 2]>,
}

/// Signs that one bad mechanism of a breaker shows, and how often it shows each.
#[derive(Debug, Clone, PartialEq, Default, Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct Mechanism {
    signs: Vec<String>,
    pub(crate) shows: f64,
}

/// All priors.
#[derive(Debug, Clone, PartialEq)]
pub struct Priors {
    pub(crate) version: String,
    resistance: BTreeMap<String, ByCondition>,
    odds: BTreeMap<String, Odds>,
    modifiers: BTreeMap<String, Odds>,
    pub(crate) cluster: Cluster,
    pub(crate) bound: Bound,
    pub(crate) pole: Pole,
    pub(crate) load: LoadPrior,
    pub(crate) instrument: Instrument,
    pub(crate) discrepancy: Discrepancy,
    /// How well the condition of an opened joint is told.
    pub(crate) eye: Eye,
    /// What circuits draw when they are switched on to be read.
    pub(crate) running: Running,
    signs: BTreeMap<String, SignPrior>,
    /// Chance that a look at a whole leg or panel notices nothing of a sign, for a reason common to all joints.
    pub(crate) sign_missed: f64,
    pub(crate) mechanism: Mechanism,
    complaints: BTreeMap<String, ComplaintPrior>,
    /// How many times the even share of a circuit of a household's other reasons is laid to the circuit that a caller names.
    pub(crate) complaint_named: f64,
}

/// Kinds of conditioned resistance, as the data files name them.
pub(crate) const KINDS: [&str; 7] =
    ["stab", "terminal", "lug", "feeder", "neutral", "supply-leg", "supply-neutral"];

const MODIFIERS: [&str; 10] = [
    "aluminium-bus",
    "copper-bus",
    "other-make",
    "later",
    "moisture",
    "heavy-load",
    "light-load",
    "aluminium-wire",
    "doubled-wire",
    "spare",
];

/// Rival causes that the complaint file may name.
pub(crate) const RIVALS: [Cause; 8] = [
    Cause::Overload,
    Cause::WeakBreaker,
    Cause::ProtectionWorking,
    Cause::MotorStart,
    Cause::WarmSurroundings,
    Cause::UtilitySide,
    Cause::BeyondPanel,
    Cause::NotExplained,
];

impl Priors {
    /// The priors that come with the program.
    ///
    /// # Errors
    /// None in a build whose tests passed; the type says so for files a shop may hand in later.
    pub fn built_in() -> Result<Self, PriorsError> {
        Priors::parse(
            include_str!("../data/priors.toml"),
            include_str!("../data/signs.toml"),
            include_str!("../data/complaints.toml"),
        )
    }

    /// Reads and checks the three files.
    ///
    /// # Errors
    /// [`PriorsError`] names the file and what is wrong in it.
    pub fn parse(priors: &str, signs: &str, complaints: &str) -> Result<Self, PriorsError> {
        let file: PriorsFile = form("priors.toml", priors)?;
        let Versioned { version: signs_version, missed, mechanism, rest: signs, .. } =
            versioned::<SignPrior>("signs.toml", signs)?;
        let Versioned { version: complaints_version, named, rest: complaints, .. } =
            versioned::<ComplaintPrior>("complaints.toml", complaints)?;
        let made = Priors {
            version: format!(
                "priors {}, signs {signs_version}, complaints {complaints_version}",
                file.version
            ),
            resistance: file.resistance,
            odds: file.odds,
            modifiers: file.modifiers,
            cluster: file.cluster,
            bound: file.bound,
            pole: file.pole,
            load: file.load,
            instrument: file.instrument,
            discrepancy: file.discrepancy,
            eye: Eye::built_in()?,
            running: Running::built_in()?,
            signs,
            sign_missed: missed,
            mechanism,
            complaints,
            complaint_named: named,
        };
        made.check()?;
        Ok(made)
    }

    fn check(&self) -> Result<(), PriorsError> {
        let value = |file: &'static str, ok: bool, what: String| {
            if ok { Ok(()) } else { Err(PriorsError::Value { file, what }) }
        };
        for kind in KINDS {
            value(
                "priors.toml",
                self.resistance.contains_key(kind),
                format!("[resistance.{kind}] is missing"),
            )?;
            value("priors.toml", self.odds.contains_key(kind), format!("[odds] has no `{kind}`"))?;
        }
        for name in MODIFIERS {
            value("priors.toml", self.modifiers.contains_key(name), format!("[modifiers] has no `{name}`"))?;
        }
        for (kind, by) in &self.resistance {
            let rising =
                by.sound.median_mohm < by.worn.median_mohm && by.worn.median_mohm < by.burnt.median_mohm;
            value(
                "priors.toml",
                rising,
                format!("[resistance.{kind}] must rise from sound over worn to burnt"),
            )?;
            let spreads = [by.sound, by.worn, by.burnt]
                .iter()
                .all(|spread| 0.05 <= spread.spread && spread.spread <= 3.0);
            value("priors.toml", spreads, format!("[resistance.{kind}] needs spreads from 0.05 to 3"))?;
            let mild = by.sound.mild.is_none()
                && by.worn.mild.is_none()
                && by.burnt.mild.is_none_or(|mild| {
                    (0.0..0.9).contains(&mild.share)
                        && (0.0..=1.0).contains(&mild.shows)
                        && 0.0 < mild.median_mohm
                        && 0.05 <= mild.spread
                });
            value(
                "priors.toml",
                mild,
                format!("[resistance.{kind}] mild is for a share of burnt below 0.9"),
            )?;
            let film = by.sound.film.is_none()
                && by.worn.film.is_none()
                && by.burnt.film.is_none_or(|film| {
                    (0.0..0.9).contains(&film.share)
                        && by.burnt.median_mohm < film.median_mohm
                        && (0.05..=3.0).contains(&film.spread)
                });
            let what =
                format!("[resistance.{kind}] film is for a share of burnt below 0.9, above its median");
            value("priors.toml", film, what)?;
        }
        let odds =
            self.odds.values().chain(self.modifiers.values()).all(|odds| 0.0 < odds.worn && 0.0 < odds.burnt);
        value("priors.toml", odds, "odds and modifiers must be above zero".to_owned())?;
        let Tail { share, times } = self.discrepancy.pole_tail;
        let tail = (0.0..1.0).contains(&share) && (1.0..=10.0).contains(&times);
        value("priors.toml", tail, "pole_tail needs a share below 1 and 1 to 10 times".to_owned())?;
        let OwnContacts { share, shift, spread } = self.pole.own_contacts;
        let contacts =
            (0.0..0.5).contains(&share) && (0.0..=2.0).contains(&shift) && (0.1..=1.5).contains(&spread);
        value(
            "priors.toml",
            contacts,
            "own_contacts need a share below 0.5, a shift of 0 to 2 and a spread of 0.1 to 1.5".to_owned(),
        )?;
        let metal = (0.05..=1.5).contains(&self.discrepancy.metal_spread)
            && (0.0..=0.8).contains(&self.discrepancy.metal_alone);
        value("priors.toml", metal, "metal_spread is 0.05 to 1.5, metal_alone 0 to 0.8".to_owned())?;
        value(
            "priors.toml",
            0.0 < self.instrument.wrong_temperature_k,
            "wrong_temperature_k must be above zero".to_owned(),
        )?;
        let weights: f64 = self.cluster.prevalence.iter().map(|prevalence| prevalence.weight).sum();
        value(
            "priors.toml",
            (weights - 1.0).abs() < 1e-9,
            "weights of cluster.prevalence must sum to 1".to_owned(),
        )?;
        let LoadPrior { house, least, most, .. } = &self.load;
        let weights: f64 = house.iter().map(|house| house.weight).sum();
        let fine = (weights - 1.0).abs() < 1e-9
            && house.iter().all(|house| 0.0 <= house.weight && (0.01..=0.99).contains(&house.idle));
        let what = "load.house needs weights that sum to 1, and chances of idle from 0.01 to 0.99".to_owned();
        value("priors.toml", fine, what)?;
        let fine = 0.0 < *least && least < most;
        value("priors.toml", fine, "load.least must be above zero and below load.most".to_owned())?;
        let missed = (0.0..1.0).contains(&self.sign_missed);
        value("signs.toml", missed, "missed must be a chance below 1".to_owned())?;
        let Mechanism { signs, shows } = &self.mechanism;
        let fine = signs.iter().all(|sign| self.signs.contains_key(sign)) && (0.0..1.0).contains(shows);
        value("signs.toml", fine, "mechanism needs signs of the file and a chance below 1".to_owned())?;
        for (sign, prior) in &self.signs {
            let known = Sign::ALL.iter().any(|known| known.word() == sign);
            value("signs.toml", known, format!("[{sign}] is not a sign"))?;
            for (kind, shows) in &prior.shows {
                value(
                    "signs.toml",
                    KINDS.contains(&kind.as_str()),
                    format!("[{sign}] names `{kind}`, which is no kind of joint"),
                )?;
                let fine = shows.iter().all(|chance| (0.0..1.0).contains(chance))
                    && shows[0] <= shows[1]
                    && shows[1] <= shows[2];
                value(
                    "signs.toml",
                    fine,
                    format!("[{sign}] {kind} needs chances below 1, rising from sound to burnt"),
                )?;
            }
        }
        for sign in Sign::ALL {
            value(
                "signs.toml",
                self.signs.contains_key(sign.word()),
                format!("[{}] is missing", sign.word()),
            )?;
        }
        let named = 0.0 < self.complaint_named;
        value("complaints.toml", named, "named must be above nought".to_owned())?;
        for kind in ComplaintKind::ALL {
            value(
                "complaints.toml",
                self.complaints.contains_key(kind.word()),
                format!("[{}] is missing", kind.word()),
            )?;
        }
        for (name, prior) in &self.complaints {
            for rival in prior.rivals.keys() {
                let known = RIVALS.iter().any(|cause| cause.word() == rival);
                value(
                    "complaints.toml",
                    known,
                    format!("[{name}] names `{rival}`, which is no rival cause"),
                )?;
            }
            let warm = prior
                .warm_room
                .as_ref()
                .is_none_or(|warm| warm.from_c < warm.to_c && (0.0..1.0).contains(&warm.chance));
            value(
                "complaints.toml",
                warm,
                format!("[{name}] warm_room needs from_c below to_c and a chance"),
            )?;
            let silent = prior.silent.iter().flat_map(|silent| silent.joints.keys());
            for kind in prior.joints.keys().chain(silent) {
                value("complaints.toml", KINDS.contains(&kind.as_str()), format!("[{name}] names `{kind}`"))?;
            }
        }
        Ok(())
    }

    pub(crate) fn resistance(&self, kind: &str) -> ByCondition {
        self.resistance[kind]
    }

    pub(crate) fn odds(&self, kind: &str) -> &Odds {
        &self.odds[kind]
    }

    pub(crate) fn modifier(&self, name: &str) -> &Odds {
        &self.modifiers[name]
    }

    /// Is this a kind of joint with odds, or a modifier of odds?
    pub(crate) fn has_odds(&self, name: &str) -> bool {
        self.odds.contains_key(name) || self.modifiers.contains_key(name)
    }

    /// Multiplies the odds of burnt of a kind of joint, or of a modifier.
    pub(crate) fn multiply_odds(&mut self, name: &str, factor: f64) {
        if let Some(odds) = self.odds.get_mut(name).or(self.modifiers.get_mut(name)) {
            odds.burnt *= factor;
        }
    }

    /// Changes the chances of a sign at a kind of joint; they still rise from sound to burnt afterwards.
    pub(crate) fn change_shows(&mut self, sign: &str, joint: &str, change: impl FnOnce(&mut [f64; 3])) {
        if let Some(shows) = self.signs.get_mut(sign).and_then(|prior| prior.shows.get_mut(joint)) {
            change(shows);
            shows[1] = shows[1].max(shows[0]);
            shows[2] = shows[2].max(shows[1]);
        }
    }

    /// Changes the chance of a sign at a circuit for another reason than its joints.
    pub(crate) fn change_elsewhere(&mut self, sign: &str, change: impl FnOnce(f64) -> f64) {
        if let Some(prior) = self.signs.get_mut(sign) {
            prior.elsewhere.slot = change(prior.elsewhere.slot);
        }
    }

    /// Does a bad mechanism of a breaker show this?
    pub(crate) fn is_of_mechanism(&self, sign: Sign) -> bool {
        self.mechanism.signs.iter().any(|of| of == sign.word())
    }

    pub(crate) fn sign(&self, sign: Sign) -> &SignPrior {
        &self.signs[sign.word()]
    }

    pub(crate) fn complaint(&self, kind: ComplaintKind) -> &ComplaintPrior {
        &self.complaints[kind.word()]
    }
}

fn form<T: for<'de> Deserialize<'de>>(file: &'static str, text: &str) -> Result<T, PriorsError> {
    toml::from_str(text).map_err(|error| PriorsError::Form { file, message: error.to_string() })
}

/// A file of named entries with its version.
#[derive(Deserialize)]
struct Versioned<T> {
    version: String,
    #[serde(default)]
    missed: f64,
    #[serde(default)]
    mechanism: Mechanism,
    #[serde(default)]
    named: f64,
    #[serde(flatten)]
    rest: BTreeMap<String, T>,
}

fn versioned<T: for<'de> Deserialize<'de>>(
    file: &'static str,
    text: &str,
) -> Result<Versioned<T>, PriorsError> {
    form(file, text)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn built_in_files_are_fine() {
        let priors = Priors::built_in().expect("the files in data/");
        assert!(priors.resistance("stab").burnt.median_mohm > 1.0);
    }

    /// At three usual errors, one in five 2.5 times as wide: 0.8·exp(−4.5) = 0.00889 for the usual, 0.2/2.5·exp(−0.72) = 0.0389 for the
    /// wide one, so it is the wide one with 0.814 (worked by hand); near nothing with 0.091.
    #[test]
    fn an_error_is_of_the_wide_law_as_often_as_bayes_has_it() {
        let tail = Tail { share: 0.2, times: 2.5 };
        let narrow = 1.0 / 6.25;
        assert_eq!((tail.precision(3.0, 0.813), tail.precision(3.0, 0.815)), (narrow, 1.0));
        assert_eq!((tail.precision(0.0, 0.090), tail.precision(0.0, 0.092)), (narrow, 1.0));
        assert_eq!((tail.width(0.19), tail.width(0.21)), (2.5, 1.0));
    }

    #[test]
    fn slips_are_named() {
        let text = include_str!("../data/priors.toml").replacen(
            "burnt = { median_mohm = 8.00",
            "burnt = { median_mohm = 0.01",
            1,
        );
        let error =
            Priors::parse(&text, include_str!("../data/signs.toml"), include_str!("../data/complaints.toml"));
        assert!(error.expect_err("falls").to_string().contains("[resistance.stab] must rise"));
        let error = Priors::parse(
            "vrsion = 1",
            include_str!("../data/signs.toml"),
            include_str!("../data/complaints.toml"),
        );
        assert!(error.expect_err("unknown key").to_string().contains("vrsion"));
    }
}
