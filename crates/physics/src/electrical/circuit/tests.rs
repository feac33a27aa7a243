//! Small circuits with known answers, and circuits at random.

use super::*;
use proptest::prelude::*;

fn real(re: f64) -> Complex<f64> {
    Complex::new(re, 0.0)
}

fn resistor(ohm: f64) -> Branch {
    Branch::Impedance { ohm: real(ohm), emf_v: real(0.0) }
}

fn source(emf: f64, ohm: f64) -> Branch {
    Branch::Impedance { ohm: real(ohm), emf_v: real(emf) }
}

#[test]
fn divider() {
    let mut circuit = Circuit::new();
    let (top, middle) = (circuit.node(), circuit.node());
    circuit.connect(Circuit::REFERENCE, top, source(120.0, 0.0));
    let upper = circuit.connect(top, middle, resistor(10.0));
    circuit.connect(middle, Circuit::REFERENCE, resistor(20.0));
    let solution = circuit.solve().unwrap();
    assert!((solution.current(upper).re - 4.0).abs() < 1e-14);
    assert!((solution.voltage(middle).unwrap().re - 80.0).abs() < 1e-12);
    assert!((solution.voltage(top).unwrap().re - 120.0).abs() < 1e-12);
}

#[test]
fn bridge_of_five_resistors() {
    // Unbalanced bridge on 10 V; the two node equations are written out below.
    let mut circuit = Circuit::new();
    let (top, left, right) = (circuit.node(), circuit.node(), circuit.node());
    circuit.connect(Circuit::REFERENCE, top, source(10.0, 0.0));
    circuit.connect(top, left, resistor(1.0));
    circuit.connect(left, Circuit::REFERENCE, resistor(2.0));
    circuit.connect(top, right, resistor(2.0));
    circuit.connect(right, Circuit::REFERENCE, resistor(4.0));
    let across = circuit.connect(left, right, resistor(2.0));
    let solution = circuit.solve().unwrap();
    let (v1, v2) = (solution.voltage(left).unwrap().re, solution.voltage(right).unwrap().re);
    assert!((v1 * (1.0 + 0.5 + 0.5) - v2 * 0.5 - 10.0).abs() < 1e-12);
    assert!((v2 * (0.5 + 0.25 + 0.5) - v1 * 0.5 - 5.0).abs() < 1e-12);
    assert!((solution.current(across).re - (v1 - v2) / 2.0).abs() < 1e-12);
}

#[test]
fn given_current_needs_a_path() {
    let mut circuit = Circuit::new();
    let top = circuit.node();
    circuit.connect(Circuit::REFERENCE, top, Branch::Current(real(5.0)));
    assert_eq!(circuit.solve().unwrap_err(), CircuitError::CurrentWithoutPath { branch: 0 });
    circuit.connect(Circuit::REFERENCE, top, resistor(2.0));
    let solution = circuit.solve().unwrap();
    assert!((solution.voltage(top).unwrap().re - 10.0).abs() < 1e-12);
}

#[test]
fn loop_without_impedance_and_bad_values_are_refused() {
    let mut circuit = Circuit::new();
    let top = circuit.node();
    circuit.connect(Circuit::REFERENCE, top, source(120.0, 0.0));
    circuit.connect(Circuit::REFERENCE, top, source(119.0, 0.0));
    assert_eq!(circuit.solve().unwrap_err(), CircuitError::NoImpedance);
    for ohm in [-1.0, f64::NAN, f64::INFINITY] {
        let mut circuit = Circuit::new();
        let top = circuit.node();
        circuit.connect(Circuit::REFERENCE, top, resistor(ohm));
        assert_eq!(circuit.solve().unwrap_err(), CircuitError::BadValue { branch: 0 });
    }
}

#[test]
fn parts_that_hang_apart_have_no_voltage() {
    let mut circuit = Circuit::new();
    let (one, other) = (circuit.node(), circuit.node());
    let lost = circuit.connect(one, other, resistor(3.0));
    let solution = circuit.solve().unwrap();
    assert_eq!((solution.voltage(one), solution.current(lost)), (None, real(0.0)));
}

prop_compose! {
    /// A connected circuit: a ladder of joints of microohms to milliohms with loads and given currents at random.
    fn circuits()(
        rungs in prop::collection::vec((1e-6..1e-2f64, 1.0..500.0f64, -0.5..0.5f64, 0.0..30.0f64, any::<bool>()), 1..30),
        ties in prop::collection::vec((0usize..30, 0usize..30, 1e-6..1e3f64), 0..8),
        emf in 100.0..130.0f64,
        inner in 1e-4..0.5f64,
    ) -> Circuit {
        let mut circuit = Circuit::new();
        let first = circuit.node();
        circuit.connect(Circuit::REFERENCE, first, Branch::Impedance {
            ohm: Complex::new(inner, inner / 2.0), emf_v: real(emf),
        });
        let mut nodes = vec![first];
        for (joint, load, angle, current, given) in rungs {
            let next = circuit.node();
            let last = nodes[nodes.len() - 1];
            circuit.connect(last, next, resistor(joint));
            let branch = if given {
                Branch::Current(Complex::new(current, angle * current))
            } else {
                Branch::Impedance { ohm: Complex::new(load, angle * load), emf_v: real(0.0) }
            };
            circuit.connect(next, Circuit::REFERENCE, branch);
            nodes.push(next);
        }
        for (one, other, ohm) in ties {
            circuit.connect(nodes[one % nodes.len()], nodes[other % nodes.len()], resistor(ohm));
        }
        circuit
    }
}

proptest! {
    #[test]
    fn energy_and_currents_close(circuit in circuits()) {
        let solution = circuit.solve().unwrap();
        let (supplied, consumed) = solution.balance_w();
        prop_assert!((supplied - consumed).abs() <= 1e-9 * supplied.abs().max(1e-6), "{supplied} {consumed}");
        // Kirchhoff's two laws, node by node and branch by branch.
        let mut sum = vec![real(0.0); circuit.n_nodes()];
        let mut scale = vec![0.0f64; circuit.n_nodes()];
        for (idx, &(from, to, what)) in circuit.branches.iter().enumerate() {
            let current = solution.current(BranchIdx(idx));
            sum[from] -= current;
            sum[to] += current;
            for node in [from, to] {
                scale[node] += current.re.abs() + current.im.abs();
            }
            if let Branch::Impedance { ohm, emf_v } = what {
                let over = solution.voltages[from].unwrap() - solution.voltages[to].unwrap();
                let law = ohm * current - emf_v;
                prop_assert!((over - law).norm_sqr().sqrt() < 1e-8, "{idx}: {over} {law}");
            }
        }
        for (sum, scale) in sum.iter().zip(scale) {
            prop_assert!(sum.norm_sqr().sqrt() <= 1e-12 * scale.max(1e-9));
        }
    }

    #[test]
    fn twice_the_sources_give_twice_the_currents(circuit in circuits()) {
        let mut double = circuit.clone();
        for (_, _, branch) in &mut double.branches {
            match branch {
                Branch::Impedance { emf_v, .. } => *emf_v *= 2.0,
                Branch::Current(current) => *current *= 2.0,
            }
        }
        let (one, two) = (circuit.solve().unwrap(), double.solve().unwrap());
        for (a, b) in one.branch_a.iter().zip(&two.branch_a) {
            prop_assert!((a * 2.0 - b).norm_sqr().sqrt() <= 1e-9 * (1.0 + b.norm_sqr().sqrt()));
        }
    }
}
