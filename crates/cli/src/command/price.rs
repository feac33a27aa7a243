//! `panelwright price`.

use super::code::{Told, with_job};
use super::outage::law_of;
use super::shop::{ShopArgs, read_text};
use crate::args::Global;
use crate::failure::{Ending, Failure};
use crate::outcome::day;
use crate::screen::Screen;
use crate::show::offer;
use clap::Args;
use jiff::ToSpan;
use model::advice::ChoiceKind;
use std::path::{Path, PathBuf};
use study::code::{Book, Edition};
use study::{Document, Offer, Press, PriceAsk};

/// Price every option: make safe, move, new interior, new panel, panel and service, each as an honest range.
///
/// Hours of the steps, parts by requirement, permit and utility, and surprises as allowances from how often they come
/// and what they cost. In eight of ten jobs like this the price lies in the range. What the code book cannot answer is
/// priced with and without. The price book is yours: copy the invented one of the demo and change every figure.
#[derive(Debug, Args)]
#[command(after_long_help = "\
Examples:
  panelwright price my-job.toml --book shop.csv
  panelwright price my-job.toml --option replace-panel
      every line of that option, with its materials
  panelwright schema prices > shop.csv
      the demo's price book, to copy and change")]
pub(crate) struct PriceArgs {
    /// A job file, or `-` for standard input.
    #[arg(value_name = "FILE")]
    file: PathBuf,

    #[command(flatten)]
    shop: ShopArgs,

    /// Text of the notice of cancelling that your state asks for, for the quote. Left out: that of `--data`, else none.
    #[arg(long, value_name = "FILE")]
    notice: Option<PathBuf>,

    /// Tell every line of this option.
    #[arg(long, value_name = "OPTION")]
    option: Option<String>,

    /// Spaces of a new panel. Left out: the smallest usual size with a fifth left.
    #[arg(long, value_name = "NUMBER", value_parser = clap::value_parser!(u16).range(2..=120))]
    spaces: Option<u16>,

    /// Panel, where there are several.
    #[arg(long, value_name = "PANEL")]
    panel: Option<String>,

    /// Folder for the quote on `--option` (else a new panel), as PDF and text.
    #[arg(long, value_name = "FOLDER")]
    out: Option<PathBuf>,

    /// Days for which the quote holds.
    #[arg(long, value_name = "NUMBER", default_value_t = 30, value_parser = clap::value_parser!(i32).range(1..=365))]
    valid_days: i32,

    /// Edition that decides what is contested. Left out: the adoption in the job file.
    #[arg(long, value_name = "YEAR")]
    edition: Option<Edition>,
}

/// Writes documents into a folder, which is made where it is not there.
pub(crate) fn write_all(folder: &Path, documents: &[Document]) -> Result<(), Failure> {
    let failed = |path: &Path| {
        let path = path.to_path_buf();
        move |source| Failure::Write { path, source }
    };
    std::fs::create_dir_all(folder).map_err(failed(folder))?;
    for document in documents {
        let path = folder.join(&document.file_name);
        std::fs::write(&path, &document.bytes).map_err(failed(&path))?;
    }
    Ok(())
}

pub(crate) fn run(args: &PriceArgs, global: &Global, screen: &mut Screen) -> Result<Ending, Failure> {
    let today = day(global);
    let only = match args.option.as_deref().map(|word| (word, study::option_of_word(word))) {
        None => None,
        Some((_, Some(option))) => Some(option),
        Some((word, None)) => {
            eprintln!("panelwright: `{word}` is no option that is priced: {}", offer::option_list());
            return Ok(Ending::InputErrors);
        }
    };
    with_job(&args.file, global, screen, |job| {
        let shop = match args.shop.read(today)? {
            Ok(shop) => shop,
            Err(ending) => return Ok(Err(ending)),
        };
        let notice = match &args.notice {
            Some(path) => read_text(path)?,
            None => shop.notice.clone(),
        };
        let code = Book::built_in();
        let chosen = law_of(job, &code, args.edition, today);
        let law = chosen.as_ref().and_then(|chosen| chosen.law(&code).ok());
        let ask = PriceAsk {
            panel: args.panel.as_deref(),
            spaces: args.spaces,
            book: &shop.book,
            past: &shop.past,
            law: law.as_ref(),
            day: today,
            seed: global.seed.unwrap_or(1),
            n_draws: study::DRAWS,
        };
        match study::price_options(job, &ask) {
            Ok(priced) => {
                if let Some(folder) = &args.out {
                    let option = only.unwrap_or(ChoiceKind::ReplacePanel);
                    let until = today.checked_add(args.valid_days.days()).unwrap_or(today);
                    let press = Press::new();
                    let offer = Offer { day: today, valid_until: until, notice: &notice };
                    let made = study::quote_documents(job, &priced, option, &offer, &press)?;
                    write_all(folder, &made)?;
                }
                let text = offer::prices(job, &priced, only);
                Ok(Ok(Told { text, json: study::price_json(&priced) }))
            }
            Err(error) => {
                eprintln!("panelwright: {error}");
                Ok(Err(Ending::InputErrors))
            }
        }
    })
}
