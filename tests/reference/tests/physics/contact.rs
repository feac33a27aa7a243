//! Electric contacts: the voltage–temperature relation and its refusals, melting, constriction.

use model::{Current, Resistance, Temperature, Voltage};
use physics::contact::drop::{JointDrop, Path, Refusal};
use physics::contact::holm::{
    cluster_resistance, constriction_resistance, film_resistance, resistance_under_force, spot_radius_m,
};
use physics::contact::ladder::{Step, step};
use physics::contact::melting::{melting_need, melting_voltage, softening_voltage};
use physics::contact::voltage_temperature::{hot_spot, hottest_temperature, temperature_along, voltage_for};
use physics::material::{Metal, material};
use reference::{assert_printed, assert_printed_within, assert_within};

const ROOM: Temperature = Temperature::from_k(300.0);

fn volt(v: f64) -> Voltage {
    Voltage::from_v(v)
}

/// A1. Source: Holm's relation with L = 2.44e-8 V²/K² as in a public finite-element example.
#[test]
fn val_hottest_spot_at_100_mv() {
    let t = hottest_temperature(ROOM, volt(0.100)).expect("metallic");
    assert_printed("438.7", t.k());
    assert_within(165.6, t.c(), 0.1, "the source's rounding of 438.7 K");
}

/// A2. Source: published melting voltage of tin 0.13 V (test file of a public constants collection after Holm, 4th
/// ed.); melting point ITS-90 table 1.
#[test]
fn val_melting_voltage_of_tin() {
    let v = melting_voltage(Metal::Tin, ROOM).expect("solid body").v();
    assert_printed("0.13", v);
    assert_within(0.1269, v, 0.00005, "derived: printed digits of the hand computation");
}

/// A3. Source: 0.43 V in Holm, appendix X, value from memory; melting point ITS-90 table 1. 5 % for the scatter of
/// the Lorenz number.
#[test]
fn val_melting_voltage_of_copper() {
    let v = melting_voltage(Metal::Copper, ROOM).expect("solid body").v();
    assert_printed_within("0.43", v, 0.05 * 0.43, "Lorenz number differs from metal to metal by ±6 % in V");
    assert_within(0.4137, v, 0.0001, "derived: hand computation");
}

/// Source: Holm, appendix X, values from memory (tin's from a public file). Aluminium 8 %, silver 3 %, iron 8 %;
/// zinc and nickel differ by up to 20 %, which the source of the relation says of nickel.
#[test]
fn val_melting_voltages_of_other_metals() {
    for (metal, allowance) in [
        (Metal::Aluminium1350, 0.08),
        (Metal::Silver, 0.03),
        (Metal::Steel, 0.08),
        (Metal::Zinc, 0.16),
        (Metal::Nickel, 0.19),
    ] {
        let printed = material(metal).melting_voltage_printed_v.expect("in the table").value;
        let ours = melting_voltage(metal, ROOM).expect("solid body").v();
        assert_within(1.0, ours / printed, allowance, "Lorenz number of the metal; value from memory");
    }
}

/// Source: softening voltages of Holm, appendix X, from memory; 20 % because softening has no sharp temperature.
#[test]
fn val_softening_voltages() {
    for metal in [Metal::Tin, Metal::Zinc, Metal::Aluminium1350, Metal::Silver, Metal::Copper, Metal::Steel] {
        let printed = material(metal).softening_voltage_printed_v.expect("in the table").value;
        let ours = softening_voltage(metal, ROOM).expect("solid body").v();
        assert_within(1.0, ours / printed, 0.20, "softening temperature is not sharp");
    }
}

/// A4. Source: derived from Holm's relation, V_rms to √2·V_rms.
#[test]
fn val_alternating_joint_of_60_mv_as_an_interval() {
    let drop = JointDrop::between_probes(Path::OneJoint, Voltage::from_mv(60.0)).expect("metallic");
    let spot = hot_spot(Temperature::from_c(60.0), drop).expect("solid body");
    assert_within(111.4, spot.spot.low.c(), 0.2, "list of checks");
    assert_within(156.7, spot.spot.high.c(), 0.2, "list of checks");
    assert!(spot.with_scatter.low < spot.spot.low && spot.spot.high < spot.with_scatter.high);
    assert!(spot.is_upper_bound, "the metal between the probes is still in the reading");
}

/// A5. Source: derived, Holm's plastic contact: aluminium 2.82e-8 Ω·m, 0.3 GPa, 20 N.
#[test]
fn val_single_spot_in_aluminium_under_20_n() {
    let a = spot_radius_m(20.0, 0.3e9, 1.0).expect("plastic");
    assert_printed("145.7", a * 1e6);
    let r = resistance_under_force(2.82e-8, 20.0, 0.3e9, 1.0).expect("plastic").ohm();
    assert_printed("96.8", r * 1e6);
    let same = constriction_resistance(2.82e-8, 2.82e-8, a).expect("a spot").ohm();
    assert_within(1.0, same / r, 1e-12, "two forms of one law");
    let weak = resistance_under_force(2.82e-8, 2.0, 0.3e9, 1.0).expect("plastic").ohm();
    assert_printed("306", weak * 1e6);
}

