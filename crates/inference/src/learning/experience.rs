//! The experience of a shop: a readable file of counts, and what it makes of the priors.

use super::WORTH;
use crate::priors::{Priors, PriorsError};
use model::Date;
use model::evidence::Sign;
use model::job::Condition;
use serde::{Deserialize, Serialize};

/// Counts from opened panels. Nothing by make, no place, no person. Empty: the program's own chances stand.
#[derive(Debug, Clone, PartialEq, Default, Deserialize, Serialize)]
#[serde(deny_unknown_fields)]
pub struct Experience {
    /// Day on which it was counted, as 2026-11-27; empty where nobody said.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub made: String,
    /// Panels whose stabs were all opened; signs are counted on these only.
    #[serde(default)]
    pub n_panels: u32,
    /// Opened joints that faced a prediction; odds are counted on these.
    #[serde(default)]
    pub n_joints: u32,
    /// Signs by joint and condition.
    #[serde(default, rename = "sign", skip_serializing_if = "Vec::is_empty")]
    pub signs: Vec<SignCount>,
    /// Signs that came from no joint.
    #[serde(default, rename = "other", skip_serializing_if = "Vec::is_empty")]
    pub others: Vec<OtherCount>,
    /// Odds of burnt.
    #[serde(default, rename = "odds", skip_serializing_if = "Vec::is_empty")]
    pub odds: Vec<OddsCount>,
}

/// How often joints of a kind, found in a condition, had shown a sign at their circuit.
#[derive(Debug, Clone, PartialEq, Deserialize, Serialize)]
#[serde(deny_unknown_fields)]
pub struct SignCount {
    /// The sign, as in `signs.toml`.
    pub sign: String,
    /// Kind of joint, as there.
    pub joint: String,
    /// `sound`, `worn` or `burnt`.
    pub found: String,
    /// Joints at whose circuit the sign was looked for.
    pub n: f64,
    /// Of these, joints that the sign came from. Not whole where more than one thing may have shown it.
    pub shown: f64,
}

impl SignCount {
    /// The chance that the data files assume, and that with this count; `None` where they know none.
    pub fn chance(&self) -> Option<(f64, f64)> {
        let priors = Priors::built_in().ok()?;
        let sign = Sign::ALL.into_iter().find(|sign| sign.word() == self.sign)?;
        let assumed = priors.sign(sign).shows.get(&self.joint)?[condition(&self.found)? as usize];
        Some((assumed, mean(assumed, self.n, self.shown)))
    }
}

/// How often a circuit showed a sign for another reason than its joints.
#[derive(Debug, Clone, PartialEq, Deserialize, Serialize)]
#[serde(deny_unknown_fields)]
pub struct OtherCount {
    /// The sign.
    pub sign: String,
    /// Circuits at which it was looked for.
    pub n: f64,
    /// Of these, with another reason.
    pub shown: f64,
}

/// How often joints of a kind or a description were found burnt, beside what had been predicted of them.
#[derive(Debug, Clone, PartialEq, Deserialize, Serialize)]
#[serde(deny_unknown_fields)]
pub struct OddsCount {
    /// A kind of joint of `[odds]`, or a modifier of `priors.toml`.
    pub of: String,
    /// Joints opened.
    pub n: u32,
    /// Burnt joints that the predictions add up to.
    pub predicted: f64,
    /// Joints found burnt.
    pub found: u32,
    /// What the odds are multiplied by, all factors fitted together.
    pub factor: f64,
}

const FILE: &str = "experience";

fn wrong(what: String) -> PriorsError {
    PriorsError::Value { file: FILE, what }
}

impl Experience {
    /// Reads and checks an experience.
    ///
    /// # Errors
    /// [`PriorsError`] says what is wrong in it, and where.
    pub fn parse(text: &str) -> Result<Self, PriorsError> {
        let read: Experience = toml::from_str(text)
            .map_err(|error| PriorsError::Form { file: FILE, message: error.to_string() })?;
        read.check(&Priors::built_in()?)?;
        Ok(read)
    }

    /// As text that [`Experience::parse`] reads; empty where nothing was counted.
    pub fn write(&self) -> String {
        if self.is_empty() {
            return String::new();
        }
        let head = "# What a shop's opened panels say, made by Panelwright. A chance of the program weighs as much as ten\n\
                    # joints counted here. `shown` is not whole where more than one thing may have shown a sign.\n\n";
        format!("{head}{}", toml::to_string(self).unwrap_or_default())
    }

    /// Nothing counted?
    pub fn is_empty(&self) -> bool {
        self.signs.is_empty() && self.others.is_empty() && self.odds.is_empty()
    }

    /// Name in the version of a model, on every paper that was made with it; `None` where nothing was counted.
    pub fn version(&self) -> Option<String> {
        let day = if self.made.is_empty() { String::new() } else { format!(" of {}", self.made) };
        let (panels, joints) = (self.n_panels, self.n_joints);
        (!self.is_empty()).then(|| format!("experience{day}: {panels} panels, {joints} joints"))
    }

