//! How small pages look; they prove nothing else.

use crate::html::{Piece, pieces};
use crate::shop::Shop;
use pages::Route;

/// The words of a page's content, without frame and tags.
fn words(html: &str) -> String {
    let mut lines = Vec::new();
    let mut inside = false;
    for piece in pieces(html) {
        match piece {
            Piece::Open { name, .. } if name == "main" => inside = true,
            Piece::Close(name) if name == "main" => inside = false,
            Piece::Text(text) if inside && !text.trim().is_empty() => lines.push(text.trim().to_owned()),
            _ => {}
        }
    }
    lines.join("\n")
}

#[test]
fn the_call_sheet_of_a_smell() {
    let mut shop = Shop::fresh();
    let form = shop
        .form(&Route::Call("J-1".to_owned()), "", "/jobs/J-1/call")
        .with(&[("a-smell", "fishy"), ("a-danger", "none")]);
    shop.send(&form);
    let page = words(&shop.page(&Route::Call("J-1".to_owned()), ""));
    let told = page.split("Ask further, or correct").next().unwrap_or_default();
    insta::assert_snapshot!(told);
}

#[test]
fn joining() {
    let page = Shop::fresh().page(&Route::Join, "code=482913");
    insta::assert_snapshot!(page.replace("><", ">\n<"));
}
