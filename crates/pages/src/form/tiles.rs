//! Choices as large tiles: one of several, any of several, one box, yes or no.

use super::Sheet;
use maud::{Markup, html};

/// One choice of a pick: what is sent, what is read, and a hint or nothing.
pub(crate) type Choice<'a> = (&'a str, &'a str, &'a str);

impl<'a> Sheet<'a> {
    /// Tiles of which one is taken.
    pub(crate) fn pick(
        &self,
        name: &'a str,
        label: &str,
        hint: &str,
        choices: &[Choice<'_>],
        usual: &str,
    ) -> Markup {
        self.tiles(name, label, hint, choices, &[usual], Tiles::ONE)
    }

    /// Narrow tiles, for numbers and letters, of which one is taken.
    pub(crate) fn pick_narrow(
        &self,
        name: &'a str,
        label: &str,
        hint: &str,
        choices: &[Choice<'_>],
        usual: &str,
    ) -> Markup {
        self.tiles(name, label, hint, choices, &[usual], Tiles { class: "pick narrow", ..Tiles::ONE })
    }

    /// Tiles one below the other, for sentences, of which one is taken.
    pub(crate) fn pick_list(
        &self,
        name: &'a str,
        label: &str,
        hint: &str,
        choices: &[Choice<'_>],
        usual: &str,
    ) -> Markup {
        self.tiles(name, label, hint, choices, &[usual], Tiles { class: "pick list", ..Tiles::ONE })
    }

    /// Tiles of which any number is taken.
    pub(crate) fn pick_any(
        &self,
        name: &'a str,
        label: &str,
        hint: &str,
        choices: &[Choice<'_>],
        usual: &[&str],
    ) -> Markup {
        self.tiles(name, label, hint, choices, usual, Tiles { kind: "checkbox", ..Tiles::ONE })
    }

    /// Tiles one below the other, for sentences, of which any number is taken.
    pub(crate) fn pick_any_list(
        &self,
        name: &'a str,
        label: &str,
        hint: &str,
        choices: &[Choice<'_>],
        usual: &[&str],
    ) -> Markup {
        self.tiles(name, label, hint, choices, usual, Tiles { class: "pick list", kind: "checkbox" })
    }

    fn tiles(
        &self,
        name: &'a str,
        label: &str,
        hint: &str,
        choices: &[Choice<'_>],
        usual: &[&str],
        tiles: Tiles,
    ) -> Markup {
        let chosen = self.chosen(name, usual);
        let id = self.id_of(name);
        let class =
            if self.is_wrong(name) { format!("{} wrong", tiles.class) } else { tiles.class.to_owned() };
        html! {
            fieldset class=(class) id=(id) tabindex="-1" aria-describedby=[self.described(name, hint)] {
                legend { (label) }
                (self.hint(name, hint))
                div.tiles {
                    @for (value, word, more) in choices {
                        label {
                            input type=(tiles.kind) name=(name) value=(value)
                                checked[chosen.iter().any(|one| one == value)];
                            span { (word) @if !more.is_empty() { small { (more) } } }
                        }
                    }
                }
                (self.error(name))
            }
        }
    }

    /// One box to tick.
    pub(crate) fn tick(&self, name: &'a str, word: &str, hint: &str, usual: bool) -> Markup {
        let ticked = if self.again.is_some() { self.values.text(name).is_some() } else { usual };
        let ticked = ticked || self.values.text(name).is_some();
        html! {
            fieldset.pick.list {
                legend.off-screen { (word) }
                div.tiles {
                    label {
                        input id=(self.id_of(name)) type="checkbox" name=(name) value="yes" checked[ticked];
                        span { (word) @if !hint.is_empty() { small { (hint) } } }
                    }
                }
                (self.error(name))
            }
        }
    }

    /// The box beside a rating: it is not usual, and stands on the handle all the same.
    pub(crate) fn rating_sure(&self, name: &'a str, usual: bool) -> Markup {
        self.tick(name, "It really says so", "for a rating that breakers are not usually made in", usual)
    }

    /// Yes, no, not known.
    pub(crate) fn yes_no(&self, name: &'a str, label: &str, hint: &str, usual: Option<bool>) -> Markup {
        let usual = match usual {
            Some(true) => "yes",
            Some(false) => "no",
            None => "unknown",
        };
        let choices = [("yes", "Yes", ""), ("no", "No", ""), ("unknown", "Not known", "")];
        self.tiles(name, label, hint, &choices, &[usual], Tiles { class: "pick thirds", ..Tiles::ONE })
    }
}

#[derive(Debug, Clone, Copy)]
struct Tiles {
    class: &'static str,
    kind: &'static str,
}

impl Tiles {
    const ONE: Tiles = Tiles { class: "pick", kind: "radio" };
}
