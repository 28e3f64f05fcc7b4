//! A file of the photographer's as a [`Picture`], with what the camera wrote about it.
//!
//! Read are JPEG, PNG, TIFF, and the largest JPEG preview within a TIFF-based raw file. The picture
//! is turned upright as the file asks (EXIF orientation). Sizes are checked before anything is
//! allocated: a file is decoded and measured within 500 MB of memory, and one that claims more pixels
//! than its bytes can hold is refused.

mod facts;
mod jpeg;
mod luminance;
mod orientation;
mod png;
mod preview;
mod tiff;

pub use facts::{ClockTime, FrameFacts};
pub use orientation::Orientation;

use crate::astrometry::picture::{Picture, SHORTEST_SIDE_PX};

/// Most pixels of a picture that is measured as it is: with its smoothed copy it needs 8 bytes a pixel.
const MOST_PIXELS: usize = 50_000_000;

/// Most pixels of a JPEG that is halved while it is decoded.
const MOST_HALVED_PIXELS: usize = 110_000_000;

/// Most bytes that a byte of Deflate unpacks to: 258 for two bits (RFC 1951, section 3.2.5; 1032 in
/// the documentation of zlib).
const DEFLATE_GROWTH: usize = 1032;

/// A decoded picture and what its file says about it.
#[derive(Debug, Clone, PartialEq)]
pub struct DecodedPicture {
    /// Its luminance, upright.
    pub picture: Picture,
    /// What the camera wrote.
    pub facts: FrameFacts,
}

/// Why a file could not be decoded; prints as a plain sentence.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum PictureError {
    /// Not a file of a known kind.
    UnknownFormat,
    /// A TIFF or raw file without a picture that is read.
    NoPreview,
    /// Damaged, or of a kind of JPEG, PNG or TIFF that is not read.
    Unreadable,
    /// More pixels than fit into memory.
    TooLarge,
    /// Too few pixels for stars.
    TooSmall,
}

impl std::fmt::Display for PictureError {
    fn fmt(&self, out: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        out.write_str(match self {
            Self::UnknownFormat => "this is not a picture; try a JPEG straight from the camera",
            Self::NoPreview => "this raw file holds no JPEG that can be read; export a JPEG of it",
            Self::Unreadable => {
                "this picture is damaged, or of a kind that cannot be read; export it as JPEG"
            }
            Self::TooLarge => "this picture has too many pixels; export it smaller",
            Self::TooSmall => "this picture is too small for stars; use one as the camera made it",
        })
    }
}

/// Samples of one picture before they are made linear: width, height, one value a pixel.
struct Samples<T> {
    width: usize,
    height: usize,
    values: Vec<T>,
}

impl DecodedPicture {
    /// Decodes the bytes of a file.
    ///
    /// A picture that is cut off or damaged in the middle is decoded as far as it goes.
    pub fn read(bytes: &[u8]) -> Result<Self, PictureError> {
        let mut facts = FrameFacts::read(bytes);
        let turn = facts.orientation;
        let mut from_jpeg = |bytes: &[u8]| {
            let samples = orientation::upright(jpeg::decode(bytes)?, turn);
            facts.halved = samples.values.len() > MOST_PIXELS;
            Ok(if facts.halved {
                luminance::from_srgb8_halved(&samples)
            } else {
                luminance::from_srgb8(&samples)
            })
        };
        let picture = if jpeg::is_jpeg(bytes) {
            from_jpeg(bytes)?
        } else if png::is_png(bytes) {
            png::decode(bytes, turn)?
        } else if preview::is_tiff(bytes) {
            match preview::largest_jpeg(bytes) {
                Some(jpeg_bytes) => from_jpeg(jpeg_bytes)?,
                None => tiff::decode(bytes, turn)?,
            }
        } else {
            return Err(PictureError::UnknownFormat);
        };
        Ok(Self { picture, facts })
    }

    /// A picture that the browser decoded and turned upright: red, green, blue and alpha of each
    /// pixel, coded by the sRGB curve. `file` is the file it is from, for what the camera wrote.
    pub fn from_rgba(
        (width, height): (usize, usize),
        rgba: &[u8],
        file: &[u8],
    ) -> Result<Self, PictureError> {
        let pixels = checked_size(width, height, MOST_PIXELS)?;
        if rgba.len() != 4 * pixels {
            return Err(PictureError::Unreadable);
        }
        let table = luminance::table_8();
        let linear = |pixel: &[u8]| {
            let values = pixel.iter().map(|value| table[usize::from(*value)]);
            luminance::of_channels(values, 4)
        };
        let picture = Picture {
            width,
            height,
            pixels: rgba.chunks_exact(4).map(linear).collect(),
        };
        let facts = FrameFacts::read(file);
        Ok(Self { picture, facts })
    }
}

/// Number of pixels of a picture, if it is one that is decoded.
fn checked_size(width: usize, height: usize, most: usize) -> Result<usize, PictureError> {
    if width.min(height) < SHORTEST_SIDE_PX {
        return Err(PictureError::TooSmall);
    }
    width
        .checked_mul(height)
        .filter(|pixels| *pixels <= most)
        .ok_or(PictureError::TooLarge)
}

/// Checks that a file of this many bytes can hold a picture of so many, if a byte of it unpacks to
/// at most `growth`.
fn check_growth(
    picture_bytes: usize,
    file_bytes: usize,
    growth: usize,
) -> Result<(), PictureError> {
    if picture_bytes > file_bytes.saturating_mul(growth) {
        return Err(PictureError::Unreadable);
    }
    Ok(())
}
