//! Pieces of forms. Each piece carries its label, keeps what was typed after a refusal, and shows its mistakes.

mod of_job;
mod tiles;

pub(crate) use of_job::Spaces;
pub(crate) use tiles::Choice;

use crate::context::{Context, KNOWN};
use crate::fields::{FieldError, Fields, Refusal, plain};
use crate::route::Route;
use jiff::civil::DateTime;
use maud::{Markup, html};

/// A form that sends facts: with the hidden fields that every one carries, kept in the outbox by the script.
pub(crate) fn form(cx: &Context<'_>, action: &Route, body: Markup) -> Markup {
    form_as(cx, action, "", body)
}

/// As [`form_as`], for a page that stays when the entry waits for a network.
pub(crate) fn form_that_stays(cx: &Context<'_>, action: &Route, name: &str, body: Markup) -> Markup {
    html! {
        form method="post" action=(action) data-queue data-stay {
            (hidden(cx, name))
            input type="hidden" name="at" value="";
            (body)
        }
    }
}

/// As [`form`], for one of several forms of a page: `name` keeps their entries apart.
pub(crate) fn form_as(cx: &Context<'_>, action: &Route, name: &str, body: Markup) -> Markup {
    html! {
        form method="post" action=(action) data-queue {
            (hidden(cx, name))
            input type="hidden" name="at" value="";
            (body)
        }
    }
}

/// As [`form_as`], with the words by which people know its entry again while it waits.
pub(crate) fn form_titled(cx: &Context<'_>, action: &Route, name: &str, title: &str, body: Markup) -> Markup {
    html! {
        form method="post" action=(action) data-queue data-title=(title) {
            (hidden(cx, name))
            input type="hidden" name="at" value="";
            (body)
        }
    }
}

/// As [`form`], where the time is a field that people see.
pub(crate) fn form_with_time(cx: &Context<'_>, action: &Route, body: Markup) -> Markup {
    html! { form method="post" action=(action) data-queue { (hidden(cx, "")) (body) } }
}

/// As [`form`], for photos.
pub(crate) fn form_with_files(cx: &Context<'_>, action: &Route, body: Markup) -> Markup {
    html! {
        form method="post" action=(action) enctype="multipart/form-data" data-queue {
            (hidden(cx, ""))
            input type="hidden" name="at" value="";
            (body)
        }
    }
}

fn hidden(cx: &Context<'_>, name: &str) -> Markup {
    let entry = if name.is_empty() { cx.entry.to_owned() } else { format!("{}-{name}", cx.entry) };
    html! {
        input type="hidden" name="csrf" value=(cx.csrf);
        input type="hidden" name="entry" value=(entry);
        @if let Some(view) = cx.job { input type="hidden" name=(KNOWN) value=(view.facts.len()); }
    }
}

/// The row of main buttons at the bottom of a form, with the one that sends it.
pub(crate) fn submit(word: &str) -> Markup {
    html! { div.actions { button.big { (word) } } }
}

/// A form on its way: what was typed and what is wrong with it.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Sheet<'a> {
    values: &'a Fields,
    again: Option<&'a Refusal>,
    id: &'a str,
}

/// A field for a number, with big digits and keys.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Keypad<'a> {
    /// Name of the field.
    pub(crate) name: &'a str,
    /// What it asks.
    pub(crate) label: &'a str,
    /// Unit behind it.
    pub(crate) unit: &'a str,
    /// A hint, or nothing.
    pub(crate) hint: &'a str,
    /// Value where nothing was typed.
    pub(crate) value: Option<f64>,
    /// Must it be there?
    pub(crate) required: bool,
}

impl<'a> Sheet<'a> {
    /// A form with values from a query, or from what was refused.
    pub(crate) fn new(values: &'a Fields, again: Option<&'a Refusal>) -> Self {
        Sheet { values, again, id: "f" }
    }

    /// The same for one of several forms of a page: `id` keeps the ids of their fields apart.
    pub(crate) fn with_id(self, id: &'a str) -> Self {
        Sheet { id, ..self }
    }

    /// Is it shown again after a refusal?
    pub(crate) fn is_again(&self) -> bool {
        self.again.is_some()
    }

    /// The value to show: what was typed, else `usual`. After a refusal a blank stays blank.
    pub(crate) fn value(&self, name: &str, usual: &str) -> String {
        match self.values.text(name) {
            Some(text) => text.to_owned(),
            None if self.again.is_some() => String::new(),
            None => usual.to_owned(),
        }
    }

    /// Every value that was typed or chosen for a field.
    pub(crate) fn all_typed(&self, name: &str) -> Vec<String> {
        self.values.all(name).map(str::to_owned).collect()
    }

    fn chosen(&self, name: &str, usual: &[&str]) -> Vec<String> {
        let typed: Vec<String> = self.values.all(name).map(str::to_owned).collect();
        if typed.is_empty() && self.again.is_none() {
            return usual.iter().map(|&word| word.to_owned()).collect();
        }
        typed
    }

