//! The closed world in which a paper is set: one template, one data file, embedded fonts, the day as given.

use typst::diag::{FileError, FileResult};
use typst::foundations::{Bytes, Datetime, Duration};
use typst::syntax::{FileId, RootedPath, Source, VirtualPath, VirtualRoot};
use typst::text::{Font, FontBook};
use typst::utils::LazyHash;
use typst::{Library, LibraryExt, World};
use typst_kit::fonts::FontStore;

const TEMPLATE: &str = include_str!("paper.typ");

/// The fonts of the papers, loaded once.
pub struct Fonts {
    store: FontStore,
    library: LazyHash<Library>,
}

impl Fonts {
    /// Noto Sans for text, and the typesetter's own fonts for what it lacks. Nothing is read from the
    /// machine.
    pub fn embedded() -> Self {
        let mut store = FontStore::new();
        for data in
            [notosans::REGULAR_TTF, notosans::BOLD_TTF, notosans::ITALIC_TTF, notosans::BOLD_ITALIC_TTF]
        {
            for font in Font::iter(Bytes::new(data)) {
                let info = font.info().clone();
                store.push((font, info));
            }
        }
        store.extend(typst_kit::fonts::embedded());
        Fonts { store, library: LazyHash::new(Library::default()) }
    }

    /// Does any font have a glyph for this character?
    pub(super) fn covers(&self, mark: char) -> bool {
        (0..).map_while(|idx| self.store.book().info(idx)).any(|info| info.coverage.contains(mark.into()))
    }
}

impl std::fmt::Debug for Fonts {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.debug_struct("Fonts").finish_non_exhaustive()
    }
}

/// One paper about to be set.
pub(super) struct Press<'a> {
    fonts: &'a Fonts,
    template: Source,
    data_id: FileId,
    data: Bytes,
    day: Option<Datetime>,
}

impl<'a> Press<'a> {
    /// `day` is ISO.
    pub(super) fn new(fonts: &'a Fonts, data: Vec<u8>, day: &str) -> Self {
        let template = Source::new(file_id("/paper.typ"), TEMPLATE.to_owned());
        Press { fonts, template, data_id: file_id("/paper.json"), data: Bytes::new(data), day: datetime(day) }
    }
}

fn file_id(path: &str) -> FileId {
    let path = VirtualPath::new(path).expect("both paths are constants without dots");
    RootedPath::new(VirtualRoot::Project, path).intern()
}

fn datetime(day: &str) -> Option<Datetime> {
    let mut parts = day.splitn(3, '-');
    let year = parts.next()?.parse().ok()?;
    let month = parts.next()?.parse().ok()?;
    let day = parts.next()?.parse().ok()?;
    Datetime::from_ymd(year, month, day)
}

impl World for Press<'_> {
    fn library(&self) -> &LazyHash<Library> {
        &self.fonts.library
    }

    fn book(&self) -> &LazyHash<FontBook> {
        self.fonts.store.book()
    }

    fn main(&self) -> FileId {
        self.template.id()
    }

    fn source(&self, id: FileId) -> FileResult<Source> {
        if id == self.template.id() { Ok(self.template.clone()) } else { Err(FileError::AccessDenied) }
    }

    fn file(&self, id: FileId) -> FileResult<Bytes> {
        if id == self.data_id { Ok(self.data.clone()) } else { Err(FileError::AccessDenied) }
    }

    fn font(&self, index: usize) -> Option<Font> {
        self.fonts.store.font(index)
    }

    fn today(&self, _: Option<Duration>) -> Option<Datetime> {
        self.day
    }
}
