//! The words of the papers, from `data/phrases.toml`; one table a language.

use serde::Deserialize;
use std::collections::BTreeMap;

const FILE: &str = include_str!("../data/phrases.toml");

/// All phrases of one language: single phrases as fields, words for the terms of the model through `word`.
#[derive(Debug, Clone)]
pub(crate) struct Phrases {
    /// Language tag.
    pub(crate) tag: String,
    /// Phrases of drawings.
    pub(crate) drawing: DrawingPhrases,
    /// Phrases of the owner's letter.
    pub(crate) letter: LetterPhrases,
    /// Phrases of the technical record.
    pub(crate) record: RecordPhrases,
    /// Words for terms: topic, term, words.
    words: BTreeMap<String, BTreeMap<String, String>>,
}

/// A struct of phrases that is filled from a table by the names of its fields. (A derived deserialiser of this many
/// fields takes minutes to optimise.)
macro_rules! phrases {
    ($(#[$doc:meta])* $name:ident { $($field:ident),+ $(,)? }) => {
        $(#[$doc])*
        #[derive(Debug, Clone)]
        #[allow(missing_docs, reason = "the phrase file says what each is for")]
        pub(crate) struct $name {
            $(pub(crate) $field: String,)+
        }

        impl $name {
            /// Takes the phrases out of their table; names that are missing or too many go to `problems`.
            fn take(mut table: BTreeMap<String, String>, problems: &mut Vec<String>) -> Self {
                let phrases = $name { $($field: take(&mut table, stringify!($field), problems),)+ };
                problems.extend(table.into_keys().map(|name| format!("`{name}` is not used")));
                phrases
            }
        }
    };
}

fn take(table: &mut BTreeMap<String, String>, field: &str, problems: &mut Vec<String>) -> String {
    let name = field.trim_start_matches("r#");
    table.remove(name).unwrap_or_else(|| {
        problems.push(format!("`{name}` is missing"));
        String::new()
    })
}

phrases! {
    /// Phrases of drawings.
    DrawingPhrases {
        title, title_invented, invented, no_panel, poles, feeds_section, feeds_panel, main, from_panel,
        fed_by, fed_by_service, split, neutral, neutral_lug, open, not_traced, spare, legend_finding, lug,
        figures_note, at_stab, at_terminal, joint_says, desc, desc_section, desc_findings, desc_no_findings,
        desc_plain, off, tripped, with_space, other_make, neutral_marks, text_legend,
    }
}

phrases! {
    /// Phrases of the owner's letter.
    LetterPhrases {
        title, file, dear, intro, head, foot, page_of, invented, short_answer, main_finding, main_cause,
        main_supply, pressing, no_finding, seen, measured, inferred, unknown, nothing_seen, nothing_measured,
        nothing_inferred, nothing_unknown, unknown_unobserved, unknown_cover, more, findings, finding,
        finding_even, finding_worn, legend, choices, choices_intro, choice, meaning, cost_and_time, nothing_title,
        nothing_meaning, price, quoted, price_nothing, no_price, hours, hours_nothing, no_hours, because_for,
        because_against, leaves, conditions, refused, would_change_choice, would_change, would_change_none,
        would_change_check, who_to_call, fire, fire_what, neutral, neutral_what, warm, warm_what, trips,
        trips_what, cautions, caution_cover, caution_live, caution_no_main, caution_rules, caution_day,
        stab, lug, terminal, neutral_joint, feeder, feeder_main, said, list, breaker, opened, opened_anew, sign,
        sign_words, not_found, touch, touch_cool, other_make, later, side, legs, legs_of_panel, overload, contradicted, warmest, others,
        warm_with, warm_place, trip, trip_at, trip_after, drop, drops, n_findings, supply, complaint_at,
        cause, next_cause, others_sound, others_open, more_panels,
    }
}

phrases! {
    /// Phrases of the technical record.
    RecordPhrases {
        title, file, head, foot, page_of, job, place, opened, day, reached, policy, model, seed, summary,
        findings, finding, no_findings, counts, facts, calls, answers, complaints, states, temperatures, touches, currents,
        voltages, drops, trips, signs, photos, pins, photo, pin_place, decisions, work, openings, handles, cuts, sources, proofs, part, tester, live,
        supply_cut, supply_back, premises, adopted_code, dwelling, appliance, measured_demand, site, source_cut, not_tried, nothing, fact, fact_names,
        fact_names_intro, when, by, what, r#where, slot, words, value, how, state, name, held, room,
        unloaded, instrument, from, to, current, after, found, yes, no, present, absent, void, minutes,
        emissivity, reflected, declined, expires, hash, installation, service, rating, transformer, path,
        drop, entrance, electrode, meter, other_sources, not_recorded, panel, system, spaces, columns,
        first_leg, bus, cabinet, half_width, everywhere, nowhere, year, moisture, not_looked,
        no_single_main, section, rows, fed_by, conductor, legs, kind, feeds, remarks, neutral_used,
        neutral_unused, neutral_unknown, partner, doubled, other_make, make_unread, later, handle, drawing,
        joints, joints_intro, joint, leg, mark, burnt, error, worn, sound, prior, heat, heat_intro,
        resistance, heat_now, heat_rated, hot_spot, at_current, not_known, reasons, reasons_intro, reason,
        class, weight, trends, supply, supply_path, failing, causes, no_complaint, cause, probability, points_at,
        separates, statements, verdict, rules, rule, asks_for, because, why_rule, no_rules, would_change, may_change, may_change_check, interims, promises, kept, decided, recheck, prepared, surveyed, surprise, layout,
        due, of_fact, moved_to,
        option, standing, consequences, r#for, against, leaves, conditions, changes, hours_off, price,
        price_range, no_options, checks, no_checks, exposure, who, takes, gain, bits, tells, expects,
        cautions, workings, no_workings, formula, symbol, meaning, input_from, result, valid, source,
        method, method_1, method_2, method_3, sampling, chains, sweeps, draws, effective, r_hat, worst_error,
        converged, problem, not_converged, notes, no_notes, about, note, limits, limit_1, limit_2, limit_3,
        limit_4, limit_5, limit_6,
    }
}

/// The file as it stands.
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Book {
    en: Language,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Language {
    tag: String,
    drawing: BTreeMap<String, String>,
    letter: BTreeMap<String, String>,
    record: BTreeMap<String, String>,
    words: BTreeMap<String, BTreeMap<String, String>>,
}

impl Phrases {
    /// English.
    pub(crate) fn english() -> Self {
        let book: Book = toml::from_str(FILE).expect("data/phrases.toml is read in a test");
        Phrases::of(book.en).0
    }

    /// The phrases, and what is wrong with the file, which a test rules out.
    fn of(language: Language) -> (Self, Vec<String>) {
        let mut problems = Vec::new();
        let phrases = Phrases {
            tag: language.tag,
            drawing: DrawingPhrases::take(language.drawing, &mut problems),
            letter: LetterPhrases::take(language.letter, &mut problems),
            record: RecordPhrases::take(language.record, &mut problems),
            words: language.words,
        };
        (phrases, problems)
    }

    /// Words for a term of the model; the term itself where the file has none.
    pub(crate) fn word<'a>(&'a self, topic: &str, term: &'a str) -> &'a str {
        self.words.get(topic).and_then(|terms| terms.get(term)).map_or(term, String::as_str)
    }
}

/// Puts values into `{name}` places. A place without a value stays as it is; values are not looked into
/// again.
pub(crate) fn fill(template: &str, values: &[(&str, &str)]) -> String {
    let mut out = String::with_capacity(template.len());
    let mut rest = template;
    while let Some(start) = rest.find('{') {
        out.push_str(&rest[..start]);
        let Some(end) = rest[start..].find('}') else {
            rest = &rest[start..];
            break;
        };
        let name = &rest[start + 1..start + end];
        match values.iter().find(|(key, _)| *key == name) {
            Some((_, value)) => out.push_str(value),
            None => out.push_str(&rest[start..=start + end]),
        }
        rest = &rest[start + end + 1..];
    }
    out.push_str(rest);
    out
}

#[cfg(test)]
mod tests {
    use super::*;
    use model::advice::{CHECK_KINDS, Urgency};
    use model::assessment::Cause;
    use model::evidence::Sign;
    use model::job::{ComplaintKind, Condition, Exposure};

    #[test]
    fn values_fill_their_places_once() {
        assert_eq!(fill("{a} and {b}", &[("a", "{b}"), ("b", "2")]), "{b} and 2");
        assert_eq!(fill("{a} {", &[]), "{a} {");
        assert_eq!(fill("", &[("a", "1")]), "");
    }

    /// Names of all phrases of a language with the places in each.
    fn places(table: &toml::Table, path: &str, found: &mut BTreeMap<String, Vec<String>>) {
        for (name, value) in table {
            let path = format!("{path}.{name}");
            match value {
                toml::Value::Table(inner) => places(inner, &path, found),
                toml::Value::String(text) => {
                    let parts = text.split('{').skip(1).filter_map(|part| part.split_once('}'));
                    let mut names: Vec<String> = parts.map(|(name, _)| name.to_owned()).collect();
                    names.sort();
                    names.dedup();
                    found.insert(path, names);
                }
                _ => {}
            }
        }
    }

    #[test]
    fn no_phrase_is_missing_or_idle() {
        let book: Book = toml::from_str(FILE).expect("the phrase file is TOML");
        assert_eq!(Phrases::of(book.en).1, Vec::<String>::new());
    }

    #[test]
    fn languages_have_the_same_phrases_with_the_same_places() {
        let book: toml::Table = toml::from_str(FILE).expect("the phrase file is TOML");
        let of = |language: &toml::Value| {
            let mut found = BTreeMap::new();
            places(language.as_table().expect("a language is a table"), "", &mut found);
            found
        };
        let english = of(&book["en"]);
        assert_eq!(english[".letter.cause"], ["cause", "chance", "what"]);
        for (tag, language) in &book {
            assert_eq!(of(language), english, "{tag}");
        }
    }

    #[test]
    fn every_term_of_the_model_has_words() {
        let phrases = Phrases::english();
        let mut terms: Vec<(&str, &str)> = Vec::new();
        terms.extend(Sign::ALL.map(|sign| ("sign", sign.word())));
        terms.extend(Condition::ALL.map(|condition| ("condition", condition.word())));
        terms.extend(ComplaintKind::ALL.map(|kind| ("complaint", kind.word())));
        terms.extend(
            [Exposure::CoverOn, Exposure::CoverOff, Exposure::ProvenDead]
                .map(|exposure| ("exposure", exposure.word())),
        );
        let urgencies =
            [Urgency::Now, Urgency::Within72Hours, Urgency::ThisMonth, Urgency::PlanIt, Urgency::NoAction];
        terms.extend(urgencies.map(|urgency| ("answer", urgency.word())));
        terms.extend(urgencies.map(|urgency| ("urgency", urgency.word())));
        terms.push(("cause", Cause::NotExplained.word()));
        terms.extend(CHECK_KINDS.map(|kind| ("check", kind)));
        for (topic, term) in terms {
            let found = phrases.words.get(topic).is_some_and(|words| words.contains_key(term));
            assert!(found, "data/phrases.toml lacks {topic}.{term}");
        }
    }
}
