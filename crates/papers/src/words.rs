//! Words of a family of papers, from a file of its own: names and phrases.

use crate::clean::{clean, shorten};
use crate::page::{Node, Paper, Sheet, file_name};
use std::collections::BTreeMap;

/// The words by their names.
#[derive(Debug, Clone)]
pub(crate) struct Words(BTreeMap<String, String>);

impl Words {
    /// The words of a file, which a test of each family reads.
    pub(crate) fn of(file: &str) -> Words {
        Words(toml::from_str(file).expect("files of words are read in tests"))
    }

    /// A phrase; its name where the file has none, which a test rules out.
    pub(crate) fn get<'a>(&'a self, name: &'a str) -> &'a str {
        self.0.get(name).map_or(name, String::as_str)
    }

    /// A phrase with values in its places.
    pub(crate) fn fill(&self, name: &str, values: &[(&str, &str)]) -> String {
        crate::phrases::fill(self.get(name), values)
    }

    /// What is wrong between the file and the sources that take words from it: names that nobody uses, and names that are
    /// not there.
    #[cfg(test)]
    pub(crate) fn strays(&self, sources: &[&str]) -> Vec<String> {
        let source = sources.concat();
        let unused = self.0.keys().filter(|name| !source.contains(&format!("\"{name}\"")));
        let mut strays: Vec<String> = unused.map(|name| format!("`{name}` is not used")).collect();
        for call in ["get(\"", "fill(\""] {
            let asked = source.split(call).skip(1).map(|part| part.split('"').next().unwrap_or_default());
            let missing = asked.filter(|name| !self.0.contains_key(*name));
            strays.extend(missing.map(|name| format!("`{name}` is not in the file")));
        }
        strays
    }
}

/// What stands at the head of every page.
pub(crate) struct Top<'a> {
    pub(crate) job: &'a str,
    pub(crate) place: &'a str,
    pub(crate) day: &'a str,
    pub(crate) invented: bool,
}

/// A paper on letter size; `names` are those of its title, its file name and its foot.
pub(crate) fn paper(words: &Words, top: &Top<'_>, names: [&str; 3], size_pt: f64, body: Vec<Node>) -> Paper {
    let [title, file, foot] = names;
    let (job, place) = (shorten(&clean(top.job), 30), shorten(&clean(top.place), 60));
    Paper {
        title: words.get(title).to_owned(),
        file_name: file_name(&[words.get(file), top.job]),
        language: "en".to_owned(),
        day: top.day.to_owned(),
        head: words.fill("head", &[("job", &job), ("place", &place), ("day", top.day)]),
        invented: top.invented.then(|| words.get("invented").to_owned()),
        foot: words.get(foot).to_owned(),
        page_of: words.get("page_of").to_owned(),
        max_pages: None,
        sheet: Sheet::Letter,
        text_size_pt: size_pt,
        body,
    }
}
