//! The owner's letter: two pages at most whatever the job. Page one says what is known, page two what can be
//! done.

mod choices;
mod classes;
mod closing;
mod inferred;
mod measured;
mod names;
mod seen;

pub(crate) use choices::standing_word;

use crate::clean::{clean, shorten, stopped};
use crate::drawing::{Audience, panel_figure};
use crate::mark::{Mark, Marks};
use crate::page::{Item, Node, Paper, file_name, heading, list, paragraph};
use crate::phrases::{Phrases, fill};
use crate::terms;
use model::assessment::Assessment;
use model::job::Job;
use model::panel::Panel;

/// Body type of the letter, points: the largest at which page one holds every statement, else the smallest.
const SIZES_PT: [f64; 3] = [10.0, 9.5, 9.0];
/// Width of the column of words on page one, and the gap beside it, points.
const WORDS_PT: f64 = 238.0;
const GAP_PT: f64 = 14.0;
/// Height of a page between head and foot, and what title, first line and the gaps around the answer take.
const PAGE_PT: f64 = 680.0;
const TITLE_PT: f64 = 60.0;
/// Reasons to change the advice; the rest is counted.
const MOST_CHANGES: usize = 3;
/// Below it what is marked burnt is as likely as not: the limit of the word *likely*.
const EVEN: f64 = 0.66;
/// Findings listed under the drawing; the rest is counted.
const MOST_FINDINGS: usize = 6;

/// The letter for the owner of a house. What lasting work made anew since is not told as it was.
pub fn owner_letter(job: &Job, assessment: &Assessment) -> Paper {
    let job = &*job.standing();
    let phrases = Phrases::english();
    let marks = Marks::of(assessment);
    let letter = Letter { job, assessment, marks: &marks, phrases: &phrases };
    let words = &phrases.letter;
    let place = shorten(&clean(&job.place), 60);
    let town = shorten(&clean(&job.town), 40);
    let id = shorten(&clean(&job.id), 40);
    let (text_size_pt, body) = letter.fitted(&place, &town);
    Paper {
        title: words.title.clone(),
        file_name: file_name(&[&words.file, &job.id]),
        language: phrases.tag.clone(),
        day: assessment.day.to_string(),
        head: fill(&words.head, &[("place", &place), ("town", &town), ("job", &id)]),
        invented: job.invented.then(|| words.invented.clone()),
        foot: words.foot.clone(),
        page_of: words.page_of.clone(),
        max_pages: Some(2),
        sheet: crate::page::Sheet::Letter,
        text_size_pt,
        body,
    }
}

/// What the parts of the letter look at.
struct Letter<'a> {
    job: &'a Job,
    assessment: &'a Assessment,
    marks: &'a Marks<'a>,
    phrases: &'a Phrases,
}