    fn errors(&self, name: &'a str) -> impl Iterator<Item = &'a FieldError> + use<'a> {
        let errors = self.again.map(|refusal| refusal.errors.as_slice()).unwrap_or_default();
        errors.iter().filter(move |error| error.field == name)
    }

    /// What is wrong with a field whose name is made for this page.
    pub(crate) fn errors_of(&self, name: &str) -> impl Iterator<Item = &'a FieldError> + use<'a> {
        let errors = self.again.map(|refusal| refusal.errors.as_slice()).unwrap_or_default();
        let own: Vec<&'a FieldError> = errors.iter().filter(|error| error.field == name).collect();
        own.into_iter()
    }

    /// Is something wrong with a field?
    pub(crate) fn is_wrong(&self, name: &'a str) -> bool {
        self.errors(name).next().is_some()
    }

    /// Id of the control of a field.
    pub(crate) fn id_of(&self, name: &str) -> String {
        format!("{}-{name}", self.id)
    }

    fn described(&self, name: &'a str, hint: &str) -> Option<String> {
        let id = self.id_of(name);
        let hint = (!hint.is_empty()).then(|| format!("{id}-hint"));
        let wrong = self.is_wrong(name).then(|| format!("{id}-error"));
        match (hint, wrong) {
            (Some(hint), Some(wrong)) => Some(format!("{hint} {wrong}")),
            (hint, wrong) => hint.or(wrong),
        }
    }

    /// What is wrong with one field, below it.
    pub(crate) fn error(&self, name: &'a str) -> Markup {
        let id = self.id_of(name);
        html! {
            @if self.is_wrong(name) {
                div id={ (id) "-error" } { @for error in self.errors(name) { span.error { (error.message) } } }
            }
        }
    }

    fn hint(&self, name: &str, hint: &str) -> Markup {
        html! { @if !hint.is_empty() { p.hint id={ (self.id_of(name)) "-hint" } { (hint) } } }
    }

    /// Every mistake, each with a link to its field; for the top of the form.
    pub(crate) fn error_list(&self) -> Markup {
        let Some(refusal) = self.again else { return Markup::default() };
        html! {
            div.error-list role="alert" tabindex="-1" {
                h2 { "Not saved yet" }
                @if refusal.errors.is_empty() { p { "Something in this form cannot be taken." } }
                ul {
                    @for error in &refusal.errors {
                        li {
                            @if error.field.is_empty() { (error.message) }
                            @else { a href={ "#" (self.id_of(&error.field)) } { (error.message) } }
                        }
                    }
                }
            }
        }
    }

    fn field(&self, name: &'a str, label: &str, hint: &str, control: Markup) -> Markup {
        html! {
            div.field.wrong[self.is_wrong(name)] {
                label for=(self.id_of(name)) { (label) }
                (self.hint(name, hint))
                (control)
                (self.error(name))
            }
        }
    }

    /// One line of text.
    pub(crate) fn text(&self, name: &'a str, label: &str, hint: &str, usual: &str) -> Markup {
        self.text_among(name, label, hint, usual, &[])
    }

    /// One line of text, with words that are often meant.
    pub(crate) fn text_among(
        &self,
        name: &'a str,
        label: &str,
        hint: &str,
        usual: &str,
        words: &[&str],
    ) -> Markup {
        let id = self.id_of(name);
        let list = (!words.is_empty()).then(|| format!("{id}-words"));
        let control = html! {
            input #(id) type="text" name=(name) value=(self.value(name, usual)) maxlength="120" autocomplete="off"
                list=[list.as_deref()] aria-describedby=[self.described(name, hint)]
                aria-invalid=[self.is_wrong(name).then_some("true")];
            @if let Some(list) = &list { datalist id=(list) { @for word in words { option value=(word) {} } } }
        };
        self.field(name, label, hint, control)
    }

    /// Several lines of text.
    pub(crate) fn words(&self, name: &'a str, label: &str, hint: &str, usual: &str) -> Markup {
        self.words_up_to(name, label, hint, usual, 4000)
    }

    /// Several lines of text, not longer than this.
    pub(crate) fn words_up_to(
        &self,
        name: &'a str,
        label: &str,
        hint: &str,
        usual: &str,
        most: usize,
    ) -> Markup {
        let control = html! {
            textarea #(self.id_of(name)) name=(name) maxlength=(most) rows="3"
                aria-describedby=[self.described(name, hint)]
                aria-invalid=[self.is_wrong(name).then_some("true")] { (self.value(name, usual)) }
        };
        self.field(name, label, hint, control)
    }

    /// A small whole number, for example of a row or a year.
    pub(crate) fn whole(&self, name: &'a str, label: &str, hint: &str, usual: Option<u16>) -> Markup {
        let usual = usual.map(|value| value.to_string()).unwrap_or_default();
        let control = html! {
            input.short #(self.id_of(name)) type="text" inputmode="numeric" name=(name)
                value=(self.value(name, &usual)) maxlength="6" autocomplete="off"
                aria-describedby=[self.described(name, hint)]
                aria-invalid=[self.is_wrong(name).then_some("true")];
        };
        self.field(name, label, hint, control)
    }

