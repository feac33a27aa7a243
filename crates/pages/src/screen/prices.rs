//! The shop's price book, in and out as CSV, with its earlier versions; and its notice of cancelling.

use crate::context::Context;
use crate::fields::{FieldError, Fields, Refusal};
use crate::form::Sheet;
use crate::route::Route;
use crate::shell::{Page, shell};
use maud::{Markup, html};
use study::{PriceBook, Shop};

/// Most letters of a notice.
const NOTICE_MAX: usize = 8_000;

/// Mistakes of a book that are told; more of them are counted.
const TOLD_MAX: usize = 60;

/// What a form of the shop's page asks for.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum ShopChange {
    /// Another price book, as CSV; empty: the invented one.
    Prices(String),
    /// Another notice of cancelling; empty: none.
    Notice(String),
}

pub(crate) fn page(fields: &Fields, again: Option<&Refusal>, cx: &Context<'_>) -> Page {
    let sheet = Sheet::new(fields, again);
    let shop = cx.shop;
    let body = html! {
        p.lede { "What a price is made from. The figures are the shop’s to say, not the program’s." }
        (sheet.error_list())
        (warning(&shop.book))
        (in_force(shop, cx))
        (put_in(&sheet, cx))
        (lines(&shop.book))
        (earlier(shop, cx))
        (notice(&sheet, shop, cx))
    };
    shell(cx, "Price book", &Route::Prices, body)
}

/// The plain warning while a book is in force that is nobody's. Empty for a shop's own.
pub(crate) fn warning(book: &PriceBook) -> Markup {
    let (n, all) = (book.n_invented(), book.lines().len());
    html! {
        @if book.invented() {
            div.caution #invented-prices { p {
                strong { "Invented prices. " }
                @if 0 < n && n < all { (n) " of " (all) " lines of the price book still say that they are invented. " }
                @else { "The price book in force is invented: its figures are nobody’s. " }
                "Do not quote from them."
            } }
        }
    }
}

fn in_force(shop: &Shop, cx: &Context<'_>) -> Markup {
    let book = &shop.book;
    let (old, unasked, lacking) = (book.old(cx.now.date()), book.unasked(), book.lacking(cx.now.date()));
    html! {
        section.sheet #in-force {
            h2 { "In force" }
            p { strong { (book.title) } br; (shop.origin) br; span.quiet { (book.lines().len()) " lines" } }
            @if !lacking.is_empty() {
                p { strong { "No price today for: " } (lacking.join(", ")) ". A choice that needs one of them has no price." }
            }
            @if !old.is_empty() {
                p { strong { "A year old or older: " } (old.iter().map(|(item, from)| format!("{item} ({from})")).collect::<Vec<_>>().join(", ")) "." }
            }
            @if !unasked.is_empty() {
                p { strong { "No price asks for: " }
                    (unasked.iter().map(|(item, meant)| match meant {
                        Some(meant) => format!("{item} (is {meant} meant?)"),
                        None => item.clone(),
                    }).collect::<Vec<_>>().join(", ")) "." }
            }
            a.plain href={ (Route::Prices) "/price-book.csv" } download { "Take it as CSV" }
        }
    }
}

fn put_in(sheet: &Sheet<'_>, cx: &Context<'_>) -> Markup {
    html! {
        section.sheet #put-in {
            h2 { "Put in another" }
            p { "Take the book as CSV, change it in a table program, and send it here: one line a price, with its first day and its source. \
                 A line that is wrong is told with its number, and then nothing is stored. It needs the bench." }
            form method="post" action=(Route::Prices) enctype="multipart/form-data" {
                input type="hidden" name="csrf" value=(cx.csrf);
                div.field {
                    label for="f-book" { "The file" }
                    input #f-book type="file" name="book" accept=".csv,.txt,text/csv,text/plain";
                    (sheet.error("book"))
                }
                details.more open[sheet.is_wrong("text")] {
                    summary { "Or paste its text" }
                    (sheet.words_up_to("text", "Text of the book", "With its head: item,unit,price_usd,from,source", "", TEXT_MAX))
                }
                div.actions { button.big name="act" value="book" { "Check and put in force" } }
            }
            @if !cx.shop.earlier.is_empty() {
                form method="post" action=(Route::Prices) enctype="multipart/form-data" {
                    input type="hidden" name="csrf" value=(cx.csrf);
                    button.plain name="act" value="invented" { "Back to the invented book" }
                }
            }
        }
    }
}

/// Most letters of a book that is pasted.
pub(crate) const TEXT_MAX: usize = 60_000;

fn lines(book: &PriceBook) -> Markup {
    html! {
        section.sheet #lines {
            details.more {
                summary { "All lines" }
                ul.facts {
                    @for line in book.lines() {
                        li { strong { (line.item) } ": " (line.price) @if line.unit == "percent" { " %" } @else { " USD, " (line.unit) }
                            br; span.quiet { "from " (line.from) " · " (line.source) } }
                    }
                }
            }
        }
    }
}

fn earlier(shop: &Shop, _cx: &Context<'_>) -> Markup {
    html! {
        @if !shop.earlier.is_empty() {
            section.sheet #earlier {
                h2 { "All books that were in force" }
                p { "None is lost. A quote that was given keeps its own figures." }
                ul.rows {
                    @for one in &shop.earlier {
                        li.row {
                            p.grow { strong { (one.made) } br; (one.title) }
                            a.plain.small href={ (Route::Prices) "/price-book-" (one.number) ".csv" } download { "CSV" span.off-screen { " of " (one.made) } }
                        }
                    }
                }
            }
        }
    }
}

