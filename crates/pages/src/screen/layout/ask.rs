//! What the address of the page asks for: the new panel, what is decided, what is held, which of the layouts.

use crate::entry::words::with_query;
use crate::fields::Fields;
use crate::form::{Choice, Sheet};
use crate::route::Route;
use crate::screen::survey::panel_of;
use maud::{Markup, html};
use model::job::Job;
use model::panel::HalfWidth;
use model::replacement::HeldFor;
use study::{LaidOut, LayoutAsk, Origin};

/// Sizes of new panels that have a tile.
const SIZES: [&str; 7] = ["12", "20", "24", "30", "40", "42", "54"];
/// Nodes of the search for a page that must be there at once, and where somebody waits for it.
const EFFORT: (usize, usize) = (150, 4_000);
/// Free spaces that a new panel has beside its circuits, where nobody chose a size: common practice, no source.
const SPARE: usize = 6;

/// What the page is asked for.
pub(super) struct Asked {
    pub(super) job: String,
    pub(super) ask: LayoutAsk,
    pub(super) plan: usize,
    /// The circuit that is picked up.
    pub(super) pick: Option<Origin>,
    pub(super) long: bool,
}

impl Asked {
    /// From the fields of an address or a form; `None` where there is no panel.
    pub(super) fn of(job: &str, settled: &Job, fields: &Fields) -> Option<Self> {
        let panel = panel_of(settled, fields)?;
        let number = |name: &str| fields.text(name).and_then(|text| text.parse::<u16>().ok());
        let long = fields.text("long").is_some();
        let effort = if long { EFFORT.1 } else { EFFORT.0 };
        let chosen = study::current_layout(settled, &panel, effort);
        let size = number("spaces").filter(|spaces| (2..=84).contains(spaces));
        let mut ask = match (size, chosen) {
            // What was chosen comes up again as long as nothing else is asked.
            (None, Some(chosen)) => chosen,
            (size, _) => {
                let circuits = study::survey::circuits(settled, &panel);
                let poles: usize = circuits.iter().map(|circuit| usize::from(circuit.poles)).sum();
                let fits = |size: &u16| poles + SPARE <= usize::from(*size);
                let usual = || SIZES.iter().filter_map(|text| text.parse().ok()).find(fits);
                LayoutAsk::of_spaces(size.or_else(usual).unwrap_or(84))
            }
        };
        if size.is_some() {
            ask.locks = locks(fields);
            ask.hold =
                [("generator", HeldFor::Generator), ("solar", HeldFor::Solar), ("surge", HeldFor::Surge)]
                    .into_iter()
                    .filter(|(word, _)| fields.all("hold").any(|held| held == *word))
                    .map(|(_, held_for)| (held_for, Vec::new()))
                    .collect();
        }
        if fields.text("half").is_some() {
            ask.new.half_width = HalfWidth::Everywhere;
        }
        ask.panel = Some(panel.as_str().to_owned());
        ask.max_nodes = effort;
        let plan = number("plan").map(usize::from).unwrap_or(0);
        Some(Asked {
            job: job.to_owned(),
            ask,
            plan,
            pick: fields.text("pick").and_then(|text| text.parse().ok()),
            long,
        })
    }

    /// Names and values that ask for the same again.
    pub(super) fn pairs(&self, plan: usize) -> Vec<(&'static str, String)> {
        let mut pairs = vec![("spaces", self.ask.new.n_spaces.to_string())];
        pairs.extend(self.ask.panel.clone().map(|panel| ("panel", panel)));
        pairs.push(("plan", plan.to_string()));
        pairs.extend(self.ask.locks.iter().map(|(from, to)| ("lock", format!("{from}-{to}"))));
        pairs.extend(self.ask.hold.iter().map(|(held_for, _)| ("hold", held_word(*held_for).to_owned())));
        if self.ask.new.half_width != HalfWidth::Nowhere {
            pairs.push(("half", "yes".to_owned()));
        }
        if self.long {
            pairs.push(("long", "yes".to_owned()));
        }
        pairs
    }

