//! The factorisation of the thermal hot loop against a general library.

use nalgebra::{DMatrix, DVector};
use physics::thermal::Ldl;

/// Repeatable numbers in [0, 1): a linear congruential generator (Knuth's MMIX constants, common practice).
fn dice(state: &mut u64) -> f64 {
    *state = state.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
    (*state >> 11) as f64 / (1u64 << 53) as f64
}

/// Source: dense LU of nalgebra 0.35 on 200 random networks of 2 to 120 nodes, each a tree with some loops and a hub, as a
/// panel is; the two may differ by rounding only, 1e-10 of the largest temperature.
#[test]
fn val_ldl_agrees_with_a_dense_solver() {
    let mut state = 2_026;
    let mut worst = 0.0_f64;
    for _ in 0..200 {
        let n = 2 + (dice(&mut state) * 118.0) as usize;
        let mut edges = Vec::new();
        for node in 1..n {
            edges.push((node, (dice(&mut state) * node as f64) as usize));
            if dice(&mut state) < 0.4 && node > 1 {
                edges.push((0, node));
            }
        }
        edges.sort_by_key(|&(a, b): &(usize, usize)| (a.min(b), a.max(b)));
        edges.dedup_by_key(|&mut (a, b)| (a.min(b), a.max(b)));
        let off: Vec<f64> = edges.iter().map(|_| -0.01 - 2.0 * dice(&mut state)).collect();
        let mut diagonal: Vec<f64> = (0..n).map(|_| 1e-3 + 0.1 * dice(&mut state)).collect();
        let mut dense = DMatrix::zeros(n, n);
        for (&(a, b), &value) in edges.iter().zip(&off) {
            diagonal[a] -= value;
            diagonal[b] -= value;
            dense[(a, b)] += value;
            dense[(b, a)] += value;
        }
        for (node, value) in diagonal.iter().enumerate() {
            dense[(node, node)] = *value;
        }
        let rhs: Vec<f64> = (0..n).map(|_| 10.0 * dice(&mut state)).collect();
        let wanted = dense.lu().solve(&DVector::from_vec(rhs.clone())).expect("not singular");
        let mut ldl = Ldl::new(n, &edges);
        ldl.factor(&diagonal, &off).expect("positive definite");
        let mut found = rhs;
        ldl.solve(&mut found);
        let largest = wanted.amax();
        for (got, want) in found.iter().zip(wanted.iter()) {
            worst = worst.max((got - want).abs() / largest);
        }
    }
    assert!(worst < 1e-10, "{worst}");
}
