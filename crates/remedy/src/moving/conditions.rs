//! The conditions of a move, one by one.
//!
//! What they ask is the synthesis of the job notes (repair, move or replace: the criteria); common practice, no source,
//! where no rule is named.

use super::heat::{moved, predict};
use super::{Setting, damage};
use crate::isolation::isolate;
use crate::words::percent;
use model::id::{Slot, Space};
use model::isolation::IsolationGoal;
use model::moving::{Met, MoveCandidate, MoveCondition, MoveHeat};
use model::panel::Feed;
use model::{JointId, Leg};

/// Most movements that the older rule allows.
const SIX: usize = 6;
/// Spacing of rows, inches: full-width breakers are an inch wide. Common practice, no source.
const ROW_IN: f64 = 1.0;

/// What refuses every move of this circuit.
pub(super) fn for_all(setting: &Setting<'_>) -> Vec<String> {
    let mut refusals = Vec::new();
    let own: Vec<Slot> = setting.breaker.spaces.iter().map(|&space| slot(setting, space)).collect();
    let suspect = setting.policy.suspect_burnt();
    let others: Vec<String> = setting
        .joints
        .iter()
        .filter(|finding| suspect <= finding.probability.burnt)
        .filter_map(|finding| match &finding.joint.id {
            JointId::Stab(slot) if !own.contains(slot) && slot.panel == setting.panel.id => {
                Some(slot.space.to_string())
            }
            _ => None,
        })
        .collect();
    if !others.is_empty() {
        refusals.push(format!(
            "Not one stab alone is affected: those of {} are suspect as well. A second move follows the first.",
            others.join(", ")
        ));
    }
    if let Some(class) = setting.class().filter(|class| class.is_heavy()) {
        let _ = class;
        refusals.push(
            "The circuit feeds a heavy load that runs for an hour and more. A stop-gap is for modest loads."
                .to_owned(),
        );
    }
    let most_a = setting.policy.thresholds.move_current_limit_a;
    let carried = own.iter().filter_map(|slot| setting.current_a(slot)).fold(0.0, f64::max);
    if most_a < carried {
        refusals.push(format!(
            "It carried about {carried:.0} A; the shop's policy moves nothing above {most_a:.0} A."
        ));
    }
    if setting.panel.moisture == Some(true) {
        refusals.push(
            "There are water marks in the cabinet: no stab in it can be called sound for long.".to_owned(),
        );
    }
    let trunk = setting.joints.iter().find(|finding| {
        suspect <= finding.probability.burnt
            && matches!(finding.joint.id, JointId::Lug(..) | JointId::Feeder(..) | JointId::NeutralLug(_))
            && *finding.joint.id.panel() == setting.panel.id
    });
    if let Some(finding) = trunk {
        refusals.push(format!(
            "A lug or main connection is suspect ({}): a move leaves it as it is.",
            percent(finding.probability.burnt)
        ));
    }
    refusals
}

/// One place with all its conditions.
pub(super) fn candidate(setting: &Setting<'_>, spaces: Vec<Space>, unrefused: bool) -> MoveCandidate {
    let heat = predict(setting, &spaces);
    let conditions = vec![
        section(setting, &spaces),
        legs(setting, &spaces),
        partner(setting, &spaces),
        movements(setting, &spaces),
        ask("listing", "Is a breaker listed for this panel to be had, new? The old one is not used again."),
        reach(setting, &spaces),
        damage::beside(setting, &spaces),
        temperature(heat.as_ref()),
        water(setting),
        prove("dead", "The bus is proven dead on all pairs before anything comes off or goes on."),
        prove(
            "after",
            "With the circuit loaded, the new place and its neighbours stay as cool as their like.",
        ),
        prove(
            "expiry",
            "The last day, the day of the recheck and who was told are written down with the move.",
        ),
    ];
    let open = unrefused && conditions.iter().all(|condition| condition.met != Met::NotMet);
    MoveCandidate { spaces, open, conditions, heat }
}

pub(super) fn slot(setting: &Setting<'_>, space: Space) -> Slot {
    Slot::new(setting.panel.id.clone(), space)
}

fn ask(name: &'static str, says: &str) -> MoveCondition {
    MoveCondition { name, met: Met::Ask, says: says.to_owned() }
}

fn prove(name: &'static str, says: &str) -> MoveCondition {
    MoveCondition { name, met: Met::Prove, says: says.to_owned() }
}

pub(super) fn condition(name: &'static str, met: bool, yes: &str, no: &str) -> MoveCondition {
    let (met, says) = if met { (Met::Met, yes) } else { (Met::NotMet, no) };
    MoveCondition { name, met, says: says.to_owned() }
}

fn section(setting: &Setting<'_>, spaces: &[Space]) -> MoveCondition {
    let home = setting.panel.section_of(setting.breaker.spaces[0]);
    let all_there = spaces.iter().all(|&space| setting.panel.section_of(space) == home);
    let below_split = home.is_some_and(|home| matches!(home.feed, Feed::Breaker { .. }));
    condition(
        "section",
        all_there,
        "Same section: the protection before it stays the same.",
        if below_split {
            "Another section: above the split it loses its section main and adds a handle to what must be switched off."
        } else {
            "Another section: the protection before it changes."
        },
    )
}

