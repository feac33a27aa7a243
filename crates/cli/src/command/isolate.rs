//! `panelwright isolate`.

use crate::args::Global;
use crate::failure::{Ending, Failure};
use crate::input::Source;
use crate::outcome::{Read, day};
use crate::screen::Screen;
use clap::Args;
use model::isolation::{Gate, IsolationGoal, IsolationPlan, Part, PartState};
use model::job::Job;
use record::text::Textual;
use serde_json::json;
use std::path::PathBuf;
use study::words::{capital, part as part_words, point_pair};

/// Say what cuts a panel off: each hand movement, what stays live, what must be proven.
///
/// By the record of how the panel is fed. What the record does not hold is live, and a handle is a claim, not a proof:
/// a part counts as dead only by a whole test on record, after the last handle was moved on.
#[derive(Debug, Args)]
#[command(after_long_help = "\
Examples:
  panelwright isolate my-job.toml
      all circuits
  panelwright isolate my-job.toml --part main/lower
      the bus of a section
  panelwright isolate my-job.toml --part main --json
      the line lugs, for another program")]
pub(crate) struct IsolateArgs {
    /// A job file, or `-` for standard input.
    #[arg(value_name = "FILE")]
    file: PathBuf,

    /// What is to be dead: the line lugs of a panel (`main`), the bus of a section (`main/lower`), the load side of a
    /// breaker (`main/15`). Left out: all circuits.
    #[arg(long, value_name = "PART")]
    part: Option<String>,
}

pub(crate) fn run(args: &IsolateArgs, global: &Global, screen: &mut Screen) -> Result<Ending, Failure> {
    let read = Read::of(&Source::one(&args.file), day(global));
    let Some(job) = &read.job else {
        if global.json {
            screen.line(&study::json::failure(&read.name, read.problems_out()))?;
        } else {
            screen.text(&read.problems_text(screen.coloured()))?;
        }
        return Ok(read.ending());
    };
    let goal = match &args.part {
        None => Ok(IsolationGoal::Everything),
        Some(text) => Part::read(text, job.default_panel.as_ref())
            .map(IsolationGoal::Part)
            .map_err(|error| format!("{error}; {}", error.hint())),
    };
    let plan = goal.and_then(|goal| study::isolation(job, &goal).map_err(|error| error.to_string()));
    let plan = match plan {
        Ok(plan) => plan,
        Err(error) => {
            eprintln!("panelwright: {error}");
            return Ok(Ending::InputErrors);
        }
    };
    let gate = study::gate(job, None);
    if global.json {
        screen.line(&line(&read.name, job, &plan, &gate))?;
    } else {
        screen.text(&text(job, &plan, &gate))?;
    }
    Ok(Ending::Fine)
}

fn line(file: &str, job: &Job, plan: &IsolationPlan, gate: &Gate) -> String {
    let parts = |parts: &[Part]| parts.iter().map(Textual::write).collect::<Vec<_>>();
    let movements: Vec<_> = plan
        .movements
        .iter()
        .map(|one| {
            json!({
                "opens": one.opens.write(),
                "label": one.label,
                "cuts": parts(&one.cuts),
                "still_live": parts(&one.still_live),
                "mind": one.mind,
            })
        })
        .collect();
    let sources: Vec<_> = plan
        .sources
        .iter()
        .map(|one| json!({ "source": one.source, "look": one.look, "recorded": one.recorded }))
        .collect();
    let proofs: Vec<_> = plan
        .proofs
        .iter()
        .map(|one| {
            let pairs: Vec<String> = one.pairs.iter().map(Textual::write).collect();
            json!({ "part": one.part.write(), "at": one.at, "pairs": pairs })
        })
        .collect();
    let states: Vec<_> = gate
        .parts
        .iter()
        .map(|one| {
            let missing: Vec<&String> = match &one.state {
                PartState::NotProven { missing } => missing.iter().collect(),
                PartState::Contradicted { sentence, .. } => vec![sentence],
                PartState::ProvenDead { .. } => Vec::new(),
            };
            json!({
                "part": one.part.write(),
                "proven_dead": matches!(one.state, PartState::ProvenDead { .. }),
                "missing": missing,
            })
        })
        .collect();
    json!({
        "file": file,
        "job": job.id,
        "by_hand": plan.by_hand,
        "movements": movements,
        "utility": plan.utility,
        "stays_live": parts(&plan.stays_live),
        "sources": sources,
        "proofs": proofs,
        "parts": states,
        "stop": gate.stop,
        "cautions": plan.cautions,
    })
    .to_string()
}

fn text(job: &Job, plan: &IsolationPlan, gate: &Gate) -> String {
    let name = |part: &Part| part_words(&job.installation, part);
    let names = |parts: &[Part]| parts.iter().map(name).collect::<Vec<_>>().join("; ");
    let mut out = String::new();
    if let Some(stop) = &gate.stop {
        out.push_str(&format!("STOP: {stop}\n\n"));
    }
    out.push_str("SWITCH OFF\n");
    for (idx, one) in plan.movements.iter().enumerate() {
        out.push_str(&format!("  {}. {}\n", idx + 1, capital(&one.label)));
        if !one.cuts.is_empty() {
            out.push_str(&format!("     should cut off: {}\n", names(&one.cuts)));
        }
        for mind in &one.mind {
            out.push_str(&format!("     mind: {mind}\n"));
        }
    }
    out.push_str(&format!("\nSTAYS LIVE\n  {}\n", capital(&names(&plan.stays_live))));
    if let Some(utility) = &plan.utility {
        out.push_str(&format!("\nUTILITY\n  {utility}\n"));
    }
    out.push_str("\nOTHER SOURCES: rule out or cut each\n");
    for one in &plan.sources {
        let recorded = one.recorded.as_ref().map(|text| format!(" On record: {text}.")).unwrap_or_default();
        out.push_str(&format!("  {}: {}{recorded}\n", capital(&one.source), one.look));
    }
    out.push_str("\nPROVE DEAD: tester on a live source, every pair, tester on the live source\n");
    for one in &plan.proofs {
        let pairs: Vec<String> = one.pairs.iter().map(|&pair| point_pair(pair)).collect();
        out.push_str(&format!("  {}, {}: {}\n", capital(&name(&one.part)), one.at, pairs.join(", ")));
        match gate.part(&one.part).map(|entry| &entry.state) {
            Some(PartState::ProvenDead { .. }) => out.push_str("     proven dead, by the record\n"),
            Some(PartState::NotProven { missing }) => {
                out.push_str(&format!("     counts as live: {}\n", missing.join(" ")));
            }
            _ => out.push_str("     counts as live\n"),
        }
    }
    out.push_str("\nMIND\n");
    for note in &plan.notes {
        out.push_str(&format!("  {}\n", note.text));
    }
    for caution in &plan.cautions {
        out.push_str(&format!("  {caution}\n"));
    }
    out
}
