//! Fixed words: one table a kind, the same words in job files, stored facts, schema and messages.

use super::{NotRead, Textual, list, nearest};
use model::breaker::{Attachment, Handle, LoadClass, Protection};
use model::conductor::{EntrySide, Metal, Plating};
use model::dwelling::{Status, UseKind, Wires};
use model::evidence::{Feel, Sign, Surface, TemperatureMethod};
use model::install::{Flagged, Stage, Trial};
use model::job::{ComplaintKind, Condition, Exposure};
use model::panel::Mounting;
use model::plan::{Alarms, Answer, KeptWhat, PromiseKind};
use model::replacement::{Carry, Found, HeldFor, PanelEnd};
use model::service::SupplyPath;
use model::site::{Area, Outdoor, PlannedWork, ThreeWireNeutral};
use model::{Leg, PanelId, System};

/// Other spellings that are read, too, and the word that is written.
pub const SPELLINGS: &[(&str, &str)] = &[
    ("aluminum", "aluminium"),
    ("copper-clad-aluminum", "copper-clad-aluminium"),
    ("discolouration", "discoloration"),
    ("cover-discolored", "cover-discoloured"),
];

fn read_word<T: Textual + Copy>(text: &str, all: &[T]) -> Result<T, NotRead> {
    let spelt = SPELLINGS.iter().find(|(other, _)| *other == text).map_or(text, |(_, word)| *word);
    match T::WORDS.iter().position(|&word| word == spelt) {
        Some(idx) => Ok(all[idx]),
        None => {
            let right = match nearest(text, T::WORDS.iter().copied()) {
                Some(word) => {
                    format!("did you mean `{word}`? It is one of {}", list(T::WORDS.iter().copied()))
                }
                None => format!("one of {}", list(T::WORDS.iter().copied())),
            };
            Err(NotRead::Form { text: text.to_owned(), what: T::WHAT, right })
        }
    }
}

macro_rules! words {
    ($($kind:ty, $what:literal: $($word:literal => $value:path),+ $(,)?;)+) => {
        $(
            impl Textual for $kind {
                const WHAT: &'static str = $what;
                const WORDS: &'static [&'static str] = &[$($word),+];

                fn write(&self) -> String {
                    match self { $($value => $word),+ }.to_owned()
                }

                fn read(text: &str, _: Option<&PanelId>) -> Result<Self, NotRead> {
                    read_word(text, &[$($value),+])
                }
            }
        )+
    };
}

