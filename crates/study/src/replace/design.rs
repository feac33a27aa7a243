//! What each option builds, from the record, and what is contested under the code of the job.

use crate::code::{Answer, Finding, Law, Subject, asks};
use model::advice::ChoiceKind;
use model::breaker::Protection;
use model::id::{PanelId, Slot};
use model::job::Job;
use model::panel::Panel;
use model::replacement::Found;
use remedy::materials::{BreakerNeed, Design};
use remedy::reach::{Measures, reach};
use remedy::survey::{KnownCircuit, circuits};
use remedy::work::{Contested, contested};

/// Feet of service conductor where the record has no length: common practice, no source.
const SERVICE_FT: u32 = 25;

/// The question of the list whose answer counts splices.
pub(super) const SHORT: &str = "short-conductors";

/// Why nothing can be designed.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum NotDesigned {
    /// No such panel.
    #[error("the record holds no panel `{0}`")]
    NoPanel(String),
    /// Nothing to design from.
    #[error("panel {0} has no breaker on record that feeds a circuit")]
    NoCircuit(PanelId),
    /// The list of surprises is wrong.
    #[error("the list of surprises is wrong: {0}")]
    List(String),
}

/// How a contested item stands in a job.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum ContestStanding {
    /// The code on record asks for it: it is in every price.
    InScope(String),
    /// The code on record does not ask for it, or it is there: it is in no price.
    LeftOut(String),
    /// Nobody knows before the inspector says so: the price is given with and without.
    Open(String),
}

/// A contested item of a job.
#[derive(Debug, Clone, PartialEq)]
pub struct Contest {
    /// The item.
    pub item: Contested,
    /// How it stands, and why.
    pub standing: ContestStanding,
}

/// The panel that is asked for: by name, else the one that short references mean, else the first.
pub(super) fn panel_of<'a>(job: &'a Job, named: Option<&str>) -> Result<&'a Panel, NotDesigned> {
    let panels = &job.installation.panels;
    match named.or_else(|| job.default_panel.as_ref().map(PanelId::as_str)) {
        Some(name) => panels
            .iter()
            .find(|panel| panel.id.as_str() == name)
            .ok_or_else(|| NotDesigned::NoPanel(name.to_owned())),
        None => panels.first().ok_or_else(|| NotDesigned::NoPanel("main".to_owned())),
    }
}

/// What an option builds. Protection stays as it is on record; what the code may ask beyond that is contested.
pub(super) fn design(
    job: &Job,
    panel: &Panel,
    option: ChoiceKind,
    n_spaces: Option<u16>,
    notes: &mut Vec<String>,
) -> Result<Design, NotDesigned> {
    let circuits = circuits(job, &panel.id);
    if circuits.is_empty() {
        return Err(NotDesigned::NoCircuit(panel.id.clone()));
    }
    let need = |circuit: &KnownCircuit| BreakerNeed {
        n_poles: circuit.poles,
        rating_a: circuit.rating.a(),
        protection: match circuit.device_after() {
            Protection::SwitchOnly => Protection::ThermalMagnetic,
            other => other,
        },
    };
    let replaces =
        matches!(option, ChoiceKind::ReplaceInterior | ChoiceKind::ReplacePanel | ChoiceKind::ReplaceService);
    let shared =
        if new_panel(option) && n_spaces.is_none() { shared(job, panel, &circuits) } else { Vec::new() };
    let whole = |circuit: &&KnownCircuit| !shared.iter().flatten().any(|one| one.slot == circuit.slot);
    if !shared.is_empty() {
        notes.push(format!(
            "Half-width breakers: {} of two circuits each, by the chosen layout. Where arc-fault protection is asked \
             for them, these circuits need a space each.",
            shared.len()
        ));
    }
    let breakers: Vec<BreakerNeed> = if replaces {
        circuits.iter().filter(whole).map(need).collect()
    } else {
        // One circuit; the dearest of those that may be moved is not known, so the first is taken.
        circuits.first().map(need).into_iter().collect()
    };
    let halves = circuits.iter().filter(|one| one.poles == 1 && one.partner.flatten().is_some()).count();
    let chosen = job.replacement.arrangement(&panel.id).map(|chosen| chosen.new.n_spaces);
    let foretold = foretold(job, panel, option, &circuits);
    let n_splices = if replaces { n_short(job, &circuits, &foretold) } else { 0 };
    if option == ChoiceKind::ReplacePanel && !foretold.is_empty() {
        let n: u32 = foretold.iter().map(|(_, n)| n).sum();
        notes.push(format!(
            "Splices: {n} conductors do not reach their new spaces, by the chosen layout and the lengths of {} of {} \
             circuits; the others by the answer to the question.",
            foretold.len(),
            circuits.len()
        ));
    }
    let length = job.installation.service.entrance_length;
    if option == ChoiceKind::ReplaceService && length.is_none() {
        notes.push(format!(
            "The length of the service conductors is not on record: {SERVICE_FT} ft are counted."
        ));
    }
    Ok(Design {
        option,
        n_circuits: if replaces { u32::try_from(circuits.len()).unwrap_or(u32::MAX) } else { 1 },
        breakers,
        half_width: shared.iter().map(|pair| pair.map(|one| one.rating.a())).collect(),
        n_moved: u32::from(option == ChoiceKind::MoveCircuit),
        n_splices,
        n_multiwire: if replaces { u32::try_from(halves / 2).unwrap_or(u32::MAX) } else { 0 },
        n_spaces: n_spaces.or(chosen).filter(|_| replaces && option != ChoiceKind::ReplaceInterior),
        service_ft: if option == ChoiceKind::ReplaceService {
            length.map_or(SERVICE_FT, |length| length.feet().ceil().clamp(0.0, 1000.0) as u32)
        } else {
            0
        },
        past: Vec::new(),
    })
}

