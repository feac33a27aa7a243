//! What is the shop's: its price book, its notice, what its jobs took, from files or from a data folder.

use crate::failure::{Ending, Failure};
use clap::Args;
use model::Date;
use std::path::{Path, PathBuf};
use store::{ShopText, Store};
use study::cards::Cards;
use study::{Past, PriceBook, Shop};

/// Where the shop's own things are.
#[derive(Debug, Args)]
pub(crate) struct ShopArgs {
    /// A data folder: its price book, its notice of cancelling, and what its jobs took and met.
    #[arg(long, value_name = "FOLDER")]
    data: Option<PathBuf>,

    /// The shop's price book, a CSV file. Left out: that of `--data`, else the invented one of the demo.
    #[arg(long, value_name = "FILE")]
    book: Option<PathBuf>,
}

impl ShopArgs {
    /// Reads it; a book that is wrong is told line by line.
    pub(crate) fn read(&self, today: Date) -> Result<Result<Shop, Ending>, Failure> {
        let mut shop = match &self.data {
            Some(folder) => of_data(folder, today)?,
            None => Shop::default(),
        };
        if let Some(path) = &self.book {
            match PriceBook::read(&read_text(path)?) {
                Ok(book) => shop.book = book,
                Err(bad) => {
                    for one in &bad {
                        eprintln!("panelwright: {}: {one}", path.display());
                    }
                    return Ok(Err(Ending::InputErrors));
                }
            }
        }
        Ok(Ok(shop))
    }
}

/// The text of a file.
pub(crate) fn read_text(path: &Path) -> Result<String, Failure> {
    std::fs::read_to_string(path).map_err(|source| Failure::Read { path: path.to_path_buf(), source })
}

fn of_data(folder: &Path, today: Date) -> Result<Shop, Failure> {
    super::runtime()?.block_on(async {
        let store = Store::open_reading(folder, super::rows::Rows::default().options()).await?;
        let mut shop = Shop::default();
        let newest = async |kind| Ok::<_, Failure>(store.shop_texts(kind).await?.into_iter().next());
        if let Some(stored) = newest(ShopText::Prices).await?.filter(|stored| !stored.text.is_empty())
            && let Ok(book) = PriceBook::read(&stored.text)
        {
            shop.book = book;
        }
        if let Some(stored) = newest(ShopText::Cards).await? {
            shop.cards = Cards::read(&stored.text).unwrap_or_default();
        }
        shop.notice = newest(ShopText::Notice).await?.map(|stored| stored.text).unwrap_or_default();
        let mut jobs = Vec::new();
        for summary in store.jobs().await? {
            let facts = store.facts(&summary.job).await?;
            jobs.extend(record::settle(&facts, Some(today)).job.as_ref().and_then(study::past_job));
        }
        store.close().await;
        shop.past = Past { jobs };
        Ok(shop)
    })
}
