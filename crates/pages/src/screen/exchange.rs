//! The exchange with a shop, started from the laptop's own bench.

use crate::context::Context;
use crate::fields::{FieldError, Fields, Refusal};
use crate::form::{Sheet, form};
use crate::route::Route;
use crate::shell::{Page, shell};
use maud::{Markup, html};

/// What the page is made from.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct ExchangeGround {
    /// Does the one who looks sit at the machine that the bench runs on?
    pub here: bool,
    /// The shop of the last time.
    pub shop: String,
    /// What is being done, while an exchange runs.
    pub running: Option<String>,
    /// What the last one since the start of the program came to.
    pub last: Option<Exchanged>,
}

/// What an exchange came to.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Exchanged {
    /// When it ended, in words.
    pub at: String,
    /// Why it ended early, with what to do next.
    pub failed: Option<(String, String)>,
    /// What went over.
    pub lines: Vec<String>,
    /// What must be looked at, by job.
    pub open: Vec<(String, String)>,
}

/// What was asked for.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ExchangeAsk {
    /// Address of the shop.
    pub shop: String,
    /// Code to join by, the first time.
    pub code: Option<String>,
    /// Name of this machine there.
    pub name: String,
    /// Certificate that vouches for the shop, where one was given.
    pub authority: Option<String>,
}

/// Reads the form.
///
/// # Errors
/// No address, or a certificate that is none.
pub fn exchange_of_form(fields: &Fields) -> Result<ExchangeAsk, Refusal> {
    let own =
        |name: &str| fields.text(name).map(|text| text.trim().to_owned()).filter(|text| !text.is_empty());
    let mut errors = Vec::new();
    let mut wrong = |field: &str, message: &str| {
        errors.push(FieldError { field: field.to_owned(), message: message.to_owned() })
    };
    let shop = own("shop").unwrap_or_default();
    let shop = shop.trim_end_matches('/').to_owned();
    if !shop.starts_with("https://") && !shop.starts_with("http://") {
        wrong("shop", "Write the address as https://host:port.");
    }
    let authority = own("authority");
    if authority.as_ref().is_some_and(|pem| !pem.contains("-----BEGIN CERTIFICATE-----")) {
        wrong("authority", "This is no certificate: paste the whole text of authority.crt.");
    }
    if !errors.is_empty() {
        return Err(Refusal { errors });
    }
    let name = own("name").unwrap_or_else(|| "a laptop".to_owned());
    Ok(ExchangeAsk { shop, code: own("code"), name, authority })
}

/// The page.
pub fn exchange_page(
    ground: &ExchangeGround,
    fields: &Fields,
    again: Option<&Refusal>,
    cx: &Context<'_>,
) -> Page {
    let sheet = Sheet::new(fields, again);
    let body = html! {
        p.lede { "A laptop that was away gives the shop what it recorded, and takes what the shop has. Nothing is overwritten: both sides keep both, and what contradicts is told." }
        (sheet.error_list())
        @if let Some(running) = &ground.running {
            div.note { p role="status" { "An exchange is running: " (running) ". Load the page again in a minute. The bench can be used meanwhile." } }
        } @else if !ground.here {
            div.note { p { "It is started at the laptop itself, on the machine that this bench runs on, not from another device." } }
        } @else {
            (form(cx, &Route::Exchange, html! {
                section.sheet {
                    h2 { "Exchange with the shop" }
                    (sheet.text("shop", "Address of the shop", "https://host:port", &ground.shop))
                    details.more open[ground.shop.is_empty() || sheet.is_again()] {
                        summary { "The first time" }
                        (sheet.text("code", "Code", "From the page Devices of the shop. It is good once.", ""))
                        (sheet.text("name", "Name of this laptop there", "", "laptop"))
                        (sheet.words("authority", "Certificate of the shop", "The text of authority.crt, which phones install, too. Left empty: the one from the last time, else those of this system.", ""))
                    }
                    div.actions { button.big { "Exchange now" } }
                }
            }))
        }
        @if let Some(last) = &ground.last { (outcome(last)) }
        p.links { a.plain.small href=(Route::Devices) { "Devices" } }
    };
    shell(cx, "Exchange", &Route::Exchange, body)
}

fn outcome(last: &Exchanged) -> Markup {
    html! {
        section.sheet {
            h2 { "The last exchange" }
            p.quiet { "Ended " (last.at) "." }
            @if let Some((why, hint)) = &last.failed {
                div.caution { p role="status" { strong { "It ended early: " (why) "." } " Next: " (hint) ". What went over is stored on both sides." } }
            }
            ul { @for line in &last.lines { li { (line) } } }
            @if !last.open.is_empty() {
                h3 { "To look at" }
                ul.rows {
                    @for (job, words) in &last.open {
                        li.row { span.grow { (words) } a.plain.small href=(Route::Bench(job.clone())) { (job) } }
                    }
                }
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn asked(pairs: &[(&str, &str)]) -> Result<ExchangeAsk, Vec<String>> {
        let pairs = pairs.iter().map(|(name, value)| ((*name).to_owned(), (*value).to_owned()));
        let refusal = |refusal: Refusal| refusal.errors.into_iter().map(|error| error.field).collect();
        exchange_of_form(&Fields::from_pairs(pairs)).map_err(refusal)
    }

    #[test]
    fn the_form_is_read_or_refused_field_by_field() {
        let ask = asked(&[("shop", " https://bench.shop.example:7117/ "), ("code", ""), ("name", "JD")]);
        let ask = ask.expect("an address is enough");
        assert_eq!(
            (ask.shop.as_str(), ask.code, ask.authority),
            ("https://bench.shop.example:7117", None, None)
        );
        let both = asked(&[("shop", "bench.shop.example"), ("authority", "a key")]).expect_err("neither");
        assert_eq!(both, ["shop", "authority"]);
    }
}
