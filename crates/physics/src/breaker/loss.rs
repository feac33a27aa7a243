//! Heat and resistance of a sound breaker pole by rating.

use crate::cited::Cited;
use crate::range::{OutOfRange, within};
use crate::table::{self, Word};
use model::{Cite, Current, Power, Resistance, Standing};

#[derive(Debug, Clone, Copy, PartialEq, Eq, serde::Deserialize)]
enum Series {
    #[serde(rename = "iec60898_max")]
    Iec60898Max,
    #[serde(rename = "seen")]
    Seen,
}

#[derive(Debug, serde::Deserialize)]
struct Row {
    series: Series,
    rating_a: f64,
    loss_w: f64,
    standing: Word,
    source: String,
}

fn rows_of(series: Series) -> Vec<Row> {
    let mut rows: Vec<Row> = table::rows(include_str!("../../data/breaker_loss.csv"));
    rows.retain(|row| row.series == series);
    rows
}

/// Heat of one pole at its rating from its resistance.
///
/// ```text
/// P = I_n²·R
/// ```
///
/// | symbol | here         | meaning            | unit |
/// |--------|--------------|--------------------|------|
/// | I_n    | `current`    | current, rms       | A    |
/// | R      | `resistance` | line to load       | Ω    |
///
/// - **Source:** Joule's law.
/// - **Valid:** always; the resistance itself grows with temperature.
/// - **Checked:** `tests/reference/tests/physics/breaker.rs`.
pub const fn pole_heat(resistance: Resistance, current: Current) -> Power {
    Power::from_w(resistance.ohm() * current.a() * current.a())
}

/// Greatest heat of one pole at its rated current that IEC 60898-1 allows.
///
/// ```text
/// a table, between its ratings: P = P1·(I/I1)^[ln(P2/P1)/ln(I2/I1)]; below 10 A the value at 10 A
/// ```
///
/// | symbol | here     | meaning | unit |
/// |--------|----------|---------|------|
/// | I      | `rating` | rating  | A    |
///
/// - **Source:** IEC 60898-1, from memory: the result carries `Standing::FromMemory` and is no fact to print.
/// - **Valid:** 0.5 to 125 A. Breakers under UL 489 may lose more: a published 15 A pole makes 7.9 W.
/// - **Checked:** `tests/reference/tests/physics/breaker.rs`.
pub fn iec_max_loss(rating: Current) -> Result<Cited<Power>, OutOfRange> {
    let i = within("rating", rating.a(), "A", (0.5, 125.0), "IEC 60898-1 table of losses")?;
    let rows = rows_of(Series::Iec60898Max);
    let cite = rows[0].standing.cite(&rows[0].source);
    let pair = rows.windows(2).find(|pair| pair[0].rating_a <= i && i <= pair[1].rating_a);
    let loss_w = match pair {
        Some(pair) => {
            let slope =
                libm::log(pair[1].loss_w / pair[0].loss_w) / libm::log(pair[1].rating_a / pair[0].rating_a);
            pair[0].loss_w * libm::pow(i / pair[0].rating_a, slope)
        }
        None => rows[0].loss_w,
    };
    Ok(Cited::new(Power::from_w(loss_w), cite))
}

/// Prior of the resistance of a sound pole, log-normal.
#[derive(Debug, Clone, PartialEq)]
pub struct PoleResistance {
    /// Median.
    pub median: Resistance,
    /// Standard deviation of the natural logarithm between frames and makes: one draw for a panel.
    pub frame_ln_sd: f64,
    /// Standard deviation of the natural logarithm between poles of one frame: one draw a pole.
    pub pole_ln_sd: f64,
    /// Source.
    pub cite: Cite,
}

/// Prior of the resistance of a sound pole by rating.
///
/// ```text
/// R_median = P_max(I_n)/I_n²
/// ```
///
/// | symbol | here     | meaning                                    | unit |
/// |--------|----------|--------------------------------------------|------|
/// | I_n    | `rating` | rating                                     | A    |
/// | P_max  | [`iec_max_loss`], carried on as P ∝ I above 125 A | loss at the rating | W |
///
/// - **Source:** judgement. The three published figures are 0.42, 0.93 and 2.3 times the table (geometric mean
///   0.97, spread e^0.86 of three), so the median is the table itself and frames scatter by e^0.6. Poles of one
///   frame: e^0.15, so that one in a hundred lies 40 % off; NETA asks to look at 50 %.
/// - **Valid:** 0.5 to 400 A; a starting point for inference, never a limit.
/// - **Checked:** `tests/reference/tests/physics/breaker.rs`.
pub fn pole_resistance_prior(rating: Current) -> Result<PoleResistance, OutOfRange> {
    let i = within("rating", rating.a(), "A", (0.5, 400.0), "breakers of dwellings")?;
    let top_a = 125.0;
    let loss_w = if i <= top_a {
        iec_max_loss(rating)?.value.w()
    } else {
        iec_max_loss(Current::from_a(top_a))?.value.w() * i / top_a
    };
    Ok(PoleResistance {
        median: Resistance::from_ohm(loss_w / (i * i)),
        frame_ln_sd: 0.6,
        pole_ln_sd: 0.15,
        cite: Cite::new(
            "",
            "centred on the loss table of IEC 60898-1 (from memory), spread from three published breakers",
            Standing::Judgement,
        ),
    })
}

/// Published figures of single breakers: rating and heat of a pole at it.
///
/// ```text
/// a table: data/breaker_loss.csv
/// ```
///
/// | symbol | here     | meaning                    | unit |
/// |--------|----------|----------------------------|------|
/// | –      | returned | rating, heat of one pole   | A, W |
///
/// - **Source:** a column of the table.
/// - **Valid:** the devices named there.
/// - **Checked:** `tests/reference/tests/physics/breaker.rs`.
pub fn published_losses() -> Vec<(Current, Cited<Power>)> {
    rows_of(Series::Seen)
        .into_iter()
        .map(|row| {
            let loss = Cited::new(Power::from_w(row.loss_w), row.standing.cite(&row.source));
            (Current::from_a(row.rating_a), loss)
        })
        .collect()
}
