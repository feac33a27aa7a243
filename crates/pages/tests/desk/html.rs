//! A reader of our own pages, small and strict: tags, attributes, and what a browser would send of a form.

use std::collections::BTreeMap;

/// A tag or a text, in the order of the page.
#[derive(Debug, Clone, PartialEq)]
pub(crate) enum Piece {
    Open { name: String, attributes: BTreeMap<String, String> },
    Close(String),
    Text(String),
}

/// The pieces of a page. Attributes must be quoted, as `maud` writes them.
pub(crate) fn pieces(html: &str) -> Vec<Piece> {
    let mut pieces = Vec::new();
    let mut rest = html;
    while let Some(start) = rest.find('<') {
        if 0 < start {
            pieces.push(Piece::Text(unescape(&rest[..start])));
        }
        let end = start + tag_end(&rest[start..]);
        let inner = rest[start + 1..end].trim_end_matches('/');
        match inner.strip_prefix('/') {
            Some(name) => pieces.push(Piece::Close(name.to_owned())),
            None if inner.starts_with('!') => {}
            None => pieces.push(open(inner)),
        }
        rest = &rest[end + 1..];
    }
    pieces
}

/// Where a tag ends: at the first `>` outside of quotes.
fn tag_end(tag: &str) -> usize {
    let mut quoted = false;
    let mut is_end = |c: char| {
        quoted ^= c == '"';
        c == '>' && !quoted
    };
    tag.find(&mut is_end).expect("every tag has an end")
}

fn open(inner: &str) -> Piece {
    let (name, mut rest) = inner.split_once(char::is_whitespace).unwrap_or((inner, ""));
    let mut attributes = BTreeMap::new();
    loop {
        rest = rest.trim_start();
        if rest.is_empty() {
            break;
        }
        let key_end = rest.find(|c: char| c == '=' || c.is_whitespace()).unwrap_or(rest.len());
        let (key, after) = rest.split_at(key_end);
        let value = match after.strip_prefix("=\"") {
            Some(quoted) => {
                let end = quoted.find('"').expect("a closing quote");
                rest = &quoted[end + 1..];
                unescape(&quoted[..end])
            }
            None => {
                rest = after;
                String::new()
            }
        };
        let twice = attributes.insert(key.to_owned(), value);
        assert_eq!(twice, None, "the attribute {key} stands twice in <{inner}>");
    }
    Piece::Open { name: name.to_owned(), attributes }
}

fn unescape(text: &str) -> String {
    text.replace("&lt;", "<").replace("&gt;", ">").replace("&quot;", "\"").replace("&amp;", "&")
}

/// A form as a browser would send it.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Form {
    pub(crate) action: String,
    /// Fields with their values, as rendered: ticked, chosen, written.
    pub(crate) fields: Vec<(String, String)>,
    /// Buttons that send it, by name and value.
    pub(crate) buttons: Vec<(String, String)>,
    /// Has it any button that sends it?
    pub(crate) can_be_sent: bool,
}

impl Form {
    /// A form that no page rendered.
    pub(crate) fn forged(action: String, fields: Vec<(String, String)>) -> Self {
        Form { action, fields, buttons: Vec::new(), can_be_sent: true }
    }

    /// The same with other values of some fields.
    pub(crate) fn with(mut self, changes: &[(&str, &str)]) -> Self {
        for (name, value) in changes {
            self.fields.retain(|(field, _)| field != name);
            self.fields.push(((*name).to_owned(), (*value).to_owned()));
        }
        self
    }

    /// The same, sent by one of its buttons.
    pub(crate) fn by(self, name: &str, value: &str) -> Self {
        let button = (name.to_owned(), value.to_owned());
        assert!(self.buttons.contains(&button), "no button {name}={value} among {:?}", self.buttons);
        self.with(&[(name, value)])
    }
}

/// The forms of a page, in order.
pub(crate) fn forms(html: &str) -> Vec<Form> {
    let mut forms: Vec<Form> = Vec::new();
    let mut inside = false;
    // Name and value of the select that is open, and whether its value was chosen.
    let mut select: Option<(String, Option<String>, bool)> = None;
    let mut textarea: Option<(String, String)> = None;
    for piece in pieces(html) {
        match piece {
            Piece::Open { name, attributes } => {
                let of = |key: &str| attributes.get(key).cloned().unwrap_or_default();
                let has = |key: &str| attributes.contains_key(key);
                match (name.as_str(), inside) {
                    ("form", _) => {
                        inside = true;
                        forms.push(Form {
                            action: of("action"),
                            fields: vec![],
                            buttons: vec![],
                            can_be_sent: false,
                        });
                    }
                    ("input", true) if has("name") => {
                        let is_choice = matches!(of("type").as_str(), "radio" | "checkbox");
                        if of("type") != "file" && (!is_choice || has("checked")) {
                            let form = forms.last_mut().expect("inside one");
                            form.fields.push((of("name"), of("value")));
                        }
                    }
                    ("button", true) if of("type") != "button" => {
                        let form = forms.last_mut().expect("inside one");
                        form.can_be_sent = true;
                        if has("name") {
                            form.buttons.push((of("name"), of("value")));
                        }
                    }
                    ("select", true) => select = Some((of("name"), None, false)),
                    ("option", true) => {
                        if let Some((_, value, chosen)) = &mut select
                            && (value.is_none() || (has("selected") && !*chosen))
                        {
                            *value = Some(of("value"));
                            *chosen |= has("selected");
                        }
                    }
                    ("textarea", true) => textarea = Some((of("name"), String::new())),
                    _ => {}
                }
            }
            Piece::Text(text) => {
                if let Some((_, value)) = &mut textarea {
                    value.push_str(&text);
                }
            }
            Piece::Close(name) => match name.as_str() {
                "form" => inside = false,
                "select" => {
                    if let Some((name, value, _)) = select.take() {
                        forms.last_mut().expect("inside one").fields.push((name, value.unwrap_or_default()));
                    }
                }
                "textarea" => {
                    if let Some((name, value)) = textarea.take().filter(|(name, _)| !name.is_empty()) {
                        forms.last_mut().expect("inside one").fields.push((name, value));
                    }
                }
                _ => {}
            },
        }
    }
    forms
}
