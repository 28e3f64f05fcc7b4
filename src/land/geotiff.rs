//! GeoTIFF in degrees: heights in a georeferenced TIFF.
//!
//! Source: Open Geospatial Consortium, "GeoTIFF Standard" 1.1 (OGC 19-008r4, 2019), annexes B and D
//! for tags and keys; from memory. The library `tiff` reads the pixels, chunk by chunk; only chunks
//! near the site are decompressed.

use std::io::{Read, Seek, SeekFrom};
use std::ops::Range;

use tiff::decoder::ifd::Value;
use tiff::decoder::{ChunkType, Decoder, DecodingResult, Limits};
use tiff::tags::{CompressionMethod, Tag};
use tiff::{ColorType, TiffError};

use crate::decimal;
use crate::land::error::TileError;
use crate::land::tile_layout::{LONGEST_SIDE, Layout, Part, RowSink};
use crate::tiff_values::values_fit;

/// Most bytes of one strip or tile when decompressed: a tile of 3601² points of 32 bits may be one
/// strip.
const LARGEST_PART: usize = 56 << 20;

/// Most bytes that a byte of LZW unpacks to: a code of 12 bits stands for at most 3838 bytes, since
/// each of the 4096 − 258 strings is a byte longer than one before it (TIFF 6.0, section 13).
const LZW_GROWTH: u64 = 2559;

/// The same of Deflate: 258 bytes for two bits (RFC 1951, section 3.2.5; 1032 in the documentation of
/// zlib).
const DEFLATE_GROWTH: u64 = 1032;

/// The same of PackBits: 128 bytes for two (TIFF 6.0, section 9).
const PACKBITS_GROWTH: u64 = 64;

/// Heights beyond these are void, metres: deeper than any sea, or higher than any mountain.
const BOUNDS_M: [f32; 2] = [-12_000.0, 9_000.0];

/// GTModelTypeGeoKey, and its values for projected and geographic coordinates.
const MODEL: u16 = 1024;
const PROJECTED: u16 = 1;
const GEOGRAPHIC: u16 = 2;

/// GTRasterTypeGeoKey, and its value for pixel is point.
const RASTER: u16 = 1025;
const POINT: u16 = 2;

/// GeodeticCRSGeoKey, and the values within two metres of WGS84: WGS84 itself in two and three
/// dimensions, ETRS89, NAD83, and user-defined.
const DATUM: u16 = 2048;
const DATUMS: [u16; 5] = [4326, 4979, 4258, 4269, 32_767];

/// GeogAngularUnitsGeoKey, and its value for degrees.
const ANGLES: u16 = 2054;
const DEGREES: u16 = 9102;

/// VerticalUnitsGeoKey, and its values for the international foot and the US survey foot.
const HEIGHTS: u16 = 4099;
const FEET: [u16; 2] = [9002, 9003];

/// A GeoTIFF of heights.
pub(super) struct GeoTiff<R: Read + Seek> {
    decoder: Decoder<R>,
    layout: Layout,
    /// The file's no-data value.
    nothing: f32,
}

impl<R: Read + Seek> GeoTiff<R> {
    /// Reads the header of the first image.
    ///
    /// An image that claims more points than its bytes can hold is refused, so that memory stays in
    /// proportion to the file.
    pub fn open(mut bytes: R) -> Result<Self, TileError> {
        let length = bytes.seek(SeekFrom::End(0));
        let length = length.map_err(|_| TileError::CutShort)?;
        if !values_fit(&mut bytes).map_err(|_| TileError::CutShort)? {
            return Err(TileError::Broken);
        }
        let mut limits = Limits::default();
        limits.decoding_buffer_size = LARGEST_PART;
        limits.intermediate_buffer_size = LARGEST_PART;
        let mut decoder = Decoder::new(bytes).map_err(tile_error)?.with_limits(limits);
        let fractions = fractions(&mut decoder)?;
        let (columns, rows) = decoder.dimensions().map_err(tile_error)?;
        let [columns, rows] = [columns as usize, rows as usize];
        let (wide, high) = decoder.chunk_dimensions();
        if [columns, rows, wide as usize]
            .iter()
            .any(|&side| side > LONGEST_SIDE)
            || high as usize > LONGEST_SIDE && decoder.get_chunk_type() == ChunkType::Tile
        {
            return Err(TileError::TooLarge);
        }
        let middle = keys(&mut decoder)?;
        let [west, across, north, down] = grid(&mut decoder)?;
        // the centre of the first pixel
        let inside = if middle { 0.0 } else { 0.5 };
        let layout = Layout {
            rows,
            columns,
            north: north - inside * down,
            west: west + inside * across,
            down,
            across,
            fractions,
        };
        let nothing = nothing(&mut decoder)?;
        let layout = layout.checked()?;
        if image_bytes(&mut decoder, layout)? > most_bytes(&mut decoder, length)? {
            return Err(TileError::CutShort);
        }
        Ok(Self {
            decoder,
            layout,
            nothing,
        })
    }

