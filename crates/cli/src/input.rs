//! Job files: from what was named on the command line to texts.

use crate::failure::Failure;
use std::fs;
use std::io::{self, Read};
use std::path::{Path, PathBuf};

/// One job file to be read.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) enum Source {
    /// A file.
    File(PathBuf),
    /// Standard input.
    Stdin,
    /// A text that comes with the program, under a name.
    Embedded(&'static str, &'static str),
}

impl Source {
    /// The one that was named: a file, or `-` for standard input.
    pub(crate) fn one(path: &Path) -> Source {
        if path.as_os_str() == "-" { Source::Stdin } else { Source::File(path.to_path_buf()) }
    }
}

/// A job file that was read, or why not.
pub(crate) struct Input {
    /// As named by the user.
    pub(crate) name: String,
    /// The text.
    pub(crate) text: Result<String, Unread>,
}

/// Why a file was not read.
#[derive(Debug, thiserror::Error)]
pub(crate) enum Unread {
    /// It cannot be opened.
    #[error("cannot be read: {0}")]
    Io(#[from] io::Error),
    /// It is too large to be a job file.
    #[error("is too large to be a job file: {bytes} bytes, {} are allowed", record::limits::FILE_MAX_BYTES)]
    TooLarge {
        /// Its size.
        bytes: u64,
    },
    /// It is no text.
    #[error("is no text: byte {byte} is not UTF-8")]
    NotText {
        /// The first byte that is not.
        byte: usize,
    },
}

impl Unread {
    /// Code for other programs.
    pub(crate) fn code(&self) -> &'static str {
        match self {
            Unread::Io(_) => "unreadable",
            Unread::TooLarge { .. } => "too-large",
            Unread::NotText { .. } => "not-text",
        }
    }
}

/// All job files named: files as they stand, `-` for standard input, for a folder its .toml and .json files in the
/// order of their names.
pub(crate) fn sources(named: &[PathBuf]) -> Result<Vec<Source>, Failure> {
    let mut sources = Vec::new();
    for path in named {
        if path.as_os_str() == "-" {
            sources.push(Source::Stdin);
        } else if path.is_dir() {
            sources.extend(of_folder(path)?.into_iter().map(Source::File));
        } else {
            sources.push(Source::File(path.clone()));
        }
    }
    Ok(sources)
}

fn of_folder(folder: &Path) -> Result<Vec<PathBuf>, Failure> {
    let unread = |source| Failure::Read { path: folder.to_path_buf(), source };
    let mut files = Vec::new();
    for entry in fs::read_dir(folder).map_err(unread)? {
        let path = entry.map_err(unread)?.path();
        let is_job = path.extension().is_some_and(|extension| extension == "toml" || extension == "json");
        if is_job && path.is_file() {
            files.push(path);
        }
    }
    if files.is_empty() {
        return Err(Failure::NoJobFile { path: folder.to_path_buf() });
    }
    files.sort();
    Ok(files)
}

/// Reads a job file. That it cannot be read is part of the result: the others go on.
pub(crate) fn read(source: &Source) -> Input {
    match source {
        Source::File(path) => Input { name: path.display().to_string(), text: of_file(path) },
        Source::Stdin => Input { name: "-".to_owned(), text: of_reader(io::stdin().lock()) },
        Source::Embedded(name, text) => Input { name: (*name).to_owned(), text: Ok((*text).to_owned()) },
    }
}

fn of_file(path: &Path) -> Result<String, Unread> {
    of_reader(fs::File::open(path)?)
}

fn of_reader(reader: impl Read) -> Result<String, Unread> {
    let most = record::limits::FILE_MAX_BYTES as u64;
    let mut bytes = Vec::new();
    reader.take(most + 1).read_to_end(&mut bytes)?;
    if most < bytes.len() as u64 {
        return Err(Unread::TooLarge { bytes: bytes.len() as u64 });
    }
    String::from_utf8(bytes).map_err(|error| Unread::NotText { byte: error.utf8_error().valid_up_to() })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn bytes_that_are_no_text_are_told() {
        let unread = of_reader(&[b'a', 0xff, b'b'][..]).expect_err("not UTF-8");
        assert_eq!(unread.code(), "not-text");
        assert_eq!(unread.to_string(), "is no text: byte 1 is not UTF-8");
    }

    #[test]
    fn a_dash_is_standard_input() {
        let sources = sources(&[PathBuf::from("-"), PathBuf::from("a.toml")]).expect("nothing is opened");
        assert_eq!(sources, [Source::Stdin, Source::File(PathBuf::from("a.toml"))]);
    }
}
