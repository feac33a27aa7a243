//! What was said, seen, felt and found.

use super::statement;
use model::assessment::{Class, Statement};
use model::evidence::{Feel, Observed, Sign, SignReading, SignScope};
use model::id::FactId;
use model::installation::Installation;
use model::job::{Job, Photo};
use remedy::Triage;
use remedy::words::{self, breaker_label, capital, joint_label, listed};

pub(super) fn statements(job: &Job) -> Vec<Statement> {
    let mut all = Vec::new();
    let mut say = |text: String, facts: Vec<FactId>| all.push(statement(Class::Seen, text, facts));
    let triage = Triage::standard();
    for call in &job.calls {
        let heard = triage.said(&call.answers);
        if !heard.is_empty() {
            say(format!("The caller told us by telephone: {}.", listed(&heard)), vec![call.fact.clone()]);
        }
        if !call.words.trim().is_empty() {
            say(format!("The caller’s words: “{}”", call.words.trim()), vec![call.fact.clone()]);
        }
    }
    for complaint in &job.complaints {
        let about = complaint.slot.as_ref().map(|slot| breaker_label(&job.installation, slot));
        let about = about.map(|label| format!(" about {label}")).unwrap_or_default();
        say(format!("We were told{about}: “{}”", complaint.words.trim()), vec![complaint.fact.clone()]);
    }
    for (reading, fact) in signs(job).filter(|(reading, _)| reading.present) {
        let what = capital(words::sign_phrase(reading.sign));
        let place = place(&job.installation, &reading.scope);
        let more =
            if reading.words.is_empty() { String::new() } else { format!(": {}", reading.words.trim()) };
        let shown = job.photos.iter().find(|photo| reading.photo.as_ref() == Some(&photo.fact));
        let photo = shown.map(|photo: &Photo| format!(" Photo: {}.", photo.words)).unwrap_or_default();
        say(ended(&format!("{what} {place}{more}")) + &photo, vec![fact.clone()]);
    }
    for opening in &job.openings {
        let joint = joint_label(&job.installation, &opening.joint);
        let text =
            format!("Opened, proven dead: {joint} was found {}. {}", opening.found.word(), opening.words);
        let mut facts = vec![opening.fact.clone()];
        let since = job.remaking(opening).map(|work| {
            facts.push(work.fact.clone());
            format!("{} Made anew since, on {}.", ended(text.trim_end()), work.at.date())
        });
        say(since.unwrap_or_else(|| text.trim_end().to_owned()), facts);
    }
    for observation in &job.observations {
        if let Observed::Touch(touch) = &observation.what {
            let felt = match touch.feel {
                Feel::NotWarm => "not warm",
                Feel::Warm => "warm, comfortable to hold",
                Feel::Hot => "hot, but could be held for some seconds",
                Feel::Pain => "painful soon",
                Feel::Withdrawn => "too hot to touch",
            };
            let label = breaker_label(&job.installation, &touch.slot);
            let void = if touch.void { " (does not count: glove, callus, cold or wet hand)" } else { "" };
            say(
                format!("To the hand the face of {label} was {felt}, {}{void}.", during(&touch.state)),
                vec![observation.fact.clone()],
            );
        }
    }
    for (_, breaker) in job.installation.breakers() {
        let circuit =
            breaker.circuit.as_ref().map(|circuit| circuit.feeds.as_str()).filter(|feeds| !feeds.is_empty());
        let label = format!(
            "Breaker {}{}",
            words::spaces_label(breaker),
            circuit.map(|feeds| format!(" ({feeds})")).unwrap_or_default()
        );
        match (breaker.other_make, breaker.later) {
            (Some(true), Some(true)) => say(
                format!("{label} is of another make than the list of the panel names, and was put in later."),
                Vec::new(),
            ),
            (Some(true), _) => {
                say(format!("{label} is of another make than the list of the panel names."), Vec::new())
            }
            (_, Some(true)) => say(format!("{label} was put in later than the panel."), Vec::new()),
            _ => {}
        }
        if breaker.circuit.as_ref().and_then(|circuit| circuit.doubled) == Some(true) {
            say(format!("{label} has more than one conductor under its terminal."), Vec::new());
        }
    }
    for panel in &job.installation.panels {
        if panel.lacks_single_main() {
            say(
                format!(
                    "Panel {} has no single main: with every handle off, parts of it stay live.",
                    panel.id
                ),
                Vec::new(),
            );
        }
        match panel.moisture {
            Some(true) => say(format!("There are water marks in panel {}.", panel.id), Vec::new()),
            Some(false) => say(format!("No water marks in panel {}.", panel.id), Vec::new()),
            None => {}
        }
    }
    let absent: Vec<(&SignReading, &FactId)> = signs(job).filter(|(reading, _)| !reading.present).collect();
    if !absent.is_empty() {
        let named = absent.iter().map(|(reading, _)| {
            format!("{} {}", words::sign_phrase(reading.sign), place(&job.installation, &reading.scope))
        });
        let named: Vec<String> = named.collect();
        let facts = absent.iter().map(|(_, fact)| (*fact).clone()).collect();
        say(format!("Looked for and not found: {}.", listed(&named)), facts);
    }
    all
}

fn signs(job: &Job) -> impl Iterator<Item = (&SignReading, &FactId)> {
    let order = |sign: Sign| Sign::ALL.iter().position(|one| *one == sign);
    let mut found: Vec<_> = job
        .observations
        .iter()
        .filter_map(|observation| match &observation.what {
            Observed::Sign(reading) => Some((reading, &observation.fact)),
            _ => None,
        })
        .collect();
    found.sort_by_key(|(reading, _)| order(reading.sign));
    found.into_iter()
}

fn place(installation: &Installation, scope: &SignScope) -> String {
    match scope {
        SignScope::Slot(slot) => format!("at {}", breaker_label(installation, slot)),
        SignScope::Lug(_, leg) => format!("at the line lug of leg {leg}"),
        SignScope::Neutral(_) => "at the neutral lug or bar".to_owned(),
        SignScope::Leg(_, leg) => format!("on everything of leg {leg}"),
        SignScope::Panel(panel) => format!("at panel {panel}"),
    }
}

/// With a full stop at the end.
fn ended(text: &str) -> String {
    let done = text.ends_with(['.', '!', '?', '”']);
    if done { text.to_owned() } else { format!("{text}.") }
}

pub(super) fn during(state: &str) -> String {
    if state.is_empty() {
        "load state not named".to_owned()
    } else {
        format!("in the load state “{state}”")
    }
}
