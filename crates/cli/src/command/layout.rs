//! `panelwright layout`.

use super::code::{Told, foot, head, with_job};
use crate::args::Global;
use crate::failure::{Ending, Failure};
use crate::outcome::day;
use crate::screen::Screen;
use crate::show::code::wrapped;
use crate::show::seats;
use clap::Args;
use model::Current;
use model::panel::HalfWidth;
use model::replacement::{HeldFor, PanelEnd};
use std::collections::BTreeSet;
use std::path::PathBuf;
use study::code::{Book, Chosen, Edition};
use study::{CannotLayOut, LayoutAsk, Origin};

/// Lay the circuits of a panel out in a new one: which space each goes into, and why there.
///
/// Few splices, even legs, loads that run for hours near the feed and not on one stab, little moved. Each layout is
/// proven to be the best by its points, or the program says how far from it it may be. Wishes that exclude one another
/// are named.
#[derive(Debug, Args)]
#[command(after_long_help = "\
Examples:
  panelwright layout my-job.toml --spaces 42
  panelwright layout my-job.toml --spaces 30 --lock 15=1 --keep-free 29,30
      the circuit from space 15 goes into space 1; 29 and 30 stay free
  panelwright layout my-job.toml --spaces 42 --lock 'new:car charger=5'
      a circuit that is added goes into space 5 and the one below
  panelwright layout my-job.toml --spaces 24 --panel sub --json
      for another program")]
pub(crate) struct LayoutArgs {
    /// A job file, or `-` for standard input.
    #[arg(value_name = "FILE")]
    file: PathBuf,

    /// Spaces of the new panel, in two columns.
    #[arg(long, value_name = "NUMBER", value_parser = clap::value_parser!(u16).range(2..=120))]
    spaces: u16,

    /// Panel whose circuits move, where there are several.
    #[arg(long, value_name = "PANEL")]
    panel: Option<String>,

    /// A circuit that has its place already: old space, new space; of a circuit that is added its name, `new:sauna=5`. Several:
    /// once more.
    #[arg(long, value_name = "OLD=NEW", value_parser = lock)]
    lock: Vec<(Origin, u16)>,

    /// New spaces to be kept free.
    #[arg(long, value_name = "SPACES", value_delimiter = ',')]
    keep_free: Vec<u16>,

    /// Places kept for later breakers of two poles.
    #[arg(long, value_name = "NUMBER", default_value_t = 1)]
    spare_pairs: u16,

    /// A place held for `generator`, `solar` or `surge`: alone the usual one, or with its spaces, `generator=2,4`.
    /// Several: once more.
    #[arg(long, value_name = "WHAT", value_parser = held)]
    hold: Vec<(HeldFor, Vec<u16>)>,

    /// Where the label of the new panel permits half-width breakers: `everywhere`, or its spaces, `17,18,19,20`. Circuits
    /// share a space where there are not spaces enough.
    #[arg(long, value_name = "WHERE", value_parser = half_width)]
    half_width: Option<HalfWidth>,

    /// Two circuits that share a space on half-width breakers, by their old spaces. Several: once more.
    #[arg(long, value_name = "OLD+OLD", value_parser = share)]
    share: Vec<(u16, u16)>,

    /// Columns of the new panel.
    #[arg(long, value_name = "NUMBER", default_value_t = 2, value_parser = clap::value_parser!(u8).range(1..=2))]
    columns: u8,

    /// The bus of the new panel is fed at the bottom.
    #[arg(long)]
    fed_below: bool,

    /// Print one of the layouts, 1 the proposed one, as the entry that says it was chosen, for the job file.
    #[arg(long, value_name = "NUMBER")]
    choose: Option<usize>,

    /// Largest sum of the ratings on one stab of the new panel, where its label states one, A.
    #[arg(long, value_name = "A")]
    stab_limit: Option<u16>,

    /// Edition that says how much of the cabinet may be filled. Left out: the adoption in the job file.
    #[arg(long, value_name = "YEAR")]
    edition: Option<Edition>,

    /// How much work a proof may take, in nodes of the search, for each layout.
    #[arg(long, value_name = "NODES", default_value_t = 4000)]
    effort: usize,
}

