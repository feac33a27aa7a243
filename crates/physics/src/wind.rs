//! Rise of a part cooled by wind, brought back to still air, and the refusal indoors.

use crate::between::Between;
use crate::range::{OutOfRange, within};
use crate::table;

/// Where the reading was taken.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Surroundings {
    /// Inside a building.
    Indoors,
    /// In the open.
    Outdoors,
}

/// Why no correction is given.
#[derive(Debug, Clone, Copy, PartialEq, thiserror::Error)]
pub enum WindError {
    /// Indoors the air can be stilled.
    #[error("indoors no wind correction is made: the moving air can be stopped")]
    Indoors,
    /// Outside a range.
    #[error(transparent)]
    Range(#[from] OutOfRange),
}

impl WindError {
    /// What to do next.
    pub const fn hint(&self) -> &'static str {
        match self {
            WindError::Indoors => "remove the fan, close the draught, wait, and read again",
            WindError::Range(_) => "wait for less wind",
        }
    }
}

#[derive(Debug, serde::Deserialize)]
struct Row {
    series: String,
    speed_m_s: f64,
    factor: f64,
}

fn all_rows() -> Vec<Row> {
    table::rows(include_str!("../data/wind.csv"))
}

fn interpolated(rows: &[Row], series: &str, speed: f64) -> Option<f64> {
    let points: Vec<&Row> = rows.iter().filter(|row| row.series == series).collect();
    points.windows(2).find(|pair| pair[0].speed_m_s <= speed && speed <= pair[1].speed_m_s).map(|pair| {
        let share = (speed - pair[0].speed_m_s) / (pair[1].speed_m_s - pair[0].speed_m_s);
        pair[0].factor + share * (pair[1].factor - pair[0].factor)
    })
}

/// Ratio of the rise in still air to the rise in wind, from one part measured in both.
///
/// ```text
/// k = (T_still − T_air)/(T_wind − T_air)
/// ```
///
/// | symbol  | here        | meaning                | unit |
/// |---------|-------------|------------------------|------|
/// | T_still | `still_c`   | part in still air      | °C   |
/// | T_wind  | `wind_c`    | same part in wind      | °C   |
/// | T_air   | `air_c`     | air                    | °C   |
///
/// - **Source:** definition.
/// - **Valid:** the part warmer than the air both times, same load.
/// - **Checked:** `tests/reference/tests/physics/wind.rs`.
pub fn rise_ratio(still_c: f64, wind_c: f64, air_c: f64) -> Result<f64, OutOfRange> {
    let air = within("air", air_c, "°C", (-50.0, 60.0), "weather")?;
    let wind = within("part in wind", wind_c, "°C", (air + 0.1, 1200.0), "warmer than the air")?;
    let still = within("part in still air", still_c, "°C", (air + 0.1, 1200.0), "warmer than the air")?;
    Ok((still - air) / (wind - air))
}

/// Rise in still air of a part that was read in wind, K.
///
/// ```text
/// ΔT_still = k(v)·ΔT_wind
/// ```
///
/// | symbol  | here         | meaning                               | unit |
/// |---------|--------------|---------------------------------------|------|
/// | ΔT_wind | `rise_k`     | rise over air in wind                 | K    |
/// | v       | `wind_m_s`   | wind at the part                      | m/s  |
/// | k       | `data/wind.csv` | factor, lowest and highest of two sources | – |
///
/// - **Source:** an instrument maker's page (three points) and a camera manual from memory; above 5 m/s they
///   disagree by a third, so an interval is given.
/// - **Valid:** outdoors, up to 6.7 m/s. Indoors the call is refused.
/// - **Checked:** `tests/reference/tests/physics/wind.rs`.
pub fn rise_in_still_air_k(
    rise_k: f64,
    wind_m_s: f64,
    surroundings: Surroundings,
) -> Result<Between<f64>, WindError> {
    if surroundings == Surroundings::Indoors {
        return Err(WindError::Indoors);
    }
    let rise = within("rise", rise_k, "K", (0.0, 1000.0), "solid parts of a panel")?;
    let speed = within("wind", wind_m_s, "m/s", (0.0, 6.7), "range common to both sources")?;
    let rows = all_rows();
    let [bench, manual] = ["bench", "manual"].map(|series| {
        interpolated(&rows, series, speed).expect("a test checks that both series span the range")
    });
    Ok(Between::spanning(bench * rise, manual * rise))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn both_series_span_the_range_and_grow() {
        for tenth in 0..=67 {
            let speed = f64::from(tenth) / 10.0;
            let both = rise_in_still_air_k(10.0, speed, Surroundings::Outdoors).unwrap();
            assert!(10.0 <= both.low && both.low <= both.high, "{speed}");
        }
        assert!(rise_in_still_air_k(10.0, 7.5, Surroundings::Outdoors).is_err());
        assert_eq!(rise_in_still_air_k(10.0, 2.0, Surroundings::Indoors), Err(WindError::Indoors));
    }
}
