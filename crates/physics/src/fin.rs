//! Heat that a bar or wire carries away from a joint.

use crate::range::{OutOfRange, positive, within};

/// Heat conductance of one long bar or wire leading away from a joint, W/K.
///
/// ```text
/// G = √(h p k A)
/// ```
///
/// | symbol | here                | meaning                                 | unit      |
/// |--------|---------------------|-----------------------------------------|-----------|
/// | h      | `film_w_m2k`        | film coefficient of its surface         | W/(m²·K)  |
/// | p      | `perimeter_m`       | perimeter                               | m         |
/// | k      | `conductivity_w_mk` | thermal conductivity                    | W/(m·K)   |
/// | A      | `area_m2`           | cross-section                           | m²        |
///
/// - **Source:** fin of infinite length, textbook of heat transfer.
/// - **Valid:** longer than two or three decay lengths √(kA/hp) (0.2–0.5 m for wires and bars of panels).
/// - **Checked:** `tests/reference/tests/physics/fin.rs`.
pub fn long_fin_w_k(
    film_w_m2k: f64,
    perimeter_m: f64,
    conductivity_w_mk: f64,
    area_m2: f64,
) -> Result<f64, OutOfRange> {
    let (h, p, k, a) = fin_checked(film_w_m2k, perimeter_m, conductivity_w_mk, area_m2)?;
    Ok((h * p * k * a).sqrt())
}

/// Heat conductance of a bar or wire of finite length with an insulated far end, W/K.
///
/// ```text
/// G = √(h p k A)·tanh(L·√[h p/(k A)])
/// ```
///
/// | symbol | here         | meaning | unit |
/// |--------|--------------|---------|------|
/// | L      | `length_m`   | length  | m    |
/// | others | as in [`long_fin_w_k`] | | |
///
/// - **Source:** fin with adiabatic tip, textbook of heat transfer.
/// - **Valid:** one-dimensional flow: thin against its length.
/// - **Checked:** `tests/reference/tests/physics/fin.rs` (limits: long fin, and h p L for a short one).
pub fn fin_w_k(
    film_w_m2k: f64,
    perimeter_m: f64,
    conductivity_w_mk: f64,
    area_m2: f64,
    length_m: f64,
) -> Result<f64, OutOfRange> {
    let (h, p, k, a) = fin_checked(film_w_m2k, perimeter_m, conductivity_w_mk, area_m2)?;
    let l = positive("length", length_m, "m")?;
    Ok((h * p * k * a).sqrt() * libm::tanh(l * (h * p / (k * a)).sqrt()))
}

fn fin_checked(h: f64, p: f64, k: f64, a: f64) -> Result<(f64, f64, f64, f64), OutOfRange> {
    Ok((
        within("film coefficient", h, "W/(m²·K)", (0.1, 100.0), "air")?,
        within("perimeter", p, "m", (1e-3, 1.0), "wires and bars of panels")?,
        within("conductivity", k, "W/(m·K)", (0.05, 500.0), "solids")?,
        within("cross-section", a, "m²", (1e-7, 1e-2), "wires and bars of panels")?,
    ))
}