    fn address(&self, pairs: &[(&'static str, String)]) -> String {
        let pairs: Vec<(&str, &str)> = pairs.iter().map(|(name, value)| (*name, value.as_str())).collect();
        format!("{}#new-panel", with_query(&Route::Layout(self.job.clone()), &pairs))
    }

    /// The page with one circuit picked up.
    pub(super) fn picking(&self, plan: usize, from: &Origin) -> String {
        let mut pairs = self.pairs(plan);
        pairs.push(("pick", from.to_string()));
        self.address(&pairs)
    }

    /// The page with one circuit put somewhere.
    pub(super) fn putting(&self, plan: usize, from: &Origin, to: u16) -> String {
        let moved = study::moved_seat(&self.ask, from, to);
        let asked = Asked { job: self.job.clone(), ask: moved, plan, pick: None, long: self.long };
        asked.address(&asked.pairs(plan))
    }

    /// The page as it stands, for the script to add `lock=from-to`.
    pub(super) fn dropping(&self, plan: usize) -> String {
        let address = self.address(&self.pairs(plan));
        address.trim_end_matches("#new-panel").to_owned()
    }

    pub(super) fn with_plan(&self, plan: usize) -> String {
        self.address(&self.pairs(plan))
    }

    pub(super) fn searched_longer(&self) -> String {
        let mut pairs = self.pairs(self.plan);
        pairs.push(("long", "yes".to_owned()));
        self.address(&pairs)
    }

    pub(super) fn has_locks(&self) -> bool {
        !self.ask.locks.is_empty()
    }

    pub(super) fn without_locks(&self) -> String {
        let pairs: Vec<_> = self.pairs(self.plan).into_iter().filter(|(name, _)| *name != "lock").collect();
        self.address(&pairs)
    }

    pub(super) fn locks_in_words(&self) -> String {
        let name = |from: &Origin| match from {
            Origin::Old(space) => space.to_string(),
            Origin::New(name) => format!("new {name}"),
        };
        let words = self.ask.locks.iter().map(|(from, to)| format!("{} into {to}", name(from)));
        words.collect::<Vec<_>>().join(", ")
    }

    /// The size of the new panel and what is held in it.
    pub(super) fn form(&self, sheet: &Sheet<'_>) -> Markup {
        let now = self.ask.new.n_spaces.to_string();
        let mut sizes: Vec<Choice<'_>> = SIZES.iter().map(|&size| (size, size, "")).collect();
        if !SIZES.contains(&now.as_str()) {
            sizes.push((&now, &now, ""));
        }
        let held: Vec<&str> = self.ask.hold.iter().map(|(held_for, _)| held_word(*held_for)).collect();
        html! {
            details.more open[self.pick.is_none() && !self.has_locks()] {
                summary { "The new panel: " (now) " spaces" }
                form method="get" action=(Route::Layout(self.job.clone())) {
                    @if let Some(panel) = &self.ask.panel { input type="hidden" name="panel" value=(panel); }
                    (sheet.pick_narrow("spaces", "Spaces", "By what it must have, not by make.", &sizes, &now))
                    (sheet.pick_any("hold", "Hold a place for", "The usual one; the label of the new panel decides.", &[
                        ("generator", "Generator", ""), ("solar", "Solar or battery", ""), ("surge", "Surge device", ""),
                    ], &held))
                    (sheet.pick_any_list("half", "Half-width breakers", "Two circuits in one space, where there are not spaces enough. Only what the label permits.", &[
                        ("yes", "The label permits them everywhere", ""),
                    ], if self.ask.new.half_width == HalfWidth::Nowhere { &[] } else { &["yes"] }))
                    button.big { "Lay out" }
                }
            }
        }
    }

    /// What is picked up, and how to put it down again.
    pub(super) fn picked(&self, laid_out: &LaidOut) -> Markup {
        let words = self.pick.as_ref().and_then(|from| {
            let at = (0..laid_out.circuits.len()).find(|&it| laid_out.origin(it).as_ref() == Some(from))?;
            let words = &laid_out.circuits[at].1;
            Some(match from {
                Origin::Old(space) => format!("was {space}, {words}"),
                Origin::New(_) => words.clone(),
            })
        });
        html! {
            @match words {
                Some(words) => div.note {
                    p { strong { "In hand: " } (words) ". Tap the space where it goes." }
                    p { a.plain.small href=(self.with_plan(self.plan)) { "Put it back" } }
                },
                None => p { "Tap a circuit, then the space where it goes; or drag it by its grip." },
            }
        }
    }
}

fn held_word(held_for: HeldFor) -> &'static str {
    match held_for {
        HeldFor::Generator => "generator",
        HeldFor::Solar => "solar",
        HeldFor::Surge => "surge",
        HeldFor::Spare => "spare",
        HeldFor::Other => "other",
    }
}

/// Locks of an address; of two of one circuit, or for one place, the later.
fn locks(fields: &Fields) -> Vec<(Origin, u16)> {
    let mut all: Vec<(Origin, u16)> = Vec::new();
    for text in fields.all("lock").take(84) {
        // A name may have the sign in it, a number has not.
        let pair = text.rsplit_once('-').and_then(|(from, to)| Some((from.parse().ok()?, to.parse().ok()?)));
        if let Some((from, to)) = pair {
            all.retain(|(old, new): &(Origin, u16)| *old != from && *new != to);
            all.push((from, to));
        }
    }
    all
}
