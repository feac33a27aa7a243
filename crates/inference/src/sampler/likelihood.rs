//! Log-likelihoods of one unknown while all else is held or integrated out: of second order in a resistance, of fourth in a load
//! or a knob.

/// Log-likelihood of a resistance beside that of the one where it stood, all else held or integrated out.
pub(super) struct Parabola {
    pub(super) ohm: f64,
    pub(super) slope: f64,
    pub(super) curvature: f64,
}

impl Parabola {
    pub(super) fn log_at(&self, value: f64) -> f64 {
        let change = value - self.ohm;
        change * (self.slope - 0.5 * self.curvature * change)
    }
}

/// How the log-likelihood changes with a change δ of one unknown: c₁δ + c₂δ² + c₃δ³ + c₄δ⁴.
pub(super) struct Quartic(pub(super) [f64; 4]);

impl Quartic {
    pub(super) fn at(&self, change: f64) -> f64 {
        let [c1, c2, c3, c4] = self.0;
        change * (c1 + change * (c2 + change * (c3 + change * c4)))
    }
}
