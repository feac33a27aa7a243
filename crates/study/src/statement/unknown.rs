//! What is not known.

use super::statement;
use inference::Judgement;
use model::assessment::{Class, Statement};
use model::evidence::Observed;
use model::job::{Exposure, Job};
use model::joint::{JointId, JointKind};
use remedy::words::{joint_label, listed, spaces_label};

/// Joints named one by one.
const N_NAMED: usize = 8;

pub(super) fn statements(job: &Job, judgement: &Judgement) -> Vec<Statement> {
    let mut all = Vec::new();
    let mut say = |text: String| all.push(statement(Class::Unknown, text, Vec::new()));
    match job.exposure {
        Exposure::CoverOn => say("The cover stayed on: nothing behind it was seen.".to_owned()),
        Exposure::CoverOff => {
            say("The stabs were not seen: they sit under the breakers, and no breaker is pulled while the bus is live.".to_owned());
        }
        Exposure::ProvenDead => {}
    }
    remedy::words::unread_since(job).into_iter().for_each(&mut say);
    unobserved(job, judgement, &mut say);
    for panel in &job.installation.panels {
        let mut missing = Vec::new();
        if panel.bus.metal.is_none() {
            missing.push("the metal of the bus");
        }
        if panel.bus.plating.is_none() {
            missing.push("its plating");
        }
        if panel.moisture.is_none() {
            missing.push("whether there is water in the cabinet");
        }
        if !missing.is_empty() {
            say(format!("Not looked at in panel {}: {}.", panel.id, listed(&missing)));
        }
        let unread = panel.breakers.iter().filter(|breaker| breaker.other_make.is_none());
        let unread: Vec<String> = unread.map(spaces_label).collect();
        if !unread.is_empty() {
            let which = if unread.len() == panel.breakers.len() {
                "any breaker".to_owned()
            } else if N_NAMED < unread.len() {
                format!("{} of {} breakers", unread.len(), panel.breakers.len())
            } else {
                format!("breaker {}", listed(&unread))
            };
            say(format!("Not compared with the list on the label of panel {}: {which}.", panel.id));
        }
    }
    if job.installation.service.other_sources.is_empty() {
        say("No other source is recorded, such as a generator, solar, a battery or a second meter. That none was noted does not rule one out.".to_owned());
    }
    let voltages =
        job.observations.iter().any(|observation| matches!(observation.what, Observed::Voltage(_)));
    if !voltages {
        say("Leg voltages under load were not measured: nothing is said about the supply before the panel."
            .to_owned());
    }
    if let Some(problem) = &judgement.sampling.problem {
        say(format!("The computation is not as exact as it should be: {problem}"));
    }
    all
}

fn unobserved(job: &Job, judgement: &Judgement, say: &mut impl FnMut(String)) {
    let unseen: Vec<&JointId> = judgement
        .joints
        .iter()
        .filter(|finding| !finding.observed)
        .map(|finding| &finding.joint.id)
        .collect();
    if unseen.is_empty() {
        return;
    }
    if unseen.len() <= N_NAMED {
        let named: Vec<String> = unseen.iter().map(|id| joint_label(&job.installation, id)).collect();
        say(format!("No reading and no sign says anything about {}.", listed(&named)));
        return;
    }
    let kinds = [
        (JointKind::Stab, "stabs"),
        (JointKind::Lug, "line lugs"),
        (JointKind::Terminal, "load terminals"),
        (JointKind::Neutral, "neutral terminals"),
        (JointKind::Feeder, "section feeds"),
    ];
    let counted = kinds.iter().filter_map(|(kind, name)| {
        let count = unseen.iter().filter(|id| id.kind() == *kind).count();
        (0 < count).then(|| format!("{count} {name}"))
    });
    let counted: Vec<String> = counted.collect();
    say(format!(
        "No reading and no sign says anything about {} of {} joints: {}. What is said of them comes from the \
         description of the panel and from their neighbours.",
        unseen.len(),
        judgement.joints.len(),
        listed(&counted)
    ));
}
