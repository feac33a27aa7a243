//! What kind of file is it really? By its first bytes, not by its name.

/// Kinds of pictures that are taken.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Kind {
    /// JPEG.
    Jpeg,
    /// PNG.
    Png,
}

/// The kind.
///
/// # Errors
/// What it is instead, in words, where that can be told.
pub(crate) fn kind_of(bytes: &[u8]) -> Result<Kind, &'static str> {
    if bytes.starts_with(&[0xff, 0xd8, 0xff]) {
        return Ok(Kind::Jpeg);
    }
    if bytes.starts_with(b"\x89PNG\r\n\x1a\n") {
        return Ok(Kind::Png);
    }
    let brand = bytes.get(4..12).unwrap_or_default();
    Err(match (bytes, brand) {
        (
            _,
            b"ftypheic" | b"ftypheix" | b"ftyphevc" | b"ftypheim" | b"ftypheis" | b"ftypmif1" | b"ftypmsf1",
        ) => "a HEIC picture",
        (_, b"ftypavif" | b"ftypavis") => "an AVIF picture",
        (_, [b'f', b't', b'y', b'p', ..]) => "a film",
        ([b'R', b'I', b'F', b'F', _, _, _, _, b'W', b'E', b'B', b'P', ..], _) => "a WebP picture",
        ([b'G', b'I', b'F', b'8', ..], _) => "a GIF picture",
        ([b'I', b'I', b'*', 0, ..] | [b'M', b'M', 0, b'*', ..], _) => "a TIFF or raw picture",
        ([b'%', b'P', b'D', b'F', ..], _) => "a PDF",
        ([], _) => "empty",
        _ => "no picture that is known here",
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_first_bytes_tell() {
        assert_eq!(kind_of(&[0xff, 0xd8, 0xff, 0xe1]), Ok(Kind::Jpeg));
        assert_eq!(kind_of(b"\x89PNG\r\n\x1a\n...."), Ok(Kind::Png));
        assert_eq!(kind_of(b"\0\0\0\x18ftypheic...."), Err("a HEIC picture"));
        assert_eq!(kind_of(b"\0\0\0\x18ftypmp42...."), Err("a film"));
        assert_eq!(kind_of(b"RIFF....WEBPVP8 "), Err("a WebP picture"));
        assert_eq!(kind_of(b""), Err("empty"));
        assert_eq!(kind_of(b"<svg onload=alert(1)>"), Err("no picture that is known here"));
    }
}