fn new_panel(option: ChoiceKind) -> bool {
    matches!(option, ChoiceKind::ReplacePanel | ChoiceKind::ReplaceService)
}

/// Circuits that share a space of the chosen layout: a breaker of half width each, sold as one piece.
fn shared<'a>(job: &Job, panel: &Panel, circuits: &'a [KnownCircuit]) -> Vec<[&'a KnownCircuit; 2]> {
    let Some(chosen) = job.replacement.arrangement(&panel.id) else { return Vec::new() };
    let space = |one: &KnownCircuit| {
        let seat = chosen.seat(&one.slot).filter(|_| one.poles == 1)?;
        seat.spaces.first().map(|space| space.number)
    };
    let mut pairs = Vec::new();
    for (k, one) in circuits.iter().enumerate() {
        let mut rest = circuits[k + 1..].iter();
        if let Some(other) = space(one).and_then(|number| rest.find(|other| space(other) == Some(number))) {
            pairs.push([one, other]);
        }
    }
    pairs
}

/// Circuits of which the chosen layout of a new panel tells how many conductors do not reach: those that have a place in
/// it, with length and side of entry on record.
pub(super) fn foretold(
    job: &Job,
    panel: &Panel,
    option: ChoiceKind,
    circuits: &[KnownCircuit],
) -> Vec<(Slot, u32)> {
    let (Some(chosen), Ok(measures)) =
        (job.replacement.arrangement(&panel.id).filter(|_| new_panel(option)), Measures::standard())
    else {
        return Vec::new();
    };
    let of = |circuit: &KnownCircuit| {
        let seat = chosen.seat(&circuit.slot)?;
        let reached = reach(&chosen.new, &measures, &circuit.conductor)?;
        let short = seat.spaces.iter().filter(|space| !reached.contains(&space.number)).count();
        Some((circuit.slot.clone(), u32::try_from(short).unwrap_or(u32::MAX)))
    };
    circuits.iter().filter_map(of).collect()
}

/// Conductors that do not reach: by the layout where it tells, else circuits of which the survey says so.
fn n_short(job: &Job, circuits: &[KnownCircuit], foretold: &[(Slot, u32)]) -> u32 {
    let whole = job.replacement.answer(SHORT, None);
    let short = |one: &&KnownCircuit| {
        let own = job.replacement.answer(SHORT, Some(&one.slot)).or(whole);
        own.is_some_and(|answer| answer.found == Found::Yes)
    };
    let told = |one: &&KnownCircuit| foretold.iter().any(|(slot, _)| *slot == one.slot);
    let said = circuits.iter().filter(|one| !told(one)).filter(short).count();
    foretold.iter().map(|(_, n)| n).sum::<u32>() + u32::try_from(said).unwrap_or(u32::MAX)
}

/// The contested items, as they stand under the law of the job.
pub(super) fn contests(job: &Job, law: Option<&Law<'_>>) -> Vec<Contest> {
    let findings = law.map(|law| asks(law, job)).unwrap_or_default();
    let standing = |item: &Contested| {
        let mut about = findings.iter().filter(|one| subject_word(one.subject) == item.subject);
        match about.next() {
            Some(finding) => of_finding(finding),
            None if law.is_none() => {
                ContestStanding::Open("no adopted edition is on record, and none is assumed".to_owned())
            }
            None => ContestStanding::Open("the code book has no answer for this job".to_owned()),
        }
    };
    contested().into_iter().map(|item| Contest { standing: standing(&item), item }).collect()
}

fn of_finding(finding: &Finding) -> ContestStanding {
    let cite = finding.cite.as_ref().map(|cite| format!(" [{cite}]")).unwrap_or_default();
    match &finding.answer {
        Answer::Required { met: Some(true) } => {
            ContestStanding::LeftOut(format!("there already, by the record{cite}"))
        }
        Answer::Required { .. } => ContestStanding::InScope(format!("the code on record asks for it{cite}")),
        Answer::NotRequired => {
            ContestStanding::LeftOut(format!("the code on record does not ask for it{cite}"))
        }
        Answer::DependsOn(question) => ContestStanding::Open(format!("it depends: {question}{cite}")),
        Answer::InspectorsCall => ContestStanding::Open(format!("the inspector decides{cite}")),
        Answer::Refused(refused) => ContestStanding::Open(refused.to_string()),
    }
}

/// The word of the points that can be contested.
const fn subject_word(subject: Subject) -> &'static str {
    match subject {
        Subject::ArcExisting => "arc-existing",
        Subject::OutdoorDisconnect => "outdoor-disconnect",
        Subject::Surge => "surge",
        _ => "",
    }
}
