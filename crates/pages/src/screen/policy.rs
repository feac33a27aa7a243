//! The shop's policy: every rule with its reason, its figures as fields, and its whole text; what is wrong is said at its
//! line.

use crate::context::Context;
use crate::fields::{FieldError, Fields, Refusal};
use crate::form::Sheet;
use crate::route::Route;
use crate::shell::{Page, shell};
use crate::urgency::urgency_words;
use maud::{Markup, html};
use study::{Policy, PolicyProblem};

/// Figures of a policy that have a field of their own: key, label, hint.
const FIGURES: [(&str, &str, &str); 14] = [
    ("likely_burnt", "A joint is likely burnt from", "probability, 0 to 1"),
    ("suspect_burnt", "A joint is suspect from", "probability, 0 to 1; a look at a dead panel costs minutes"),
    ("likely_worn", "A joint is likely worn from", "probability, 0 to 1"),
    ("supply_failing", "A path of the supply is failing from", "probability, 0 to 1"),
    ("two_stabs_expected", "Two burnt stabs are spoken of from", "expected number among the suspect ones"),
    ("likely_cause", "A cause is the likely one from", "probability, 0 to 1"),
    ("possible_cause", "A cause is a possible one from", "probability, 0 to 1"),
    ("move_current_limit_a", "No circuit is moved above, A", "a stop-gap is for modest loads"),
    ("stop_gap_days", "A stop-gap lasts at most, days", "1 to 180"),
    ("recheck_now_days", "Recheck where it is urgent now, days", "1 to 180"),
    ("recheck_within_72_hours_days", "Recheck where it is within 72 hours, days", "1 to 180"),
    ("recheck_this_month_days", "Recheck where it is this month, days", "1 to 180"),
    ("recheck_otherwise_days", "Recheck otherwise, days", "1 to 180"),
    ("look_back_days", "Look-back after lasting work, days", "1 to 3650"),
];

pub(crate) fn page(fields: &Fields, again: Option<&Refusal>, cx: &Context<'_>) -> Page {
    let sheet = Sheet::new(fields, again);
    let text = match fields.text("text").filter(|_| again.is_some()) {
        Some(typed) => typed.to_owned(),
        None => cx.policy_text.text.to_owned(),
    };
    let body = html! {
        p.lede { "When something is urgent, and what the owner may choose from: that is the shop’s to say, not the program’s." }
        (sheet.error_list())
        p { strong { (cx.policy.label()) } ". " (cx.policy_text.origin) }
        div.note { p {
            "What no policy can change: doing nothing for now is always among the choices; a breaker is never pulled off a live \
             stab; a part counts as dead only by a whole proof on record; a stop-gap has a last day and a recheck."
        } }
        section.sheet #rules {
            h2 { "Its rules" }
            p { "The most urgent rule that fires sets the urgency. All that fired are on the bench and in the technical record." }
            ul.rows {
                @for rule in cx.policy.rules_in_words() {
                    li.row {
                        p.grow {
                            strong { (rule.name) } br;
                            (urgency_words(rule.urgency)) br;
                            "When " (rule.when.join("; and ")) "." br;
                            span.quiet { (rule.reason) " [" (rule.source) "]" }
                            @if let Some(owner) = &rule.owner { br; span.quiet { "To the owner: “" (owner) "”" } }
                        }
                    }
                }
            }
        }
        @if cx.policy_text.locked {
            div.note { p { "It was given on the command line: change that file, and start the program again." } }
        } @else {
            (figures(&sheet, cx))
            (whole(&sheet, &text, cx))
            section.sheet {
                h2 { "Back to the standard policy" }
                p { "Earlier versions stay in the data folder." }
                form method="post" action=(Route::Policy) {
                    input type="hidden" name="csrf" value=(cx.csrf);
                    button.plain name="act" value="standard" { "Use the standard policy" }
                }
            }
        }
    };
    shell(cx, "Policy", &Route::Policy, body)
}

fn figures(sheet: &Sheet<'_>, cx: &Context<'_>) -> Markup {
    html! {
        section.sheet #figures {
            h2 { "Its figures" }
            p.quiet { "Why each is as it is stands beside it in the text below." }
            form method="post" action=(Route::Policy) {
                input type="hidden" name="csrf" value=(cx.csrf);
                @for (key, label, hint) in FIGURES {
                    (sheet.text(key, label, hint, &figure(cx.policy_text.text, key).unwrap_or_default()))
                }
                button.big.full name="act" value="figures" { "Save the figures" }
            }
        }
    }
}

fn whole(sheet: &Sheet<'_>, text: &str, cx: &Context<'_>) -> Markup {
    html! {
        section.sheet {
            h2 { "Its whole text" }
            p { "Rules, reasons and prices. What `when` may say is listed at the top of it. Give it a name of your own: it is \
                 printed on every paper." }
            form method="post" action=(Route::Policy) {
                input type="hidden" name="csrf" value=(cx.csrf);
                div.field {
                    label for="text" { "Policy" }
                    textarea #text name="text" rows="24" spellcheck="false" { (text) }
                    (sheet.error("text"))
                }
                button.big.full name="act" value="text" { "Check and save" }
            }
        }
    }
}

/// The text of a figure's value, where the line of its key is there.
fn figure(text: &str, key: &str) -> Option<String> {
    line_of(text, key).map(|(_, _, value)| value)
}