/// Reads `generator` or `generator=2,4`.
fn held(text: &str) -> Result<(HeldFor, Vec<u16>), String> {
    let (what, spaces) = text.split_once('=').map_or((text, ""), |(what, spaces)| (what, spaces));
    let held_for = match what.trim() {
        "generator" => HeldFor::Generator,
        "solar" => HeldFor::Solar,
        "surge" => HeldFor::Surge,
        other => return Err(format!("`{other}` is not held: write `generator`, `solar` or `surge`")),
    };
    let read = |part: &str| part.trim().parse::<u16>().map_err(|_| format!("`{part}` is no space"));
    let spaces = spaces.split(',').filter(|part| !part.trim().is_empty()).map(read);
    Ok((held_for, spaces.collect::<Result<_, _>>()?))
}

/// Reads `everywhere` or `17,18`.
fn half_width(text: &str) -> Result<HalfWidth, String> {
    if text == "everywhere" {
        return Ok(HalfWidth::Everywhere);
    }
    let read = |part: &str| part.trim().parse::<u16>().map_err(|_| format!("`{part}` is no space"));
    Ok(HalfWidth::In(text.split(',').map(read).collect::<Result<_, _>>()?))
}

/// Reads `15+17`.
fn share(text: &str) -> Result<(u16, u16), String> {
    let read =
        |part: &str| part.trim().parse::<u16>().map_err(|_| format!("`{part}` is no space: write `15+17`"));
    let (one, other) =
        text.split_once('+').ok_or_else(|| format!("`{text}` is no pair of spaces: write `15+17`"))?;
    Ok((read(one)?, read(other)?))
}

/// Reads `15=1` or `new:sauna=5`.
fn lock(text: &str) -> Result<(Origin, u16), String> {
    let (from, to) =
        text.rsplit_once('=').ok_or_else(|| format!("`{text}` is no pair of spaces: write `15=1`"))?;
    let from = from.parse().map_err(|why| format!("{why}: write `15=1` or `new:name=1`"))?;
    let to = to.trim().parse().map_err(|_| format!("`{to}` is no space: write `15=1`"))?;
    Ok((from, to))
}

pub(crate) fn run(args: &LayoutArgs, global: &Global, screen: &mut Screen) -> Result<Ending, Failure> {
    let mut new = LayoutAsk::of_spaces(args.spaces).new;
    new.n_columns = args.columns;
    new.fed_at = Some(if args.fed_below { PanelEnd::Bottom } else { PanelEnd::Top });
    new.half_width = args.half_width.clone().unwrap_or(HalfWidth::Nowhere);
    new.stab_limit = args.stab_limit.map(|limit| Current::from_a(f64::from(limit)));
    let ask = LayoutAsk {
        panel: args.panel.clone(),
        new,
        locks: args.lock.clone(),
        hold: args.hold.clone(),
        share: args.share.clone(),
        reserved: args.keep_free.iter().copied().collect::<BTreeSet<u16>>(),
        spare_pairs: args.spare_pairs,
        max_nodes: args.effort,
    };
    with_job(&args.file, global, screen, |job| match study::lay_out_panel(job, &ask) {
        Ok(laid_out) => {
            let number = args.choose.unwrap_or(1);
            let Some(chosen) = study::chosen(&laid_out, number.saturating_sub(1), "") else {
                eprintln!("panelwright: there are {} layouts, no number {number}", laid_out.plans.len());
                return Ok(Err(Ending::InputErrors));
            };
            if args.choose.is_some() {
                let text = record::arrangement_entry(&chosen).trim_start().to_owned();
                return Ok(Ok(Told { text, json: serde_json::json!(chosen) }));
            }
            let mut text = head("LAYOUT", job);
            text.push_str(&seats::text(&laid_out));
            let code = Book::built_in();
            let adopted = Chosen::of(job, &code, args.edition, day(global)).ok();
            let law = adopted.as_ref().and_then(|adopted| adopted.law(&code).ok());
            text.push_str("\nFILL OF THE CABINET WITH THE PROPOSED ONE\n");
            for words in study::fill_words(&laid_out, 0, law.as_ref()) {
                text.push_str(&wrapped(&words, "  "));
            }
            text.push_str(&seats::forecasts(&study::forecasts(job, &laid_out, 0)));
            text.push_str("\nNOT KNOWN\n");
            laid_out.notes.iter().for_each(|note| text.push_str(&wrapped(note, "  ")));
            text.push_str(&foot());
            Ok(Ok(Told { text, json: seats::json(&laid_out) }))
        }
        Err(error) => {
            eprintln!("panelwright: {error}");
            let unproven = matches!(error, CannotLayOut::Layout(study::NoLayout::Unknown));
            if unproven {
                eprintln!("             try a higher --effort");
            }
            Ok(Err(Ending::InputErrors))
        }
    })
}
