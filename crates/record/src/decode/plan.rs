//! The plan until the replacement, promises and what was done of them, out of the tree.

use super::Decoder;
use super::entry::{Entry, as_text};
use crate::fact::{DueKept, InterimPlanned, PromiseGiven};
use crate::grammar::PhraseId;
use crate::text::{AsText, Textual};
use model::plan::PromiseKind;

/// Ids of phrases. `None` where one of them is wrong, which has been told.
fn phrases(entry: &Entry<'_>, key: &str) -> Option<Vec<String>> {
    let read = |node| PhraseId::read(&as_text(node)?, None).ok().map(|id| id.0);
    entry.items(key).iter().map(read).collect()
}

impl Decoder<'_> {
    pub(super) fn interim(&mut self, entry: &Entry<'_>) -> Option<()> {
        let off: Option<Vec<_>> =
            entry.items("off").iter().map(|item| self.located(item).map(AsText)).collect();
        let replacement = match entry.get("replacement") {
            None => None,
            Some(_) => Some(entry.day("replacement")?),
        };
        let body = InterimPlanned {
            off: off?,
            limits: phrases(entry, "limits")?,
            limits_words: entry.words("limits_words"),
            done: entry.words("done"),
            watch: phrases(entry, "watch")?,
            watch_words: entry.words("watch_words"),
            alarms: AsText(entry.read("alarms")?),
            alarms_words: entry.words("alarms_words"),
            medical: entry.owned("medical")?,
            food: entry.owned("food")?,
            heat: entry.owned("heat")?,
            expires: entry.day("expires")?,
            recheck: entry.day("recheck")?,
            replacement,
            slip: phrases(entry, "slip")?,
            answer: AsText(entry.read("answer")?),
            answer_words: entry.owned("answer_words")?,
            answer_by: entry.owned("answer_by")?,
            reasons: entry.words("reasons"),
        };
        let fields = entry.fields(&[
            ("slots", &["off"]),
            ("watch", &["watch"]),
            ("slip", &["slip"]),
            ("expires", &["expires"]),
            ("recheck", &["recheck"]),
            ("replacement", &["replacement"]),
            ("medical", &["medical"]),
            ("food", &["food"]),
            ("heat", &["heat"]),
            ("answer_words", &["answer_words"]),
        ]);
        self.keep(entry, self.at(entry, self.start()), fields, Box::new(body));
        Some(())
    }

    pub(super) fn promise(&mut self, entry: &Entry<'_>) -> Option<()> {
        let of_kind = entry.read_or("kind", PromiseKind::Promise)?;
        let body =
            PromiseGiven { of_kind: AsText(of_kind), words: entry.owned("words")?, due: entry.day("due")? };
        let fields = entry.fields(&[("words", &["words"]), ("due", &["due"])]);
        self.keep(entry, self.at(entry, self.start()), fields, body);
        Some(())
    }

    pub(super) fn kept(&mut self, entry: &Entry<'_>) -> Option<()> {
        let body = DueKept {
            of: AsText(entry.read("of")?),
            what: AsText(entry.read("what")?),
            words: entry.owned("words")?,
        };
        let fields = entry.fields(&[("of", &["of"]), ("words", &["words"])]);
        self.keep(entry, self.at(entry, self.start()), fields, body);
        Some(())
    }
}
