//! Exponential and logarithm without branches: good to nine digits for proposals, and to the last digits but one.
//!
//! Metropolis-Hastings asks of a proposal only that its density is the same function on both ways, so the densities in
//! cells may be a little off; what is accepted is decided by the exact functions of `libm`. These two have no branch and
//! no table, so a loop over cells becomes vector code, and they use plain arithmetic, so they give the same digits on
//! every machine.

/// What exp(x) is made of: what is left of x beside a multiple of ln 2, and the power of two; x is held to ±700.
#[inline(always)]
fn parts(x: f64) -> (f64, f64) {
    // Adding it leaves the nearest whole number in the lowest bits.
    const ROUNDER: f64 = 6_755_399_441_055_744.0;
    const LN_2_HIGH: f64 = 6.931_471_803_691_238e-1;
    const LN_2_LOW: f64 = 1.908_214_929_270_587_7e-10;
    let x = x.clamp(-700.0, 700.0);
    let shifted = x * core::f64::consts::LOG2_E + ROUNDER;
    let whole = shifted - ROUNDER;
    let rest = (x - whole * LN_2_HIGH) - whole * LN_2_LOW;
    (rest, f64::from_bits(shifted.to_bits().wrapping_add(1023) << 52))
}

/// exp(x), relative error below 1e-8; x is held to ±700.
#[inline(always)]
pub(crate) fn exp_near(x: f64) -> f64 {
    let (r, power) = parts(x);
    let sum = 1.0 / 720.0 + r * (1.0 / 5040.0);
    let sum = 1.0 / 120.0 + r * sum;
    let sum = 1.0 / 24.0 + r * sum;
    let sum = 1.0 / 6.0 + r * sum;
    let sum = 0.5 + r * sum;
    let sum = 1.0 + r * (1.0 + r * sum);
    sum * power
}

/// exp of each, relative error below 2e-15; each is held to ±700. Four at once cost little more than one.
#[inline(always)]
pub(super) fn exp_each<const N: usize>(x: [f64; N]) -> [f64; N] {
    x.map(|x| {
        let (r, power) = parts(x);
        // Taylor's series to the twelfth power; |r| is at most ½·ln 2.
        let square = r * r;
        let pair = |low: f64, high: f64| low + r * high;
        let first = pair(1.0, 1.0) + square * pair(1.0 / 2.0, 1.0 / 6.0);
        let second = pair(1.0 / 24.0, 1.0 / 120.0) + square * pair(1.0 / 720.0, 1.0 / 5_040.0);
        let third = pair(1.0 / 40_320.0, 1.0 / 362_880.0)
            + square * (pair(1.0 / 3_628_800.0, 1.0 / 39_916_800.0) + square * (1.0 / 479_001_600.0));
        let fourth = square * square;
        (first + fourth * (second + fourth * third)) * power
    })
}

/// ln(x) of a normal number above zero, error below 1e-8.
#[inline(always)]
pub(crate) fn log_near(x: f64) -> f64 {
    // So that what is left of the mantissa lies between √½ and √2.
    const ROOT_HALF_BITS: u64 = 0x3fe6_a09e_667f_3bcd;
    let bits = x.to_bits().wrapping_sub(ROOT_HALF_BITS);
    let exponent = (bits as i64) >> 52;
    let mantissa = f64::from_bits(x.to_bits().wrapping_sub((exponent as u64) << 52));
    let s = (mantissa - 1.0) / (mantissa + 1.0);
    let square = s * s;
    let sum = 1.0 / 7.0 + square * (1.0 / 9.0);
    let sum = 1.0 / 5.0 + square * sum;
    let sum = 1.0 / 3.0 + square * sum;
    2.0 * s * (1.0 + square * sum) + exponent as f64 * core::f64::consts::LN_2
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Against `libm`, at many places and at the seams.
    #[test]
    fn near_is_near() {
        for step in -70_000..70_000 {
            let x = f64::from(step) * 0.009_97;
            let (near, exact) = (exp_near(x), libm::exp(x));
            assert!((near - exact).abs() <= 1e-8 * exact, "exp({x}) = {exact}, not {near}");
            let [near] = exp_each([x]);
            assert!((near - exact).abs() <= 2e-15 * exact, "exp({x}) = {exact}, not {near}");
        }
        for step in 1..200_000 {
            let x = libm::exp(f64::from(step) * 0.000_37 - 37.0);
            let (near, exact) = (log_near(x), libm::log(x));
            assert!((near - exact).abs() <= 1e-8, "ln({x}) = {exact}, not {near}");
        }
        assert!(log_near(1.0).abs() < 1e-12);
        assert!((exp_near(0.0) - 1.0).abs() < 1e-12);
        assert!(exp_near(-1e6) < 1e-300);
    }
}
