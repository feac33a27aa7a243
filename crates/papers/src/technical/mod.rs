//! The technical record: every fact, every figure with its working, every note.

mod causes;
mod fact_numbers;
mod facts;
mod installation;
mod isolation;
mod joints;
mod method;
mod options;
mod plan;
mod premises;
mod replacement;
mod workings;

use crate::clean::{clean, shorten};
use crate::mark::{Mark, Marks};
use crate::number::{long_date, probability};
use crate::page::{Item, Node, Paper, file_name, heading, paragraph};
use crate::phrases::{Phrases, RecordPhrases, fill};
use crate::terms;
use fact_numbers::FactNumbers;
use model::assessment::Assessment;
use model::job::Job;
use model::joint::JointId;

/// Body type, points.
const SIZE_PT: f64 = 9.0;

/// The record for technicians, inspectors and whoever comes after.
pub fn technical_record(job: &Job, assessment: &Assessment) -> Paper {
    let phrases = Phrases::english();
    let marks = Marks::of(assessment);
    let facts = FactNumbers::of(job);
    let record =
        Record { job, assessment, marks: &marks, phrases: &phrases, words: &phrases.record, facts: &facts };
    let words = &phrases.record;
    let place = shorten(&clean(&job.place), 50);
    let town = shorten(&clean(&job.town), 30);
    let id = shorten(&clean(&job.id), 30);
    let day = assessment.day.to_string();
    let version = shorten(&clean(&assessment.model_version), 110);
    let seed = assessment.sampling.seed.to_string();
    Paper {
        title: words.title.clone(),
        file_name: file_name(&[&words.file, &job.id]),
        language: phrases.tag.clone(),
        head: fill(&words.head, &[("job", &id), ("place", &place), ("town", &town), ("day", &day)]),
        day,
        invented: job.invented.then(|| phrases.letter.invented.clone()),
        foot: fill(&words.foot, &[("version", &version), ("seed", &seed)]),
        page_of: words.page_of.clone(),
        max_pages: None,
        sheet: crate::page::Sheet::Letter,
        text_size_pt: SIZE_PT,
        body: record.body(),
    }
}

/// What the parts of the record look at.
struct Record<'a> {
    job: &'a Job,
    assessment: &'a Assessment,
    marks: &'a Marks<'a>,
    phrases: &'a Phrases,
    words: &'a RecordPhrases,
    facts: &'a FactNumbers<'a>,
}

impl Record<'_> {
    fn body(&self) -> Vec<Node> {
        let mut body = vec![heading(1, self.words.title.clone())];
        body.extend(self.front());
        body.extend(self.facts());
        body.extend(self.installation());
        body.extend(self.joints());
        body.extend(self.causes());
        body.extend(self.verdict());
        body.extend(self.checks());
        body.extend(self.workings());
        body.extend(self.method());
        body
    }

    fn front(&self) -> Vec<Node> {
        let words = self.words;
        let verdict = &self.assessment.verdict;
        let day = long_date(self.phrases, self.assessment.day);
        let pairs = [
            (&words.job, clean(&self.job.id)),
            (&words.place, format!("{}, {}", clean(&self.job.place), clean(&self.job.town))),
            (&words.opened, self.job.opened.to_string()),
            (&words.day, day),
            (&words.reached, self.phrases.word("exposure", self.job.exposure.word()).to_owned()),
            (&words.policy, clean(&verdict.policy)),
            (&words.model, clean(&self.assessment.model_version)),
            (&words.seed, self.assessment.sampling.seed.to_string()),
        ];
        let urgency = self.phrases.word("urgency", verdict.urgency.word());
        let counts = Mark::ALL.map(|mark| self.marks.count(mark).to_string());
        let counts = fill(
            &words.counts,
            &[("burnt", &counts[0]), ("worn", &counts[1]), ("sound", &counts[2]), ("unknown", &counts[3])],
        );
        let mut texts = vec![Item::plain(self.named(&verdict.summary)), Item::plain(counts)];
        if !self.assessment.sampling.converged {
            texts.push(Item::led(words.not_converged.clone(), ""));
        }
        let findings: Vec<Item> = self
            .marks
            .findings()
            .map(|(number, finding, mark)| {
                let chance = &finding.probability;
                let text = fill(
                    &words.finding,
                    &[
                        ("joint", &crate::clean::capital(&self.joint(&finding.joint.id))),
                        ("mark", self.phrases.word("mark", mark.word())),
                        ("burnt", &probability(chance.burnt)),
                        ("worn", &probability(chance.worn)),
                        ("sound", &probability(chance.sound)),
                    ],
                );
                Item::led(number.to_string(), text)
            })
            .collect();
        let mut nodes = vec![
            self.pairs(pairs),
            Node::Callout { title: fill(&words.summary, &[("urgency", urgency)]), texts, strong: true },
            heading(3, words.findings.clone()),
        ];
        if findings.is_empty() {
            nodes.push(paragraph(words.no_findings.clone()));
        } else {
            nodes.push(Node::List { items: findings, numbered: true });
        }
        nodes
    }

    /// Names and values; rows without a value are left out.
    fn pairs<'b>(&self, rows: impl IntoIterator<Item = (&'b String, String)>) -> Node {
        let rows = rows.into_iter().filter(|(_, value)| !value.is_empty());
        Node::Pairs { rows: rows.map(|(name, value)| (name.clone(), value)).collect() }
    }

    fn joint(&self, id: &JointId) -> String {
        terms::joint_in(self.phrases, &self.job.installation, id)
    }

    /// A foreign text with the names of joints as this record prints them.
    fn named(&self, text: &str) -> String {
        terms::with_names(&clean(text), self.assessment, |id| self.joint(id))
    }

    fn joint_list(&self, ids: &[JointId]) -> String {
        ids.iter().map(|id| self.joint(id)).collect::<Vec<_>>().join(", ")
    }

    fn word<'b>(&'b self, topic: &str, term: &'b str) -> &'b str {
        self.phrases.word(topic, term)
    }
}