fn notice(sheet: &Sheet<'_>, shop: &Shop, cx: &Context<'_>) -> Markup {
    html! {
        section.sheet #notice {
            h2 { "Notice of cancelling" }
            p { "Your state may ask that a contract signed at a home carries a notice in given words. Put those words here: every quote \
                 prints them as they are. The program does not know them and does not check them." }
            @if shop.notice.is_empty() {
                div.note { p { "Not given. Each quote says that the notice must be attached, and by whom." } }
            }
            form method="post" action=(Route::Prices) enctype="multipart/form-data" {
                input type="hidden" name="csrf" value=(cx.csrf);
                (sheet.words_up_to("notice", "The notice", "Left empty: none.", &shop.notice, NOTICE_MAX))
                div.actions { button.big name="act" value="notice" { "Save the notice" } }
            }
        }
    }
}

/// What a form of the shop's page asks for; `file` is what was sent as a file.
///
/// # Errors
/// Everything that is wrong with it, by line, with what would be right. Then nothing is to be stored.
pub fn of_form(fields: &Fields, file: Option<&[u8]>) -> Result<ShopChange, Refusal> {
    let wrong = |field: &str, message: String| {
        Err(Refusal { errors: vec![FieldError { field: field.to_owned(), message }] })
    };
    match fields.text("act") {
        Some("invented") => Ok(ShopChange::Prices(String::new())),
        Some("notice") => {
            let text = fields.text("notice").unwrap_or_default().replace("\r\n", "\n");
            if NOTICE_MAX < text.chars().count() {
                return wrong(
                    "notice",
                    format!("The notice is longer than {NOTICE_MAX} letters; shorten it."),
                );
            }
            Ok(ShopChange::Notice(text))
        }
        Some("book") => {
            let pasted = fields.text("text").map(str::to_owned);
            let (field, text) = match (file, pasted) {
                (Some(_), Some(_)) => {
                    let message = "A file and a text were sent; send one of them.";
                    return wrong("book", message.to_owned());
                }
                (Some(bytes), None) => match std::str::from_utf8(bytes) {
                    Ok(text) => ("book", text.to_owned()),
                    Err(_) => {
                        let message = "The file is no text in UTF-8. In the table program choose “CSV UTF-8”, not a workbook.";
                        return wrong("book", message.to_owned());
                    }
                },
                (None, Some(text)) => ("text", text),
                (None, None) => return wrong("book", "Choose the file, or paste its text.".to_owned()),
            };
            let text = text.replace("\r\n", "\n");
            match PriceBook::read(&text) {
                Ok(_) => Ok(ShopChange::Prices(text)),
                Err(bad) => Err(told(field, &bad)),
            }
        }
        _ => wrong("", "Choose what to do with the price book.".to_owned()),
    }
}

fn told(field: &str, bad: &[study::BadPrice]) -> Refusal {
    let error = |message: String| FieldError { field: field.to_owned(), message };
    let mut errors: Vec<FieldError> = bad
        .iter()
        .take(TOLD_MAX)
        .map(|one| error(format!("{}.", study::words::capital(&one.to_string()))))
        .collect();
    if TOLD_MAX < bad.len() {
        errors.push(error(format!("And {} more.", bad.len() - TOLD_MAX)));
    }
    Refusal { errors }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn sent(pairs: &[(&str, &str)], file: Option<&[u8]>) -> Result<ShopChange, Vec<String>> {
        let fields =
            Fields::from_pairs(pairs.iter().map(|(name, value)| ((*name).to_owned(), (*value).to_owned())));
        of_form(&fields, file).map_err(|refusal| refusal.errors.into_iter().map(|one| one.message).collect())
    }

    #[test]
    fn a_book_comes_in_as_a_file_or_as_text_and_every_mistake_is_told() {
        let own = PriceBook::demo_text();
        let as_file = sent(&[("act", "book")], Some(own.as_bytes()));
        assert_eq!(as_file, Ok(ShopChange::Prices(own.to_owned())));
        assert_eq!(
            sent(&[("act", "book"), ("text", own)], None),
            Ok(ShopChange::Prices(own.trim().to_owned()))
        );
        let bad = own.replace("panel-12,each,118.00", "panel-12,box,cheap");
        let bad = sent(&[("act", "book")], Some(bad.as_bytes())).expect_err("two mistakes in one line");
        assert!(bad.len() == 2 && bad.iter().all(|one| one.starts_with("Line 10: ")), "{bad:?}");
        assert!(sent(&[("act", "book")], Some(&[0xff, 0xfe])).expect_err("no text")[0].contains("UTF-8"));
        assert!(sent(&[("act", "book")], None).is_err() && sent(&[], None).is_err());
    }

    #[test]
    fn the_notice_is_kept_as_it_is_and_taken_back_when_empty() {
        let text = "NOTICE\r\nYou may cancel.";
        let kept = sent(&[("act", "notice"), ("notice", text)], None);
        assert_eq!(kept, Ok(ShopChange::Notice("NOTICE\nYou may cancel.".to_owned())));
        assert_eq!(sent(&[("act", "notice")], None), Ok(ShopChange::Notice(String::new())));
    }
}
