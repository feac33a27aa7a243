//! Papers as PDF on US Letter, typeset in memory from a fixed template and the page tree as data.

mod prepare;
mod world;

use crate::page::Paper;
use typst_layout::PagedDocument;
pub use world::Fonts;
use world::Press;

/// Why a paper could not be set.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum PaperError {
    /// The page tree cannot be written as data.
    #[error("the content of `{paper}` cannot be written as data")]
    Data {
        /// File name of the paper.
        paper: String,
    },
    /// The template did not accept the content.
    #[error("`{paper}` cannot be set: {first}")]
    Setting {
        /// File name of the paper.
        paper: String,
        /// The first message of the typesetter.
        first: String,
    },
    /// Longer than its form promises, even at the smallest size of type.
    #[error("`{paper}` needs {pages} pages, {most} are promised")]
    TooLong {
        /// File name of the paper.
        paper: String,
        /// Pages it needs.
        pages: usize,
        /// Pages it may have.
        most: usize,
    },
}

/// Type is made smaller by these steps where a paper would be longer than its form promises.
const SHRINK: [f64; 6] = [1.0, 0.95, 0.9, 0.85, 0.8, 0.75];

impl Paper {
    /// The paper as PDF. Equal papers give equal bytes.
    ///
    /// # Errors
    /// Where the typesetter refuses the content, or the paper stays longer than its form promises.
    pub fn pdf(&self, fonts: &Fonts) -> Result<Vec<u8>, PaperError> {
        let mut pages = 0;
        for shrink in SHRINK {
            let smaller = Paper { text_size_pt: self.text_size_pt * shrink, ..self.clone() };
            let document = self.set(fonts, &smaller)?;
            pages = document.pages().len();
            if self.max_pages.is_none_or(|most| pages <= most) {
                return self.export(&document);
            }
        }
        Err(PaperError::TooLong {
            paper: self.file_name.clone(),
            pages,
            most: self.max_pages.unwrap_or(usize::MAX),
        })
    }

    fn set(&self, fonts: &Fonts, smaller: &Paper) -> Result<PagedDocument, PaperError> {
        let ready = prepare::ready(smaller, fonts);
        let data =
            serde_json::to_vec(&ready).map_err(|_| PaperError::Data { paper: self.file_name.clone() })?;
        let press = Press::new(fonts, data, &self.day);
        let output = typst::compile::<PagedDocument>(&press).output;
        // without this the cache of the typesetter grows with every paper
        comemo::evict(10);
        output.map_err(|errors| self.refused(errors.as_slice()))
    }

    fn export(&self, document: &PagedDocument) -> Result<Vec<u8>, PaperError> {
        let options = typst_pdf::PdfOptions {
            ident: typst::foundations::Smart::Custom(self.file_name.clone()),
            creator: typst::foundations::Smart::Custom(Some("Panelwright".to_owned())),
            ..typst_pdf::PdfOptions::default()
        };
        typst_pdf::pdf(document, &options).map_err(|errors| self.refused(errors.as_slice()))
    }

    fn refused(&self, errors: &[typst::diag::SourceDiagnostic]) -> PaperError {
        let first = errors.first().map(|error| error.message.to_string()).unwrap_or_default();
        PaperError::Setting { paper: self.file_name.clone(), first }
    }
}