    fn check(&self, priors: &Priors) -> Result<(), PriorsError> {
        let known = |word: &str| Sign::ALL.into_iter().find(|sign| sign.word() == word);
        let sign = |word: &str| known(word).ok_or_else(|| wrong(format!("there is no sign `{word}`")));
        let counts = |what: &str, n: f64, shown: f64| match 0.0 <= shown && shown <= n + 1e-6 && n <= 1e9 {
            true => Ok(()),
            false => Err(wrong(format!("{what}: {shown} of {n} is no count"))),
        };
        if !self.made.is_empty() && self.made.parse::<Date>().is_err() {
            return Err(wrong(format!("made = \"{}\" is no day; 2026-11-27 would be", self.made)));
        }
        for one in &self.signs {
            let what = format!("{} at a {} found {}", one.sign, one.joint, one.found);
            if !priors.sign(sign(&one.sign)?).shows.contains_key(&one.joint) {
                return Err(wrong(format!("{what}: `signs.toml` has no such chance")));
            }
            condition(&one.found).ok_or_else(|| wrong(format!("{what}: no such condition")))?;
            counts(&what, one.n, one.shown)?;
        }
        for one in &self.others {
            sign(&one.sign)?;
            counts(&one.sign, one.n, one.shown)?;
        }
        for one in &self.odds {
            if !priors.has_odds(&one.of) {
                return Err(wrong(format!("`{}` is no kind of joint and no modifier", one.of)));
            }
            counts(&one.of, f64::from(one.n), one.predicted)?;
            if !(0.05..=20.0).contains(&one.factor) {
                return Err(wrong(format!("{}: a factor of {} is beyond 0.05 to 20", one.of, one.factor)));
            }
        }
        Ok(())
    }
}

pub(super) fn condition(word: &str) -> Option<Condition> {
    Condition::ALL.into_iter().find(|condition| condition.word() == word)
}

/// Mean of a beta law: the assumed chance is worth [`WORTH`] observations.
fn mean(assumed: f64, n: f64, shown: f64) -> f64 {
    (assumed * WORTH + shown) / (WORTH + n)
}

/// Chances stay within what a noisy OR can bear: nothing is certain, and no sign is without another reason.
const MOST: f64 = 0.95;
const LEAST_ELSE: f64 = 5e-4;

impl Priors {
    /// These priors with what a shop has counted.
    #[must_use]
    pub fn with(mut self, experience: &Experience) -> Self {
        for one in &experience.signs {
            let Some(found) = condition(&one.found) else { continue };
            self.change_shows(&one.sign, &one.joint, |shows| {
                let chance = &mut shows[found as usize];
                *chance = mean(*chance, one.n, one.shown).min(MOST);
            });
        }
        for one in &experience.others {
            let learned = |assumed| mean(assumed, one.n, one.shown).clamp(LEAST_ELSE, MOST);
            self.change_elsewhere(&one.sign, learned);
        }
        for one in &experience.odds {
            self.multiply_odds(&one.of, one.factor);
        }
        if let Some(version) = experience.version() {
            self.version = format!("{}, {version}", self.version);
        }
        self
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn slips_are_named() {
        let wrong = |text: &str| Experience::parse(text).expect_err("a slip").to_string();
        let sign = "[[sign]]\nsign = \"smell\"\njoint = \"stab\"\nfound = \"burnt\"\nn = 3\nshown = 4\n";
        assert!(wrong(sign).contains("smell at a stab found burnt: 4 of 3 is no count"), "{}", wrong(sign));
        assert!(wrong(&sign.replace("smell", "taste")).contains("there is no sign `taste`"));
        assert!(wrong(&sign.replace("stab", "door")).contains("has no such chance"));
        assert!(wrong("made = \"yesterday\"").contains("is no day"));
        let odds = "[[odds]]\nof = \"stab\"\nn = 9\npredicted = 1.0\nfound = 2\nfactor = 90\n";
        assert!(wrong(odds).contains("beyond 0.05 to 20"));
        assert!(wrong(&odds.replace("90", "nan")).contains("beyond 0.05 to 20"));
        assert!(wrong(&odds.replace("stab", "make")).contains("no kind of joint"));
        assert!(wrong("colour = 1").contains("unknown field `colour`"));
    }

    #[test]
    fn an_empty_experience_changes_nothing_and_another_is_named() {
        let priors = Priors::built_in().expect("the files in data/");
        assert_eq!(Experience::parse("").expect("nothing counted"), Experience::default());
        assert_eq!(priors.clone().with(&Experience::default()), priors);
        let text = "made = \"2026-11-27\"\nn_panels = 3\nn_joints = 40\n[[odds]]\nof = \"stab\"\nn = 40\n\
                    predicted = 4.0\nfound = 8\nfactor = 1.4\n";
        let with = priors.clone().with(&Experience::parse(text).expect("it is in order"));
        assert!(with.version.ends_with("experience of 2026-11-27: 3 panels, 40 joints"), "{}", with.version);
        assert!((with.odds("stab").burnt - 1.4 * priors.odds("stab").burnt).abs() < 1e-12);
    }
}