    /// Most bytes that [`read`](Self::read) holds at a time.
    pub fn part_bytes(&mut self) -> usize {
        let (wide, high) = self.decoder.chunk_dimensions();
        let columns = (wide as usize).min(self.layout.columns);
        // a line as it is handed on, and heights of four bytes at most
        let lines = (high as usize).min(self.layout.rows) + 1;
        columns
            .saturating_mul(lines)
            .saturating_mul(size_of::<f32>())
    }

    pub fn layout(&self) -> Layout {
        self.layout
    }

    pub fn read(&mut self, part: Part, take: &mut RowSink<'_>) -> Result<(), TileError> {
        let (wide, high) = self.decoder.chunk_dimensions();
        let [wide, high] = [wide as usize, high as usize];
        if wide == 0 || high == 0 {
            return Err(TileError::Broken);
        }
        let across = self.layout.columns.div_ceil(wide);
        let mut line = Vec::new();
        for down in part.rows[0] / high..part.rows[1].div_ceil(high) {
            for right in part.columns[0] / wide..part.columns[1].div_ceil(wide) {
                let index =
                    u32::try_from(down * across + right).map_err(|_| TileError::TooLarge)?;
                let chunk = self.decoder.read_chunk(index).map_err(tile_error)?;
                let columns = wide.min(self.layout.columns - right * wide);
                let first = part.columns[0].max(right * wide);
                let end = part.columns[1].min(right * wide + columns);
                let top = down * high;
                let bottom = (top + high).min(self.layout.rows);
                for row in top.max(part.rows[0])..bottom.min(part.rows[1]) {
                    let start = (row - top) * columns;
                    let wanted = start + first - right * wide..start + end - right * wide;
                    self.in_metres(&chunk, wanted, &mut line)?;
                    take(row, first, &line);
                }
            }
        }
        Ok(())
    }

    /// Some of a chunk's heights, NaN for voids.
    fn in_metres(
        &self,
        chunk: &DecodingResult,
        wanted: Range<usize>,
        heights: &mut Vec<f32>,
    ) -> Result<(), TileError> {
        fn some<T>(all: &[T], wanted: Range<usize>) -> Result<&[T], TileError> {
            all.get(wanted).ok_or(TileError::Broken)
        }
        heights.clear();
        match chunk {
            DecodingResult::I16(all) => {
                heights.extend(some(all, wanted)?.iter().map(|&it| f32::from(it)));
            }
            DecodingResult::U16(all) => {
                heights.extend(some(all, wanted)?.iter().map(|&it| f32::from(it)));
            }
            DecodingResult::I32(all) => {
                heights.extend(some(all, wanted)?.iter().map(|&it| it as f32));
            }
            DecodingResult::U32(all) => {
                heights.extend(some(all, wanted)?.iter().map(|&it| it as f32));
            }
            DecodingResult::F32(all) => heights.extend_from_slice(some(all, wanted)?),
            _ => return Err(TileError::Samples),
        }
        for height in heights {
            let known = (BOUNDS_M[0]..=BOUNDS_M[1]).contains(height) && *height != self.nothing;
            if !known {
                *height = f32::NAN;
            }
        }
        Ok(())
    }
}

/// Bytes of the image's points.
fn image_bytes<R: Read + Seek>(decoder: &mut Decoder<R>, layout: Layout) -> Result<u64, TileError> {
    let bits = u64::from(decoder.colortype().map_err(tile_error)?.bit_depth());
    // both sides are at most `LONGEST_SIDE`
    Ok(layout.rows as u64 * layout.columns as u64 * bits / 8)
}

/// Most bytes that the image's strips or tiles can unpack to, in a file of this length.
fn most_bytes<R: Read + Seek>(decoder: &mut Decoder<R>, length: u64) -> Result<u64, TileError> {
    let method = decoder
        .find_tag_unsigned::<u16>(Tag::Compression)
        .map_err(tile_error)?
        .map_or(
            CompressionMethod::None,
            CompressionMethod::from_u16_exhaustive,
        );
    let growth = match method {
        CompressionMethod::None => 1,
        CompressionMethod::LZW => LZW_GROWTH,
        CompressionMethod::Deflate | CompressionMethod::OldDeflate => DEFLATE_GROWTH,
        CompressionMethod::PackBits => PACKBITS_GROWTH,
        _ => return Err(TileError::Samples),
    };
    let counts = match decoder.get_chunk_type() {
        ChunkType::Strip => Tag::StripByteCounts,
        ChunkType::Tile => Tag::TileByteCounts,
    };
    let counts = decoder
        .find_tag_unsigned_vec::<u64>(counts)
        .map_err(tile_error)?
        .ok_or(TileError::Broken)?;
    // a file in which parts overlap claims more bytes than it has
    let packed = counts.into_iter().fold(0, u64::saturating_add);
    if packed > length {
        return Err(TileError::CutShort);
    }
    Ok(packed.saturating_mul(growth))
}

