//! Small types for physical quantities: SI inside, named units at the edge, no arithmetic across dimensions.

macro_rules! quantity {
    ($(#[$doc:meta])* $name:ident, $si:literal; $($from:ident, $get:ident, $factor:expr, $offset:expr, $unit:literal;)+) => {
        $(#[$doc])*
        #[derive(Debug, Clone, Copy, PartialEq, PartialOrd)]
        pub struct $name(f64);

        impl $name {
            $(
                #[doc = concat!("From a number of ", $unit, ".")]
                pub const fn $from(value: f64) -> Self {
                    $name(value * $factor + $offset)
                }

                #[doc = concat!("As a number of ", $unit, ".")]
                pub const fn $get(self) -> f64 {
                    (self.0 - $offset) / $factor
                }
            )+
        }
    };
}

quantity! {
    /// Electric current, rms where alternating.
    Current, "A";
    from_a, a, 1.0, 0.0, "amperes";
}
quantity! {
    /// Voltage, rms where alternating.
    Voltage, "V";
    from_v, v, 1.0, 0.0, "volts";
    from_mv, mv, 1e-3, 0.0, "millivolts";
}
quantity! {
    /// Resistance.
    Resistance, "Ω";
    from_ohm, ohm, 1.0, 0.0, "ohms";
    from_mohm, mohm, 1e-3, 0.0, "milliohms";
}
quantity! {
    /// Power.
    Power, "W";
    from_w, w, 1.0, 0.0, "watts";
    from_kw, kw, 1e3, 0.0, "kilowatts";
}
quantity! {
    /// Length. One inch is exactly 25.4 mm (international yard and pound agreement, 1959).
    Length, "m";
    from_m, m, 1.0, 0.0, "metres";
    from_mm, mm, 1e-3, 0.0, "millimetres";
    from_in, inches, 0.0254, 0.0, "inches";
    from_ft, feet, 0.3048, 0.0, "feet";
}
quantity! {
    /// Torque. One pound-force inch is 0.453 592 37 kg × 9.806 65 m/s² × 0.0254 m, all exact by definition.
    Torque, "N·m";
    from_nm, nm, 1.0, 0.0, "newton metres";
    from_lb_in, lb_in, 0.453_592_37 * 9.806_65 * 0.0254, 0.0, "pound-force inches";
    from_lb_ft, lb_ft, 0.453_592_37 * 9.806_65 * 0.3048, 0.0, "pound-force feet";
}
quantity! {
    /// Temperature on an absolute scale. 0 °C is exactly 273.15 K, 0 °F exactly 459.67 degrees Rankine.
    Temperature, "K";
    from_k, k, 1.0, 0.0, "kelvins";
    from_c, c, 1.0, 273.15, "degrees Celsius";
    from_f, f, 5.0 / 9.0, 459.67 * 5.0 / 9.0, "degrees Fahrenheit";
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn units_agree_with_their_definitions() {
        assert!((Temperature::from_f(212.0).c() - 100.0).abs() < 1e-9);
        assert!((Temperature::from_f(32.0).c()).abs() < 1e-9);
        assert!((Temperature::from_c(25.0).k() - 298.15).abs() < 1e-12);
        assert!((Length::from_ft(1.0).inches() - 12.0).abs() < 1e-12);
        assert!((Torque::from_lb_ft(1.0).lb_in() - 12.0).abs() < 1e-12);
        assert!((Resistance::from_mohm(250.0).ohm() - 0.25).abs() < 1e-15);
    }
}
