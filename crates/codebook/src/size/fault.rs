//! Available fault current as an interval, and whether an interrupting rating is enough.

use super::drop::{Raceway, impedance};
use super::result::{NoSize, Sized, within};
use crate::law::Law;
use crate::load::sheet_parts::{input, ruled, working};
use crate::rule;
use model::conductor::{Metal, WireSize};
use model::{Cite, Standing};

/// Temperature coefficient of resistance at 75 °C, 1/K (notes of the resistance table, from memory).
const ALPHA_CU: f64 = 0.00323;
const ALPHA_AL: f64 = 0.00330;
/// A winter's day for the cold conductor and the table's own temperature for the hot one, °C.
const COLD_C: f64 = -20.0;
const HOT_C: f64 = 75.0;
/// Tolerance of a transformer's impedance (common practice).
const TOLERANCE: f64 = 0.1;
/// A fault from leg to neutral at a centre-tapped transformer against leg to leg: published as about 1.5, in theory up
/// to 1.67; the larger is taken.
const LEG_TO_NEUTRAL: f64 = 1.67;

/// What feeds the service.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Supply {
    /// The utility's own figure at the service point, A, as it told it.
    Told {
        /// Least.
        least_a: f64,
        /// Most.
        most_a: f64,
    },
    /// A single-phase transformer with a 120/240 V secondary.
    Transformer {
        /// Rating, kVA.
        kva: f64,
        /// Impedance, percent; the smallest that is believable if the plate was not read.
        impedance_least_percent: f64,
        /// The largest.
        impedance_most_percent: f64,
    },
}

/// A run of conductors on the way.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Run {
    /// Size.
    pub size: WireSize,
    /// Metal.
    pub metal: Metal,
    /// Length, one way, ft.
    pub length_ft: f64,
    /// Conductors in parallel.
    pub n_parallel: u32,
    /// Raceway.
    pub raceway: Raceway,
}

/// Fault current that can be there.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Available {
    /// Least, A.
    pub least_a: f64,
    /// Most, A.
    pub most_a: f64,
}

/// Whether an interrupting rating is enough.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Interrupting {
    /// Above the most that can be there.
    Enough,
    /// Below the least that can be there.
    TooLow,
    /// Between: ask the utility, or take more.
    NotTold,
}

/// The fault current at the end of the runs, for faults from leg to leg and from leg to neutral.
pub fn available(law: &Law<'_>, supply: Supply, runs: &[Run]) -> Result<Sized<Available>, NoSize> {
    let tables = law.word(rule::CONDUCTOR_RESISTANCE)?;
    let (volts, half) = (240.0, 120.0);
    // Impedance between the legs: least and most, with its share of a leg-to-neutral fault.
    let (least_ohm, most_ohm, told) = match supply {
        Supply::Told { least_a, most_a } => {
            within("fault current", least_a, "A", (100.0, 200_000.0))?;
            within("fault current", most_a, "A", (least_a, 200_000.0))?;
            (volts / most_a, volts / least_a, format!("{least_a:.0} to {most_a:.0} A, the utility's figure"))
        }
        Supply::Transformer { kva, impedance_least_percent: low, impedance_most_percent: high } => {
            within("transformer", kva, "kVA", (5.0, 500.0))?;
            within("impedance", low, "%", (0.5, 10.0))?;
            within("impedance", high, "%", (low, 10.0))?;
            let base = volts * volts / (kva * 1000.0);
            let (low_ohm, high_ohm) =
                (base * low / 100.0 * (1.0 - TOLERANCE), base * high / 100.0 * (1.0 + TOLERANCE));
            (low_ohm, high_ohm, format!("{kva} kVA, {low} to {high} % ± {:.0} %", TOLERANCE * 100.0))
        }
    };
    let (mut cold_r, mut hot_r, mut x_sum) = (0.0, 0.0, 0.0);
    let mut inputs = vec![input("Z_s", "supply", told, "utility or plate; an unlimited primary")];
    for run in runs {
        within("length", run.length_ft, "ft", (0.0, 5000.0))?;
        let n = within("conductors in parallel", f64::from(run.n_parallel), "", (1.0, 12.0))?;
        let (r, x) = impedance(law, run.size, run.metal, run.raceway)?;
        let alpha = if run.metal == Metal::Copper { ALPHA_CU } else { ALPHA_AL };
        let loop_kft = 2.0 * run.length_ft / 1000.0 / n;
        cold_r += r * (1.0 + alpha * (COLD_C - 75.0)) * loop_kft;
        hot_r += r * (1.0 + alpha * (HOT_C - 75.0)) * loop_kft;
        x_sum += x * loop_kft;
        inputs.push(ruled(
            "Z_c",
            &format!("{} × {}, {} ft", run.n_parallel, run.size, run.length_ft),
            format!("{r} + j{x} Ω/kft at 75 °C"),
            &tables,
        ));
    }
    // Most: the supply purely reactive, the conductors cold. Least: all magnitudes added, the conductors hot.
    let most = |e: f64, z: f64| e / libm::hypot(cold_r, z + x_sum);
    let legs = most(volts, least_ohm);
    let neutral_ohm = least_ohm * half / volts / LEG_TO_NEUTRAL;
    let neutral = match supply {
        Supply::Told { .. } if runs.is_empty() => legs,
        _ => most(half, neutral_ohm),
    };
    let most_a = if legs < neutral { neutral } else { legs };
    let least_a = volts / (most_ohm + libm::hypot(hot_r, x_sum));
    inputs.push(input("", "conductors cold, hot", format!("{COLD_C} °C, {HOT_C} °C"), "bounds taken here"));
    let told = working(
        "available fault current",
        "line terminals",
        "I_most = max(240/|Z_s + Z_c|, 120/|Z_s' + Z_c|) cold; I_least = 240/(|Z_s| + |Z_c|) hot",
        inputs,
        format!("{least_a:.0} to {most_a:.0} A"),
        "bolted faults on a single-phase 120/240 V supply; motors add nothing at a dwelling",
        Cite::new(
            "point-to-point method",
            "impedances added, bounds of angle and temperature taken here",
            Standing::Derived,
        ),
    );
    Ok(Sized::new(Available { least_a, most_a }, told))
}

/// Is an interrupting rating enough for what can be there?
pub fn interrupting(
    law: &Law<'_>,
    available: Available,
    rating_a: f64,
) -> Result<Sized<Interrupting>, NoSize> {
    within("interrupting rating", rating_a, "A", (1000.0, 300_000.0))?;
    let ruling = law.word(rule::INTERRUPTING)?;
    let verdict = if available.most_a <= rating_a {
        Interrupting::Enough
    } else if rating_a < available.least_a {
        Interrupting::TooLow
    } else {
        Interrupting::NotTold
    };
    let told = working(
        "interrupting rating",
        "line terminals",
        "I_rating ≥ I_available",
        vec![
            input("I_rating", "rating of the device", format!("{rating_a:.0} A"), "label"),
            input(
                "I_available",
                "fault current",
                format!("{:.0} to {:.0} A", available.least_a, available.most_a),
                "its own working",
            ),
        ],
        match verdict {
            Interrupting::Enough => "enough for the most that can be there",
            Interrupting::TooLow => "too low for the least that can be there",
            Interrupting::NotTold => "not told by what is known: ask the utility for its figure",
        }
        .to_owned(),
        "each device by itself; a series rating holds only for the tested and marked pair",
        ruling.cite(),
    );
    Ok(Sized::new(verdict, told))
}
