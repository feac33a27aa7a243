//! The job itself and its course out of the tree: complaints, photos, decisions, work, openings.

use super::Decoder;
use super::entry::{Entry, as_text, versions};
use crate::fact::{
    CallTaken, ComplaintMade, DecisionMade, ExposureReached, Fact, JobOpened, JointOpened, PhotoPinned,
    PhotoTaken, Retraction, WorkDone, WorkKind,
};
use crate::grammar::Hash;
use crate::text::{AsText, Textual};
use crate::tree::Node;
use jiff::civil::Time;
use model::Slot;
use model::job::{CallAnswer, Exposure};

impl<'a> Decoder<'a> {
    /// The job. Other entries take its day and its author where they have none; of several versions, the last
    /// one's.
    pub(super) fn job(&mut self, root: &Node) {
        let versions = versions(root, "job");
        let last = versions.last().map(|node| Entry::named(node));
        self.by = last.and_then(|entry| entry.owned("by"));
        match last.and_then(|entry| entry.day("opened")) {
            Some(opened) => self.opened = opened,
            None => self.doubt.job = true,
        }
        for node in versions {
            if self.job_version(&Entry::named(node)).is_none() {
                self.doubt.job = true;
            }
        }
    }

    fn job_version(&mut self, entry: &Entry<'_>) -> Option<()> {
        let opened = entry.day("opened")?;
        let body = JobOpened {
            job: entry.owned("id")?,
            invented: entry.flag("invented").unwrap_or(false),
            place: entry.words("place"),
            town: entry.words("town"),
            owner: entry.words("owner"),
            opened,
        };
        let at = self.at(entry, opened.to_datetime(Time::midnight()));
        let by = entry.owned("opened_by").or_else(|| entry.owned("by"));
        let fields = entry.fields(&[("job", &["id"]), ("opened", &["opened"]), ("name", &["id"])]);
        self.keep_by(entry, at, by, fields, body);
        if let (Some(node), Some(reached)) = (entry.get("exposure"), entry.read::<Exposure>("exposure")) {
            let body = ExposureReached { reached: AsText(reached) };
            let fact = Fact::new(at, entry.owned("by"), Vec::new(), body.into());
            let spans = super::Spans { whole: node.span.clone(), fields: Vec::new() };
            self.drafts.push(super::Draft { fact, spans });
        }
        Some(())
    }

    pub(super) fn course(&mut self, root: &Node) {
        let kinds: [super::Kind<'a>; 31] = [
            ("call", Self::call),
            ("complaint", Self::complaint),
            ("photo", Self::photo),
            ("pin", Self::pin),
            ("decision", Self::decision),
            ("work", Self::work),
            ("opening", Self::opening),
            ("handle", Self::handle),
            ("cut", Self::cut),
            ("source", Self::looked_for),
            ("proof", Self::proof),
            ("interim", Self::interim),
            ("promise", Self::promise),
            ("kept", Self::kept),
            ("circuit", Self::surveyed),
            ("surprise", Self::surprise),
            ("arrangement", Self::arrangement),
            ("permit", Self::permit),
            ("installed", Self::installed),
            ("torqued", Self::torqued),
            ("energised", Self::energised),
            ("verified", Self::verified),
            ("shared_neutral", Self::shared_neutral),
            ("tried", Self::tried),
            ("card", Self::card),
            ("quote", Self::quote),
            ("outage", Self::outage),
            ("tick", Self::tick),
            ("used", Self::used),
            ("exposure", Self::exposure),
            ("retraction", Self::retraction),
        ];
        for (key, read) in kinds {
            for node in root.get(key).map_or(&[] as &[Node], |node| node.items()) {
                // `None`: what is wrong with the entry has been told already.
                if read(self, &Entry::new(node)).is_none() && key == "photo" {
                    self.doubt.photos = true;
                }
            }
        }
    }

    /// A space that may be left out. `None` where it is there and wrong.
    pub(super) fn slot_if_given(&mut self, entry: &Entry<'_>) -> Option<Option<AsText<Slot>>> {
        match entry.get("space") {
            None => Some(None),
            Some(node) => self.located(node).map(|slot| Some(AsText(slot))),
        }
    }

