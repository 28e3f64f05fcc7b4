//! JPEG: only the luma is decoded, which has every pixel, while colour often has a quarter of them.

use zune_jpeg::JpegDecoder;
use zune_jpeg::zune_core::bytestream::ZCursor;
use zune_jpeg::zune_core::colorspace::ColorSpace;
use zune_jpeg::zune_core::options::DecoderOptions;

use super::{MOST_HALVED_PIXELS, PictureError, Samples, check_growth, checked_size};

/// Most pixels of a progressive JPEG, whose coefficients are all kept until the end.
const MOST_PROGRESSIVE: usize = 40_000_000;

/// Longest side of a JPEG (ITU-T T.81, B.2.2: 16 bits).
const LONGEST_SIDE: usize = 65_535;

/// Most scans of a progressive JPEG. Encoders write about ten; each costs a pass over the picture.
const MOST_SCANS: usize = 32;

/// Most pixels that a byte of a JPEG holds: each block of 8 × 8 takes at least a bit, for its first
/// coefficient (ITU-T T.81, F.1.2.1 and G.1.2).
const PIXELS_PER_BYTE: usize = 8 * 64;

/// Size and kind of a JPEG, from its frame header.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct JpegHeader {
    pub width: usize,
    pub height: usize,
    pub progressive: bool,
}

/// Whether the bytes begin as a JPEG does (ITU-T T.81: marker SOI and the first byte of the next).
pub(super) fn is_jpeg(bytes: &[u8]) -> bool {
    bytes.starts_with(&[0xFF, 0xD8, 0xFF])
}

/// Reads the frame header. `None` where there is none, or one of a kind that is not decoded:
/// lossless (as raw data often are), hierarchical, arithmetic, or not 8 bits.
pub(super) fn header(bytes: &[u8]) -> Option<JpegHeader> {
    let mut at = 2;
    loop {
        while bytes.get(at) == Some(&0xFF) && bytes.get(at + 1) == Some(&0xFF) {
            at += 1;
        }
        if *bytes.get(at)? != 0xFF {
            return None;
        }
        let marker = *bytes.get(at + 1)?;
        let short = |offset: usize| {
            let high = *bytes.get(at + offset)?;
            Some(usize::from(u16::from_be_bytes([
                high,
                *bytes.get(at + offset + 1)?,
            ])))
        };
        match marker {
            0xC0..=0xC2 => {
                let eight_bits = *bytes.get(at + 4)? == 8;
                let header = JpegHeader {
                    height: short(5)?,
                    width: short(7)?,
                    progressive: marker == 0xC2,
                };
                return eight_bits.then_some(header);
            }
            0xC3 | 0xC5..=0xC7 | 0xC9..=0xCB | 0xCD..=0xCF | 0xD9 | 0xDA => return None,
            0x01 | 0xD0..=0xD8 => at += 2,
            _ => at += 2 + short(2)?.max(2),
        }
    }
}

/// Decodes the luma.
pub(super) fn decode(bytes: &[u8]) -> Result<Samples<u8>, PictureError> {
    let header = header(bytes).ok_or(PictureError::Unreadable)?;
    let most = if header.progressive {
        MOST_PROGRESSIVE
    } else {
        MOST_HALVED_PIXELS
    };
    let pixels = checked_size(header.width, header.height, most)?;
    check_growth(pixels, bytes.len(), PIXELS_PER_BYTE)?;
    let options = DecoderOptions::default()
        .set_max_width(LONGEST_SIDE)
        .set_max_height(LONGEST_SIDE)
        .set_strict_mode(false)
        .jpeg_set_max_scans(MOST_SCANS)
        .jpeg_set_out_colorspace(ColorSpace::Luma);
    let mut decoder = JpegDecoder::new_with_options(ZCursor::new(bytes), options);
    let values = decoder.decode().map_err(|_| PictureError::Unreadable)?;
    let (width, height) = decoder
        .info()
        .map(|info| (usize::from(info.width), usize::from(info.height)))
        .ok_or(PictureError::Unreadable)?;
    if values.len() != pixels || width * height != pixels {
        return Err(PictureError::Unreadable);
    }
    Ok(Samples {
        width,
        height,
        values,
    })
}
