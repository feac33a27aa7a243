//! An assessment as text for a terminal of 80 columns. It says everything without colour.

mod advice;
pub(crate) mod code;
mod findings;
pub(crate) mod install;
mod layout;
pub(crate) mod offer;
pub(crate) mod outage;
pub(crate) mod seats;
mod sketch;

use layout::Page;
use model::assessment::Assessment;
use model::job::Job;
use study::Policy;

/// The assessment as text.
pub(crate) fn assessment(job: &Job, assessment: &Assessment, policy: &Policy) -> String {
    let mut page = Page::new();
    head(&mut page, job, assessment);
    advice::verdict(&mut page, assessment);
    findings::suspects(&mut page, job, assessment, policy);
    sketch::panels(&mut page, job, assessment, policy);
    findings::supply(&mut page, assessment);
    findings::trends(&mut page, assessment);
    findings::causes(&mut page, job, assessment);
    advice::next_checks(&mut page, assessment);
    advice::options(&mut page, assessment);
    findings::unknown(&mut page, assessment);
    advice::cautions(&mut page, assessment);
    foot(&mut page, assessment);
    page.text()
}

fn head(page: &mut Page, job: &Job, assessment: &Assessment) {
    let place: Vec<&str> =
        [job.place.as_str(), job.town.as_str()].into_iter().filter(|part| !part.is_empty()).collect();
    let invented = if job.invented { "   INVENTED CASE" } else { "" };
    page.strong(&format!("{}   {}{invented}", assessment.job, place.join(", ")));
    page.rule('=');
}

fn foot(page: &mut Page, assessment: &Assessment) {
    let sampling = &assessment.sampling;
    if !assessment.notes.is_empty() {
        page.heading("Notes");
        for note in &assessment.notes {
            let source = note.cite.as_ref().map(|cite| format!(" [{cite}]")).unwrap_or_default();
            page.item("-", &format!("{}: {}{source}", note.subject, note.text));
        }
    }
    page.heading("How it was computed");
    page.paragraph(&format!(
        "For {}, {}, seed {}, {} draws kept of {} chains of {} sweeps. Largest sampling error of a burnt probability {:.3}, effective \
         draws {:.0}, R-hat {:.3}. Policy: {}.",
        assessment.day,
        assessment.model_version,
        sampling.seed,
        sampling.n_draws,
        sampling.n_chains,
        sampling.n_sweeps,
        sampling.worst_standard_error,
        sampling.effective_draws,
        sampling.r_hat,
        assessment.verdict.policy
    ));
    if let Some(problem) = &sampling.problem {
        page.paragraph(&format!("The sampler's own checks did not all pass: {problem}"));
    }
}
