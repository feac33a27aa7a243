//! `panelwright move`.

use crate::args::Global;
use crate::failure::{Ending, Failure};
use crate::input::Source;
use crate::outcome::{Assessed, settings};
use crate::screen::Screen;
use clap::Args;
use model::id::Slot;
use model::moving::{Met, MoveCandidate, MoveStudy};
use record::text::Textual;
use serde_json::json;
use std::path::PathBuf;

/// Say where a circuit could be moved as a stop-gap, with every condition, and why not elsewhere.
///
/// A move is a stop-gap with a last day, made by a qualified person on a bus proven dead. Nothing here is a go-ahead by
/// itself: what is to be asked and to be proven stays so.
#[derive(Debug, Args)]
#[command(after_long_help = "\
Examples:
  panelwright move my-job.toml 15
      the circuit whose breaker is in space 15
  panelwright move my-job.toml sub/3 --json
      in the panel called sub, for another program")]
pub(crate) struct MoveArgs {
    /// A job file, or `-` for standard input.
    #[arg(value_name = "FILE")]
    file: PathBuf,

    /// Space of the circuit, with the panel in front where there are several: `sub/3`.
    #[arg(value_name = "SPACE")]
    space: String,
}

pub(crate) fn run(args: &MoveArgs, global: &Global, screen: &mut Screen) -> Result<Ending, Failure> {
    let settings = settings(global)?;
    let assessed = Assessed::of(&Source::one(&args.file), &settings);
    let Some((job, assessment)) = assessed.done() else {
        if global.json {
            screen.line(&assessed.json())?;
        } else {
            screen.text(&assessed.errors_text(screen.coloured()))?;
        }
        return Ok(assessed.ending());
    };
    let slot = Slot::read(&args.space, job.default_panel.as_ref())
        .map_err(|error| format!("{error}; {}", error.hint()));
    let study = slot.and_then(|slot| {
        study::moves(job, assessment, &slot, &settings.policy).map_err(|error| error.to_string())
    });
    match study {
        Ok(study) if global.json => screen.line(&line(&assessed.read.name, &job.id, &study))?,
        Ok(study) => screen.text(&text(&study))?,
        Err(error) => {
            eprintln!("panelwright: {error}");
            return Ok(Ending::InputErrors);
        }
    }
    Ok(Ending::Fine)
}

const fn word(met: Met) -> &'static str {
    match met {
        Met::Met => "holds",
        Met::Ask => "ask",
        Met::Prove => "prove",
        Met::NotMet => "refuses",
    }
}

fn line(file: &str, job: &str, study: &MoveStudy) -> String {
    let candidates: Vec<_> = study
        .candidates
        .iter()
        .map(|one| {
            let conditions: Vec<_> = one
                .conditions
                .iter()
                .map(|one| json!({ "name": one.name, "met": word(one.met), "says": one.says }))
                .collect();
            json!({
                "spaces": one.spaces.iter().map(ToString::to_string).collect::<Vec<_>>(),
                "open": one.open,
                "conditions": conditions,
                "stab_c": one.heat.as_ref().map(|heat| heat.stab_c),
                "terminal_c": one.heat.as_ref().map(|heat| heat.terminal_c),
                "limit_c": one.heat.as_ref().map(|heat| heat.limit_c),
            })
        })
        .collect();
    json!({
        "file": file,
        "job": job,
        "from": study.from.to_string(),
        "refusals": study.refusals,
        "candidates": candidates,
        "most_days": study.most_days,
        "cautions": study.cautions,
    })
    .to_string()
}

fn place(one: &MoveCandidate) -> String {
    let spaces: Vec<String> = one.spaces.iter().map(ToString::to_string).collect();
    let state = if one.open { "open, once all is answered" } else { "refused" };
    let mut out = format!("  space {}: {state}\n", spaces.join("/"));
    for condition in one.conditions.iter().filter(|condition| one.open || condition.met == Met::NotMet) {
        out.push_str(&format!("     {} [{}]: {}\n", condition.name, word(condition.met), condition.says));
    }
    if let Some(heat) = one.heat.as_ref().filter(|_| one.open) {
        out.push_str(&format!(
            "     predicted at {:.0} A: stab {:.0} °C, terminal {:.0} °C (limit {:.0} °C)\n",
            heat.current_a, heat.stab_c, heat.terminal_c, heat.limit_c
        ));
    }
    out
}

fn text(study: &MoveStudy) -> String {
    let mut out = format!("MOVE {}\n", study.from);
    for refusal in &study.refusals {
        out.push_str(&format!("  not moved: {refusal}\n"));
    }
    for one in &study.candidates {
        out.push_str(&place(one));
    }
    out.push_str(&format!("\nMIND\n  At most {} days by the shop's policy.\n", study.most_days));
    for caution in &study.cautions {
        out.push_str(&format!("  {caution}\n"));
    }
    out
}
