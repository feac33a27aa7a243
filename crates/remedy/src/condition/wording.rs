//! What a condition asks for, in words.

use super::Condition;
use crate::situation::JointGroup;
use crate::words::{self, percent};

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
            Condition::Explained(one) => {
                let [complaints, causes] = one.named();
                format!(
                    "a complaint of {complaints} is explained with {} or more by {causes}",
                    one.at_least()
                )
            }
            Condition::NotExplained(one) => {
                let [complaints, causes] = one.named();
                format!(
                    "a complaint of {complaints} is not explained with {} or more by {causes}",
                    one.at_least()
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
            Condition::LegsNotReadSince(complaints) => {
                let all: Vec<&str> = complaints.iter().map(|one| one.0.word()).collect();
                format!(
                    "one of these was complained of, and the legs were not all read to neutral since: {}",
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
            Condition::TerminalDrop(one) => format!(
                "a drop measured across a load terminal stands for {} W or more beyond a sound one, which loses {} mV at its breaker's rating",
                one.beyond_w, one.sound_mv
            ),
            Condition::LugDrop(one) => format!(
                "a drop measured across a line lug stands for {} W or more beyond a sound one, which loses {} mV at the panel's rating",
                one.beyond_w, one.sound_mv
            ),
            Condition::DropGrown(one) => format!(
                "a drop grew between two visits by more than the errors of its readings and by {} mV or more",
                one.at_least_mv
            ),
            Condition::PolesApart(one) => format!(
                "the faces of two poles of one breaker were measured {} K or more apart, each with its current, the two within {}",
                one.at_least_k,
                percent(one.currents_within)
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