/// Converts the library's errors.
fn tile_error(error: TiffError) -> TileError {
    match error {
        TiffError::IoError(_) => TileError::CutShort,
        TiffError::UnsupportedError(_) => TileError::Samples,
        TiffError::LimitsExceeded | TiffError::IntSizeError => TileError::TooLarge,
        _ => TileError::Broken,
    }
}

/// Whether samples are floating point.
fn fractions<R: Read + Seek>(decoder: &mut Decoder<R>) -> Result<bool, TileError> {
    let ColorType::Gray(bits) = decoder.colortype().map_err(tile_error)? else {
        return Err(TileError::Bands);
    };
    // the default, one value per point
    let format = decoder
        .find_tag_unsigned_vec::<u16>(Tag::SampleFormat)
        .map_err(tile_error)?
        .and_then(|formats| formats.first().copied())
        .unwrap_or(1);
    match (format, bits) {
        (1 | 2, 16 | 32) => Ok(false),
        (3, 32) => Ok(true),
        _ => Err(TileError::Samples),
    }
}

/// Checks the keys, and returns whether a tiepoint is a pixel's centre instead of its corner. A
/// file without keys is taken to be in degrees.
fn keys<R: Read + Seek>(decoder: &mut Decoder<R>) -> Result<bool, TileError> {
    let directory = decoder
        .find_tag_unsigned_vec::<u16>(Tag::GeoKeyDirectoryTag)
        .map_err(tile_error)?
        .unwrap_or_default();
    let mut middle = false;
    for entry in directory.chunks_exact(4).skip(1) {
        let &[key, 0, _, value] = entry else {
            continue;
        };
        match key {
            MODEL if value == PROJECTED => return Err(TileError::Projected),
            MODEL if value != GEOGRAPHIC => return Err(TileError::Datum),
            DATUM if !DATUMS.contains(&value) => return Err(TileError::Datum),
            ANGLES if value != DEGREES => return Err(TileError::Datum),
            HEIGHTS if FEET.contains(&value) => return Err(TileError::Feet),
            RASTER => middle = value == POINT,
            _ => (),
        }
    }
    Ok(middle)
}

/// Longitude and latitude of the image's corner, and steps east and south: west, across, north,
/// down, degrees.
fn grid<R: Read + Seek>(decoder: &mut Decoder<R>) -> Result<[f64; 4], TileError> {
    if let Some(matrix) = numbers(decoder, Tag::ModelTransformationTag)? {
        let [across, 0.0, _, west, 0.0, up, _, north, ..] = matrix[..] else {
            return Err(TileError::Turned);
        };
        return Ok([west, across, north, -up]);
    }
    let scale = numbers(decoder, Tag::ModelPixelScaleTag)?.ok_or(TileError::Nowhere)?;
    let tie = numbers(decoder, Tag::ModelTiepointTag)?.ok_or(TileError::Nowhere)?;
    match (&scale[..], &tie[..]) {
        (&[across, down, ..], &[column, row, _, longitude, latitude, _]) => Ok([
            longitude - column * across,
            across,
            latitude + row * down,
            down,
        ]),
        _ => Err(TileError::Nowhere),
    }
}

/// The numbers of a tag, if present.
fn numbers<R: Read + Seek>(
    decoder: &mut Decoder<R>,
    tag: Tag,
) -> Result<Option<Vec<f64>>, TileError> {
    let found = decoder.find_tag(tag).map_err(tile_error)?;
    found
        .map(|value| value.into_f64_vec().map_err(tile_error))
        .transpose()
}

/// The no-data value; NaN where the file has none, or one out of bounds anyway.
fn nothing<R: Read + Seek>(decoder: &mut Decoder<R>) -> Result<f32, TileError> {
    let found = decoder.find_tag(Tag::GdalNodata).map_err(tile_error)?;
    let Some(Value::Ascii(text)) = found else {
        return Ok(f32::NAN);
    };
    let text = text.trim_matches(['\0', ' ']);
    let (negative, digits) = match text.strip_prefix('-') {
        Some(digits) => (true, digits),
        None => (false, text),
    };
    let size = decimal::read(digits).map_or(f32::NAN, |size| size as f32);
    Ok(if negative { -size } else { size })
}
