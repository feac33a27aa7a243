//! Resistance of a joint from the spots where metal touches metal.

use crate::range::{OutOfRange, within};
use model::Resistance;
use std::f64::consts::PI;

const SPOT_RADIUS_M: (f64, f64) = (4e-7, 5e-3);
const SPOT_WHOSE: &str = "ten times the electron path of 40 nm up to the size of a clip";

fn spot_radius_checked(a_m: f64) -> Result<f64, OutOfRange> {
    within("spot radius", a_m, "m", SPOT_RADIUS_M, SPOT_WHOSE)
}

fn resistivity_checked(rho_ohm_m: f64) -> Result<f64, OutOfRange> {
    within("resistivity", rho_ohm_m, "Ω·m", (1e-8, 1e-6), "metals of panels")
}

/// Constriction resistance of one round spot between unlike metals.
///
/// ```text
/// R = (ρ1 + ρ2)/(4a);   same metal: R = ρ/(2a)
/// ```
///
/// | symbol | here                   | meaning               | unit |
/// |--------|------------------------|-----------------------|------|
/// | ρ1, ρ2 | `rho1_ohm_m`, `rho2_ohm_m` | resistivities     | Ω·m  |
/// | a      | `a_m`                  | radius of the spot    | m    |
/// | R      | returned               | resistance            | Ω    |
///
/// - **Source:** same metal: Timsit, connector technical note, May 2001; unlike metals: Holm, *Electric
///   Contacts*, 4th ed. 1967, §3, from memory.
/// - **Valid:** clean metal; spot much larger than the electron path (about 40 nm in copper) and much smaller
///   than the body.
/// - **Checked:** `tests/reference/tests/physics/contact.rs`.
pub fn constriction_resistance(rho1_ohm_m: f64, rho2_ohm_m: f64, a_m: f64) -> Result<Resistance, OutOfRange> {
    let (rho1, rho2) = (resistivity_checked(rho1_ohm_m)?, resistivity_checked(rho2_ohm_m)?);
    let a = spot_radius_checked(a_m)?;
    Ok(Resistance::from_ohm((rho1 + rho2) / (4.0 * a)))
}

/// Constriction resistance of a cluster of equal spots.
///
/// ```text
/// R = ρ·[1/(2 n a) + 1/(2 r_H)]
/// ```
///
/// | symbol | here          | meaning                              | unit |
/// |--------|---------------|--------------------------------------|------|
/// | ρ      | `rho_ohm_m`   | resistivity, same metal on both sides | Ω·m |
/// | n      | `n_spots`     | number of spots                      | –    |
/// | a      | `a_m`         | radius of each                       | m    |
/// | r_H    | `cluster_m`   | radius of the cluster (Holm radius)  | m    |
///
/// - **Source:** Greenwood, Brit. J. Appl. Phys. 17 (1966) 1621, and Holm; from memory.
/// - **Valid:** equal spots, a roughly circular cluster that is larger than one spot.
/// - **Checked:** `tests/reference/tests/physics/contact.rs` (limits only; no published number was found).
pub fn cluster_resistance(
    rho_ohm_m: f64,
    n_spots: u32,
    a_m: f64,
    cluster_m: f64,
) -> Result<Resistance, OutOfRange> {
    let (rho, a) = (resistivity_checked(rho_ohm_m)?, spot_radius_checked(a_m)?);
    let n = within("number of spots", f64::from(n_spots), "", (1.0, 1e6), "at least one spot must touch")?;
    let r_h =
        within("cluster radius", cluster_m, "m", (a, 0.05), "Greenwood 1966: cluster larger than a spot")?;
    Ok(Resistance::from_ohm(rho * (1.0 / (2.0 * n * a) + 1.0 / (2.0 * r_h))))
}

