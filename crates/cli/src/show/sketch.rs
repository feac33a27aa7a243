//! A sketch of each panel in text: spaces in their columns, legs, sections, and a mark for each place.

use super::layout::{Page, clean, fitted};
use model::assessment::{Assessment, JointFinding};
use model::id::Space;
use model::job::Job;
use model::joint::{JointId, JointKind};
use model::panel::{Column, Feed, Panel, Section};
use study::Policy;

/// Columns for what a breaker feeds, in a panel of two columns.
const NARROW: usize = 24;
/// The same in a panel of one column.
const WIDE: usize = 60;

/// What is thought of a place, worst first.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
enum Mark {
    LikelyBurnt,
    Suspect,
    Worn,
    NotObserved,
    Sound,
}

impl Mark {
    fn of(finding: &JointFinding, policy: &Policy) -> Mark {
        let probability = &finding.probability;
        if policy.likely_burnt() <= probability.burnt {
            Mark::LikelyBurnt
        } else if policy.suspect_burnt() <= probability.burnt {
            Mark::Suspect
        } else if 0.5 <= probability.burnt + probability.worn {
            Mark::Worn
        } else if finding.observed {
            Mark::Sound
        } else {
            Mark::NotObserved
        }
    }

    const fn text(self) -> &'static str {
        match self {
            Mark::LikelyBurnt => "!!",
            Mark::Suspect => " !",
            Mark::Worn => " ~",
            Mark::Sound => " .",
            Mark::NotObserved => " ?",
        }
    }
}

struct Sketch<'a> {
    panel: &'a Panel,
    assessment: &'a Assessment,
    policy: &'a Policy,
}

/// Every panel.
pub(super) fn panels(page: &mut Page, job: &Job, assessment: &Assessment, policy: &Policy) {
    for panel in &job.installation.panels {
        let place = if panel.place.is_empty() { String::new() } else { format!(", {}", panel.place) };
        page.heading(&clean(&format!("Panel {}{place}", panel.id)));
        let sketch = Sketch { panel, assessment, policy };
        sketch.draw(page);
    }
    page.line("");
    page.paragraph("!! likely burnt  ! suspect  ~ likely worn  . looks sound  ? nothing observed");
}

impl Sketch<'_> {
    fn draw(&self, page: &mut Page) {
        let legs = self.panel.system.legs();
        let of_lugs: Vec<String> = legs
            .iter()
            .filter_map(|leg| {
                let mark = self.mark(|id| matches!(id, JointId::Lug(_, lug) if lug == leg))?;
                Some(format!("{leg}{}", mark.text()))
            })
            .collect();
        let neutral = self.mark(|id| matches!(id, JointId::NeutralLug(_))).map_or("", Mark::text);
        let lugs = if of_lugs.is_empty() { "none".to_owned() } else { of_lugs.join("  ") };
        page.line(&format!("  line lugs {lugs}   neutral lug{neutral}"));
        for section in &self.panel.sections {
            self.section(page, section);
        }
    }

    fn section(&self, page: &mut Page, section: &Section) {
        let feed = match &section.feed {
            Feed::ServiceLugs => "fed by the lugs, no main before it".to_owned(),
            Feed::MainBreaker { rating } => format!("fed by the main breaker, {:.0} A", rating.a()),
            Feed::Breaker { slot } if slot.panel == self.panel.id => {
                format!("fed by the breaker in {}", slot.space)
            }
            Feed::Breaker { slot } => format!("fed from panel {}, space {}", slot.panel, slot.space),
        };
        let mark = self.mark(|id| matches!(id, JointId::Feeder(_, of, _) if *of == section.id));
        let mark = mark.map(|mark| format!(", feed{}", mark.text())).unwrap_or_default();
        page.line(&format!("  --- section {}: {feed}{mark} ---", clean(section.id.as_str())));
        for row in section.first_row..=section.last_row.min(self.panel.n_rows().saturating_sub(1)) {
            let leg = self.panel.leg_of_row(row);
            let left = self.place(row, Column::Left);
            if self.panel.n_columns < 2 {
                page.line(&format!("  {leg}  {left}"));
            } else {
                page.line(&format!("  {leg}  {left} | {}", self.place(row, Column::Right)));
            }
        }
    }

    fn place(&self, row: u16, column: Column) -> String {
        let width = if self.panel.n_columns < 2 { WIDE } else { NARROW };
        let number = self.panel.number_at(row, column);
        if self.panel.n_spaces < number {
            return " ".repeat(width + 12);
        }
        let here = |space: &Space| space.number == number;
        let breakers: Vec<_> =
            self.panel.breakers.iter().filter(|breaker| breaker.spaces.iter().any(here)).collect();
        let mark = self
            .mark(|id| id.kind() != JointKind::Neutral && id.slot().is_some_and(|slot| here(&slot.space)));
        let words = breakers.iter().map(|breaker| {
            let first = breaker.spaces.first().is_some_and(here);
            let feeds = match &breaker.circuit {
                Some(circuit) if !circuit.feeds.is_empty() => circuit.feeds.as_str(),
                _ => "-",
            };
            if first { feeds.to_owned() } else { format!("^ {feeds}") }
        });
        let words: Vec<String> = words.collect();
        let rating =
            breakers.first().map(|breaker| format!("{:.0}A", breaker.rating.a())).unwrap_or_default();
        format!(
            "{number:>3} {:>2} {rating:>4} {}",
            mark.map_or("", Mark::text),
            fitted(&words.join(" / "), width)
        )
    }

    /// The worst mark of the joints of this panel that are wanted.
    fn mark(&self, wanted: impl Fn(&JointId) -> bool) -> Option<Mark> {
        let joints = self
            .assessment
            .joints
            .iter()
            .filter(|finding| *finding.joint.id.panel() == self.panel.id && wanted(&finding.joint.id));
        joints.map(|finding| Mark::of(finding, self.policy)).min()
    }
}
