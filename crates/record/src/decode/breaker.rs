//! Breakers out of the tree.

use super::Decoder;
use super::entry::{Entry, as_count, as_text};
use super::equipment::{conductor, conductor_field};
use crate::fact::{BreakerDescribed, CircuitDescribed};
use crate::limits;
use crate::text::{AsText, Textual};
use jiff::civil::DateTime;
use model::breaker::{Attachment, Handle, LoadClass, Protection};
use model::{PanelId, Space};

impl Decoder<'_> {
    pub(super) fn breaker(
        &mut self,
        entry: &Entry<'_>,
        panel: &PanelId,
        at: DateTime,
        columns: u16,
    ) -> Option<()> {
        let spaces = self.breaker_spaces(entry, columns)?;
        let class: Option<LoadClass> = entry.read("class");
        let circuit = CircuitDescribed {
            feeds: entry.words("feeds"),
            class: class.map(AsText),
            conductor: conductor(entry, "conductor"),
            partner: entry.read("partner").map(AsText),
            uses_neutral: entry.flag("uses_neutral"),
            doubled: entry.flag("doubled"),
        };
        // Where the rating could not be read an error stands and no job is made; this one offends no check.
        let rating_a = entry.number("rating_a").unwrap_or(limits::RATING_A.1);
        let body = BreakerDescribed {
            panel: AsText(panel.clone()),
            spaces: spaces.into_iter().map(AsText).collect(),
            rating_a,
            protection: AsText(entry.read("protection").unwrap_or(Protection::ThermalMagnetic)),
            attachment: AsText(entry.read("attachment").unwrap_or(Attachment::PlugOn)),
            other_make: entry.flag("other_make"),
            later: entry.flag("later"),
            handle: AsText(entry.read("handle").unwrap_or(Handle::On)),
            circuit: (circuit != CircuitDescribed::default()).then_some(circuit),
        };
        let at = self.at(entry, at);
        let mut fields = entry.fields(&[
            ("rating_a", &["rating_a"]),
            ("spaces", &["spaces", "space"]),
            ("partner", &["partner"]),
            ("poles", &["poles"]),
            ("class", &["class"]),
        ]);
        fields.extend(conductor_field(entry, "conductor", "conductor"));
        self.keep(entry, at, fields, Box::new(body));
        Some(())
    }

    /// Spaces of a breaker's poles: as listed, or down the column from the first.
    fn breaker_spaces(&mut self, entry: &Entry<'_>, columns: u16) -> Option<Vec<Space>> {
        if entry.get("spaces").is_some() {
            let spaces: Vec<Space> = entry
                .items("spaces")
                .iter()
                .map(|item| Space::read(&as_text(item)?, None).ok())
                .collect::<Option<_>>()?;
            return (!spaces.is_empty()).then_some(spaces);
        }
        let first: Space = entry.read("space")?;
        let poles = match entry.get("poles") {
            None => 1,
            Some(node) => as_count(node).filter(|n| (1..=3).contains(n))? as u16,
        };
        if first.half.is_some() && poles > 1 {
            let span = entry.get("poles").map_or(entry.node().span.clone(), |node| node.span.clone());
            let message =
                format!("which halves the {poles} poles of the breaker at {first} fill is not clear");
            let hint = format!(
                "list them: `spaces = [\"{}b\", \"{}a\"]`",
                first.number,
                first.number.saturating_add(columns)
            );
            let problem = self.source.error("half-width-poles", span, message, hint);
            self.problems.push(problem);
            return None;
        }
        Some(
            (0..poles)
                .map(|pole| Space { number: first.number.saturating_add(pole * columns), half: first.half })
                .collect(),
        )
    }
}
