//! Probabilities in words with a number beside them, for people.

/// For example `likely, about 8 in 10`.
///
/// The words follow the scale of M. Mastrandrea et al., Guidance note for lead authors of the IPCC fifth assessment
/// report on consistent treatment of uncertainties, 2010, table 1 (limits from memory); between a quarter and a third by the
/// further words that it allows, where "unlikely" beside "about 3 in 10" would say too little.
pub fn in_words(probability: f64) -> String {
    let word = match probability {
        p if 0.99 <= p => "almost certain",
        p if 0.90 <= p => "very likely",
        p if 0.66 <= p => "likely",
        p if 0.33 <= p => "as likely as not",
        p if 0.25 <= p => "more unlikely than likely",
        p if 0.10 <= p => "unlikely",
        p if 0.01 <= p => "very unlikely",
        _ => "almost ruled out",
    };
    format!("{word}, {}", odds(probability))
}

/// The number alone, for example `about 8 in 10`.
fn odds(probability: f64) -> String {
    match probability {
        p if 0.995 <= p => "more than 99 in 100".to_owned(),
        p if 0.925 <= p => format!("about {:.0} in 100", p * 100.0),
        p if 0.075 <= p => format!("about {:.0} in 10", p * 10.0),
        p if 0.005 <= p => format!("about {:.0} in 100", p * 100.0),
        _ => "less than 1 in 100".to_owned(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn words_and_numbers_belong_together() {
        for (probability, words) in [
            (1.0, "almost certain, more than 99 in 100"),
            (0.97, "very likely, about 97 in 100"),
            (0.8, "likely, about 8 in 10"),
            (0.5, "as likely as not, about 5 in 10"),
            (0.3, "more unlikely than likely, about 3 in 10"),
            (0.2, "unlikely, about 2 in 10"),
            (0.05, "very unlikely, about 5 in 100"),
            (0.0, "almost ruled out, less than 1 in 100"),
        ] {
            assert_eq!(in_words(probability), words);
        }
    }
}
