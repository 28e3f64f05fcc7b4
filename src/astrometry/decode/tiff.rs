//! TIFF, decoded strip by strip or tile by tile, so that only the luminance is kept.

use std::io::Cursor;
use std::ops::Range;

use ::tiff::ColorType;
use ::tiff::decoder::{Decoder, DecodingResult, Limits};
use ::tiff::tags::{CompressionMethod, PlanarConfiguration, Tag};

use super::luminance::{of_channels, table_8, table_16};
use super::orientation::{Orientation, upright};
use super::{DEFLATE_GROWTH, MOST_PIXELS, PictureError, Samples, check_growth, checked_size};
use crate::astrometry::picture::Picture;
use crate::tiff_values::values_fit;

/// Most bytes of one strip or tile, decoded: a whole picture of 24 MP with three channels of 16
/// bits in one strip.
const MOST_CHUNK_BYTES: usize = 150_000_000;

/// Most bytes that a byte of LZW unpacks to: a code of 12 bits stands for at most 3838 bytes, since
/// each of the 4096 − 258 strings is a byte longer than one before it (TIFF 6.0, section 13).
const LZW_GROWTH: usize = 2559;

/// A file whose first picture can be decoded.
struct TiffPicture<'a> {
    decoder: Decoder<Cursor<&'a [u8]>>,
    width: usize,
    height: usize,
    channels: usize,
    /// Pixels of a strip or tile.
    chunk: (usize, usize),
}

/// Decodes the luminance of the file's first picture.
pub(super) fn decode(bytes: &[u8], turn: Orientation) -> Result<Picture, PictureError> {
    let samples = TiffPicture::open(bytes)?.samples()?;
    let upright = upright(samples, turn);
    Ok(Picture {
        width: upright.width,
        height: upright.height,
        pixels: upright.values,
    })
}

impl<'a> TiffPicture<'a> {
    /// Reads the header; pictures that are too large for their file or of another kind are refused.
    fn open(bytes: &'a [u8]) -> Result<Self, PictureError> {
        let mut limits = Limits::default();
        limits.decoding_buffer_size = MOST_CHUNK_BYTES;
        limits.intermediate_buffer_size = MOST_CHUNK_BYTES;
        limits.ifd_value_size = 4_000_000;
        if !values_fit(&mut Cursor::new(bytes)).is_ok_and(|fit| fit) {
            return Err(PictureError::NoPreview);
        }
        let mut decoder = Decoder::new(Cursor::new(bytes))
            .map_err(|_| PictureError::NoPreview)?
            .with_limits(limits);
        let (width, height) = decoder.dimensions().map_err(|_| PictureError::NoPreview)?;
        let (width, height) = (width as usize, height as usize);
        let pixels = checked_size(width, height, MOST_PIXELS)?;
        let (channels, depth) = match decoder.colortype() {
            Ok(ColorType::Gray(depth)) => (1, depth),
            Ok(ColorType::GrayA(depth)) => (2, depth),
            Ok(ColorType::RGB(depth)) => (3, depth),
            Ok(ColorType::RGBA(depth)) => (4, depth),
            _ => return Err(PictureError::NoPreview),
        };
        let picture_bytes = pixels / 8 * channels * usize::from(depth);
        check_growth(picture_bytes, bytes.len(), growth(&mut decoder))?;
        let planar = decoder.find_tag_unsigned::<u16>(Tag::PlanarConfiguration);
        if planar.is_ok_and(|value| value == Some(PlanarConfiguration::Planar.to_u16())) {
            return Err(PictureError::NoPreview);
        }
        let (chunk_width, chunk_height) = decoder.chunk_dimensions();
        if chunk_width == 0 || chunk_height == 0 {
            return Err(PictureError::Unreadable);
        }
        Ok(Self {
            decoder,
            width,
            height,
            channels,
            chunk: (chunk_width as usize, chunk_height as usize),
        })
    }

    /// The luminance of each pixel; what comes after a strip or tile that cannot be read stays black.
    fn samples(mut self) -> Result<Samples<f32>, PictureError> {
        let (width, height, channels) = (self.width, self.height, self.channels);
        let (chunk_width, chunk_height) = self.chunk;
        let across = width.div_ceil(chunk_width);
        let down = height.div_ceil(chunk_height);
        let tables = (table_8(), table_16());
        let mut values = vec![0.0; width * height];
        let mut decoded_any = false;
        for index in 0..across * down {
            let number = u32::try_from(index).map_err(|_| PictureError::Unreadable)?;
            let (part_width, part_height) = self.decoder.chunk_data_dimensions(number);
            let (part_width, part_height) = (part_width as usize, part_height as usize);
            let Ok(chunk) = self.decoder.read_chunk(number) else {
                break;
            };
            decoded_any = true;
            let left = (index % across) * chunk_width;
            let top = (index / across) * chunk_height;
            for y in 0..part_height.min(height.saturating_sub(top)) {
                let row = &mut values[(top + y) * width..(top + y + 1) * width];
                let row = &mut row[left.min(width)..(left + part_width).min(width)];
                for (x, pixel) in row.iter_mut().enumerate() {
                    let start = (y * part_width + x) * channels;
                    *pixel = luminance(&chunk, start..start + channels, (&tables.0, &tables.1))?;
                }
            }
        }
        if !decoded_any {
            return Err(PictureError::NoPreview);
        }
        Ok(Samples {
            width,
            height,
            values,
        })
    }
}

/// Most bytes that a byte of the file unpacks to.
fn growth(decoder: &mut Decoder<Cursor<&[u8]>>) -> usize {
    let packed = decoder.find_tag_unsigned::<u16>(Tag::Compression);
    match packed.map(|method| method.map(CompressionMethod::from_u16_exhaustive)) {
        Ok(None | Some(CompressionMethod::None)) => 1,
        Ok(Some(CompressionMethod::LZW)) => LZW_GROWTH,
        // of what else is read, none unpacks to more
        _ => DEFLATE_GROWTH,
    }
}

/// The luminance of a pixel by its channels' places in the decoded data; by tables for values of 8 and
/// 16 bits. Values of floating point are linear by custom.
fn luminance(
    decoded: &DecodingResult,
    channel: Range<usize>,
    (narrow, wide): (&[f32], &[f32]),
) -> Result<f32, PictureError> {
    let channels = channel.len();
    Ok(match decoded {
        DecodingResult::U8(data) => {
            let linear = data.get(channel).unwrap_or(&[]).iter();
            of_channels(linear.map(|value| narrow[usize::from(*value)]), channels)
        }
        DecodingResult::U16(data) => {
            let linear = data.get(channel).unwrap_or(&[]).iter();
            of_channels(linear.map(|value| wide[usize::from(*value)]), channels)
        }
        DecodingResult::F32(data) => {
            let linear = data.get(channel).unwrap_or(&[]).iter();
            let value = of_channels(linear.copied(), channels);
            if value.is_finite() {
                value.clamp(0.0, 1.0)
            } else {
                0.0
            }
        }
        _ => return Err(PictureError::NoPreview),
    })
}
