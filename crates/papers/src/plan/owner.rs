//! The owner's sheet: what is off, what may be used, what to watch for, which days hold. It makes sense to somebody who
//! knows nothing of the job.

use super::words::{Book, Phrases};
use crate::clean::{clean, shorten};
use crate::page::{Item, Node, Paper, Sheet, Table, file_name, heading, list, paragraph};
use crate::phrases::fill;
use model::Date;
use model::job::Job;
use model::panel::Feed;
use model::plan::{Alarms, Answer, Interim};

/// A language of the sheet.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Language {
    /// English.
    English,
    /// Spanish.
    Spanish,
}

impl Language {
    /// Both.
    pub const ALL: [Language; 2] = [Language::English, Language::Spanish];

    const fn tag(self) -> &'static str {
        match self {
            Language::English => "en",
            Language::Spanish => "es",
        }
    }
}

/// The sheet for the owner of a house.
pub fn owner_sheet(job: &Job, plan: &Interim, language: Language) -> Paper {
    let book = Book::new();
    let words = book.sheet(language.tag());
    let short = |text: &str, most| shorten(&clean(text), most);
    let (place, town, id) = (short(&job.place, 60), short(&job.town, 40), short(&job.id, 40));
    let sheet = OwnerSheet { job, plan, book: &book, words, language };
    Paper {
        title: words.get("title").to_owned(),
        file_name: file_name(&[words.get("file"), &job.id]),
        language: words.get("tag").to_owned(),
        day: plan.at.date().to_string(),
        head: format!("{place}, {town} · {id}"),
        invented: job.invented.then(|| words.get("invented").to_owned()),
        foot: words.get("foot").to_owned(),
        page_of: words.get("page_of").to_owned(),
        max_pages: Some(2),
        sheet: Sheet::Letter,
        // Spanish takes more words for the same.
        text_size_pt: if language == Language::Spanish { 9.5 } else { 10.0 },
        body: sheet.body(&place, &town, &id),
    }
}

struct OwnerSheet<'a> {
    job: &'a Job,
    plan: &'a Interim,
    book: &'a Book,
    words: &'a Phrases,
    language: Language,
}

