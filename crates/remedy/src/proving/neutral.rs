//! A shared neutral: it must carry the difference of its hots, not their sum.

use super::limits::Limits;
use super::spaces_words;
use model::Current;
use model::cite::{Cite, Standing};
use model::install::NeutralRead;
use model::proving::{NeutralSays, NeutralVerdict};
use model::system::System;
use model::working::{Input, Working};

/// Share of the nominal voltage between legs above which the hots are on different ones, and below which on one.
const DIFFERENT_SHARE: f64 = 0.8;
const SAME_SHARE: f64 = 0.2;

/// Smallest and largest current of the neutral for two hots whose voltages are `apart_deg` apart and whose loads
/// differ by at most `angle_deg` in power factor, widened by `error_a`.
fn band(hots: [f64; 2], apart_deg: f64, angle_deg: f64, error_a: f64) -> [f64; 2] {
    let [a, b] = hots;
    let at = |deg: f64| {
        let square = a * a + b * b + 2.0 * a * b * libm::cos(deg.to_radians());
        libm::sqrt(square.max(0.0))
    };
    // Between 0° and 180° the current falls; loads may take it either way past those ends.
    let (near, far) = ((apart_deg - angle_deg).max(0.0), (apart_deg + angle_deg).min(180.0));
    [(at(far) - error_a).max(0.0), at(near) + error_a]
}

/// Judges one.
pub fn judge_neutral(read: &NeutralRead, system: System, limits: &Limits) -> NeutralVerdict {
    let hots = read.hots.map(|amps| amps.a());
    let shown = read.neutral.a();
    let error = |amps: f64| limits.clamp.share * amps + limits.clamp.amps;
    let widened = error(hots[0]) + error(hots[1]) + error(shown);
    let angle = limits.power_factor.angle_deg;
    let apart = match system {
        System::SplitPhase => 180.0,
        System::TwoLegsOfWye | System::ThreePhaseWye => 120.0,
    };
    let (different, same) = (band(hots, apart, angle, widened), band(hots, 0.0, angle, widened));
    let within = |band: [f64; 2]| band[0] <= shown && shown <= band[1];
    let by_current = match (within(different), within(same)) {
        (true, false) => NeutralSays::Difference,
        (false, true) => NeutralSays::Sum,
        (true, true) => NeutralSays::CannotTell,
        (false, false) => NeutralSays::Neither,
    };
    let nominal = system.leg_to_leg_v();
    let by_voltage = read.between.map(|volts| {
        let share = volts.v() / nominal;
        if DIFFERENT_SHARE <= share {
            NeutralSays::Difference
        } else if share <= SAME_SHARE {
            NeutralSays::Sum
        } else {
            NeutralSays::Neither
        }
    });
    let says = match (by_voltage, by_current) {
        (None, current) => current,
        (Some(volts), NeutralSays::CannotTell) => volts,
        (Some(volts), current) if volts == current => volts,
        // Both on one leg by either of two readings is dangerous enough to count.
        (Some(NeutralSays::Sum), _) | (_, NeutralSays::Sum) => NeutralSays::Sum,
        _ => NeutralSays::Neither,
    };
    NeutralVerdict {
        fact: read.fact.clone(),
        spaces: read.spaces,
        says,
        expected: different.map(Current::from_a),
        if_one_leg: same.map(Current::from_a),
        shown: read.neutral,
        sentence: sentence(read, says),
        working: working(read, different, same, apart, angle, limits),
    }
}

fn sentence(read: &NeutralRead, says: NeutralSays) -> String {
    let spaces = spaces_words(&read.spaces);
    match says {
        NeutralSays::Difference => {
            format!("{spaces}: the neutral carries the difference. The hots are on different legs.")
        }
        NeutralSays::Sum => format!(
            "{spaces}: both hots are on one leg and the neutral carries their sum. Switch both off now: the neutral can \
             overheat and no breaker sees it. Move one of them to the other leg, dead, then clamp again."
        ),
        NeutralSays::Neither => format!(
            "{spaces}: the neutral carries neither the difference nor the sum. Another circuit may share it, or a reading \
             is wrong. Find out before it stays on."
        ),
        NeutralSays::CannotTell => format!(
            "{spaces}: these currents cannot tell the difference from the sum. Load both circuits, or read the volts \
             between the two hots."
        ),
    }
}

fn working(
    read: &NeutralRead,
    different: [f64; 2],
    same: [f64; 2],
    apart: f64,
    angle: f64,
    limits: &Limits,
) -> Working {
    let input = |symbol: &str, meaning: &str, value: String, from: &str| Input {
        symbol: symbol.to_owned(),
        meaning: meaning.to_owned(),
        value,
        from: from.to_owned(),
    };
    let mut inputs = vec![
        input("I₁", "first hot", format!("{} A", read.hots[0].a()), "clamped"),
        input("I₂", "second hot", format!("{} A", read.hots[1].a()), "clamped"),
        input("δ", "legs apart", format!("{apart} °, or 0 ° on one leg"), "supply system"),
        input("φ", "loads apart by power factor", format!("0 to {angle} °"), &limits.power_factor.source),
        input(
            "e",
            "error of the clamp",
            format!("{} % and {} A each", limits.clamp.share * 100.0, limits.clamp.amps),
            &limits.clamp.source,
        ),
    ];
    if let Some(volts) = read.between {
        inputs.push(input("U", "volts between the two hots", format!("{} V", volts.v()), "measured"));
    }
    Working {
        title: "current of a shared neutral".to_owned(),
        subject: spaces_words(&read.spaces),
        formula: "I_N = √(I₁² + I₂² + 2 I₁ I₂ cos(δ ± φ)) ± e".to_owned(),
        inputs,
        result: format!(
            "{:.1} to {:.1} A on different legs, {:.1} to {:.1} A on one leg; shown {:.1} A",
            different[0],
            different[1],
            same[0],
            same[1],
            read.neutral.a()
        ),
        validity: "sine currents; electronic loads with third harmonics put more into the neutral".to_owned(),
        cite: Cite::new("law of cosines for two phasors", "textbook", Standing::Derived),
    }
}
