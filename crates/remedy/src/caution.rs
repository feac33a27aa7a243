//! Cautions, chosen by what applies. They are not policy: a shop cannot switch them off.

use crate::situation::{JointGroup, Situation};
use model::advice::Urgency;
use model::evidence::Sign;
use model::job::ComplaintKind;

/// Cautions of a verdict, the ones particular to this house first.
pub(crate) fn cautions(situation: &Situation<'_>, urgency: Urgency) -> Vec<String> {
    let mut cautions = Vec::new();
    let mut say = |text: &str| cautions.push(text.to_owned());
    if situation.is_seen(Sign::Buzz) || urgency == Urgency::Now {
        say(
            "Smoke, flame, glow or crackle: everybody out, call the emergency services, do not touch the panel.",
        );
    }
    if !situation.suspect(JointGroup::is_stab).is_empty() {
        say(
            "Do not pull the breaker while the bus is live, loaded or not: it may be fused to the stab. Switch it off \
             by its handle, tag it, and plan the removal with the bus proven dead.",
        );
    }
    for panel in situation.without_single_main() {
        cautions.push(format!(
            "Panel {} has no single main. With every handle off its upper part and the line lugs are still live. \
             Treat it as energized until the utility has cut it and it is proven dead.",
            panel.id
        ));
    }
    let mut say = |text: &str| cautions.push(text.to_owned());
    if situation.is_failing(|path| path == "neutral")
        || !situation.suspect(|group| group == JointGroup::NeutralLug).is_empty()
        || situation.legs_not_read_since(|kind| kind == ComplaintKind::DimBright).is_some()
    {
        say(
            "Neutral suspect: unplug electronics now, call the utility, and open no bond, no electrode conductor and no \
             neutral while the house is energized: they may carry the return current.",
        );
    }
    if situation.is_wet() {
        say("Water in the cabinet: keep off while floor, hands or cabinet are wet.");
    }
    say(
        "Work inside a panel is for qualified persons. Service conductors and line lugs stay live with every handle off \
         until the utility has cut them and that is proven on all pairs.",
    );
    if situation.job.installation.service.other_sources.is_empty() {
        say(
            "Other sources were not recorded: until a second meter, a generator, solar, a battery and a neighbour's \
             feed are ruled out, unknown means live.",
        );
    } else {
        say("Another source is recorded. It must be cut and proven dead as well.");
    }
    say("A handle that says off is a claim, not a proof. Unknown means live.");
    say("Local code, the utility's rules, the manufacturer's instructions and the inspector come first.");
    say("This is what was seen and measured on one day. It is no guarantee that the rest is sound.");
    cautions
}
