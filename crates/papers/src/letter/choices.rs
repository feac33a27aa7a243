//! Every option on one table, the recommended first, each cut to what page two can hold.

use super::Letter;
use crate::clean::{capital, clean, shorten, stopped};
use crate::number::{range, thousands};
use crate::page::{Item, Node, Table, heading, paragraph};
use crate::phrases::fill;
use model::advice::{Choice, ChoiceKind, Standing};

/// Characters of meaning that all options may share.
const ALL_CHARS: usize = 2_000;
/// Characters for an option that is not offered: why not.
const REFUSED_CHARS: usize = 150;
/// Characters for what is to be switched off: forty-two breakers without their names take fewer.
const SWITCHED_OFF_CHARS: usize = 700;
/// Characters for the name of a circuit within a sentence: as many of these as the room allows.
const NAME_CHARS: [usize; 3] = [40, 24, 12];

impl Letter<'_> {
    pub(super) fn choices(&self) -> Vec<Node> {
        let words = &self.phrases.letter;
        let mut choices: Vec<&Choice> = self.assessment.options.iter().collect();
        choices.sort_by_key(|choice| rank(choice.standing));
        let nothing_given = choices.iter().any(|choice| choice.kind == ChoiceKind::LeaveAndWatch);
        let n_rows = choices.len() + usize::from(!nothing_given);
        let n_refused = choices.iter().filter(|choice| choice.standing == Standing::Refused).count();
        let n_others = n_rows - n_refused;
        let room = ALL_CHARS.saturating_sub(n_refused * REFUSED_CHARS);
        let others_chars = room.checked_div(n_others).unwrap_or(room).clamp(120, 420);
        let mut table =
            Table::new(&[(&words.choice, 1.25), (&words.meaning, 3.3), (&words.cost_and_time, 1.15)]);
        table.small = false;
        for choice in choices {
            let refused = choice.standing == Standing::Refused;
            table.items(self.choice_row(choice, if refused { REFUSED_CHARS } else { others_chars }));
        }
        if !nothing_given {
            table.items([
                Item::led(words.nothing_title.clone(), ""),
                Item::plain(words.nothing_meaning.clone()),
                Item::default(),
            ]);
        }
        let mut nodes = vec![heading(2, words.choices.clone()), paragraph(words.choices_intro.clone())];
        nodes.extend(table.node());
        nodes
    }

    fn choice_row(&self, choice: &Choice, most_chars: usize) -> [Item; 3] {
        let title = capital(&shorten(&clean(&choice.title), 60));
        let standing = self.phrases.word("standing", standing_word(choice.standing));
        [
            Item::led(stopped(&title), stopped(standing)),
            Item::plain(self.meaning(choice, most_chars)),
            Item::plain(self.cost_and_time(choice)),
        ]
    }

    /// Consequences first; then, as far as there is room, what else decides.
    fn meaning(&self, choice: &Choice, most_chars: usize) -> String {
        let words = &self.phrases.letter;
        let mut parts: Vec<String> = Vec::new();
        let mut add = |template: &str, texts: &[String]| {
            for text in texts {
                let text = stopped(&self.plain(text));
                if !text.is_empty() {
                    parts.push(fill(template, &[("text", &text)]));
                }
            }
        };
        if choice.standing == Standing::Refused {
            add(&words.refused, choice.reasons_against.get(..1).unwrap_or_default());
        }
        let consequences = self.consequences(choice, most_chars);
        let consequences_chars = consequences.chars().count();
        add("{text}", std::slice::from_ref(&consequences));
        if choice.standing == Standing::Conditional {
            add(&words.conditions, &choice.conditions);
        }
        add(&words.because_for, choice.reasons_for.get(..1).unwrap_or_default());
        if choice.standing != Standing::Refused {
            add(&words.because_against, choice.reasons_against.get(..1).unwrap_or_default());
        }
        add(&words.leaves, choice.leaves.get(..1).unwrap_or_default());
        add(&words.would_change_choice, std::slice::from_ref(&choice.would_change));
        let mut meaning = String::new();
        for part in parts {
            let room = most_chars.saturating_sub(meaning.chars().count() + 1);
            if meaning.is_empty() {
                meaning = shorten(&part, most_chars.max(consequences_chars));
            } else if part.chars().count() <= room {
                meaning = format!("{meaning} {part}");
            } else {
                break;
            }
        }
        meaning
    }

    /// What happens if it is chosen, in so many characters: long names of circuits are cut before the text is. What is to be
    /// switched off is told whole, without the names if need be.
    fn consequences(&self, choice: &Choice, most_chars: usize) -> String {
        let told =
            |name_chars| stopped(&self.plain(&self.with_short_names(&choice.consequences, name_chars)));
        let fits = |text: &String| text.chars().count() <= most_chars;
        match NAME_CHARS.into_iter().map(told).find(fits) {
            Some(text) => text,
            None if choice.kind == ChoiceKind::MakeSafe => {
                shorten(&told(0), SWITCHED_OFF_CHARS.max(most_chars))
            }
            None => shorten(&told(NAME_CHARS[0]), most_chars),
        }
    }

    fn cost_and_time(&self, choice: &Choice) -> String {
        if choice.standing == Standing::Refused {
            return String::new();
        }
        let words = &self.phrases.letter;
        let money = match (self.quoted(choice), choice.price_usd) {
            (Some(quoted), _) => quoted,
            (None, None) => words.no_price.clone(),
            (None, Some((_, high))) if high <= 0.0 => words.price_nothing.clone(),
            (None, Some((low, high))) => {
                fill(&words.price, &[("low", &thousands(low)), ("high", &thousands(high))])
            }
        };
        let time = choice.hours_off.map_or_else(
            || words.no_hours.clone(),
            |(low, high)| match high {
                high if high <= 0.0 => words.hours_nothing.clone(),
                _ => fill(&words.hours, &[("hours", &range(low, high, 1))]),
            },
        );
        let parts = [money, time];
        parts
            .into_iter()
            .filter(|part| !part.is_empty())
            .map(|part| stopped(&part))
            .collect::<Vec<_>>()
            .join(" ")
    }
}

impl Letter<'_> {
    /// What was quoted for this option, the last one; it counts before the ranges of the policy.
    fn quoted(&self, choice: &Choice) -> Option<String> {
        let quotes = &self.job.replacement.quotes;
        let quote = quotes.iter().rev().find(|quote| quote.option == choice.kind.word())?;
        let (low, _, high) = quote.range_usd;
        let day = crate::number::long_date(self.phrases, quote.at.date());
        let (low, high) = (thousands(f64::from(low)), thousands(f64::from(high)));
        Some(fill(&self.phrases.letter.quoted, &[("day", &day), ("low", &low), ("high", &high)]))
    }
}

const fn rank(standing: Standing) -> u8 {
    match standing {
        Standing::Recommended => 0,
        Standing::Open => 1,
        Standing::Conditional => 2,
        Standing::Refused => 3,
    }
}

/// The term in the phrase file.
pub(crate) const fn standing_word(standing: Standing) -> &'static str {
    match standing {
        Standing::Recommended => "recommended",
        Standing::Open => "open",
        Standing::Conditional => "conditional",
        Standing::Refused => "refused",
    }
}
