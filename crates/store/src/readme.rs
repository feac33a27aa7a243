//! The README of an exported job: what is what, in plain words, and the cautions.

use crate::{Give, JobFile};

/// What a README tells.
pub(crate) struct Readme<'a> {
    pub(crate) job: &'a str,
    pub(crate) give: Give,
    pub(crate) job_file: JobFile,
    pub(crate) n_facts: usize,
    /// Lines of the photos that are there.
    pub(crate) photos: &'a [String],
    /// Photos that are not, and why.
    pub(crate) left_out: &'a [(String, String)],
    /// Facts that are not used, and why.
    pub(crate) aside: &'a [(String, String)],
}

impl Readme<'_> {
    pub(crate) fn write(&self) -> String {
        let job_file = match self.job_file {
            JobFile::All => {
                "job.toml\n    The same facts as a job file: text for people, and for the program (`panelwright assess \
                 job.toml`).\n"
            }
            JobFile::Used => {
                "job.toml\n    A job file, text for people and for the program. CAUTION: some facts contradict each \
                 other. This file\n    holds only those that are used, which is the later one of two; facts.jsonl holds \
                 them all.\n"
            }
            JobFile::Unfinished => {
                "job.toml\n    What is there so far as a job file, text for people. The record still lacks something that \
                 the program\n    asks for (`panelwright check job.toml` says what).\n"
            }
            JobFile::None => {
                "(There is no job.toml: the facts do not make a job yet, for example because nothing opens it.)\n"
            }
        };
        let photos = match self.give {
            Give::Originals => {
                "As they were taken. CAUTION: they may tell the place and the time at which they were taken, and the \
                 phone.\n    Do not hand them to others.\n"
            }
            Give::Pages => {
                "Smaller copies for handing on, made by the program; the originals stay with the shop.\n"
            }
        };
        let mut text = format!(
            "Job {}, exported by Panelwright {}\n\n\
             This is the record of one job at an electrical panel: what people saw, measured, decided and did, \
             each\nwith its day and author. It is read with any text editor and any picture viewer.\n\n\
             facts.jsonl\n    All {} facts in the order in which they arrived, one a line, as JSON. This is the \
             record itself;\n    all else is made from it. A fact is never changed: a later one may name it under \
             `supersedes`,\n    and then the earlier one holds no more.\n\n{job_file}\n\
             photos/\n    {photos}    The name is the SHA-256 of the original; a fact of the kind `photo` names it.\n\n\
             manifest.json\n    Length and SHA-256 of every file here, so that a change can be seen.\n\n",
            self.job,
            env!("CARGO_PKG_VERSION"),
            self.n_facts,
        );
        text.push_str(CAUTIONS);
        if !self.photos.is_empty() {
            text.push_str("\nPhotos\n");
            self.photos.iter().for_each(|line| text.push_str(line));
        }
        if !self.left_out.is_empty() {
            text.push_str("\nPhotos that are NOT here\n");
            for (photo, why) in self.left_out {
                text.push_str(&format!("  {photo}\n      {why}\n"));
            }
        }
        if !self.aside.is_empty() {
            text.push_str("\nFacts that are NOT used, because they cannot stand beside others\n");
            for (fact, why) in self.aside {
                text.push_str(&format!("  {fact}\n      {why}\n"));
            }
        }
        text
    }
}

const CAUTIONS: &str = "\
Cautions
  - The record is what was seen that day, and no guarantee for the rest. What is not in it is unknown.
  - Work inside a panel is for qualified persons.
  - Service conductors stay live with every handle off, until the utility has cut them and that is proven.
    An old split-bus panel has no single main.
  - Nothing here says that a part is dead. A handle position, one reading or one tester proves nothing.
  - Never pull a breaker off a live stab that may be burnt.
  - Local code, the utility's rules, the manufacturer's instructions and the inspector come first.
  - Smoke, flame or crackle: out, call the emergency services, do not touch.
  - The record names a place and people. Treat it as confidential.
";
