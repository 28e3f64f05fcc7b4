//! PNG, decoded row by row, so that only the luminance is kept.

use std::io::Cursor;

use ::png::{BitDepth, Decoder, Limits, Transformations};

use super::luminance::{of_channels, table_8, table_16};
use super::orientation::{Orientation, upright};
use super::{DEFLATE_GROWTH, MOST_PIXELS, PictureError, Samples, check_growth, checked_size};
use crate::astrometry::picture::Picture;

/// Most bytes the decoder may hold at a time: a few rows and the compressed data's window.
const MOST_BYTES: usize = 16_000_000;

/// Whether the bytes begin as a PNG does (ISO/IEC 15948, 5.2).
pub(super) fn is_png(bytes: &[u8]) -> bool {
    bytes.starts_with(b"\x89PNG\r\n\x1a\n")
}

/// Decodes the luminance. Rows that are damaged or missing are black.
pub(super) fn decode(bytes: &[u8], turn: Orientation) -> Result<Picture, PictureError> {
    let limits = Limits { bytes: MOST_BYTES };
    let mut decoder = Decoder::new_with_limits(Cursor::new(bytes), limits);
    decoder.set_transformations(Transformations::EXPAND);
    let mut reader = decoder.read_info().map_err(|_| PictureError::Unreadable)?;
    let info = reader.info();
    if info.interlaced {
        // its rows come in seven passes of other widths
        return Err(PictureError::Unreadable);
    }
    let (width, height) = (info.width as usize, info.height as usize);
    let pixels = checked_size(width, height, MOST_PIXELS)?;
    check_growth(info.raw_bytes(), bytes.len(), DEFLATE_GROWTH)?;
    let (colour, depth) = reader.output_color_type();
    let channels = colour.samples();
    let (wide, table) = match depth {
        BitDepth::Sixteen => (true, table_16()),
        _ => (false, table_8().to_vec()),
    };
    let mut values = Vec::with_capacity(pixels);
    while let Ok(Some(row)) = reader.next_row() {
        let row = row.data();
        if wide {
            values.extend(row.chunks_exact(2 * channels).map(|pixel| {
                let linear = pixel
                    .chunks_exact(2)
                    .map(|pair| table[usize::from(u16::from_be_bytes([pair[0], pair[1]]))]);
                of_channels(linear, channels)
            }));
        } else {
            values.extend(row.chunks_exact(channels).map(|pixel| {
                let linear = pixel.iter().map(|value| table[usize::from(*value)]);
                of_channels(linear, channels)
            }));
        }
    }
    if values.is_empty() {
        return Err(PictureError::Unreadable);
    }
    values.resize(pixels, 0.0);
    let upright = upright(
        Samples {
            width,
            height,
            values,
        },
        turn,
    );
    Ok(Picture {
        width: upright.width,
        height: upright.height,
        pixels: upright.values,
    })
}