/// Source: limits of the cluster formula: one spot adds its own constriction and the cluster's; many spots leave
/// the cluster's alone. Film resistance falls with the area.
#[test]
fn verif_cluster_and_film_limits() {
    let many = cluster_resistance(2.8e-8, 1_000_000, 1e-6, 5e-3).expect("a cluster").ohm();
    assert_within(1.0, many / (2.8e-8 / (2.0 * 5e-3)), 0.01, "the spots' own part vanishes");
    let ratio = film_resistance(1e-12, 1, 1e-4).expect("film").ohm()
        / film_resistance(1e-12, 4, 1e-4).expect("film").ohm();
    assert_within(4.0, ratio, 1e-12, "four times the area");
}

/// Source: inverse of the relation.
#[test]
fn verif_voltage_and_temperature_are_inverse() {
    for tenth in 1..=45 {
        let v = f64::from(tenth) / 100.0;
        for body in [260.0, 300.0, 360.0, 500.0] {
            let body = Temperature::from_k(body);
            let t = hottest_temperature(body, volt(v)).expect("metallic");
            assert_within(v, voltage_for(body, t).expect("hotter than the body").v(), 1e-12, "rounding");
        }
    }
}

/// Source: the profile along the constriction is highest in the middle and ends at the body's temperature.
#[test]
fn verif_hottest_plane_is_half_way() {
    let v = volt(0.2);
    let at = |phi: f64| temperature_along(ROOM, v, volt(phi)).expect("inside").k();
    let top = hottest_temperature(ROOM, v).expect("metallic").k();
    assert_within(top, at(0.1), 1e-9, "rounding");
    assert_within(300.0, at(0.0), 1e-9, "end at the body");
    assert_within(at(0.05), at(0.15), 1e-9, "symmetry");
}

/// A13. Source: NBSIR 76-1011 (Meese & Beausoliel 1976), abstract: glowing connection up to 35 W at 15 A; voltage
/// and resistance derived from it. The relation must refuse it.
#[test]
fn val_glowing_connection_is_refused() {
    let (heat_w, current) = (35.0, Current::from_a(15.0));
    let v = heat_w / current.a();
    assert_printed("2.33", v);
    assert_printed("0.156", v / current.a());
    let refused = JointDrop::across(Resistance::from_ohm(0.156), current);
    assert!(matches!(refused, Err(Refusal::NotMetallic { rms_v }) if 2.3 < rms_v));
    let small = JointDrop::between_probes(Path::OneJoint, volt(5.0 / 0.8));
    assert!(matches!(small, Err(Refusal::NotMetallic { .. })), "the glow of 5 W at 0.8 A");
}

/// Source: maker's answer for a 15 A UL breaker, 35 000 µΩ a pole: 525 mV at rating. Read as a joint it "would
/// give" 1434 °C; read as a pole it is refused, as one joint too.
#[test]
fn val_healthy_pole_is_refused_as_a_joint() {
    let pole = volt(15.0 * 0.035);
    assert_eq!(JointDrop::between_probes(Path::WholePole, pole), Err(Refusal::WholePole));
    assert!(matches!(JointDrop::between_probes(Path::OneJoint, pole), Err(Refusal::NotMetallic { .. })));
    // What a program without the refusal would print.
    let absurd = hottest_temperature(ROOM, pole).expect("below the peak limit").c();
    assert_printed("1434", absurd);
}

/// Source: derived; melted aluminium needs 0.28 V peak (0.20 V rms) across the clip, about 8 W at 40 A.
#[test]
fn val_melted_aluminium_needs_about_8_w_at_40_a() {
    let need = melting_need(Metal::Aluminium1350, ROOM, Current::from_a(40.0)).expect("solid body");
    assert!(need.joint_rms.low.v() < 0.20 && 0.20 < need.joint_rms.high.v());
    assert!(need.heat.holds(model::Power::from_w(8.0)));
    let peak = melting_voltage(Metal::Aluminium1350, ROOM).expect("solid body").v();
    assert_printed("0.276", peak);
    assert_printed("0.195", peak / std::f64::consts::SQRT_2);
}

/// Source: derived ladder of joint voltages, rounded to 10 mV; its steps must agree with the melting voltages
/// themselves within 3 %.
#[test]
fn verif_ladder_agrees_with_melting_voltages() {
    let rms = |metal| melting_voltage(metal, ROOM).expect("solid body").v() / std::f64::consts::SQRT_2;
    assert_eq!(step(volt(1.03 * rms(Metal::Tin))), Some(Step::TinMelts));
    assert_eq!(step(volt(0.99 * rms(Metal::Tin))), Some(Step::TinSoftens));
    assert_eq!(step(volt(1.03 * rms(Metal::Aluminium1350))), Some(Step::AluminiumMelts));
    assert_eq!(step(volt(1.03 * rms(Metal::Copper))), Some(Step::CopperMelts));
    assert_eq!(step(volt(0.002)), Some(Step::Normal));
    assert_eq!(step(volt(0.45)), Some(Step::NotMetallic));
    assert_eq!(step(volt(f64::NAN)), None);
}
