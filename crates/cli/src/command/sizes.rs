//! `panelwright sizes`.

use super::code::{self, CodeArgs, Told, foot, head};
use crate::args::Global;
use crate::failure::{Ending, Failure};
use crate::screen::Screen;
use crate::show::code::{questions, size, wrapped};
use clap::{Args, ValueEnum};
use model::conductor::Metal;
use std::path::PathBuf;
use study::code::{Column, Wish};

/// Say every size that the load leads to: conductors, grounding, breakers, voltage drop, fault current, torque.
///
/// For the rating of the service in the job file, planned or present, or another one. Each with its working; what is not
/// known is asked by name.
#[derive(Debug, Args)]
#[command(after_long_help = "\
Examples:
  panelwright sizes my-job.toml
  panelwright sizes my-job.toml --rating 200 --metal aluminium
  panelwright sizes my-job.toml --ambient-c 41 --summary
  panelwright sizes my-job.toml --box 12x8 --box-grounds 12x4 --box-volume 42
      is a box of 42 in³ large enough for four cables lengthened in it?")]
pub(crate) struct SizesArgs {
    /// A job file, or `-` for standard input.
    #[arg(value_name = "FILE")]
    file: PathBuf,

    #[command(flatten)]
    code: CodeArgs,

    /// Rating of the service, A.
    #[arg(long, value_name = "A")]
    rating: Option<f64>,

    /// Metal of new conductors. Left out: both.
    #[arg(long, value_enum)]
    metal: Option<MetalWord>,

    /// Air around the conductors, °C. Left out: 30.
    #[arg(long, value_name = "CELSIUS", allow_negative_numbers = true)]
    ambient_c: Option<f64>,

    /// Current-carrying conductors together. Left out: up to three.
    #[arg(long, value_name = "NUMBER")]
    conductors: Option<u32>,

    /// Length of the service conductors, one way, ft.
    #[arg(long, value_name = "FEET")]
    length_ft: Option<f64>,

    /// Temperature that the terminals are marked for. Left out: 75 °C for the service, not marked for small circuits.
    #[arg(long, value_enum)]
    terminals: Option<Celsius>,

    /// Interrupting rating of the main as marked, A.
    #[arg(long, value_name = "A")]
    interrupting: Option<f64>,

    /// Wiring space of the cabinet at its fullest cross-section, conductors and splices in it, in².
    #[arg(long, num_args = 3, value_names = ["SPACE", "CONDUCTORS", "SPLICES"])]
    fill: Option<Vec<f64>>,

    /// Conductors that end or are spliced in a box, size and number: `12x4,14x2`.
    #[arg(long = "box", value_name = "SIZExNUMBER")]
    box_conductors: Option<String>,

    /// Equipment grounds in that box: the largest size, and how many in all.
    #[arg(long, value_name = "SIZExNUMBER", requires = "box_conductors")]
    box_grounds: Option<String>,

    /// That box has clamps inside.
    #[arg(long, requires = "box_conductors")]
    box_clamps: bool,

    /// Volume of that box as marked, in³.
    #[arg(long, value_name = "IN3", requires = "box_conductors")]
    box_volume: Option<f64>,

    /// Without the workings.
    #[arg(long)]
    summary: bool,
}

/// A metal.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
enum MetalWord {
    /// Copper.
    Copper,
    /// Aluminium.
    #[value(alias = "aluminum")]
    Aluminium,
}

/// A temperature of terminals.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
enum Celsius {
    /// 60 °C.
    #[value(name = "60")]
    C60,
    /// 75 °C.
    #[value(name = "75")]
    C75,
    /// 90 °C.
    #[value(name = "90")]
    C90,
}

impl SizesArgs {
    fn wish(&self) -> Result<Wish, String> {
        let contents = |conductors: &String| {
            let grounds = self.box_grounds.as_deref().unwrap_or_default();
            study::code::box_contents(conductors, grounds, self.box_clamps)
                .map(|contents| (contents, self.box_volume))
        };
        Ok(Wish {
            rating_a: self.rating,
            metal: self.metal.map(|metal| match metal {
                MetalWord::Copper => Metal::Copper,
                MetalWord::Aluminium => Metal::Aluminium,
            }),
            ambient_c: self.ambient_c,
            n_carrying: self.conductors,
            length_ft: self.length_ft,
            insulation: None,
            terminals: self.terminals.map(|celsius| match celsius {
                Celsius::C60 => Column::C60,
                Celsius::C75 => Column::C75,
                Celsius::C90 => Column::C90,
            }),
            interrupting_a: self.interrupting,
            fill_in2: self.fill.as_deref().and_then(|fill| match fill {
                [space, wires, splices] => Some((*space, *wires, *splices)),
                _ => None,
            }),
            splice_box: self.box_conductors.as_ref().map(contents).transpose()?,
        })
    }
}

pub(crate) fn run(args: &SizesArgs, global: &Global, screen: &mut Screen) -> Result<Ending, Failure> {
    let wish = match args.wish() {
        Ok(wish) => wish,
        Err(error) => {
            eprintln!("panelwright: {error}");
            return Ok(Ending::InputErrors);
        }
    };
    code::run(&args.file, &args.code, global, screen, |job, law| {
        let sizes = study::code::sizes(law, job, &wish);
        let mut text = head("SIZES", job);
        text.push_str(&wrapped(&format!("By {}", sizes.law), ""));
        text.push('\n');
        for line in &sizes.lines {
            text.push_str(&size(line, !args.summary));
        }
        if !sizes.questions.is_empty() {
            text.push_str("\nTO BE ASKED\n");
            text.push_str(&questions(&sizes.questions).concat());
        }
        text.push_str(&foot());
        Ok(Told { text, json: study::code::json::sizes(&sizes) })
    })
}
