//! The shop's address cards: kept in every version, changed on the bench.

use crate::bench::Bench;
use crate::clock;
use crate::entry::again;
use crate::failure::{Failure, is_script};
use crate::members::Member;
use crate::page::Ground;
use crate::sent::Sent;
use axum::Extension;
use axum::extract::{Request, State};
use axum::response::{IntoResponse, Redirect, Response};
use pages::Route;
use store::{ShopText, ShopVersion};
use study::cards::Cards;

/// The cards in force, and whose they are, in a sentence.
pub(crate) fn of_stored(stored: Option<&ShopVersion>) -> (Cards, String) {
    let Some(stored) = stored else {
        return (Cards::demo(), "The invented cards of the demo.".to_owned());
    };
    let day = clock::civil(stored.made).date();
    match Cards::read(&stored.text) {
        Ok(cards) => {
            (cards, format!("The shop’s own, version {} in this data folder, of {day}.", stored.number))
        }
        // Written by a newer program. Nothing stands in for what a utility said.
        Err(_) => (
            Cards::default(),
            "The shop’s own cards cannot be read by this program: none is used.".to_owned(),
        ),
    }
}

/// Takes a card that was put in, changed or taken out.
pub(crate) async fn take(
    State(bench): State<Bench>,
    Extension(member): Extension<Member>,
    request: Request,
) -> Result<Response, Failure> {
    let headers = request.headers().clone();
    let sent = Sent::of(request).await?;
    sent.check_token(&member.csrf)?;
    let fields = sent.fields();
    let shop = bench.shop().await?;
    // With the first own card the invented ones go.
    let before = if shop.cards.invented() { Cards::default() } else { shop.cards.clone() };
    match pages::cards_of_form(&fields, &before) {
        Ok(cards) => {
            bench.put_text(ShopText::Cards, &cards.write(), &member).await?;
            Ok(Redirect::to(&Route::Cards.to_string()).into_response())
        }
        Err(refusal) => {
            let ground = Ground::of(&bench, &Route::Cards, Some(&member), &headers).await?;
            again(is_script(&headers), Route::Cards, fields, refusal, ground).await
        }
    }
}