    fn complaint(&mut self, entry: &Entry<'_>) -> Option<()> {
        let slot = self.slot_if_given(entry)?;
        let body = ComplaintMade { of: AsText(entry.read("kind")?), slot, words: entry.words("words") };
        self.keep(entry, self.at(entry, self.start()), entry.fields(&[("place", &["space"])]), body);
        Some(())
    }

    fn photo(&mut self, entry: &Entry<'_>) -> Option<()> {
        let slot = self.slot_if_given(entry)?;
        let sha256 = entry.read::<Hash>("sha256")?.write();
        let body = PhotoTaken { sha256, words: entry.words("words"), slot };
        let fields = entry.fields(&[("sha256", &["sha256"]), ("place", &["space"])]);
        self.keep(entry, self.at(entry, self.start()), fields, body);
        Some(())
    }

    fn pin(&mut self, entry: &Entry<'_>) -> Option<()> {
        let slot = self.slot_if_given(entry)?;
        let photo = entry.read::<Hash>("photo")?.write();
        let (x, y) = (entry.number("x")?, entry.number("y")?);
        let body = PhotoPinned { photo, x, y, slot, words: entry.words("words") };
        let wanted: [(&'static str, &[&str]); 4] =
            [("photo", &["photo"]), ("place", &["space"]), ("x", &["x"]), ("y", &["y"])];
        self.keep(entry, self.at(entry, self.start()), entry.fields(&wanted), body);
        Some(())
    }

    fn call(&mut self, entry: &Entry<'_>) -> Option<()> {
        let answers: Option<Vec<AsText<CallAnswer>>> = entry
            .items("answers")
            .iter()
            .map(|item| CallAnswer::read(&as_text(item)?, None).ok().map(AsText))
            .collect();
        let body = CallTaken { answers: answers?, words: entry.words("words") };
        self.keep(entry, self.at(entry, self.start()), entry.fields(&[("words", &["words"])]), body);
        Some(())
    }

    fn decision(&mut self, entry: &Entry<'_>) -> Option<()> {
        let body =
            DecisionMade { words: entry.owned("words")?, declined: entry.flag("declined").unwrap_or(false) };
        self.keep(entry, self.at(entry, self.start()), Vec::new(), body);
        Some(())
    }

    fn work(&mut self, entry: &Entry<'_>) -> Option<()> {
        let slots: Option<Vec<AsText<Slot>>> =
            entry.items("spaces").iter().map(|item| self.located(item).map(AsText)).collect();
        let kind_of_work: WorkKind = entry.read("kind")?;
        let moved_to: Option<Vec<AsText<Slot>>> =
            entry.items("moved_to").iter().map(|item| self.located(item).map(AsText)).collect();
        let day = |key| match entry.get(key) {
            None => Some(None),
            Some(_) => entry.day(key).map(Some),
        };
        let body = WorkDone {
            kind_of_work,
            words: entry.owned("words")?,
            slots: slots?,
            moved_to: moved_to?,
            expires: day("expires")?,
            recheck: day("recheck")?,
        };
        let fields = entry.fields(&[
            ("kind_of_work", &["kind"]),
            ("slots", &["spaces"]),
            ("moved_to", &["moved_to"]),
            ("expires", &["expires"]),
            ("recheck", &["recheck"]),
        ]);
        self.keep(entry, self.at(entry, self.start()), fields, body);
        Some(())
    }

    fn opening(&mut self, entry: &Entry<'_>) -> Option<()> {
        let joint = self.located(entry.get("joint")?)?;
        let body = JointOpened {
            joint: AsText(joint),
            found: AsText(entry.read("found")?),
            words: entry.words("words"),
        };
        self.keep(entry, self.at(entry, self.start()), entry.fields(&[("place", &["joint"])]), body);
        Some(())
    }

    fn exposure(&mut self, entry: &Entry<'_>) -> Option<()> {
        let body = ExposureReached { reached: AsText(entry.read("reached")?) };
        self.keep(entry, self.at(entry, self.start()), Vec::new(), body);
        Some(())
    }

    fn retraction(&mut self, entry: &Entry<'_>) -> Option<()> {
        self.keep(
            entry,
            self.at(entry, self.start()),
            Vec::new(),
            Retraction { words: entry.words("words") },
        );
        Some(())
    }
}
