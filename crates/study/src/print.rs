//! The papers of a job: owner's letter, technical record, tag, owner's and crew's sheet, drawings.

use crate::settings::StudyError;
use model::PanelId;
use model::assessment::Assessment;
use model::isolation::IsolationGoal;
use model::job::Job;
use papers::{Audience, Paper};

/// A finished file.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Document {
    /// Name with extension: letters, digits, hyphens and one dot.
    pub file_name: String,
    /// Content.
    pub bytes: Vec<u8>,
}

/// Ending of the printable form of a paper: PDF, or without the feature `pdf` a page that a browser prints.
pub(crate) const PRINTABLE: &str = if cfg!(feature = "pdf") { "pdf" } else { "html" };

/// What papers are set with. Making one reads the fonts; keep it for the next job.
#[derive(Debug)]
pub struct Press {
    #[cfg(feature = "pdf")]
    fonts: papers::Fonts,
}

impl Press {
    /// The press with the fonts that come with the program.
    pub fn new() -> Self {
        Press {
            #[cfg(feature = "pdf")]
            fonts: papers::Fonts::embedded(),
        }
    }

    /// Each paper in its printable form and as text.
    pub(crate) fn documents(&self, job: &Job, papers: &[Paper]) -> Result<Vec<Document>, StudyError> {
        let mut documents = Vec::new();
        for paper in papers {
            let bytes = match self.pdf(job, paper)? {
                Some(bytes) => bytes,
                None => paper.html().into_bytes(),
            };
            documents.push(Document { file_name: format!("{}.{PRINTABLE}", paper.file_name), bytes });
            let file_name = format!("{}.txt", paper.file_name);
            documents.push(Document { file_name, bytes: paper.text().into_bytes() });
        }
        Ok(documents)
    }

    /// One of some papers by the name of its file, in the form of its ending. `None` where there is no such file.
    pub(crate) fn named(
        &self,
        job: &Job,
        papers: &[Paper],
        file: &str,
    ) -> Result<Option<Document>, StudyError> {
        let Some((stem, ending)) = file.rsplit_once('.') else { return Ok(None) };
        let Some(paper) = papers.iter().find(|paper| paper.file_name == stem) else { return Ok(None) };
        let document = |bytes| Document { file_name: file.to_owned(), bytes };
        Ok(match ending {
            "pdf" => self.pdf(job, paper)?.map(document),
            "txt" => Some(document(paper.text().into_bytes())),
            "html" => Some(document(paper.html().into_bytes())),
            _ => None,
        })
    }

    #[cfg(feature = "pdf")]
    pub(crate) fn pdf(&self, job: &Job, paper: &Paper) -> Result<Option<Vec<u8>>, StudyError> {
        let set = paper.pdf(&self.fonts);
        set.map(Some).map_err(|source| StudyError::Paper { job: job.id.clone(), source })
    }

    #[cfg(not(feature = "pdf"))]
    pub(crate) fn pdf(&self, _: &Job, _: &Paper) -> Result<Option<Vec<u8>>, StudyError> {
        Ok(None)
    }
}

impl Default for Press {
    fn default() -> Self {
        Press::new()
    }
}

/// Every paper of an assessed job that is words: letter, record, and what bridges the time. `address` is that of the
/// record, for the code on the tag.
fn all(job: &Job, assessment: &Assessment, address: Option<&str>) -> Vec<Paper> {
    // An owner is told nothing that rests on an opening without proof.
    let trusted = crate::plan::trusted(job);
    let mut all = vec![papers::owner_letter(&trusted, assessment), papers::technical_record(job, assessment)];
    all.extend(call_note(job, assessment.day));
    let plan = job.interims.last();
    all.extend(papers::stop_gap_tag(job, plan, address));
    if let Some(plan) = plan {
        all.extend(papers::Language::ALL.map(|language| papers::owner_sheet(job, plan, language)));
    }
    let isolation = crate::isolation(job, &IsolationGoal::Everything).ok();
    let parts: Vec<_> = crate::gate(job, None).parts.into_iter().map(|entry| entry.part).collect();
    let not_proven: Vec<_> = crate::not_proven(job).into_iter().map(|one| one.fact).collect();
    all.push(papers::crew_sheet(&papers::CrewSheet {
        job,
        plan,
        isolation: isolation.as_ref(),
        parts: &parts,
        not_proven: &not_proven,
        day: assessment.day,
    }));
    all
}

