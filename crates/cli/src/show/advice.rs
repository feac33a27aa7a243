//! What is advised: verdict, next checks, options, cautions.

use super::layout::Page;
use model::advice::{Choice, Standing, Urgency};
use model::assessment::Assessment;
use model::job::Exposure;
use study::words::{may_change, percent};

/// Rules shown with their figures, of those that set the urgency.
const N_RULES: usize = 4;
/// Checks shown.
const N_CHECKS: usize = 4;

/// The verdict in one line, its summary, the rules behind it.
pub(super) fn verdict(page: &mut Page, assessment: &Assessment) {
    let verdict = &assessment.verdict;
    let line = format!("VERDICT: {}", verdict.urgency.phrase().to_uppercase());
    if verdict.urgency <= Urgency::Within72Hours {
        page.alarm(&line);
    } else {
        page.strong(&line);
    }
    page.paragraph(&verdict.summary);
    if !verdict.rules.is_empty() {
        page.line("");
        let decisive = verdict.rules.iter().filter(|rule| rule.urgency == verdict.urgency).take(N_RULES);
        let n_decisive = decisive.clone().count();
        for rule in decisive {
            page.item("*", &format!("{}: {}", rule.rule, rule.because));
        }
        let others = verdict.rules.iter().skip(n_decisive);
        let others: Vec<String> =
            others.map(|rule| format!("{} [{}]", rule.rule, rule.urgency.word())).collect();
        if !others.is_empty() {
            page.item("-", &format!("rules that fired as well: {}", others.join("; ")));
        }
    }
    page.line("");
    page.paragraph("What would change this:");
    if let Some(change) = &verdict.may_change {
        if let Some(told) = may_change(change) {
            page.item("-", &format!("With more knowledge: {told}."));
        }
        if let Some(check) = change.checks.first() {
            page.item(
                "-",
                &format!("What could change it most, at most {}: {}", percent(check.chance), check.what),
            );
        }
    }
    for text in &verdict.would_change {
        page.item("-", text);
    }
}

/// Checks worth doing next.
pub(super) fn next_checks(page: &mut Page, assessment: &Assessment) {
    if assessment.next_checks.is_empty() {
        return;
    }
    page.heading("Next checks, best first");
    for (idx, check) in assessment.next_checks.iter().take(N_CHECKS).enumerate() {
        page.item(&format!("{}.", idx + 1), &check.what);
        page.inner(
            "-",
            &format!(
                "{}; {}; about {:.0} min; tells {:.2} bit",
                exposure(check.exposure),
                check.who,
                check.minutes,
                check.gain_bits
            ),
        );
        for (rival, reading) in &check.expects {
            page.inner("-", &format!("{rival}: {reading}"));
        }
        for caution in &check.cautions {
            page.inner("!", caution);
        }
    }
}

fn exposure(exposure: Exposure) -> &'static str {
    match exposure {
        Exposure::CoverOn => "dead front stays on",
        Exposure::CoverOff => "dead front off, parts live",
        Exposure::ProvenDead => "only proven dead",
    }
}

/// The options, in a fixed order.
pub(super) fn options(page: &mut Page, assessment: &Assessment) {
    page.heading("Options");
    let (refused, offered): (Vec<&Choice>, Vec<&Choice>) =
        assessment.options.iter().partition(|choice| choice.standing == Standing::Refused);
    for choice in offered {
        option(page, choice);
    }
    if !refused.is_empty() {
        page.line("");
        page.paragraph("Not offered:");
        for choice in refused {
            page.item("-", &format!("{}: {}", choice.title, choice.reasons_against.join(" ")));
        }
    }
}

fn option(page: &mut Page, choice: &Choice) {
    let standing = match choice.standing {
        Standing::Recommended => "RECOMMENDED",
        Standing::Open => "open",
        Standing::Conditional => "under conditions",
        Standing::Refused => "not offered",
    };
    page.item(&format!("[{standing}]"), &format!("{}{}", choice.title, figures(choice)));
    page.inner(" ", &choice.consequences);
    for reason in &choice.reasons_for {
        page.inner("+", reason);
    }
    for reason in &choice.reasons_against {
        page.inner("-", reason);
    }
    for condition in &choice.conditions {
        page.inner("if", condition);
    }
    for left in &choice.leaves {
        page.inner("leaves:", left);
    }
}

fn figures(choice: &Choice) -> String {
    let mut figures = Vec::new();
    if let Some((low, high)) = choice.hours_off {
        figures.push(format!("{low} to {high} h without power"));
    }
    match choice.price_usd {
        Some((_, high)) if high <= 0.0 => return " (no cost)".to_owned(),
        Some((low, high)) => figures.push(format!("{low:.0} to {high:.0} USD")),
        None => {}
    }
    if figures.is_empty() { String::new() } else { format!(" ({}; policy figures)", figures.join(", ")) }
}

/// Cautions.
pub(super) fn cautions(page: &mut Page, assessment: &Assessment) {
    page.heading("Cautions");
    for caution in &assessment.verdict.cautions {
        page.item("!", caution);
    }
}
