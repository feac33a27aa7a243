//! What was prepared for the replacement, as recorded: circuits as surveyed, answers to the list, chosen layouts.

use super::Record;
use super::facts::moment;
use crate::clean::clean;
use crate::number::plain;
use crate::page::Table;
use model::replacement::{Arrangement, Found, Seated, SurveyedCircuit};

impl Record<'_> {
    pub(super) fn prepared(&self) -> Table {
        let w = self.words;
        let mut table =
            Table::new(&[(&w.fact, 0.6), (&w.when, 1.9), (&w.slot, 1.0), (&w.what, 1.8), (&w.value, 5.4)]);
        let known = &self.job.replacement;
        for one in &known.circuits {
            let slot = self.slot(&one.slot);
            table.row([self.fact(&one.fact), moment(one.at), slot, w.surveyed.clone(), clean(&circuit(one))]);
        }
        for one in &known.surprises {
            let answer = match one.found {
                Found::Yes => &w.yes,
                Found::No => &w.no,
                Found::Unknown => &w.not_known,
            };
            let slot = one.slot.as_ref().map(|slot| self.slot(slot)).unwrap_or_default();
            let value = format!("{}: {answer} {}", one.question, one.words);
            table.row([self.fact(&one.fact), moment(one.at), slot, w.surprise.clone(), clean(value.trim())]);
        }
        for one in &known.arrangements {
            let value = arrangement(one);
            table.row([self.fact(&one.fact), moment(one.at), String::new(), w.layout.clone(), clean(&value)]);
        }
        table
    }
}

fn circuit(one: &SurveyedCircuit) -> String {
    let mut parts: Vec<String> = Vec::new();
    let words = [&one.name, &one.feeds, &one.room];
    parts.extend(words.into_iter().filter(|words| !words.is_empty()).cloned());
    parts.extend(one.poles.map(|poles| format!("{poles} poles")));
    parts.extend(one.rating.map(|rating| format!("{} A", plain(rating.a(), 1))));
    parts.extend(one.conductor.size.map(|size| size.to_string()));
    parts.extend(one.conductor.entry.map(|side| format!("in at the {}", format!("{side:?}").to_lowercase())));
    let down =
        one.conductor.entry_down.map(|down| format!("{} in below the top wall", plain(down.inches(), 1)));
    parts.extend(down);
    parts.extend(one.conductor.colour.clone());
    parts.extend(one.conductor.free_length.map(|length| format!("{} in free", plain(length.inches(), 1))));
    let flag = |name: &str, value: Option<bool>| {
        value.map(|value| format!("{name}: {}", if value { "yes" } else { "no" }))
    };
    parts.extend(flag("multiwire", one.multiwire));
    parts.extend(one.partner.map(|partner| format!("partner {partner}")));
    parts.extend(flag("ground", one.grounded));
    parts.extend(flag("for hours", one.continuous));
    parts.extend(flag("motor", one.motor));
    parts.extend((!one.together.is_empty()).then(|| format!("group {}", one.together)));
    parts.extend((!one.words.is_empty()).then(|| one.words.clone()));
    parts.join("; ")
}

fn arrangement(one: &Arrangement) -> String {
    let seats = one.seats.iter().map(|seat| {
        let what = match &seat.what {
            Seated::Circuit(slot) => slot.space.to_string(),
            Seated::New(name) => name.clone(),
        };
        let to: Vec<String> = seat.spaces.iter().map(ToString::to_string).collect();
        format!("{what} to {}{}", to.join("/"), if seat.locked { " (locked)" } else { "" })
    });
    format!("{} spaces: {}", one.new.n_spaces, seats.collect::<Vec<_>>().join(", "))
}