    /// A small number that may have a decimal point, without keys of its own.
    pub(crate) fn decimal(&self, name: &'a str, label: &str, hint: &str, usual: &str) -> Markup {
        let control = html! {
            input.short #(self.id_of(name)) type="text" inputmode="decimal" name=(name)
                value=(self.value(name, usual)) maxlength="8" autocomplete="off"
                aria-describedby=[self.described(name, hint)]
                aria-invalid=[self.is_wrong(name).then_some("true")];
        };
        self.field(name, label, hint, control)
    }

    /// A number with big digits; the script adds the keys.
    pub(crate) fn number(&self, ask: &Keypad<'a>) -> Markup {
        const KEYS: [(&str, &str); 12] = [
            ("7", "7"),
            ("8", "8"),
            ("9", "9"),
            ("4", "4"),
            ("5", "5"),
            ("6", "6"),
            ("1", "1"),
            ("2", "2"),
            ("3", "3"),
            (".", "."),
            ("0", "0"),
            ("back", "⌫"),
        ];
        self.pad(ask, "keys", &KEYS)
    }

    /// As [`Sheet::number`], with a key for the sign: a garage may be colder than zero.
    pub(crate) fn signed(&self, ask: &Keypad<'a>) -> Markup {
        const KEYS: [(&str, &str); 13] = [
            ("7", "7"),
            ("8", "8"),
            ("9", "9"),
            ("back", "⌫"),
            ("4", "4"),
            ("5", "5"),
            ("6", "6"),
            ("sign", "±"),
            ("1", "1"),
            ("2", "2"),
            ("3", "3"),
            (".", "."),
            ("0", "0"),
        ];
        self.pad(ask, "keys signed", &KEYS)
    }

    fn pad(&self, ask: &Keypad<'a>, class: &str, keys: &[(&str, &str)]) -> Markup {
        let spoken = |key: &str| match key {
            "back" => Some("Delete the last digit"),
            "sign" => Some("Below zero, or above again"),
            _ => None,
        };
        let usual = ask.value.map(plain).unwrap_or_default();
        let id = self.id_of(ask.name);
        html! {
            div.field.keypad.wrong[self.is_wrong(ask.name)] {
                label for=(id) { (ask.label) @if !ask.unit.is_empty() { span.off-screen { ", " (ask.unit) } } }
                (self.hint(ask.name, ask.hint))
                div.entry {
                    input #(id) type="text" inputmode="decimal" name=(ask.name) value=(self.value(ask.name, &usual))
                        maxlength="16" autocomplete="off" required[ask.required]
                        aria-describedby=[self.described(ask.name, ask.hint)]
                        aria-invalid=[self.is_wrong(ask.name).then_some("true")];
                    @if !ask.unit.is_empty() { span.unit aria-hidden="true" { (ask.unit) } }
                }
                div class=(class) {
                    @for (key, shown) in keys {
                        button type="button" data-key=(key) hidden aria-label=[spoken(key)] { (shown) }
                    }
                }
                (self.error(ask.name))
            }
        }
    }

    /// A choice from a list that opens: groups of (value, words); a group without a name stands by itself.
    pub(crate) fn select(
        &self,
        name: &'a str,
        label: &str,
        hint: &str,
        groups: &[(String, Vec<(String, String)>)],
        usual: &str,
    ) -> Markup {
        let value = self.value(name, usual);
        let options = |options: &[(String, String)]| {
            html! {
                @for (one, words) in options {
                    option value=(one) selected[*one == value] { (words) }
                }
            }
        };
        let control = html! {
            select #(self.id_of(name)) name=(name) aria-describedby=[self.described(name, hint)]
                aria-invalid=[self.is_wrong(name).then_some("true")] {
                @for (group, all) in groups {
                    @if group.is_empty() { (options(all)) } @else { optgroup label=(group) { (options(all)) } }
                }
            }
        };
        self.field(name, label, hint, control)
    }

    /// When it was: a field `at` that people see. Use [`form_with_time`] around it.
    pub(crate) fn moment(&self, label: &str, hint: &str, usual: Option<DateTime>) -> Markup {
        let usual = usual.map(|at| at.strftime("%Y-%m-%dT%H:%M").to_string()).unwrap_or_default();
        let control = html! {
            input #(self.id_of("at")) type="datetime-local" name="at" value=(self.value("at", &usual))
                aria-describedby=[self.described("at", hint)]
                aria-invalid=[self.is_wrong("at").then_some("true")];
        };
        self.field("at", label, hint, control)
    }

    /// A day.
    pub(crate) fn day(
        &self,
        name: &'a str,
        label: &str,
        hint: &str,
        usual: Option<jiff::civil::Date>,
    ) -> Markup {
        let usual = usual.map(|day| day.to_string()).unwrap_or_default();
        let control = html! {
            input.short #(self.id_of(name)) type="date" name=(name) value=(self.value(name, &usual))
                aria-describedby=[self.described(name, hint)]
                aria-invalid=[self.is_wrong(name).then_some("true")];
        };
        self.field(name, label, hint, control)
    }
}