words! {
    System, "a supply system":
        "120/240" => System::SplitPhase,
        "120/208" => System::TwoLegsOfWye,
        "208Y/120" => System::ThreePhaseWye;
    Leg, "a leg":
        "A" => Leg::A, "B" => Leg::B, "C" => Leg::C;
    Stage, "a stage of switching on":
        "supply" => Stage::Supply, "main" => Stage::Main, "branches" => Stage::Branches;
    Trial, "a way to try a device":
        "button" => Trial::Button,
        "tester" => Trial::Tester,
        "load" => Trial::Load,
        "insulation" => Trial::Insulation;
    Metal, "a metal":
        "copper" => Metal::Copper,
        "aluminium" => Metal::Aluminium,
        "copper-clad-aluminium" => Metal::CopperCladAluminium;
    Plating, "a plating":
        "bare" => Plating::Bare, "tin" => Plating::Tin, "silver" => Plating::Silver;
    Mounting, "a mounting":
        "surface" => Mounting::Surface,
        "flush" => Mounting::Flush,
        "flush-insulated" => Mounting::FlushInsulated;
    Protection, "a kind of protection":
        "thermal-magnetic" => Protection::ThermalMagnetic,
        "arc-fault" => Protection::ArcFault,
        "ground-fault" => Protection::GroundFault,
        "arc-and-ground-fault" => Protection::ArcAndGroundFault,
        "switch-only" => Protection::SwitchOnly;
    Attachment, "a kind of attachment":
        "plug-on" => Attachment::PlugOn, "bolt-on" => Attachment::BoltOn;
    Handle, "a handle position":
        "on" => Handle::On, "off" => Handle::Off, "tripped" => Handle::Tripped;
    LoadClass, "a class of load":
        "general" => LoadClass::General,
        "small-appliance" => LoadClass::SmallAppliance,
        "dryer" => LoadClass::Dryer,
        "cooking" => LoadClass::Cooking,
        "water-heater" => LoadClass::WaterHeater,
        "cooling" => LoadClass::Cooling,
        "space-heat" => LoadClass::SpaceHeat,
        "vehicle" => LoadClass::Vehicle,
        "motor" => LoadClass::Motor,
        "feeder" => LoadClass::Feeder,
        "source" => LoadClass::Source,
        "spare" => LoadClass::Spare;
    EntrySide, "a side of the cabinet":
        "top" => EntrySide::Top,
        "bottom" => EntrySide::Bottom,
        "left" => EntrySide::Left,
        "right" => EntrySide::Right,
        "back" => EntrySide::Back;
    TemperatureMethod, "a way to take a temperature":
        "infrared" => TemperatureMethod::Infrared, "contact" => TemperatureMethod::Contact;
    Surface, "a surface":
        "matte" => Surface::Matte, "bare-metal" => Surface::BareMetal;
    Feel, "a feel":
        "not-warm" => Feel::NotWarm,
        "warm" => Feel::Warm,
        "hot" => Feel::Hot,
        "pain" => Feel::Pain,
        "withdrawn" => Feel::Withdrawn;
    Sign, "a sign":
        "discoloration" => Sign::Discoloration,
        "melted-case" => Sign::MeltedCase,
        "pitted-stab" => Sign::PittedStab,
        "baked-insulation" => Sign::BakedInsulation,
        "smell" => Sign::Smell,
        "buzz" => Sign::Buzz,
        "flicker" => Sign::Flicker,
        "rough-handle" => Sign::RoughHandle,
        "trips-without-load" => Sign::TripsWithoutLoad,
        "will-not-reset" => Sign::WillNotReset,
        "moisture" => Sign::Moisture,
        "cover-discoloured" => Sign::CoverDiscoloured;
    ComplaintKind, "a kind of complaint":
        "trips" => ComplaintKind::Trips,
        "flicker" => ComplaintKind::Flicker,
        "heat" => ComplaintKind::Heat,
        "smell" => ComplaintKind::Smell,
        "half-house" => ComplaintKind::HalfHouse,
        "dim-bright" => ComplaintKind::DimBright,
        "noise" => ComplaintKind::Noise,
        "inspection" => ComplaintKind::Inspection;
    Exposure, "an exposure":
        "cover-on" => Exposure::CoverOn,
        "cover-off" => Exposure::CoverOff,
        "proven-dead" => Exposure::ProvenDead;
    Condition, "a condition":
        "sound" => Condition::Sound, "worn" => Condition::Worn, "burnt" => Condition::Burnt;
    SupplyPath, "a supply path":
        "overhead" => SupplyPath::Overhead, "underground" => SupplyPath::Underground;
    Wires, "a way to connect a load":
        "leg-to-neutral" => Wires::LineToNeutral, "leg-to-leg" => Wires::LineToLine, "both" => Wires::Both;
    Status, "a status":
        "existing" => Status::Existing, "added" => Status::Added, "removed" => Status::Removed;
    UseKind, "a kind of appliance":
        "range" => UseKind::Range,
        "oven" => UseKind::WallOven,
        "cooktop" => UseKind::Cooktop,
        "dryer" => UseKind::Dryer,
        "appliance" => UseKind::Appliance,
        "motor" => UseKind::Motor,
        "cooling" => UseKind::Cooling,
        "heat-pump" => UseKind::HeatPump,
        "heat" => UseKind::Heat,
        "storage-heat" => UseKind::StorageHeat,
        "blower" => UseKind::AirHandler,
        "vehicle" => UseKind::Ev;
    PlannedWork, "a planned work":
        "none" => PlannedWork::None,
        "replace-in-place" => PlannedWork::ReplaceInPlace,
        "relocate" => PlannedWork::Relocate,
        "interior" => PlannedWork::Interior,
        "meter-or-entrance" => PlannedWork::MeterOrEntrance;
    Outdoor, "a disconnect outdoors":
        "nothing" => Outdoor::Nothing,
        "emergency" => Outdoor::Emergency,
        "service-disconnect" => Outdoor::ServiceDisconnect;
    Area, "an area":
        "living" => Area::Living,
        "kitchen-counter" => Area::KitchenCounter,
        "kitchen" => Area::Kitchen,
        "laundry" => Area::Laundry,
        "bathroom" => Area::Bathroom,
        "garage" => Area::Garage,
        "unfinished-basement" => Area::UnfinishedBasement,
        "finished-basement" => Area::FinishedBasement,
        "outdoors" => Area::Outdoors,
        "cooking-or-dryer" => Area::CookingOrDryer,
        "other" => Area::Other;
    ThreeWireNeutral, "a neutral":
        "insulated" => ThreeWireNeutral::Insulated,
        "bare-in-service-cable" => ThreeWireNeutral::BareInServiceCable,
        "bare" => ThreeWireNeutral::Bare;
    Alarms, "how the smoke alarms are":
        "tested" => Alarms::Tested,
        "failed" => Alarms::Failed,
        "none-there" => Alarms::NoneThere,
        "not-tested" => Alarms::NotTested;
    Answer, "an answer to a plan":
        "accepted" => Answer::Accepted, "declined" => Answer::Declined;
    Found, "an answer to a question of the list":
        "yes" => Found::Yes, "no" => Found::No, "unknown" => Found::Unknown;
    Carry, "how the price carries it":
        "allowance" => Carry::Allowance, "exclusion" => Carry::Exclusion;
    Flagged, "what an inspector flagged":
        "labels" => Flagged::Labels,
        "grounding" => Flagged::Grounding,
        "splices" => Flagged::Splices,
        "clearance" => Flagged::Clearance,
        "protection" => Flagged::Protection,
        "wiring" => Flagged::Wiring,
        "other" => Flagged::Other;
    PanelEnd, "an end of the panel":
        "top" => PanelEnd::Top, "bottom" => PanelEnd::Bottom;
    HeldFor, "what spaces are held for":
        "generator" => HeldFor::Generator,
        "solar" => HeldFor::Solar,
        "surge" => HeldFor::Surge,
        "spare" => HeldFor::Spare,
        "other" => HeldFor::Other;
    PromiseKind, "a kind of promise":
        "promise" => PromiseKind::Promise, "look-back" => PromiseKind::LookBack;
    KeptWhat, "what is settled":
        "recheck" => KeptWhat::Recheck,
        "end" => KeptWhat::End,
        "look-back" => KeptWhat::LookBack,
        "promise" => KeptWhat::Promise;
}