/// Resistance of a thin uniform film over the spots.
///
/// ```text
/// R_f = σ_f/(n π a²)
/// ```
///
/// | symbol | here          | meaning                    | unit  |
/// |--------|---------------|----------------------------|-------|
/// | σ_f    | `sigma_ohm_m2` | resistance of unit area of film | Ω·m² |
/// | n      | `n_spots`     | number of spots            | –     |
/// | a      | `a_m`         | radius of each             | m     |
///
/// - **Source:** Holm, *Electric Contacts*, 4th ed. 1967; from memory.
/// - **Valid:** thin uniform film (tunnel film); a broken film has metal in parallel.
/// - **Checked:** `tests/reference/tests/physics/contact.rs` (limits only; no published number was found).
pub fn film_resistance(sigma_ohm_m2: f64, n_spots: u32, a_m: f64) -> Result<Resistance, OutOfRange> {
    let sigma = within("film resistance", sigma_ohm_m2, "Ω·m²", (0.0, 1e-6), "thin films")?;
    let n = within("number of spots", f64::from(n_spots), "", (1.0, 1e6), "at least one spot must touch")?;
    let a = spot_radius_checked(a_m)?;
    Ok(Resistance::from_ohm(sigma / (n * PI * a * a)))
}

/// Radius of one spot pressed into soft metal by a force.
///
/// ```text
/// F = ξ H π a²
/// ```
///
/// | symbol | here          | meaning                          | unit |
/// |--------|---------------|----------------------------------|------|
/// | F      | `force_n`     | force                            | N    |
/// | ξ      | `xi`          | share of full plastic pressure   | –    |
/// | H      | `hardness_pa` | hardness of the softer metal     | Pa   |
/// | a      | returned      | radius                           | m    |
///
/// - **Source:** Holm, *Electric Contacts*, 4th ed. 1967; from memory.
/// - **Valid:** clean, plastic contact, 0.2 < ξ ≤ 1, while the force grows. While it falls, the spot keeps its
///   size until about a third of the force is left (Mroczkowski 2012), so a low resistance does not prove the
///   force of the clip.
/// - **Checked:** `tests/reference/tests/physics/contact.rs`.
pub fn spot_radius_m(force_n: f64, hardness_pa: f64, xi: f64) -> Result<f64, OutOfRange> {
    let f = within("force", force_n, "N", (1e-3, 1e3), "clips and screws of panels")?;
    let h = within("hardness", hardness_pa, "Pa", (1e7, 3e9), "Holm, appendix X: tin to nickel")?;
    let xi = within("ξ", xi, "", (0.2, 1.0), "Holm 1967: plastic contact")?;
    Ok((f / (xi * h * PI)).sqrt())
}

/// Resistance of a single spot under a force.
///
/// ```text
/// R = (ρ/2)·√(π ξ H/F)
/// ```
///
/// | symbol | here          | meaning                        | unit |
/// |--------|---------------|--------------------------------|------|
/// | ρ      | `rho_ohm_m`   | resistivity                    | Ω·m  |
/// | ξ      | `xi`          | share of full plastic pressure | –    |
/// | H      | `hardness_pa` | hardness                       | Pa   |
/// | F      | `force_n`     | force                          | N    |
///
/// - **Source:** Holm, *Electric Contacts*, 4th ed. 1967; from memory. The two jaws of a clip act in parallel.
/// - **Valid:** as [`spot_radius_m`].
/// - **Checked:** `tests/reference/tests/physics/contact.rs`.
pub fn resistance_under_force(
    rho_ohm_m: f64,
    force_n: f64,
    hardness_pa: f64,
    xi: f64,
) -> Result<Resistance, OutOfRange> {
    let rho = resistivity_checked(rho_ohm_m)?;
    spot_radius_m(force_n, hardness_pa, xi)?;
    Ok(Resistance::from_ohm(rho / 2.0 * (PI * xi * hardness_pa / force_n).sqrt()))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn many_spots_in_a_wide_cluster_share_the_current() {
        let one = constriction_resistance(2.8e-8, 2.8e-8, 1e-4).unwrap().ohm();
        let ten = cluster_resistance(2.8e-8, 10, 1e-4, 5e-2).unwrap().ohm();
        assert!(ten < one / 9.0 && one / 10.0 < ten);
        assert!(film_resistance(0.0, 3, 1e-4).unwrap().ohm() < 1e-18);
    }

    #[test]
    fn refuses_what_is_no_contact() {
        assert!(constriction_resistance(2.8e-8, 2.8e-8, 1e-8).is_err());
        assert!(cluster_resistance(2.8e-8, 0, 1e-4, 1e-3).is_err());
        assert!(cluster_resistance(2.8e-8, 2, 1e-4, 1e-5).is_err());
        assert!(spot_radius_m(20.0, 0.3e9, 1.5).is_err());
    }
}