impl OwnerSheet<'_> {
    fn body(&self, place: &str, town: &str, id: &str) -> Vec<Node> {
        let (w, plan) = (self.words, self.plan);
        let made = self.day(plan.at.date());
        let intro = [("place", place), ("town", town), ("day", made.as_str()), ("job", id)];
        let mut body = vec![heading(1, w.get("title")), paragraph(fill(w.get("intro"), &intro))];
        if self.language == Language::Spanish {
            body.push(Node::Small { text: w.get("own_words").to_owned() });
        }
        let why = match plan.reasons.trim() {
            "" => w.get("no_reasons").to_owned(),
            reasons => fill(w.get("reasons"), &[("words", &clean(reasons))]),
        };
        body.push(paragraph(why));
        body.push(self.days());
        body.push(heading(2, w.get("off")));
        body.extend(self.off());
        body.push(heading(2, w.get("limits")));
        let mut limits: Vec<Item> =
            plan.limits.iter().map(|id| Item::plain(self.book.limit(id, self.language.tag()))).collect();
        limits.extend(said(&plan.limits_words));
        body.push(if limits.is_empty() { paragraph(w.get("limits_none")) } else { list(limits) });
        if !plan.done.trim().is_empty() {
            body.push(heading(2, w.get("done")));
            body.push(paragraph(clean(&plan.done)));
        }
        body.push(heading(2, w.get("watch")));
        body.extend(self.watch());
        body.push(heading(2, w.get("alarms")));
        body.push(paragraph(self.alarms()));
        body.push(heading(2, w.get("needs")));
        body.extend(self.needs());
        body.push(Node::Together { nodes: vec![heading(2, w.get("mind")), list(self.mind())] });
        // A signature stands below what is signed.
        body.push(Node::Together { nodes: vec![self.answer(), paragraph(w.get("sign"))] });
        body
    }

    fn day(&self, day: Date) -> String {
        day.to_string()
    }

    fn days(&self) -> Node {
        let (w, plan) = (self.words, self.plan);
        let on = |name, day: Date| Item::plain(fill(w.get(name), &[("day", &self.day(day))]));
        let mut texts = vec![on("recheck_day", plan.recheck)];
        texts.push(match plan.replacement {
            Some(day) => on("replacement_day", day),
            None => Item::plain(w.get("no_replacement")),
        });
        texts.extend(plan.slip.iter().map(|id| Item::plain(self.book.slip(id, self.language.tag()))));
        let title = fill(w.get("last_day"), &[("day", &self.day(plan.expires))]);
        Node::Callout { title, texts, strong: true }
    }

    fn off(&self) -> Vec<Node> {
        let w = self.words;
        if self.plan.off.is_empty() {
            return vec![paragraph(w.get("off_none"))];
        }
        let lines = self.plan.off.iter().map(|slot| {
            let (spaces, feeds) = breaker(self.job, slot);
            Item::plain(if feeds.is_empty() {
                fill(w.get("off_line_plain"), &[("spaces", &spaces)])
            } else {
                fill(w.get("off_line"), &[("spaces", &spaces), ("feeds", &feeds)])
            })
        });
        vec![list(lines.collect()), paragraph(w.get("off_why"))]
    }

    fn watch(&self) -> Vec<Node> {
        let w = self.words;
        let mut table = Table::new(&[(w.get("if_this"), 1.0), (w.get("do_this"), 1.6)]);
        table.small = false;
        for id in &self.plan.watch {
            let (sign, act) = self.book.watch(id, self.language.tag());
            table.items([Item::led(sign, ""), Item::plain(act)]);
        }
        let mut nodes: Vec<Node> = table.node().into_iter().collect();
        if !self.plan.watch_words.trim().is_empty() {
            nodes.push(paragraph(clean(&self.plan.watch_words)));
        }
        nodes
    }

    fn alarms(&self) -> String {
        let words = self.words.get(match self.plan.alarms {
            Alarms::Tested => "alarms_tested",
            Alarms::Failed => "alarms_failed",
            Alarms::NoneThere => "alarms_none-there",
            Alarms::NotTested => "alarms_not-tested",
        });
        match clean(&self.plan.alarms_words) {
            more if more.is_empty() => words.to_owned(),
            more => format!("{words} {}", crate::clean::capital(&crate::clean::stopped(&more))),
        }
    }

    fn needs(&self) -> Vec<Node> {
        let plan = self.plan;
        let lines: Vec<Item> = [("medical", &plan.medical), ("food", &plan.food), ("heat", &plan.heat)]
            .into_iter()
            .filter(|(_, text)| !is_none(text))
            .map(|(name, text)| Item::plain(fill(self.words.get(name), &[("text", &clean(text))])))
            .collect();
        vec![if lines.is_empty() { paragraph(self.words.get("needs_none")) } else { list(lines) }]
    }

    fn mind(&self) -> Vec<Item> {
        let mut names = vec!["mind_cover", "mind_live"];
        if lacks_single_main(self.job) {
            names.push("mind_no_main");
        }
        names.extend(["mind_clear", "mind_rules", "mind_unknown"]);
        names.into_iter().map(|name| Item::plain(self.words.get(name))).collect()
    }

    fn answer(&self) -> Node {
        let (w, plan) = (self.words, self.plan);
        let said = [("words", clean(&plan.answer_words)), ("by", clean(&plan.answer_by))];
        let said: Vec<(&str, &str)> = said.iter().map(|(name, text)| (*name, text.as_str())).collect();
        let stand = w.get(if plan.answer == Answer::Accepted { "accepted" } else { "declined" });
        let texts = vec![Item::plain(stand), Item::plain(fill(w.get("said"), &said))];
        Node::Callout { title: w.get("answer").to_owned(), texts, strong: false }
    }
}

/// Nothing, or words that mean it.
pub(super) fn is_none(text: &str) -> bool {
    let text = text.trim().trim_end_matches('.').to_lowercase();
    matches!(text.as_str(), "" | "none" | "no" | "nothing" | "-" | "ninguno" | "ninguna" | "nada")
}

fn said(words: &str) -> Option<Item> {
    let words = clean(words);
    (!words.is_empty()).then(|| Item::plain(words))
}

/// Spaces of a breaker and what it feeds.
pub(super) fn breaker(job: &Job, slot: &model::Slot) -> (String, String) {
    let several = 1 < job.installation.panels.len();
    let panel = if several { format!(" ({})", clean(slot.panel.as_str())) } else { String::new() };
    match job.installation.breaker_at(slot) {
        None => (format!("{}{panel}", slot.space), String::new()),
        Some(breaker) => {
            let spaces: Vec<String> = breaker.spaces.iter().map(ToString::to_string).collect();
            let feeds = breaker.circuit.as_ref().map(|circuit| clean(&circuit.feeds)).unwrap_or_default();
            (format!("{}{panel}", spaces.join("+")), feeds)
        }
    }
}

/// Is a panel of the service without one single main?
pub(super) fn lacks_single_main(job: &Job) -> bool {
    job.installation.panels.iter().any(|panel| {
        let service = |feed: &Feed| matches!(feed, Feed::ServiceLugs | Feed::MainBreaker { .. });
        panel.lacks_single_main() && panel.sections.iter().any(|section| service(&section.feed))
    })
}
