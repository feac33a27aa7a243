//! The colours of the style sheet, held against WCAG 2.2: 1.4.3 contrast of text, 1.4.11 contrast of controls.

use std::collections::BTreeMap;

const LOOK: &str = include_str!("../../../web/assets/look.css");

/// Least contrast of text with its ground (WCAG 2.2, 1.4.3, level AA).
const TEXT: f64 = 4.5;
/// Least contrast of what shows where a control is (WCAG 2.2, 1.4.11).
const CONTROL: f64 = 3.0;

/// The colours that a block of the style sheet sets.
fn colours(block: &str) -> BTreeMap<String, [u8; 3]> {
    let set = block
        .lines()
        .filter_map(|line| line.trim().strip_prefix("--")?.trim_end_matches(';').split_once(": #"));
    set.map(|(name, hex)| {
        let part = |at: usize| u8::from_str_radix(&hex[at..at + 2], 16).expect("six hex digits");
        (name.to_owned(), [part(0), part(2), part(4)])
    })
    .collect()
}

/// The block of a selector, as far as its closing brace.
fn block(selector: &str) -> &'static str {
    let start = LOOK.find(selector).expect(selector);
    let rest = &LOOK[start..];
    &rest[..rest.find('}').expect("a closing brace")]
}

/// Relative luminance of sRGB (WCAG 2.2, glossary).
fn luminance(rgb: [u8; 3]) -> f64 {
    let linear = |byte: u8| {
        let part = f64::from(byte) / 255.0;
        if part <= 0.04045 { part / 12.92 } else { to_the_2_4((part + 0.055) / 1.055) }
    };
    let [red, green, blue] = rgb.map(linear);
    0.2126 * red + 0.7152 * green + 0.0722 * blue
}

/// x to the power 2.4, as x² times the fifth root of x², by Newton's method.
fn to_the_2_4(x: f64) -> f64 {
    let square = x * x;
    let mut root = 1.0;
    for _ in 0..60 {
        let fourth: f64 = root * root * root * root;
        root -= (fourth * root - square) / (5.0 * fourth);
    }
    square * root
}

fn contrast(one: [u8; 3], other: [u8; 3]) -> f64 {
    let (one, other) = (luminance(one), luminance(other));
    (one.max(other) + 0.05) / (one.min(other) + 0.05)
}

#[test]
fn contrast_is_the_one_of_the_definition() {
    assert!((contrast([0, 0, 0], [255, 255, 255]) - 21.0).abs() < 1e-9);
    // The grey that WCAG's understanding document calls just enough on white: #767676, 4.54 to 1.
    assert!((contrast([0x76; 3], [255; 3]) - 4.54).abs() < 0.005);
}

#[test]
fn every_light_can_be_read() {
    let lights = [":root {", ":root[data-light=\"dark\"] {", ":root[data-light=\"glare\"] {"];
    for light in lights {
        let colour = colours(block(light));
        let of = |name: &str| *colour.get(name).expect(name);
        for (front, ground, least) in [
            ("ink", "paper", TEXT),
            ("ink", "sheet", TEXT),
            ("ink", "wash", TEXT),
            ("ink", "accent-wash", TEXT),
            ("soft", "paper", TEXT),
            ("soft", "sheet", TEXT),
            ("soft", "wash", TEXT),
            ("soft", "accent-wash", TEXT),
            ("accent", "paper", TEXT),
            ("accent", "sheet", TEXT),
            ("accent-deep", "sheet", TEXT),
            ("on-accent", "accent", TEXT),
            ("on-accent", "accent-deep", TEXT),
            ("line", "paper", CONTROL),
            ("line", "sheet", CONTROL),
        ] {
            let found = contrast(of(front), of(ground));
            assert!(least <= found, "{light} {front} on {ground}: {found:.2} to 1, at least {least}");
        }
    }
}

#[test]
fn the_automatic_lights_are_the_chosen_ones() {
    let after = |mark: &str| {
        let start = LOOK.find(mark).expect(mark);
        let rest = &LOOK[start..];
        colours(&rest[..rest.find("  }\n}").expect("an end")])
    };
    assert_eq!(after("@media (prefers-color-scheme: dark)"), colours(block(":root[data-light=\"dark\"] {")));
    assert_eq!(after("@media (prefers-contrast: more)"), colours(block(":root[data-light=\"glare\"] {")));
}
