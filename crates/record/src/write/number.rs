//! Numbers as a person would write them, and quantities in the unit that needs the fewest digits.

use crate::fact::{LengthAs, TemperatureAs, TorqueAs};
use model::{Length, Temperature, Torque, Voltage};

/// The shortest text that reads back as the same number.
pub(super) fn decimal(value: f64) -> String {
    let text = format!("{value:?}");
    match text.strip_suffix(".0") {
        Some(whole) if whole != "-0" => whole.to_owned(),
        _ => text,
    }
}

/// Most decimals tried.
const DECIMALS_MAX: usize = 17;

/// The number with the fewest decimals that `back` turns into the quantity again, and how many it has. Where
/// none does, the nearest.
fn fewest<T: PartialEq>(near: f64, target: &T, back: impl Fn(f64) -> T) -> (usize, f64) {
    for decimals in 0..=DECIMALS_MAX {
        let tried = format!("{near:.decimals$}").parse::<f64>().unwrap_or(near);
        if back(tried) == *target {
            return (decimals, tried);
        }
    }
    (DECIMALS_MAX + 1, near)
}

/// A temperature in °C or °F.
pub(super) fn temperature(value: Temperature) -> TemperatureAs {
    let c = fewest(value.c(), &value, Temperature::from_c);
    let f = fewest(value.f(), &value, Temperature::from_f);
    if c.0 <= f.0 { TemperatureAs::C(c.1) } else { TemperatureAs::F(f.1) }
}

/// A length in inches or millimetres.
pub(super) fn small_length(value: Length) -> LengthAs {
    let inch = fewest(value.inches(), &value, Length::from_in);
    let mm = fewest(value.mm(), &value, Length::from_mm);
    if inch.0 <= mm.0 { LengthAs::In(inch.1) } else { LengthAs::Mm(mm.1) }
}

/// A length in feet or metres.
pub(super) fn large_length(value: Length) -> LengthAs {
    let ft = fewest(value.feet(), &value, Length::from_ft);
    let m = fewest(value.m(), &value, Length::from_m);
    if ft.0 <= m.0 { LengthAs::Ft(ft.1) } else { LengthAs::M(m.1) }
}

/// A torque in pound-force inches, pound-force feet or newton metres.
pub(super) fn torque(value: Torque) -> TorqueAs {
    let lb_in = fewest(value.lb_in(), &value, Torque::from_lb_in);
    let lb_ft = fewest(value.lb_ft(), &value, Torque::from_lb_ft);
    let nm = fewest(value.nm(), &value, Torque::from_nm);
    if lb_in.0 <= lb_ft.0.min(nm.0) {
        TorqueAs::LbIn(lb_in.1)
    } else if lb_ft.0 <= nm.0 {
        TorqueAs::LbFt(lb_ft.1)
    } else {
        TorqueAs::Nm(nm.1)
    }
}

/// Millivolts of a voltage.
pub(super) fn millivolts(value: Voltage) -> f64 {
    fewest(value.mv(), &value, Voltage::from_mv).1
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_are_short() {
        assert_eq!(
            ["20", "61.2", "0", "-3"],
            [20.0, 61.2, 0.0, -3.0].map(decimal).each_ref().map(String::as_str)
        );
        assert!(decimal(-0.0).parse::<f64>().is_ok_and(f64::is_sign_negative));
    }

    #[test]
    fn quantities_come_back_in_the_unit_they_were_read_in() {
        for tenths in -400..2000 {
            let read = f64::from(tenths) / 10.0;
            let (c, f) = (Temperature::from_c(read), Temperature::from_f(read));
            assert_eq!(temperature(c).quantity(), c);
            assert_eq!(temperature(f).quantity(), f);
            assert_eq!(Voltage::from_mv(millivolts(Voltage::from_mv(read))), Voltage::from_mv(read));
        }
        assert_eq!(temperature(Temperature::from_c(61.2)), TemperatureAs::C(61.2));
        assert_eq!(temperature(Temperature::from_f(118.0)), TemperatureAs::F(118.0));
        assert_eq!(small_length(Length::from_in(14.5)), LengthAs::In(14.5));
        assert_eq!(small_length(Length::from_mm(355.0)), LengthAs::Mm(355.0));
        assert_eq!(large_length(Length::from_ft(60.0)), LengthAs::Ft(60.0));
    }
}
