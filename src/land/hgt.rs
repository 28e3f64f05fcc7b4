//! SRTM tiles: a square of heights; the file's name is its south-west corner.
//!
//! Source: U.S. Geological Survey, "SRTM documentation" (SRTM_Topo.txt), section 3: 16-bit signed
//! heights in metres, big-endian, rows from north to south and in them from west to east, edges
//! shared with the neighbours, voids −32768; from memory.

use std::io::{Read, Seek, SeekFrom};

use crate::land::error::TileError;
use crate::land::tile_layout::{Layout, Part, RowSink};

/// Points along a side, for 1 and 3 arc seconds.
const SIDES: [usize; 2] = [3601, 1201];

/// The void value.
const VOID: i16 = i16::MIN;

/// Bytes of a height.
const WIDTH: usize = 2;

/// Bytes fetched at a time: about a megabyte, since each request to the browser is slow.
const BAND: usize = 1 << 20;

/// An SRTM tile.
pub(super) struct Hgt<R> {
    bytes: R,
    layout: Layout,
}

impl<R: Read + Seek> Hgt<R> {
    /// Reads the corner from the name and the step from the length.
    pub fn open(name: &str, mut bytes: R) -> Result<Self, TileError> {
        let (south, west) = corner(name).ok_or(TileError::Name)?;
        let length = bytes
            .seek(SeekFrom::End(0))
            .map_err(|_| TileError::CutShort)?;
        let fits = |side: &&usize| (**side * **side * WIDTH) as u64 == length;
        let side = *SIDES.iter().find(fits).ok_or(TileError::Length)?;
        let step = 1.0 / (side - 1) as f64;
        let layout = Layout {
            rows: side,
            columns: side,
            north: f64::from(south + 1),
            west: f64::from(west),
            down: step,
            across: step,
            fractions: false,
        };
        Ok(Self {
            bytes,
            layout: layout.checked()?,
        })
    }

    pub fn layout(&self) -> Layout {
        self.layout
    }

    /// Most bytes that [`read`](Self::read) holds at a time.
    pub fn part_bytes(&self) -> usize {
        BAND + self.layout.columns * size_of::<f32>()
    }

    pub fn read(&mut self, part: Part, take: &mut RowSink<'_>) -> Result<(), TileError> {
        let row_bytes = self.layout.columns * WIDTH;
        let band_rows = BAND / row_bytes;
        let [first, end] = part.columns;
        let mut band = vec![0; band_rows * row_bytes];
        let mut heights = vec![0.0; end - first];
        let mut row = part.rows[0];
        let start = SeekFrom::Start((row * row_bytes) as u64);
        self.bytes.seek(start).map_err(|_| TileError::CutShort)?;
        while row < part.rows[1] {
            let rows = band_rows.min(part.rows[1] - row);
            let band = &mut band[..rows * row_bytes];
            self.bytes
                .read_exact(band)
                .map_err(|_| TileError::CutShort)?;
            for line in band.chunks_exact(row_bytes) {
                let wanted = line[first * WIDTH..end * WIDTH].chunks_exact(WIDTH);
                for (height, pair) in heights.iter_mut().zip(wanted) {
                    let metres = i16::from_be_bytes([pair[0], pair[1]]);
                    *height = if metres == VOID {
                        f32::NAN
                    } else {
                        f32::from(metres)
                    };
                }
                take(row, first, &heights);
                row += 1;
            }
        }
        Ok(())
    }
}

/// South-west corner in whole degrees, north and east positive, from a name such as `N46E009.hgt`,
/// with or without folders.
fn corner(name: &str) -> Option<(i32, i32)> {
    let name = name.rsplit(['/', '\\']).next()?;
    let bytes = name.as_bytes();
    let number = |digits: &[u8]| {
        let all = digits.iter().all(u8::is_ascii_digit);
        let value = digits.iter().fold(0, |value, digit| {
            10 * value + i32::from(digit.wrapping_sub(b'0'))
        });
        all.then_some(value)
    };
    if bytes.len() < 8 || bytes[7] != b'.' && bytes[7] != b'_' {
        return None;
    }
    let (latitude, longitude) = (number(&bytes[1..3])?, number(&bytes[4..7])?);
    let latitude = match bytes[0] {
        b'N' | b'n' => latitude,
        b'S' | b's' => -latitude,
        _ => return None,
    };
    let longitude = match bytes[3] {
        b'E' | b'e' => longitude,
        b'W' | b'w' => -longitude,
        _ => return None,
    };
    let there = (-90..90).contains(&latitude) && (-180..=180).contains(&longitude);
    there.then_some((latitude, longitude))
}

#[cfg(test)]
mod tests {
    use crate::land::hgt::corner;

    #[test]
    fn names_tell_the_corner() {
        let table = [
            ("N46E009.hgt", Some((46, 9))),
            ("s01w180.HGT", Some((-1, -180))),
            ("dem/N00E006.hgt", Some((0, 6))),
            ("C:\\dem\\S56W072.SRTMGL1.hgt", Some((-56, -72))),
            ("N46E009_copy.hgt", Some((46, 9))),
            ("N46E009", None),
            ("N4aE009.hgt", None),
            ("N46E0091.hgt", None),
            ("N90E009.hgt", None),
            ("N46E181.hgt", None),
            ("E009N46.hgt", None),
            ("é46E009.hgt", None),
            ("", None),
        ];
        for (name, want) in table {
            assert_eq!(corner(name), want, "{name}");
        }
    }
}
