//! How loads are printed: whole volt-amperes with thousands separated, amperes to a tenth.

/// Order-independent sum: the same loads in another order give the same bits.
pub(crate) fn sum(values: impl IntoIterator<Item = f64>) -> f64 {
    let mut values: Vec<f64> = values.into_iter().collect();
    values.sort_by(f64::total_cmp);
    values.iter().sum()
}

/// `18,600 VA`.
pub(crate) fn va(value: f64) -> String {
    format!("{} VA", thousands(value))
}

/// `77.5 A`.
pub(crate) fn amps(value: f64) -> String {
    format!("{value:.1} A")
}

/// `75 %`, or with the digits that the number has.
pub(crate) fn percent(value: f64) -> String {
    format!("{value} %")
}

pub(crate) fn thousands(value: f64) -> String {
    let whole = format!("{:.0}", value.abs());
    let mut text = String::new();
    for (idx, digit) in whole.chars().enumerate() {
        if 0 < idx && (whole.len() - idx) % 3 == 0 {
            text.push(',');
        }
        text.push(digit);
    }
    if value <= -0.5 { format!("-{text}") } else { text }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn thousands_are_separated() {
        assert_eq!(va(18_600.0), "18,600 VA");
        assert_eq!(va(600.4), "600 VA");
        assert_eq!(va(1_234_567.0), "1,234,567 VA");
        assert_eq!(thousands(-1500.0), "-1,500");
        assert_eq!(amps(77.46), "77.5 A");
        assert_eq!(sum([0.1, 0.2, 0.3]).to_bits(), sum([0.3, 0.2, 0.1]).to_bits());
    }
}
