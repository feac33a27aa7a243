//! The shop's price book and notice of cancelling: kept in every version, changed on the bench, given back as CSV.

use crate::bench::Bench;
use crate::clock;
use crate::entry::again;
use crate::failure::{Failure, is_script};
use crate::members::Member;
use crate::page::Ground;
use crate::sent::Sent;
use crate::trouble::trouble;
use axum::Extension;
use axum::extract::{Path, Request, State};
use axum::http::HeaderValue;
use axum::http::header::{CONTENT_DISPOSITION, CONTENT_TYPE};
use axum::response::{IntoResponse, Redirect, Response};
use pages::{Route, ShopChange};
use std::sync::Arc;
use store::{ShopText, ShopVersion};
use study::{EarlierBook, PriceBook, Shop};

/// Largest form of the shop's page: a book of many thousand lines is far below.
pub(crate) const SHOP_MAX_BYTES: usize = 1024 * 1024;

impl Bench {
    /// What is the shop's, without its past jobs.
    ///
    /// # Errors
    /// The store fails.
    pub(crate) async fn shop(&self) -> Result<Arc<Shop>, Failure> {
        self.inner.shop.get(self.read_shop()).await
    }

    /// Puts a text of the shop in force.
    ///
    /// # Errors
    /// The store fails.
    pub(crate) async fn put_text(&self, kind: ShopText, text: &str, by: &Member) -> Result<(), Failure> {
        let stored = self.inner.store.put_shop_text(kind, text, Some(&by.id), store::now_ms()).await;
        stored.map_err(|error| trouble(&error))?;
        self.inner.shop.forget().await;
        Ok(())
    }

    async fn read_shop(&self) -> Result<Shop, Failure> {
        let texts = async |kind| self.inner.store.shop_texts(kind).await.map_err(|error| trouble(&error));
        let (books, notices) = (texts(ShopText::Prices).await?, texts(ShopText::Notice).await?);
        let mut shop = Shop::default();
        if let Some(stored) = books.first() {
            (shop.book, shop.origin) = of_stored(stored);
        }
        shop.earlier = books.iter().map(earlier).collect();
        shop.notice = notices.into_iter().next().map(|stored| stored.text).unwrap_or_default();
        (shop.cards, shop.cards_origin) = crate::cards::of_stored(texts(ShopText::Cards).await?.first());
        Ok(shop)
    }
}

fn of_stored(stored: &ShopVersion) -> (PriceBook, String) {
    let day = clock::civil(stored.made).date();
    if stored.text.is_empty() {
        return (PriceBook::demo(), format!("The invented book of the demo, put in force again on {day}."));
    }
    match PriceBook::read(&stored.text) {
        Ok(book) => (book, format!("The shop’s own, version {} in this data folder, of {day}.", stored.number)),
        // Written by a newer program: it is said, and the book that stands in is marked as invented.
        Err(_) => (
            PriceBook::demo(),
            "The shop’s own price book cannot be read by this program: the invented one stands in until it is put right."
                .to_owned(),
        ),
    }
}

fn earlier(stored: &ShopVersion) -> EarlierBook {
    let title = match PriceBook::read(text_of(stored)) {
        Ok(book) => book.title,
        Err(_) => "cannot be read by this program".to_owned(),
    };
    let made = clock::civil(stored.made).strftime("%Y-%m-%d %H:%M").to_string();
    EarlierBook { number: stored.number, made, title }
}

fn text_of(stored: &ShopVersion) -> &str {
    if stored.text.is_empty() { PriceBook::demo_text() } else { &stored.text }
}

/// Takes a changed price book or notice.
pub(crate) async fn take(
    State(bench): State<Bench>,
    Extension(member): Extension<Member>,
    request: Request,
) -> Result<Response, Failure> {
    let headers = request.headers().clone();
    let sent = Sent::of(request).await?;
    sent.check_token(&member.csrf)?;
    let fields = sent.fields();
    match pages::shop_of_form(&fields, sent.files.first().map(Vec::as_slice)) {
        Ok(change) => {
            let (kind, text) = match change {
                ShopChange::Prices(text) => (ShopText::Prices, text),
                ShopChange::Notice(text) => (ShopText::Notice, text),
            };
            bench.put_text(kind, &text, &member).await?;
            Ok(Redirect::to(&Route::Prices.to_string()).into_response())
        }
        Err(refusal) => {
            let ground = Ground::of(&bench, &Route::Prices, Some(&member), &headers).await?;
            again(is_script(&headers), Route::Prices, fields, refusal, ground).await
        }
    }
}

/// Gives a price book back as CSV: `price-book.csv`, the one in force, or `price-book-3.csv`, that version.
pub(crate) async fn give(State(bench): State<Bench>, Path(file): Path<String>) -> Result<Response, Failure> {
    let wanted = file.strip_prefix("price-book").and_then(|rest| rest.strip_suffix(".csv"));
    let wanted = wanted.ok_or_else(Failure::not_found)?;
    let books = bench.inner.store.shop_texts(ShopText::Prices).await.map_err(|error| trouble(&error))?;
    let found = match wanted.strip_prefix('-') {
        Some(number) => {
            let number: i64 = number.parse().map_err(|_| Failure::not_found())?;
            Some(books.iter().find(|one| one.number == number).ok_or_else(Failure::not_found)?)
        }
        None if wanted.is_empty() => books.first(),
        None => return Err(Failure::not_found()),
    };
    let text = found.map_or(PriceBook::demo_text(), text_of).to_owned();
    let disposition = HeaderValue::from_str(&format!("attachment; filename=\"{file}\""));
    let headers = [
        (CONTENT_TYPE, HeaderValue::from_static("text/csv; charset=utf-8")),
        (CONTENT_DISPOSITION, disposition.unwrap_or(HeaderValue::from_static("attachment"))),
    ];
    Ok((headers, text).into_response())
}
