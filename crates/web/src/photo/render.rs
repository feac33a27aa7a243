//! The forms of a photo that are shown and handed to others: upright, small, and new from the picture alone, so that
//! neither place nor camera nor time of the original is in them.

use super::sniff::{self, Kind};
use fast_image_resize::{ResizeOptions, Resizer};
use image::codecs::jpeg::{JpegDecoder, JpegEncoder};
use image::codecs::png::PngDecoder;
use image::metadata::Orientation;
use image::{DynamicImage, GenericImageView, ImageDecoder, Limits, RgbImage};
use std::io::Cursor;

/// Longest side of the small form.
const THUMB_PX: u32 = 320;

/// Longest side of the form that fills a page.
const PAGE_PX: u32 = 1600;

/// Quality of the encoder, 1 to 100.
const QUALITY: u8 = 82;

/// Longest side that is decoded.
const SIDE_MAX_PX: u32 = 20_000;

/// Pixels that are decoded at most: more than any phone takes, less than would fill a small machine.
const PIXELS_MAX: u64 = 80_000_000;

/// Memory that a decoder may take.
const DECODE_MAX_BYTES: u64 = 512 * 1024 * 1024;

/// The forms of a photo, JPEG.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Rendered {
    /// At most 320 pixels long.
    pub(crate) thumb: Vec<u8>,
    /// At most 1600 pixels long.
    pub(crate) page: Vec<u8>,
}

