//! The frame of every page.

/// A whole page.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Page {
    /// Title of the window.
    pub title: String,
    /// The whole HTML document.
    pub html: String,
}

/// A page that says what went wrong and what can be done.
pub fn failure_page(title: &str, message: &str, hint: &str) -> Page {
    let html = maud::html! { h1 { (title) } p { (message) } p { (hint) } a href="/" { "All jobs" } };
    Page { title: title.to_owned(), html: html.into_string() }
}