/// Start and end of the value of a key at the start of a line, and the value.
fn line_of(text: &str, key: &str) -> Option<(usize, usize, String)> {
    let mut start = 0;
    for line in text.split_inclusive('\n') {
        if let Some(rest) = line.strip_prefix(key)
            && let Some(value) = rest.trim_start_matches(' ').strip_prefix('=')
        {
            let end = value.find('#').unwrap_or(value.len());
            let trimmed = value[..end].trim();
            let from = start + (line.len() - value.len()) + value.find(trimmed).unwrap_or(0);
            return Some((from, from + trimmed.len(), trimmed.to_owned()));
        }
        start += line.len();
    }
    None
}

/// The text of the policy that a form asks for; empty for the standard one. `in_force` is the present text.
///
/// # Errors
/// Everything that is wrong with it, in sentences that say where.
pub fn of_form(fields: &Fields, in_force: &str) -> Result<String, Refusal> {
    match fields.text("act") {
        Some("standard") => Ok(String::new()),
        Some("text") => {
            let text = fields.text("text").unwrap_or_default().replace("\r\n", "\n");
            checked(text, "text")
        }
        Some("figures") => {
            let mut text = in_force.to_owned();
            let mut errors = Vec::new();
            for (key, label, _) in FIGURES {
                let Some(value) = fields.text(key).map(str::trim).filter(|value| !value.is_empty()) else {
                    continue;
                };
                match (value.replace(',', ".").parse::<f64>(), line_of(&text, key)) {
                    (Ok(number), Some((from, to, old))) if number.is_finite() => {
                        // As it is written where nothing changes; a whole number stays one.
                        if old.parse::<f64>() != Ok(number) {
                            let whole = key.ends_with("_days");
                            let new = if whole { format!("{number}") } else { decimal(number) };
                            text.replace_range(from..to, &new);
                        }
                    }
                    (Ok(_), None) => {
                        let message = format!("{label}: the text has no line for it; add `{key}` there.");
                        errors.push(FieldError { field: key.to_owned(), message });
                    }
                    _ => {
                        let message = format!("{label}: {value} is no number.");
                        errors.push(FieldError { field: key.to_owned(), message });
                    }
                }
            }
            if errors.is_empty() { checked(text, "") } else { Err(Refusal { errors }) }
        }
        _ => {
            let message = "Choose what to do with the policy.".to_owned();
            Err(Refusal { errors: vec![FieldError { field: String::new(), message }] })
        }
    }
}

fn decimal(number: f64) -> String {
    let text = number.to_string();
    if text.contains('.') { text } else { format!("{text}.0") }
}

fn checked(text: String, field: &str) -> Result<String, Refusal> {
    let Err(error) = Policy::parse("policy", &text) else { return Ok(text) };
    let told = |problem: &PolicyProblem| {
        let at = match problem.line {
            0 => String::new(),
            line => format!("Line {line}: "),
        };
        let hint = problem
            .hint
            .as_ref()
            .map(|hint| format!(" {}.", study::words::capital(hint)))
            .unwrap_or_default();
        // A figure that has a field is told at its field.
        let key =
            FIGURES.iter().map(|(key, ..)| *key).find(|key| problem.message.contains(&format!("`{key} =")));
        let field = if field.is_empty() { key.unwrap_or_default() } else { field };
        FieldError {
            field: field.to_owned(),
            message: format!("{at}{}.{hint}", study::words::capital(&problem.message)),
        }
    };
    Err(Refusal { errors: error.problems.iter().map(told).collect() })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn sent(pairs: &[(&str, &str)]) -> Result<String, Vec<(String, String)>> {
        let fields =
            Fields::from_pairs(pairs.iter().map(|(name, value)| ((*name).to_owned(), (*value).to_owned())));
        of_form(&fields, Policy::standard_text())
            .map_err(|refusal| refusal.errors.into_iter().map(|error| (error.field, error.message)).collect())
    }

    #[test]
    fn every_figure_is_a_line_of_the_standard_text() {
        for (key, label, hint) in FIGURES {
            assert!(figure(Policy::standard_text(), key).is_some(), "{key}");
            assert!(!label.is_empty() && !hint.is_empty());
        }
        assert_eq!(figure(Policy::standard_text(), "stop_gap_days").as_deref(), Some("30"));
    }

    #[test]
    fn a_figure_that_is_changed_changes_its_line_and_no_other() {
        let text = sent(&[("act", "figures"), ("stop_gap_days", "14"), ("suspect_burnt", "0,3")])
            .expect("it is fine");
        assert!(text.contains("\nstop_gap_days = 14\n") && text.contains("\nsuspect_burnt = 0.3\n"));
        let same = |one: &str, other: &str| one.lines().zip(other.lines()).filter(|(a, b)| a != b).count();
        assert_eq!(same(&text, Policy::standard_text()), 2);
        assert_eq!(
            sent(&[("act", "figures"), ("likely_burnt", "0.5")]).as_deref(),
            Ok(Policy::standard_text())
        );
    }

    #[test]
    fn what_is_wrong_is_told_at_its_field_or_line() {
        let wrong = sent(&[("act", "figures"), ("stop_gap_days", "900")]).expect_err("too long");
        assert_eq!(wrong[0].0, "stop_gap_days");
        assert!(wrong[0].1.contains("outside 1 to 180"), "{wrong:?}");
        assert_eq!(
            sent(&[("act", "figures"), ("likely_burnt", "much")]).expect_err("no number")[0].0,
            "likely_burnt"
        );
        let wrong = sent(&[("act", "text"), ("text", "name = 3")]).expect_err("no policy");
        assert!(wrong[0].0 == "text" && wrong[0].1.starts_with("Line 1: "), "{wrong:?}");
        assert!(sent(&[("act", "nothing")]).is_err());
        assert_eq!(sent(&[("act", "standard")]).as_deref(), Ok(""));
    }
}
