//! Probabilities in words with numbers, for people.

use crate::phrases::{Phrases, fill};

/// Limits and words of calibrated language.
///
/// Source: M. Mastrandrea et al., Guidance note for lead authors of the IPCC fifth assessment report on
/// consistent treatment of uncertainties, 2010, table 1 (value from memory). The two outer words are plainer
/// than the table's. From a quarter to a third stands one of the further words that the note allows: "unlikely" beside
/// "about 3 in 10" would say too little.
const LIMITS: [(f64, &str); 7] = [
    (0.99, "almost-certain"),
    (0.90, "very-likely"),
    (0.66, "likely"),
    (0.33, "even"),
    (0.25, "rather-unlikely"),
    (0.10, "unlikely"),
    (0.01, "very-unlikely"),
];

/// For example `very likely (about 9 in 10)`.
pub(crate) fn in_words(phrases: &Phrases, probability: f64) -> String {
    if !probability.is_finite() {
        return phrases.word("chance", "unknown").to_owned();
    }
    let word =
        LIMITS.iter().find(|(from, _)| *from <= probability).map_or("almost-ruled-out", |(_, word)| word);
    format!("{} ({})", phrases.word("chance", word), odds(phrases, probability))
}

/// The number alone, for example `about 9 in 10`.
pub(crate) fn odds(phrases: &Phrases, probability: f64) -> String {
    let say = |key: &str, n: u32, of: u32| {
        fill(phrases.word("chance", key), &[("n", &n.to_string()), ("of", &of.to_string())])
    };
    match probability {
        p if 0.995 <= p => say("more-than", 99, 100),
        p if p < 0.005 => say("less-than", 1, 100),
        p if p < 0.015 => say("about", 1, 100),
        p if p < 0.035 => say("about", 1, 50),
        p if p < 0.075 => say("about", 1, 20),
        p if p < 0.925 => say("about", (p * 10.0).round() as u32, 10),
        p if p < 0.965 => say("about", 19, 20),
        p if p < 0.985 => say("about", 49, 50),
        _ => say("about", 99, 100),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn words_and_numbers_belong_together() {
        let phrases = Phrases::english();
        for (probability, words) in [
            (1.0, "almost certain (more than 99 in 100)"),
            (0.97, "very likely (about 49 in 50)"),
            (0.9, "very likely (about 9 in 10)"),
            (0.7, "likely (about 7 in 10)"),
            (0.5, "as likely as not (about 5 in 10)"),
            (0.3, "more unlikely than likely (about 3 in 10)"),
            (0.2, "unlikely (about 2 in 10)"),
            (0.05, "very unlikely (about 1 in 20)"),
            (0.0, "almost ruled out (less than 1 in 100)"),
        ] {
            assert_eq!(in_words(&phrases, probability), words);
        }
        assert_eq!(in_words(&phrases, f64::NAN), "not known");
    }

    #[test]
    fn the_number_is_near_the_probability() {
        let phrases = Phrases::english();
        for step in 0..=1000 {
            let probability = f64::from(step) / 1000.0;
            let text = odds(&phrases, probability);
            let numbers: Vec<f64> = text.split(' ').filter_map(|word| word.parse().ok()).collect();
            assert!((numbers[0] / numbers[1] - probability).abs() <= 0.0501, "{probability}: {text}");
        }
    }
}
