//! When a bimetal opens under overload, with the memory of what it carried before.

use crate::between::Between;
use crate::range::{OutOfRange, within};
use model::{Cite, Standing};

/// A bimetal as one thermal body.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Bimetal {
    /// Least current that opens it in the end, over the rating.
    pub pickup: f64,
    /// Time constant, s.
    pub tau_s: f64,
}

/// When it opens.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Opens {
    /// Never at this current.
    Never,
    /// After a time within this interval, s; `high` is `None` where it may never open.
    After {
        /// Earliest, s.
        low_s: f64,
        /// Latest, s.
        high_s: Option<f64>,
    },
}

/// Source of [`Bimetal::TYPICAL`] and of the spread.
pub fn cite() -> Cite {
    Cite::new(
        "",
        "pickup 1.20 of the rating, between 1.13 and 1.35 of the standards; 60 s at twice the rating; spread of \
         real curves 2:1 and more",
        Standing::Judgement,
    )
}

fn time_s(pickup: f64, tau_s: f64, ratio: f64, preload: f64) -> Option<f64> {
    let (m, m0) = (ratio / pickup, preload / pickup);
    let (m2, m02) = (m * m, m0 * m0);
    if 1.0 <= m02 {
        Some(0.0)
    } else if m2 <= 1.0 {
        None
    } else {
        Some(tau_s * libm::log((m2 - m02) / (m2 - 1.0)))
    }
}

impl Bimetal {
    /// Middle of the range for residential breakers; illustrative, see [`cite`].
    pub const TYPICAL: Bimetal = Bimetal { pickup: 1.20, tau_s: 134.4 };

    /// Pickups of the interval: from the hold to the trip limit of the standards.
    pub const PICKUP: Between<f64> = Between::new(1.13, 1.35);

    /// Factor between the shortest and the longest curve at a given pickup.
    pub const SPREAD: f64 = 2.0;

    /// From a pickup and the cold opening time at one overload.
    ///
    /// ```text
    /// τ = t/ln[m²/(m² − 1)],  m = ratio/pickup
    /// ```
    ///
    /// | symbol | here     | meaning                    | unit |
    /// |--------|----------|----------------------------|------|
    /// | m      | `ratio`/`pickup` | current over pickup | –   |
    /// | t      | `time_s` | opening time from cold     | s    |
    ///
    /// - **Source:** the body's law, [`Bimetal::time_s`], from cold.
    /// - **Valid:** 1.02 pickups and more.
    /// - **Checked:** `tests/reference/tests/physics/breaker.rs`.
    pub fn calibrated(pickup: f64, ratio: f64, time_s: f64) -> Result<Self, OutOfRange> {
        let p = within("pickup", pickup, "× rating", (0.5, 2.0), "breakers")?;
        let r = within("current", ratio, "× rating", (1.02 * p, 20.0), "above the pickup")?;
        let t = within("opening time", time_s, "s", (0.1, 36_000.0), "thermal trip")?;
        let m2 = r * r / (p * p);
        Ok(Bimetal { pickup: p, tau_s: t / libm::log(m2 / (m2 - 1.0)) })
    }

    /// Time to open under a steady current after a steady preload, s; `None` if it never opens.
    ///
    /// ```text
    /// τ·dθ/dt = θ_f·m² − θ;   t = τ·ln[(m² − m0²)/(m² − 1)],  m = I/I_pickup
    /// ```
    ///
    /// | symbol | here      | meaning                             | unit |
    /// |--------|-----------|-------------------------------------|------|
    /// | m      | `ratio`/pickup | current over pickup            | –    |
    /// | m0     | `preload`/pickup | steady current before, over pickup | – |
    /// | τ      | `tau_s`   | time constant                       | s    |
    ///
    /// - **Source:** first-order thermal body, textbook of protection.
    /// - **Valid:** thermal range, up to about 6 times the rating; above, the magnet opens it. Real curves spread
    ///   2:1 and more: use [`Bimetal::interval`] for people.
    /// - **Checked:** `tests/reference/tests/physics/breaker.rs`.
    pub fn time_s(&self, ratio: f64, preload: f64) -> Result<Option<f64>, OutOfRange> {
        let r = within("current", ratio, "× rating", (0.0, 6.0), "thermal range of a breaker")?;
        let r0 = within("preload", preload, "× rating", (0.0, 6.0), "thermal range of a breaker")?;
        Ok(time_s(self.pickup, self.tau_s, r, r0))
    }

    /// Interval of the opening time of a residential breaker of unknown curve.
    ///
    /// ```text
    /// t over pickup 1.13 … 1.35 and τ·√½ … τ·√2
    /// ```
    ///
    /// | symbol | here      | meaning                          | unit |
    /// |--------|-----------|----------------------------------|------|
    /// | –      | `ratio`   | current over rating              | –    |
    /// | –      | `preload` | steady current before, over rating | –  |
    ///
    /// - **Source:** [`cite`]; each τ is calibrated to 60 s at twice the rating before the spread.
    /// - **Valid:** as [`Bimetal::time_s`], and a breaker in working order: an old one may not open.
    /// - **Checked:** `tests/reference/tests/physics/breaker.rs`.
    pub fn interval(ratio: f64, preload: f64) -> Result<Opens, OutOfRange> {
        let root = Self::SPREAD.sqrt();
        let early = Bimetal::calibrated(Self::PICKUP.low, 2.0, 60.0)?;
        let late = Bimetal::calibrated(Self::PICKUP.high, 2.0, 60.0)?;
        let times = [early.time_s(ratio, preload)?, late.time_s(ratio, preload)?];
        let earliest = times.iter().flatten().copied().reduce(f64::min);
        let latest = match times {
            [Some(one), Some(other)] => Some(one.max(other) * root),
            _ => None,
        };
        Ok(match earliest {
            None => Opens::Never,
            Some(low) => Opens::After { low_s: low / root, high_s: latest },
        })
    }

    /// Heat left in the bimetal after it has cooled, as the steady current (over rating) that would hold it there.
    ///
    /// ```text
    /// m0(t) = m0·e^(−t/2τ)
    /// ```
    ///
    /// | symbol | here       | meaning                             | unit |
    /// |--------|------------|-------------------------------------|------|
    /// | m0     | `preload`  | steady current before, over rating  | –    |
    /// | t      | `rest_s`   | time without current                | s    |
    /// | τ      | `tau_s`    | time constant                       | s    |
    ///
    /// - **Source:** first-order thermal body: θ falls as e^(−t/τ), and θ goes with the square of the current.
    /// - **Valid:** surroundings as before; local heat from a bad joint cools more slowly.
    /// - **Checked:** `tests/reference/tests/physics/breaker.rs`.
    pub fn preload_after_rest(&self, preload: f64, rest_s: f64) -> Result<f64, OutOfRange> {
        let m0 = within("preload", preload, "× rating", (0.0, 6.0), "thermal range of a breaker")?;
        let t = within("rest", rest_s, "s", (0.0, 1e6), "days")?;
        Ok(m0 * libm::exp(-t / (2.0 * self.tau_s)))
    }
}