impl Letter<'_> {
    /// The letter in the largest type that cuts no statement, else in the smallest.
    fn fitted(&self, place: &str, town: &str) -> (f64, Vec<Node>) {
        let mut best = (SIZES_PT[0], Vec::new());
        for size in SIZES_PT {
            let (n_cut, body) = self.body(place, town, size);
            best = (size, body);
            if n_cut == 0 {
                break;
            }
        }
        best
    }

    fn body(&self, place: &str, town: &str, size: f64) -> (usize, Vec<Node>) {
        let words = &self.phrases.letter;
        let day = crate::number::long_date(self.phrases, self.assessment.day);
        let owner = shorten(&clean(&self.job.owner), 60);
        let intro = fill(&words.intro, &[("place", place), ("town", town), ("day", &day)]);
        let mut body = vec![heading(1, words.title.clone())];
        let dear = fill(&words.dear, &[("owner", &owner)]);
        body.push(Node::Paragraph(if owner.is_empty() {
            Item::plain(intro)
        } else {
            Item::led(stopped(&dear), intro)
        }));
        let answer = self.short_answer();
        let room = PAGE_PT - TITLE_PT - height_of(&answer, size);
        body.push(answer);
        let (n_cut, left) = self.four_classes(room, size);
        body.push(Node::Columns { left, right: self.picture(room, size), left_pt: WORDS_PT, gap_pt: GAP_PT });
        body.push(Node::PageBreak);
        body.extend(self.choices());
        body.extend(self.would_change());
        body.push(self.who_to_call());
        body.extend(self.cautions());
        (n_cut, body)
    }

    /// The answer in one breath, before everything else.
    fn short_answer(&self) -> Node {
        let words = &self.phrases.letter;
        let urgency = self.assessment.verdict.urgency;
        let answer = fill(&words.short_answer, &[("answer", self.phrases.word("answer", urgency.word()))]);
        let mut texts: Vec<Item> = self.pressing().map(Item::plain).into_iter().collect();
        match self.marks.findings().next() {
            Some((_, finding, _)) => {
                let joint = terms::joint_for_owner(self.phrases, &self.job.installation, &finding.joint.id);
                let chance = crate::chance::in_words(self.phrases, finding.probability.burnt);
                let text =
                    fill(&words.main_finding, &[("joint", &shorten(&joint, 120)), ("chance", &chance)]);
                texts.push(Item::plain(text));
            }
            None => texts.push(Item::plain(self.supply_trouble().unwrap_or(words.no_finding.clone()))),
        }
        if let Some(cause) = self.assessment.causes.iter().find_map(|complaint| {
            let asked = !complaint.words.trim().is_empty();
            complaint.causes.first().filter(|_| asked)
        }) {
            let chance = crate::chance::in_words(self.phrases, cause.probability);
            let name = self.phrases.word("cause", cause.cause.word());
            texts.push(Item::plain(fill(&words.main_cause, &[("cause", name), ("chance", &chance)])));
        }
        let strong = urgency <= model::advice::Urgency::Within72Hours;
        Node::Callout { title: answer, texts, strong }
    }

    /// Why it is as urgent as it is, by the first rule of that urgency that has words for the owner.
    fn pressing(&self) -> Option<String> {
        let verdict = &self.assessment.verdict;
        let mut rules = verdict.rules.iter().filter(|rule| rule.urgency == verdict.urgency);
        let why = rules.find_map(|rule| rule.owner.as_deref())?;
        Some(fill(&self.phrases.letter.pressing, &[("why", &shorten(&stopped(&clean(why)), 200))]))
    }

    /// The path of the supply that is more likely failing than not.
    fn supply_trouble(&self) -> Option<String> {
        let failing = self.assessment.supply.iter().filter(|path| 0.5 <= path.failing);
        let worst = failing.max_by(|one, two| one.failing.total_cmp(&two.failing))?;
        let chance = crate::chance::in_words(self.phrases, worst.failing);
        let name = clean(&worst.path);
        let path = self.phrases.word("supply", &name);
        Some(fill(&self.phrases.letter.main_supply, &[("path", path), ("chance", &chance)]))
    }

    /// The panel that matters most, with the findings that carry numbers on it.
    fn picture(&self, room: f64, size: f64) -> Vec<Node> {
        let words = &self.phrases.letter;
        let Some(panel) = self.panel_to_draw() else { return Vec::new() };
        let findings = self.listed_findings();
        let mut figure = panel_figure(self.job, panel, Some(self.marks), Audience::Owner, self.phrases);
        figure.caption = words.legend.clone();
        figure.max_height_pt = room - 30.0 - self.listed_height(&findings, size);
        let mut nodes = vec![Node::Figure(figure)];
        if !findings.is_empty() {
            nodes.push(heading(3, words.findings.clone()));
            nodes.push(Node::List { items: findings, numbered: true });
        }
        if 1 < self.job.installation.panels.len() {
            nodes.push(Node::Small { text: words.more_panels.clone() });
        }
        nodes
    }

    /// The panel with the first finding, else the first panel.
    fn panel_to_draw(&self) -> Option<&Panel> {
        let first = self.marks.findings().next().map(|(_, finding, _)| finding.joint.id.panel());
        first.and_then(|id| self.job.installation.panel(id)).or_else(|| self.job.installation.panels.first())
    }

    fn listed_findings(&self) -> Vec<Item> {
        let words = &self.phrases.letter;
        let all = self.marks.findings();
        let n_more = all.len().saturating_sub(MOST_FINDINGS);
        let mut items: Vec<Item> = all
            .take(MOST_FINDINGS)
            .map(|(number, finding, mark)| {
                let joint = terms::joint_for_owner(self.phrases, &self.job.installation, &finding.joint.id);
                let (template, probability) = match mark {
                    Mark::Worn => (&words.finding_worn, finding.probability.burnt + finding.probability.worn),
                    // What is as likely as not is not called burnt.
                    _ if finding.probability.burnt < EVEN => (&words.finding_even, finding.probability.burnt),
                    _ => (&words.finding, finding.probability.burnt),
                };
                let chance = crate::chance::in_words(self.phrases, probability);
                let text = fill(
                    template,
                    &[
                        ("joint", &shorten(&joint, 70)),
                        ("mark", self.phrases.word("mark", mark.word())),
                        ("chance", &chance),
                    ],
                );
                Item::led(number.to_string(), crate::clean::capital(&text))
            })
            .collect();
        if 0 < n_more {
            items.push(Item::plain(fill(&words.more, &[("n", &n_more.to_string())])));
        }
        items
    }

    fn listed_height(&self, findings: &[Item], size: f64) -> f64 {
        if findings.is_empty() {
            return 0.0;
        }
        let room = 504.0 - WORDS_PT - GAP_PT - 6.0;
        let lines: usize =
            findings.iter().map(|item| crate::width::line_count(&item.text, size, room - 14.0)).sum();
        28.0 + lines as f64 * size * 1.26 + findings.len() as f64 * 5.0
    }

    fn would_change(&self) -> Vec<Node> {
        let words = &self.phrases.letter;
        let texts = self.advice_changes();
        let rest = texts.len().saturating_sub(MOST_CHANGES);
        let items: Vec<Item> = texts.into_iter().take(MOST_CHANGES).map(Item::plain).collect();
        let mut nodes = vec![heading(2, words.would_change.clone())];
        if items.is_empty() {
            nodes.push(paragraph(words.would_change_none.clone()));
        } else {
            nodes.push(list(items));
        }
        if 0 < rest {
            nodes.push(Node::Small { text: fill(&words.more, &[("n", &rest.to_string())]) });
        }
        nodes
    }

    /// What would change the advice. How a check is done is for the record: an owner reads what kind it is.
    fn advice_changes(&self) -> Vec<String> {
        let words = &self.phrases.letter;
        let checks = &self.assessment.next_checks;
        let tells_how = |text: &str| {
            checks.iter().any(|check| {
                let head: String = check.what.chars().take(24).collect();
                !head.is_empty() && text.contains(&head)
            })
        };
        let given = self.assessment.verdict.would_change.iter().filter(|text| !tells_how(text));
        let mut texts: Vec<String> = given.map(|text| shorten(&stopped(&self.plain(text)), 200)).collect();
        if let Some(check) = checks.first() {
            let kind = clean(&check.kind);
            let kind = self.phrases.word("check", &kind);
            texts.insert(
                texts.len().min(MOST_CHANGES - 1),
                fill(&words.would_change_check, &[("check", kind)]),
            );
        }
        texts
    }
}

/// Height of a framed remark, points; rather too large than too small.
fn height_of(callout: &Node, size: f64) -> f64 {
    let Node::Callout { title, texts, .. } = callout else { return 0.0 };
    let room = 504.0 - 22.0;
    let lines: usize = texts.iter().map(|item| crate::width::line_count(&item.text, size, room)).sum();
    let lines = lines + crate::width::line_count(title, size * 1.15, room);
    14.0 + lines as f64 * size * 1.26 + texts.len() as f64 * 4.0
}