/// What the caller was told, where somebody called and answered.
fn call_note(job: &Job, day: model::Date) -> Option<Paper> {
    let mut answers: Vec<_> = job.calls.iter().flat_map(|call| call.answers.iter().cloned()).collect();
    answers.sort();
    answers.dedup();
    if answers.is_empty() {
        return None;
    }
    let advice = remedy::Triage::standard().advise(&answers);
    let note = papers::CallNote {
        headline: advice.headline,
        do_lines: advice.do_lines,
        dont_lines: advice.dont_lines,
        closing: advice.closing,
    };
    Some(papers::call_note(job, &note, day))
}

/// The papers of an assessed job: the owner's letter, the technical record, what bridges the time until the replacement
/// as PDF (without the feature `pdf` as printable HTML) and as text, the drawing of each panel as SVG. Equal input gives equal bytes.
/// `address` is that of the record, for the code on the tag; without one the tag carries the mark of the job.
///
/// # Errors
/// Where the typesetter refuses a paper.
pub fn papers(
    job: &Job,
    assessment: &Assessment,
    press: &Press,
    address: Option<&str>,
) -> Result<Vec<Document>, StudyError> {
    let mut documents = press.documents(job, &all(job, assessment, address))?;
    for panel in &job.installation.panels {
        let drawing = panel_drawing(job, Some(assessment), &panel.id);
        documents.push(Document { file_name: drawing_name(job, &panel.id), bytes: drawing.into_bytes() });
    }
    Ok(documents)
}

/// One of the files of [`papers()`], by its name, without setting the others. `None` where there is no such file.
///
/// # Errors
/// Where the typesetter refuses the paper.
pub fn paper(
    job: &Job,
    assessment: &Assessment,
    press: &Press,
    address: Option<&str>,
    file_name: &str,
) -> Result<Option<Document>, StudyError> {
    let document = |bytes| Document { file_name: file_name.to_owned(), bytes };
    let drawn = job.installation.panels.iter().find(|panel| drawing_name(job, &panel.id) == file_name);
    if let Some(panel) = drawn {
        return Ok(Some(document(panel_drawing(job, Some(assessment), &panel.id).into_bytes())));
    }
    press.named(job, &all(job, assessment, address), file_name)
}

/// The drawing of a panel for a technician, as SVG: of its breakers alone, or with the conditions of its joints.
pub fn panel_drawing(job: &Job, assessment: Option<&Assessment>, panel: &PanelId) -> String {
    papers::panel_svg(job, assessment, panel, Audience::Technician)
}

fn drawing_name(job: &Job, panel: &PanelId) -> String {
    format!("{}.svg", file_stem(&format!("{}-panel-{panel}", job.id)))
}

/// Names of the files that [`papers()`] gives, in its order, without setting any.
pub fn paper_names(job: &Job, assessment: &Assessment) -> Vec<String> {
    let mut names = Vec::new();
    for paper in all(job, assessment, None) {
        names.push(format!("{}.{PRINTABLE}", paper.file_name));
        names.push(format!("{}.txt", paper.file_name));
    }
    names.extend(job.installation.panels.iter().map(|panel| drawing_name(job, &panel.id)));
    names
}

/// A name for a file of any system: everything but letters, digits and hyphens becomes a hyphen.
fn file_stem(text: &str) -> String {
    text.chars().map(|letter| if letter.is_ascii_alphanumeric() { letter } else { '-' }).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::sample::{DAY, job};
    use crate::settings::Settings;

    #[test]
    fn one_paper_is_the_same_as_that_among_all() {
        let job = job(1);
        let settings = Settings { n_sweeps: 40, ..Settings::on(DAY) };
        let assessment = crate::assess(&job, &settings).expect("the job can be judged");
        let press = Press::new();
        let all = papers(&job, &assessment, &press, None).expect("the sample can be set");
        let names: Vec<String> = all.iter().map(|document| document.file_name.clone()).collect();
        assert_eq!(paper_names(&job, &assessment), names);
        for document in all {
            let one = paper(&job, &assessment, &press, None, &document.file_name).expect("as above");
            assert_eq!(one, Some(document));
        }
        for name in [
            "",
            "letter",
            "../letter.txt",
            "x.svg",
            &names[0].replace(".pdf", ".docx").replace(".txt", ".md"),
        ] {
            assert_eq!(paper(&job, &assessment, &press, None, name).expect("as above"), None, "{name}");
        }
        assert!(panel_drawing(&job, None, &job.installation.panels[0].id).starts_with("<svg"));
    }
}
