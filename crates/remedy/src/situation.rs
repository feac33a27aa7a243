//! What the rules and the options look at: the findings, sorted by what they mean for a decision.

use crate::Findings;
use crate::policy::{Policy, Thresholds};
use crate::words;
use model::advice::ChoiceKind;
use model::assessment::{Cause, CauseFinding, ComplaintFinding, JointFinding, SupplyFinding};
use model::breaker::{Breaker, LoadClass};
use model::evidence::{Observation, Observed, Sign, SignReading, VoltageReading};
use model::id::Slot;
use model::job::{Complaint, ComplaintKind, Job};
use model::joint::JointId;
use model::off::OFF_V;
use model::panel::{Feed, Panel};
use model::place::Place;
use model::{DateTime, Leg, PanelId, System};
use serde::Deserialize;
use std::collections::{BTreeMap, BTreeSet};
use std::rc::Rc;

/// Voltages to neutral of the two legs of a panel, read in one state, V.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct LegsRead<'a> {
    pub(crate) panel: &'a PanelId,
    pub(crate) state: &'a str,
    pub(crate) volts: [f64; 2],
}

/// Joints as a decision sorts them.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub(crate) enum JointGroup {
    /// Stab of a branch circuit.
    Stab,
    /// Stab of a breaker that feeds a bus section or a sub-panel.
    SectionStab,
    /// Line lug.
    Lug,
    /// Main breaker to bus, or feeder to section.
    Feeder,
    /// Load terminal.
    Terminal,
    /// Neutral lug of a panel.
    NeutralLug,
    /// Neutral terminal of a circuit.
    NeutralTerminal,
}

impl JointGroup {
    /// Joints that only the utility can make dead, or that carry more than one circuit.
    pub(crate) const fn is_main(self) -> bool {
        matches!(
            self,
            JointGroup::SectionStab | JointGroup::Lug | JointGroup::Feeder | JointGroup::NeutralLug
        )
    }

    /// As a person says it.
    pub(crate) const fn phrase(self) -> &'static str {
        match self {
            JointGroup::Stab => "stabs",
            JointGroup::SectionStab => "stabs that feed a section or panel",
            JointGroup::Lug => "line lugs",
            JointGroup::Feeder => "main and feeder joints",
            JointGroup::Terminal => "load terminals",
            JointGroup::NeutralLug => "neutral lugs",
            JointGroup::NeutralTerminal => "neutral terminals",
        }
    }

    /// Both kinds of stab.
    pub(crate) const fn is_stab(self) -> bool {
        matches!(self, JointGroup::Stab | JointGroup::SectionStab)
    }
}

/// A finding with its group and name.
#[derive(Debug, Clone)]
pub(crate) struct JointView<'a> {
    pub(crate) finding: &'a JointFinding,
    pub(crate) group: JointGroup,
    pub(crate) label: Rc<str>,
}

impl JointView<'_> {
    /// Probability of burnt.
    pub(crate) fn burnt(&self) -> f64 {
        self.finding.probability.burnt
    }

    /// Probability of worn or burnt.
    pub(crate) fn worn_or_burnt(&self) -> f64 {
        self.finding.probability.worn + self.finding.probability.burnt
    }
}

/// Everything a decision looks at.
#[derive(Debug)]
pub(crate) struct Situation<'a> {
    pub(crate) job: &'a Job,
    pub(crate) findings: Findings<'a>,
    pub(crate) policy: &'a Policy,
    pub(crate) joints: Vec<JointView<'a>>,
}