/// Why a photo cannot be taken.
#[derive(Debug, thiserror::Error)]
pub(crate) enum PhotoFault {
    /// It is of another kind.
    #[error(
        "this file is {what}; JPEG and PNG can be taken (on the phone, choose the compatible format of the camera)"
    )]
    Kind {
        /// What it is.
        what: &'static str,
    },
    /// It has too many pixels.
    #[error("the photo has {width} × {height} pixels; at most {} million can be taken", PIXELS_MAX / 1_000_000)]
    Pixels {
        /// Its width.
        width: u32,
        /// Its height.
        height: u32,
    },
    /// It is broken.
    #[error("the photo is damaged: {0}")]
    Damaged(#[from] image::ImageError),
    /// It could not be made small.
    #[error("the photo cannot be made small: {0}")]
    Resize(#[from] fast_image_resize::ResizeError),
}

/// Makes the forms of a photo. Takes a while: not for a thread that serves pages.
///
/// # Errors
/// Why the photo cannot be taken.
pub(crate) fn render(bytes: &[u8]) -> Result<Rendered, PhotoFault> {
    let kind = sniff::kind_of(bytes).map_err(|what| PhotoFault::Kind { what })?;
    let (picture, orientation) = match kind {
        Kind::Jpeg => decode(JpegDecoder::new(Cursor::new(bytes))?)?,
        Kind::Png => decode(PngDecoder::with_limits(Cursor::new(bytes), limits())?)?,
    };
    let page = fitted(&picture, PAGE_PX)?;
    let thumb = fitted(&page, THUMB_PX)?;
    Ok(Rendered { thumb: encode(thumb, orientation)?, page: encode(page, orientation)? })
}

fn limits() -> Limits {
    let mut limits = Limits::default();
    limits.max_image_width = Some(SIDE_MAX_PX);
    limits.max_image_height = Some(SIDE_MAX_PX);
    limits.max_alloc = Some(DECODE_MAX_BYTES);
    limits
}

fn decode(mut decoder: impl ImageDecoder) -> Result<(DynamicImage, Orientation), PhotoFault> {
    let (width, height) = decoder.dimensions();
    if PIXELS_MAX < u64::from(width) * u64::from(height) {
        return Err(PhotoFault::Pixels { width, height });
    }
    decoder.set_limits(limits())?;
    // A photo with a broken note about its orientation is still a photo.
    let orientation = decoder.orientation().unwrap_or(Orientation::NoTransforms);
    let picture = DynamicImage::from_decoder(decoder)?;
    // Depth and transparency go: what is shown is a plain picture on white.
    Ok((DynamicImage::ImageRgb8(on_white(picture)), orientation))
}

fn on_white(picture: DynamicImage) -> RgbImage {
    if !picture.color().has_alpha() {
        return picture.into_rgb8();
    }
    let picture = picture.into_rgba8();
    let mix = |value: u8, alpha: u8| {
        let (value, alpha) = (u32::from(value), u32::from(alpha));
        ((value * alpha + 255 * (255 - alpha)) / 255) as u8
    };
    RgbImage::from_fn(picture.width(), picture.height(), |x, y| {
        let [r, g, b, alpha] = picture.get_pixel(x, y).0;
        image::Rgb([mix(r, alpha), mix(g, alpha), mix(b, alpha)])
    })
}

/// The picture with its longest side at most this long; never larger than it was.
fn fitted(picture: &DynamicImage, side_px: u32) -> Result<DynamicImage, PhotoFault> {
    let (width, height) = picture.dimensions();
    let longest = width.max(height);
    if longest <= side_px {
        return Ok(picture.clone());
    }
    let scaled = |side: u32| {
        let exact = (u64::from(side) * u64::from(side_px) + u64::from(longest) / 2) / u64::from(longest);
        (exact as u32).max(1)
    };
    let mut small = DynamicImage::new_rgb8(scaled(width), scaled(height));
    Resizer::new().resize(picture, &mut small, &ResizeOptions::new())?;
    Ok(small)
}

fn encode(mut picture: DynamicImage, orientation: Orientation) -> Result<Vec<u8>, PhotoFault> {
    picture.apply_orientation(orientation);
    let mut bytes = Vec::new();
    JpegEncoder::new_with_quality(&mut bytes, QUALITY).encode_image(&picture)?;
    Ok(bytes)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A picture whose left half is dark, as a camera held upright writes it: lying on its side, with a note how to
    /// turn it and where it was taken.
    fn sideways(orientation: u8) -> Vec<u8> {
        let lying = RgbImage::from_fn(640, 480, |x, _| image::Rgb(if x < 320 { [20; 3] } else { [230; 3] }));
        let mut plain = Vec::new();
        JpegEncoder::new_with_quality(&mut plain, 90).encode_image(&lying).expect("it encodes");
        let mut exif: Vec<u8> = b"Exif\0\0MM\0*\0\0\0\x08".to_vec();
        exif.extend([0, 2]);
        exif.extend([0x01, 0x12, 0, 3, 0, 0, 0, 1, 0, orientation, 0, 0]);
        exif.extend([0x88, 0x25, 0, 4, 0, 0, 0, 1, 0, 0, 0, 38]);
        exif.extend([0, 0, 0, 0]);
        exif.extend([0, 1, 0, 1, 0, 2, 0, 0, 0, 2, b'N', 0, 0, 0, 0, 0, 0, 0]);
        let mut photo = plain[..2].to_vec();
        photo.extend([0xff, 0xe1]);
        photo.extend(((exif.len() + 2) as u16).to_be_bytes());
        photo.extend(&exif);
        photo.extend(&plain[2..]);
        photo
    }

    fn decoded(bytes: &[u8]) -> RgbImage {
        image::load_from_memory(bytes).expect("it was just made").into_rgb8()
    }

    #[test]
    fn forms_are_upright_and_say_nothing_of_place_or_camera() {
        let photo = sideways(6);
        assert!(photo.windows(4).any(|bytes| bytes == b"Exif"));
        let rendered = render(&photo).expect("it can be taken");
        let page = decoded(&rendered.page);
        assert_eq!(page.dimensions(), (480, 640), "turned by a quarter");
        assert!(page.get_pixel(240, 40).0[0] < 80 && 180 < page.get_pixel(240, 600).0[0], "left became top");
        assert_eq!(decoded(&rendered.thumb).dimensions(), (240, 320));
        for form in [&rendered.page, &rendered.thumb] {
            assert!(!form.windows(4).any(|bytes| bytes == b"Exif"), "no note is left");
            assert!(!form.windows(2).any(|bytes| bytes == [0xff, 0xe1]), "no such segment is left");
        }
        assert_eq!(decoded(&render(&sideways(1)).expect("upright").page).dimensions(), (640, 480));
    }

    #[test]
    fn a_large_photo_becomes_small_and_a_small_one_stays() {
        let png = |width, height| {
            let mut bytes = Vec::new();
            let picture = DynamicImage::new_rgba8(width, height);
            picture.write_to(&mut Cursor::new(&mut bytes), image::ImageFormat::Png).expect("it encodes");
            bytes
        };
        let large = render(&png(4000, 3000)).expect("it can be taken");
        assert_eq!(decoded(&large.page).dimensions(), (1600, 1200));
        assert_eq!(decoded(&large.thumb).dimensions(), (320, 240));
        assert!(250 < decoded(&large.page).get_pixel(0, 0).0[0], "what was clear is white");
        let small = render(&png(100, 3)).expect("it can be taken");
        assert_eq!(decoded(&small.page).dimensions(), (100, 3));
    }

    #[test]
    fn what_is_no_picture_or_too_large_is_refused_in_words() {
        let refused = |bytes: &[u8]| render(bytes).expect_err("it is refused").to_string();
        assert!(refused(b"\0\0\0\x18ftypheic....").contains("a HEIC picture"));
        let mut bomb = b"\x89PNG\r\n\x1a\n\0\0\0\x0dIHDR".to_vec();
        let header = [0, 0, 0x4e, 0x20, 0, 0, 0x4e, 0x20, 8, 2, 0, 0, 0];
        bomb.extend(header);
        let sum = crc(&[b"IHDR", &header[..]].concat());
        bomb.extend(sum.to_be_bytes());
        bomb.extend(b"\0\0\0\0IDAT\x35\xaf\x06\x1e\0\0\0\0IEND\xae\x42\x60\x82");
        assert!(refused(&bomb).contains("20000 × 20000"), "{}", refused(&bomb));
        let photo = sideways(1);
        assert!(refused(&photo[..40]).contains("damaged"));
    }

    fn crc(bytes: &[u8]) -> u32 {
        !bytes.iter().fold(!0_u32, |crc, byte| {
            (0..8)
                .fold(crc ^ u32::from(*byte), |crc, _| (crc >> 1) ^ (0xedb8_8320 & (crc & 1).wrapping_neg()))
        })
    }
}
