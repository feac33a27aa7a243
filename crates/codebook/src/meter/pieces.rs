//! Cutting of an XML byte stream at places where a piece can be read by itself.

/// The stream is not the XML that is read here.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum BadXml {
    /// A document type: entities could be declared in it.
    #[error(
        "the file declares a document type at byte {at}; entities are not expanded, and such files are not read"
    )]
    Doctype {
        /// Byte.
        at: u64,
    },
    /// Another encoding.
    #[error("the file is UTF-16; save it as UTF-8")]
    Utf16,
    /// One piece of markup or text without end.
    #[error("markup or text from byte {at} on does not end within {most} bytes")]
    Endless {
        /// Byte.
        at: u64,
        /// Limit.
        most: usize,
    },
    /// Not well formed.
    #[error("not well-formed XML near byte {at}: {message}")]
    Form {
        /// Byte.
        at: u64,
        /// What the reader says.
        message: String,
    },
    /// Another kind of file.
    #[error("the root element is `{root}`; an ESPI file has `feed` or `entry`")]
    ForeignRoot {
        /// Name.
        root: String,
    },
    /// The file ends inside an element.
    #[error("the file ends inside `{element}`: it is cut off")]
    CutOff {
        /// Element.
        element: String,
    },
    /// Not the few elements of ESPI.
    #[error("the file has more than {most} kinds of elements: it is no ESPI file")]
    ManyElements {
        /// Limit.
        most: usize,
    },
    /// Nothing in it.
    #[error("the file is empty")]
    Empty,
    /// A number that is none, or a time that cannot be.
    #[error("`{text}` in `{element}` near byte {at} is not a number that it may be")]
    Number {
        /// Element.
        element: String,
        /// Text.
        text: String,
        /// Byte.
        at: u64,
    },
}

/// Longest markup or text, comments included, that is kept in memory.
const MOST_MARKUP: usize = 4 << 20;

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Inside {
    Text,
    Tag(Option<u8>),
    Comment,
    CData,
    Instruction,
}

/// Bytes that were fed and not read yet.
#[derive(Debug)]
pub(crate) struct Pieces {
    pending: Vec<u8>,
    /// Bytes taken out before `pending`.
    before: u64,
    /// How far `pending` was looked through.
    seen: usize,
    /// End of the last complete markup in it.
    cut: usize,
    /// Start of the markup that is open.
    open: usize,
    inside: Inside,
}

impl Pieces {
    pub(crate) fn new() -> Self {
        Pieces { pending: vec![], before: 0, seen: 0, cut: 0, open: 0, inside: Inside::Text }
    }

    /// Bytes fed so far.
    pub(crate) fn bytes(&self) -> u64 {
        self.before + self.pending.len() as u64
    }

    /// Where `pending` starts in the file.
    pub(crate) fn start(&self) -> u64 {
        self.before
    }

    pub(crate) fn feed(&mut self, bytes: &[u8]) -> Result<(), BadXml> {
        self.pending.extend_from_slice(bytes);
        if self.before == 0 {
            if self.pending.starts_with(&[0xff, 0xfe]) || self.pending.starts_with(&[0xfe, 0xff]) {
                return Err(BadXml::Utf16);
            }
            if self.pending.starts_with(&[0xef, 0xbb, 0xbf]) {
                self.pending.drain(..3);
                self.before = 3;
                self.seen = self.seen.saturating_sub(3);
            }
        }
        self.look()
    }

    /// What can be read by itself.
    pub(crate) fn ready(&self) -> &[u8] {
        &self.pending[..self.cut]
    }

    /// What is left when the stream has ended.
    pub(crate) fn rest(&self) -> &[u8] {
        &self.pending[self.cut..]
    }

    /// Is markup open at the end?
    pub(crate) fn is_inside(&self) -> bool {
        self.inside != Inside::Text
    }

    /// Drops what was read.
    pub(crate) fn taken(&mut self) {
        self.pending.drain(..self.cut);
        self.before += self.cut as u64;
        self.seen -= self.cut;
        self.open = self.open.saturating_sub(self.cut);
        self.cut = 0;
    }

    fn look(&mut self) -> Result<(), BadXml> {
        while self.seen < self.pending.len() {
            let byte = self.pending[self.seen];
            match self.inside {
                Inside::Text => {
                    if byte != b'<' {
                        self.seen += 1;
                        continue;
                    }
                    // Which markup it is shows within nine bytes.
                    let ahead = &self.pending[self.seen..];
                    let undecided = ahead.len() < 9 && (ahead.len() < 2 || ahead[1] == b'!');
                    if undecided {
                        return Ok(());
                    }
                    self.open = self.seen;
                    self.inside = if ahead.starts_with(b"<!--") {
                        Inside::Comment
                    } else if ahead.starts_with(b"<![CDATA[") {
                        Inside::CData
                    } else if ahead.starts_with(b"<!") {
                        return Err(BadXml::Doctype { at: self.before + self.seen as u64 });
                    } else if ahead.starts_with(b"<?") {
                        Inside::Instruction
                    } else {
                        Inside::Tag(None)
                    };
                    self.seen += match self.inside {
                        Inside::Comment => 4,
                        Inside::CData => 9,
                        Inside::Instruction => 2,
                        _ => 1,
                    };
                }
                Inside::Tag(None) => match byte {
                    b'>' => self.close(),
                    b'"' | b'\'' => {
                        self.inside = Inside::Tag(Some(byte));
                        self.seen += 1;
                    }
                    _ => self.seen += 1,
                },
                Inside::Tag(Some(quote)) => {
                    if byte == quote {
                        self.inside = Inside::Tag(None);
                    }
                    self.seen += 1;
                }
                Inside::Comment => self.look_for(byte, b"--"),
                Inside::CData => self.look_for(byte, b"]]"),
                Inside::Instruction => self.look_for(byte, b"?"),
            }
        }
        // Text without markup is held back too, until the next one ends.
        if MOST_MARKUP < self.seen - self.cut {
            return Err(BadXml::Endless { at: self.before + self.cut as u64, most: MOST_MARKUP });
        }
        Ok(())
    }

    fn look_for(&mut self, byte: u8, before: &[u8]) {
        if byte == b'>' && self.pending[self.open..self.seen].ends_with(before) {
            self.close();
        } else {
            self.seen += 1;
        }
    }

    fn close(&mut self) {
        self.seen += 1;
        self.cut = self.seen;
        self.inside = Inside::Text;
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn pieces_never_cut_markup_however_they_are_fed() {
        let text = b"\xef\xbb\xbf<?xml version=\"1.0\"?><!-- a > b --><a x=\"1>2\"><![CDATA[ <z> ]]>12</a>";
        for step in 1..text.len() {
            let mut pieces = Pieces::new();
            let mut joined = vec![];
            for part in text.chunks(step) {
                pieces.feed(part).expect("well formed");
                let ready = pieces.ready();
                assert!(ready.is_empty() || ready.ends_with(b">"), "{step}");
                joined.extend_from_slice(ready);
                pieces.taken();
            }
            assert_eq!(joined, text[3..], "{step}");
            assert!(!pieces.is_inside() && pieces.rest().is_empty());
            assert_eq!(pieces.bytes(), text.len() as u64);
        }
        let mut pieces = Pieces::new();
        assert!(matches!(pieces.feed(b"<!DOCTYPE a [<!ENTITY b \"c\">]>"), Err(BadXml::Doctype { at: 0 })));
    }
}
