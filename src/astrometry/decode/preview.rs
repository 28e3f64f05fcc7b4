//! The JPEG previews within a TIFF-based raw file.
//!
//! Makers keep one or more ordinary JPEGs in such a file, the largest often of full size. They are
//! found by the file's directories: in a directory's `JPEGInterchangeFormat` or its first strip
//! (TIFF 6.0; TIFF/EP; DNG 1.7), and in directories within it (`SubIFDs`).

use super::jpeg;

const SUB_IFDS: u16 = 0x014A;
const STRIP_OFFSETS: u16 = 0x0111;
const STRIP_BYTE_COUNTS: u16 = 0x0117;
const JPEG_OFFSET: u16 = 0x0201;
const JPEG_LENGTH: u16 = 0x0202;
/// A JPEG kept as a value by one maker of raw files (from common practice).
const JPEG_FROM_RAW: u16 = 0x002E;

/// Bytes of a value by the type's number in TIFF; 0 for types that hold no offset or length.
const TYPE_BYTES: [usize; 14] = [0, 1, 1, 2, 4, 8, 1, 1, 2, 4, 8, 4, 8, 4];

/// Most directories visited, most entries in one, and most values of one entry.
const MOST_DIRECTORIES: usize = 64;
const MOST_ENTRIES: usize = 512;
const MOST_VALUES: usize = 64;

/// A JPEG with fewer pixels is a thumbnail.
const LEAST_PIXELS: usize = 500_000;

/// Whether the bytes begin as a TIFF, or as a raw file built like one.
pub(super) fn is_tiff(bytes: &[u8]) -> bool {
    Reader::new(bytes).is_some()
}

/// The largest JPEG in the file, by pixels.
pub(super) fn largest_jpeg(bytes: &[u8]) -> Option<&[u8]> {
    let reader = Reader::new(bytes)?;
    let mut waiting = vec![reader.long(4)?];
    let mut visited: Vec<usize> = Vec::new();
    let mut found: Vec<(usize, usize)> = Vec::new();
    while let Some(at) = waiting.pop() {
        if at == 0 || visited.contains(&at) || visited.len() == MOST_DIRECTORIES {
            continue;
        }
        visited.push(at);
        let Some(count) = reader.short(at) else {
            continue;
        };
        let count = count.min(MOST_ENTRIES);
        let mut strip = (None, None);
        let mut jpeg = (None, None);
        for entry in (0..count).map(|index| at + 2 + 12 * index) {
            let Some(tag) = reader.short(entry) else {
                break;
            };
            match u16::try_from(tag).unwrap_or(0) {
                SUB_IFDS => waiting.extend(reader.values(entry)),
                STRIP_OFFSETS => strip.0 = reader.single(entry),
                STRIP_BYTE_COUNTS => strip.1 = reader.single(entry),
                JPEG_OFFSET => jpeg.0 = reader.single(entry),
                JPEG_LENGTH => jpeg.1 = reader.single(entry),
                JPEG_FROM_RAW => found.extend(reader.extent(entry)),
                _ => {}
            }
        }
        for pair in [strip, jpeg] {
            if let (Some(start), Some(length)) = pair {
                found.push((start, length));
            }
        }
        waiting.extend(reader.long(at + 2 + 12 * count));
    }
    found
        .into_iter()
        .filter_map(|(start, length)| {
            let end = start.checked_add(length)?.min(bytes.len());
            let part = bytes.get(start..end)?;
            let header = jpeg::is_jpeg(part).then(|| jpeg::header(part))??;
            Some((header.width * header.height, part))
        })
        .filter(|(pixels, _)| *pixels >= LEAST_PIXELS)
        .max_by_key(|(pixels, _)| *pixels)
        .map(|(_, part)| part)
}

/// Reads numbers in the file's byte order.
struct Reader<'a> {
    bytes: &'a [u8],
    little: bool,
}

impl<'a> Reader<'a> {
    /// `None` unless the bytes begin with a byte order and a number that such files begin with: 42,
    /// or one of the makers' own (from common practice).
    fn new(bytes: &'a [u8]) -> Option<Self> {
        let little = match bytes.get(..2)? {
            b"II" => true,
            b"MM" => false,
            _ => return None,
        };
        let reader = Self { bytes, little };
        matches!(reader.short(2)?, 42 | 0x4F52 | 0x5352 | 0x55).then_some(reader)
    }

    fn short(&self, at: usize) -> Option<usize> {
        let pair = *self.bytes.get(at..)?.first_chunk::<2>()?;
        Some(usize::from(if self.little {
            u16::from_le_bytes(pair)
        } else {
            u16::from_be_bytes(pair)
        }))
    }

    fn long(&self, at: usize) -> Option<usize> {
        let four = *self.bytes.get(at..)?.first_chunk::<4>()?;
        usize::try_from(if self.little {
            u32::from_le_bytes(four)
        } else {
            u32::from_be_bytes(four)
        })
        .ok()
    }

    /// Where an entry's value stands, and its length in bytes.
    fn extent(&self, entry: usize) -> Option<(usize, usize)> {
        let size = *TYPE_BYTES.get(self.short(entry + 2)?)?;
        let length = self.long(entry + 4)?.checked_mul(size)?;
        let at = if length <= 4 {
            entry + 8
        } else {
            self.long(entry + 8)?
        };
        Some((at, length))
    }

    /// The whole numbers of an entry.
    fn values(&self, entry: usize) -> Vec<usize> {
        let Some((at, length)) = self.extent(entry) else {
            return Vec::new();
        };
        let wide = self.short(entry + 2) != Some(3);
        let size = if wide { 4 } else { 2 };
        (0..(length / size).min(MOST_VALUES))
            .map_while(|index| {
                let at = at.checked_add(size * index)?;
                if wide { self.long(at) } else { self.short(at) }
            })
            .collect()
    }

    /// The number of an entry that has just one: a picture in several strips is no JPEG.
    fn single(&self, entry: usize) -> Option<usize> {
        match self.values(entry).as_slice() {
            [value] => Some(*value),
            _ => None,
        }
    }
}