impl<'a> Situation<'a> {
    pub(crate) fn of(job: &'a Job, findings: &Findings<'a>, policy: &'a Policy) -> Self {
        let view = |finding: &'a JointFinding| JointView {
            finding,
            group: group_of(job, &finding.joint.id),
            label: words::joint_label(&job.installation, &finding.joint.id).into(),
        };
        let joints = findings.joints.iter().map(view).collect();
        Situation { job, findings: *findings, policy, joints }
    }

    /// The same with other findings of the same joints, and of the supply.
    pub(crate) fn with(&self, joints: &'a [JointFinding], supply: &'a [SupplyFinding]) -> Self {
        let views = self.joints.iter().zip(joints);
        Situation {
            findings: Findings { joints, supply, ..self.findings },
            joints: views.map(|(view, finding)| JointView { finding, ..view.clone() }).collect(),
            ..*self
        }
    }

    pub(crate) fn thresholds(&self) -> &Thresholds {
        &self.policy.thresholds
    }

    /// Joints of some groups, most probably burnt first.
    pub(crate) fn worst_first(&self, wanted: impl Fn(JointGroup) -> bool) -> Vec<&JointView<'a>> {
        let mut joints: Vec<_> = self.joints.iter().filter(|view| wanted(view.group)).collect();
        joints.sort_by(|one, other| other.burnt().total_cmp(&one.burnt()));
        joints
    }

    /// Likely burnt joints of some groups.
    pub(crate) fn likely_burnt(&self, wanted: impl Fn(JointGroup) -> bool) -> Vec<&JointView<'a>> {
        let mut joints = self.worst_first(wanted);
        joints.retain(|view| self.thresholds().likely_burnt <= view.burnt());
        joints
    }

    /// Suspect joints of some groups: those likely burnt among them.
    pub(crate) fn suspect(&self, wanted: impl Fn(JointGroup) -> bool) -> Vec<&JointView<'a>> {
        let mut joints = self.worst_first(wanted);
        joints.retain(|view| self.thresholds().suspect_burnt <= view.burnt());
        joints
    }

    /// Joints that are likely worn or burnt but not suspect of being burnt.
    pub(crate) fn only_worn(&self) -> Vec<&JointView<'a>> {
        let mut joints = self.worst_first(|_| true);
        joints.retain(|view| {
            view.burnt() < self.thresholds().suspect_burnt
                && self.thresholds().likely_worn <= view.worn_or_burnt()
        });
        joints
    }

    /// Expected number of burnt stabs among the suspect ones. The others are left out: many small prior
    /// probabilities add up without being evidence of anything.
    pub(crate) fn expected_burnt_stabs(&self) -> f64 {
        self.suspect(JointGroup::is_stab).iter().map(|view| view.burnt()).sum()
    }

    /// Are two stabs or more spoken of as burnt?
    pub(crate) fn two_burnt_stabs(&self) -> bool {
        2 <= self.likely_burnt(JointGroup::is_stab).len()
            || self.thresholds().two_stabs_expected <= self.expected_burnt_stabs()
    }

    /// Probability that a path of the supply is failing, largest of those whose name is wanted.
    pub(crate) fn supply_failing(&self, wanted: impl Fn(&str) -> bool) -> Option<(&'a str, f64)> {
        let paths = self.findings.supply.iter().filter(|path| wanted(&path.path));
        let worst = paths.max_by(|one, other| one.failing.total_cmp(&other.failing))?;
        Some((&worst.path, worst.failing))
    }

    /// Is this path failing under the policy?
    pub(crate) fn is_failing(&self, wanted: impl Fn(&str) -> bool) -> bool {
        self.supply_failing(wanted).is_some_and(|(_, failing)| self.thresholds().supply_failing <= failing)
    }

    /// The finding of a cause with its complaint, the most probable one where several complaints have it.
    pub(crate) fn cause(&self, wanted: Cause) -> Option<(&'a ComplaintFinding, &'a CauseFinding)> {
        let of_complaint = |complaint: &'a ComplaintFinding| {
            let found = complaint.causes.iter().filter(|cause| cause.cause == wanted);
            found.map(move |cause| (complaint, cause))
        };
        let all = self.findings.causes.iter().flat_map(of_complaint);
        all.max_by(|(_, one), (_, other)| one.probability.total_cmp(&other.probability))
    }

    /// Is this the likely cause of a complaint?
    pub(crate) fn is_likely_cause(&self, wanted: Cause) -> bool {
        self.cause(wanted).is_some_and(|(_, cause)| self.thresholds().likely_cause <= cause.probability)
    }

    /// May one of these joints be burnt, by what was found or is supposed of them?
    pub(crate) fn may_be_burnt(&self, joints: &[JointId]) -> bool {
        self.joints.iter().any(|view| 0.0 < view.burnt() && joints.contains(&view.finding.joint.id))
    }

    /// Signs that were found.
    pub(crate) fn signs_found(&self) -> impl Iterator<Item = &'a SignReading> {
        self.job.observations.iter().filter_map(|observation| match &observation.what {
            Observed::Sign(reading) if reading.present => Some(reading),
            _ => None,
        })
    }

    /// The first reading that nothing else on record explains.
    pub(crate) fn unexplained(&self) -> Option<&'a Observation> {
        self.job.observations.iter().find(|seen| self.findings.unexplained.contains(&seen.fact))
    }

    /// Was this sign found anywhere?
    pub(crate) fn is_seen(&self, sign: Sign) -> bool {
        self.signs_found().any(|reading| reading.sign == sign)
    }

    /// Water marks, by the description of a panel or by a sign.
    pub(crate) fn is_wet(&self) -> bool {
        self.job.installation.panels.iter().any(|panel| panel.moisture == Some(true))
            || self.is_seen(Sign::Moisture)
    }

    /// Measured leg-to-neutral voltages: leg voltage in volts, load state. None of a panel that was off, nor of a circuit that was.
    pub(crate) fn leg_voltages(&self) -> impl Iterator<Item = (f64, &'a str)> {
        self.fed_voltages().map(|(_, reading)| (reading.value.v().abs(), reading.state.as_str()))
    }

    /// Voltages from a leg to what is none, each with when it was read. None of a panel that was off, nor of a circuit that was.
    fn fed_voltages(&self) -> impl Iterator<Item = (DateTime, &'a VoltageReading)> {
        let job = self.job;
        let is_off = move |reading: &VoltageReading| {
            let of_circuit = reading.from.slot().or(reading.to.slot()).is_some();
            job.is_read_off(reading) || of_circuit && reading.value.v().abs() < OFF_V
        };
        job.observations.iter().filter_map(move |observation| match &observation.what {
            Observed::Voltage(reading)
                if is_hot(&reading.from) != is_hot(&reading.to) && !is_off(reading) =>
            {
                Some((observation.at, reading))
            }
            _ => None,
        })
    }

    /// The last complaint of these kinds since which not all legs of a panel were read to neutral in one state, at its lugs or at
    /// circuits of them.
    pub(crate) fn legs_not_read_since(
        &self,
        is_asked: impl Fn(ComplaintKind) -> bool,
    ) -> Option<&'a Complaint> {
        let complaint = self.job.complaints.iter().rev().find(|made| is_asked(made.kind))?;
        let mut read: BTreeMap<(&PanelId, &str), BTreeSet<Leg>> = BTreeMap::new();
        let since = self.fed_voltages().filter(|(at, _)| complaint.at.date() <= at.date());
        for (_, reading) in since {
            let (hot, other) = if is_hot(&reading.from) {
                (&reading.from, &reading.to)
            } else {
                (&reading.to, &reading.from)
            };
            let is_earth = matches!(other, Place::Earth(_));
            if let Some(leg) = self.leg_at(hot).filter(|_| !is_earth) {
                read.entry((hot.panel(), reading.state.as_str())).or_default().insert(leg);
            }
        }
        let is_whole = |((panel, _), legs): (&(&PanelId, &str), &BTreeSet<Leg>)| {
            let panel = self.job.installation.panel(panel);
            panel.is_some_and(|panel| panel.system.legs().iter().all(|leg| legs.contains(leg)))
        };
        (!read.iter().any(is_whole)).then_some(complaint)
    }

    /// The leg of a place of a pole, a lug or a service conductor.
    fn leg_at(&self, place: &Place) -> Option<Leg> {
        match place {
            Place::Lug(_, leg) | Place::Line(_, leg) => Some(*leg),
            _ => Some(self.job.installation.panel(place.panel())?.leg_of(place.slot()?.space)),
        }
    }

    /// Voltages to neutral of both legs of a panel that were read in one state.
    pub(crate) fn legs_read(&self) -> impl Iterator<Item = LegsRead<'a>> {
        let panels = self.job.installation.panels.iter().filter(|panel| panel.system == System::SplitPhase);
        panels.flat_map(move |panel| {
            self.of_leg(&panel.id, Leg::A).filter_map(move |(a, state)| {
                let b = self.of_leg(&panel.id, Leg::B).filter(|(_, at)| *at == state).last()?;
                Some(LegsRead { panel: &panel.id, state, volts: [a, b.0] })
            })
        })
    }

    /// Voltages of one whole leg to neutral, V, with their states.
    fn of_leg(&self, panel: &'a PanelId, leg: Leg) -> impl Iterator<Item = (f64, &'a str)> {
        self.job.observations.iter().filter_map(move |observation| match &observation.what {
            Observed::Voltage(reading) if reading.whole_leg() == Some((panel, leg)) => {
                Some((reading.value.v().abs(), reading.state.as_str()))
            }
            _ => None,
        })
    }

    /// Panels without one single main.
    pub(crate) fn without_single_main(&self) -> impl Iterator<Item = &'a Panel> {
        self.job.installation.panels.iter().filter(|panel| panel.lacks_single_main())
    }

    /// Is the joint's slot in a section that the breaker of another section feeds, with its own main above it?
    pub(crate) fn is_below_split(&self, slot: &Slot) -> bool {
        let section = self.job.installation.panel(&slot.panel).and_then(|panel| panel.section_of(slot.space));
        section.is_some_and(|section| matches!(section.feed, Feed::Breaker { .. }))
    }

    /// The breaker with a pole in this slot.
    pub(crate) fn breaker(&self, slot: &Slot) -> Option<&'a Breaker> {
        self.job.installation.breaker_at(slot)
    }

    /// Text and figures of an option.
    pub(crate) fn title(&self, kind: ChoiceKind) -> &str {
        &self.policy.option(kind).title
    }

    /// Number of joints that no observation bears on.
    pub(crate) fn n_unobserved(&self) -> usize {
        self.joints.iter().filter(|view| !view.finding.observed).count()
    }

    /// Is no joint suspect, no path of the supply failing and no joint worn?
    pub(crate) fn nothing_wrong(&self) -> bool {
        self.suspect(|_| true).is_empty() && !self.is_failing(|_| true)
    }
}

/// A heavy load by the class of the circuit.
pub(crate) fn heavy(breaker: &Breaker) -> Option<LoadClass> {
    breaker.circuit.as_ref().and_then(|circuit| circuit.class).filter(|class| class.is_heavy())
}

fn is_hot(place: &Place) -> bool {
    matches!(
        place,
        Place::Face(_)
            | Place::Load(_)
            | Place::Wire(_)
            | Place::Lug(..)
            | Place::Line(..)
            | Place::Receptacle(_)
    )
}

fn group_of(job: &Job, id: &JointId) -> JointGroup {
    match id {
        JointId::Stab(slot) if job.installation.sections_fed_by(slot).next().is_some() => {
            JointGroup::SectionStab
        }
        JointId::Stab(_) => JointGroup::Stab,
        JointId::Lug(..) => JointGroup::Lug,
        JointId::Terminal(_) => JointGroup::Terminal,
        JointId::NeutralLug(_) => JointGroup::NeutralLug,
        JointId::NeutralTerminal(_) => JointGroup::NeutralTerminal,
        JointId::Feeder(..) => JointGroup::Feeder,
    }
}