#[cfg(test)]
mod tests {
    use super::*;

    fn read_back<T: Textual + PartialEq + std::fmt::Debug>() {
        for &word in T::WORDS {
            let thing = T::read(word, None).expect("a listed word");
            assert_eq!(thing.write(), word);
        }
        assert!(T::read("no such word", None).is_err());
    }

    #[test]
    fn every_word_reads_back() {
        read_back::<System>();
        read_back::<Metal>();
        read_back::<LoadClass>();
        read_back::<Protection>();
        read_back::<Sign>();
        read_back::<ComplaintKind>();
        read_back::<Exposure>();
        read_back::<Condition>();
        read_back::<UseKind>();
        read_back::<Area>();
        read_back::<PlannedWork>();
        read_back::<Flagged>();
    }

    #[test]
    fn words_agree_with_those_of_the_model() {
        for sign in Sign::ALL {
            assert_eq!(sign.write(), sign.word());
        }
        for kind in ComplaintKind::ALL {
            assert_eq!(kind.write(), kind.word());
        }
        for condition in Condition::ALL {
            assert_eq!(condition.write(), condition.word());
        }
        for exposure in [Exposure::CoverOn, Exposure::CoverOff, Exposure::ProvenDead] {
            assert_eq!(exposure.write(), exposure.word());
        }
    }

    #[test]
    fn a_wrong_word_gets_the_nearest_one() {
        let error = Metal::read("aluminim", None).expect_err("a slip");
        assert!(error.hint().contains("`aluminium`"), "{}", error.hint());
    }

    #[test]
    fn both_spellings_are_read_and_one_is_written() {
        for (other, word) in SPELLINGS {
            let known = [Metal::WORDS, Sign::WORDS].concat();
            assert!(known.contains(word) && !known.contains(other), "{other}");
        }
        assert_eq!(Metal::read("aluminum", None).map(|metal| metal.write()), Ok("aluminium".to_owned()));
    }
}
