//! Addresses as QR codes, for the terminal and for a page.

use qrcode::render::{svg, unicode};
use qrcode::{EcLevel, QrCode};

/// The address in half blocks, dark on light whatever the terminal's colours: the quiet zone is drawn too.
pub(crate) fn for_terminal(address: &str) -> Option<String> {
    let code = QrCode::with_error_correction_level(address, EcLevel::L).ok()?;
    // Terminals are dark more often than not: what is light in the code is drawn, what is dark is left out.
    let drawn = code
        .render::<unicode::Dense1x2>()
        .dark_color(unicode::Dense1x2::Light)
        .light_color(unicode::Dense1x2::Dark)
        .build();
    Some(drawn)
}

/// The address as an SVG element, without a prologue, to stand in a page.
pub(crate) fn for_page(address: &str) -> Option<String> {
    let code = QrCode::with_error_correction_level(address, EcLevel::M).ok()?;
    let whole = code.render::<svg::Color<'_>>().min_dimensions(240, 240).build();
    let start = whole.find("<svg")?;
    Some(whole[start..].to_owned())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn an_address_becomes_a_code_for_terminal_and_page() {
        let address = "http://192.168.7.20:7117/join?code=ABCD2345";
        let drawn = for_terminal(address).expect("it fits");
        let width = drawn.lines().next().map_or(0, |line| line.chars().count());
        assert!(30 < width && width <= 60, "{width}");
        assert!(drawn.lines().all(|line| line.chars().count() == width));
        let svg = for_page(address).expect("it fits");
        assert!(svg.starts_with("<svg") && !svg.contains("style="), "{}", &svg[..120]);
    }
}