fn legs(setting: &Setting<'_>, spaces: &[Space]) -> MoveCondition {
    let leg = |&space: &Space| setting.panel.leg_of(space);
    let old: Vec<Leg> = setting.breaker.spaces.iter().map(leg).collect();
    let new: Vec<Leg> = spaces.iter().map(leg).collect();
    let mut apart = new.clone();
    apart.sort();
    apart.dedup();
    if apart.len() < new.len() {
        return condition(
            "leg",
            false,
            "",
            "Its poles would land on one leg: half or no voltage at the load.",
        );
    }
    let circuit = setting.breaker.circuit.as_ref();
    if old == new || 1 < new.len() {
        let text = if old == new { "Same leg as before." } else { "Its poles are on different legs again." };
        return condition("leg", true, text, "");
    }
    match circuit.map(|circuit| circuit.partner) {
        Some(Some(partner)) if setting.panel.leg_of(partner) == new[0] => MoveCondition {
            name: "leg",
            met: Met::NotMet,
            says: format!(
                "It shares its neutral with space {partner} and would be on the same leg {}: the neutral would carry both.",
                new[0]
            ),
        },
        Some(Some(_)) => condition("leg", true, "On the other leg than its partner.", ""),
        _ => MoveCondition {
            name: "leg",
            met: Met::Ask,
            says: format!(
                "It changes from leg {} to leg {}. Is it certain that it shares no neutral with another circuit?",
                old[0], new[0]
            ),
        },
    }
}

fn partner(setting: &Setting<'_>, spaces: &[Space]) -> MoveCondition {
    let partner = setting.breaker.circuit.as_ref().and_then(|circuit| circuit.partner);
    let Some(partner) = partner.filter(|partner| !setting.breaker.spaces.contains(partner)) else {
        return condition("partner", true, "No partner is recorded.", "");
    };
    let panel = setting.panel;
    let beside = spaces.iter().any(|&space| {
        panel.column_of(space) == panel.column_of(partner)
            && panel.row_of(space).abs_diff(panel.row_of(partner)) == 1
    });
    MoveCondition {
        name: "partner",
        met: if beside { Met::Met } else { Met::NotMet },
        says: if beside {
            format!("Beside its partner in space {partner}: the two get one handle.")
        } else {
            format!(
                "Away from its partner in space {partner}: the two could not be switched off with one handle."
            )
        },
    }
}

fn movements(setting: &Setting<'_>, spaces: &[Space]) -> MoveCondition {
    let count = |installation| {
        isolate(installation, &IsolationGoal::Everything).map_or(0, |plan| plan.movements.len())
    };
    let before = count(&setting.job.installation);
    let after = count(&moved(setting, spaces));
    MoveCondition {
        name: "hand movements",
        met: if SIX < after && before < after { Met::NotMet } else { Met::Met },
        says: if before < after {
            format!(
                "It takes {after} hand movements instead of {before} to cut off every circuit; six was the most allowed."
            )
        } else {
            format!("Hand movements to cut off every circuit: {after}, no more than before.")
        },
    }
}

fn reach(setting: &Setting<'_>, spaces: &[Space]) -> MoveCondition {
    let panel = setting.panel;
    let rows = panel.row_of(setting.breaker.spaces[0]).abs_diff(panel.row_of(spaces[0]));
    let same_column = panel.column_of(setting.breaker.spaces[0]) == panel.column_of(spaces[0]);
    let free = setting
        .breaker
        .circuit
        .as_ref()
        .and_then(|circuit| circuit.conductor.free_length)
        .map(|length| length.m() / 0.0254);
    let needed = f64::from(rows) * ROW_IN;
    match free {
        Some(free) if same_column && needed <= free => MoveCondition {
            name: "reach",
            met: Met::Met,
            says: format!("{free:.0} in of free conductor, {needed:.0} in farther in the same column."),
        },
        Some(free) if same_column => MoveCondition {
            name: "reach",
            met: Met::Ask,
            says: format!(
                "{free:.0} in of free conductor, {needed:.0} in farther: it needs a splice. Does one fit (conductors at most \
                 40 %, with splices at most 75 % of any cross-section, NFPA 70 312.8)?"
            ),
        },
        _ => MoveCondition {
            name: "reach",
            met: Met::Ask,
            says: format!(
                "Does the conductor reach {needed:.0} in {}without strain, or does a splice fit?",
                if same_column { "farther " } else { "farther and to the other column " }
            ),
        },
    }
}

fn temperature(heat: Option<&MoveHeat>) -> MoveCondition {
    let Some(heat) = heat else {
        return prove(
            "temperature",
            "The network gives no figure for this panel: measure after the move, loaded.",
        );
    };
    let beside = match heat.neighbour {
        Some((space, current, face)) => {
            format!(" beside space {space} with {current:.0} A, whose face would be at {face:.0} °C")
        }
        None => " with nothing on the other side of the stab".to_owned(),
    };
    let text = format!(
        "At {:.0} A a sound stab there would settle at about {:.0} °C, the breaker's face at {:.0} °C, its load terminal at \
         {:.0} °C, in a room of {:.0} °C{beside}. Limit of the terminal {:.0} °C ({}).",
        heat.current_a, heat.stab_c, heat.face_c, heat.terminal_c, heat.room_c, heat.limit_c, heat.limit
    );
    MoveCondition {
        name: "temperature",
        met: if heat.terminal_c <= heat.limit_c { Met::Met } else { Met::NotMet },
        says: text,
    }
}

fn water(setting: &Setting<'_>) -> MoveCondition {
    match setting.panel.moisture {
        Some(true) => condition("water", false, "", "There are water marks in the cabinet."),
        Some(false) => condition("water", true, "No water marks, as recorded.", ""),
        None => ask("water", "Were water marks looked for in the cabinet?"),
    }
}
