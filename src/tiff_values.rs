//! Whether the values of a TIFF's first directory fit into the file.
//!
//! The library that reads TIFFs sets memory aside for as many values as the directory claims, before
//! it reads them and before it can be given a limit. So the claims are compared with the file's
//! length first.
//!
//! Source: *TIFF Revision 6.0* (1992), section 2; for the form with addresses of 64 bits *BigTIFF*
//! as the library reads it; from memory.

use std::io::{self, Read, Seek, SeekFrom};

/// Bytes of an entry: its tag, type, count, and the value or its place.
const ENTRY: usize = 12;
const BIG_ENTRY: usize = 20;

/// Numbers after the byte order of the two forms.
const CLASSIC: u64 = 42;
const BIG: u64 = 43;

/// Whether every value of the first directory is at most as long as the file. Also true for what is
/// no TIFF, which sets no memory aside. Leaves the file at its start.
pub(crate) fn values_fit(file: &mut (impl Read + Seek)) -> io::Result<bool> {
    let length = file.seek(SeekFrom::End(0))?;
    let fit = first_directory(file, length)?;
    file.seek(SeekFrom::Start(0))?;
    Ok(fit)
}

fn first_directory(file: &mut (impl Read + Seek), length: u64) -> io::Result<bool> {
    let head = bytes_at(file, 0, 16)?;
    let little = match head.get(..2) {
        Some(b"II") => true,
        Some(b"MM") => false,
        _ => return Ok(true),
    };
    let number = |bytes: Option<&[u8]>| number(bytes.unwrap_or_default(), little);
    let (start, wide, entry) = match number(head.get(2..4)) {
        CLASSIC => (head.get(4..8), 2, ENTRY),
        BIG => (head.get(8..16), 8, BIG_ENTRY),
        _ => return Ok(true),
    };
    if start.is_none() {
        return Ok(true);
    }
    let start = number(start);
    let count = number(Some(&bytes_at(file, start, wide)?));
    let Some(bytes) = count.checked_mul(entry as u64).filter(|it| *it <= length) else {
        return Ok(false);
    };
    let entries = bytes_at(file, start.saturating_add(wide), bytes)?;
    Ok(entries.chunks_exact(entry).all(|entry| {
        let count_end = if entry.len() == ENTRY { 8 } else { 12 };
        let bytes = value_bytes(number(entry.get(2..4)));
        let count = number(entry.get(4..count_end));
        count.checked_mul(bytes).is_some_and(|all| all <= length)
    }))
}

/// Bytes of a value by its type's number.
const fn value_bytes(kind: u64) -> u64 {
    match kind {
        3 | 8 => 2,
        4 | 9 | 11 | 13 => 4,
        5 | 10 | 12 | 16..=18 => 8,
        _ => 1,
    }
}

/// So many bytes from a place, or fewer where the file ends.
fn bytes_at(file: &mut (impl Read + Seek), place: u64, count: u64) -> io::Result<Vec<u8>> {
    let mut bytes = Vec::new();
    file.seek(SeekFrom::Start(place))?;
    file.by_ref().take(count).read_to_end(&mut bytes)?;
    Ok(bytes)
}

fn number(bytes: &[u8], little: bool) -> u64 {
    let digit = |all: u64, byte: &u8| all << 8 | u64::from(*byte);
    if little {
        bytes.iter().rev().fold(0, digit)
    } else {
        bytes.iter().fold(0, digit)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::io::Cursor;

    /// One entry of type `kind` and `count` values, in a file of 80 bytes.
    fn fits(big: bool, little: bool, kind: u16, count: u64) -> bool {
        let mut file = Vec::new();
        let mut put = |value: u64, width: usize| {
            let bytes = value.to_be_bytes();
            let bytes = bytes[8 - width..].iter().copied();
            if little {
                file.extend(bytes.rev());
            } else {
                file.extend(bytes);
            }
        };
        let order = if little { 0x4949 } else { 0x4D4D };
        put(order, 2);
        if big {
            for (value, width) in [(BIG, 2), (8, 2), (0, 2), (16, 8), (1, 8)] {
                put(value, width);
            }
        } else {
            for (value, width) in [(CLASSIC, 2), (8, 4), (1, 2)] {
                put(value, width);
            }
        }
        put(273, 2);
        put(u64::from(kind), 2);
        put(count, if big { 8 } else { 4 });
        file.resize(80, 0);
        values_fit(&mut Cursor::new(file)).expect("memory can be read")
    }

    #[test]
    fn a_value_longer_than_the_file_is_found() {
        for (big, little) in [(false, true), (false, false), (true, true), (true, false)] {
            for (kind, most) in [(1, 80), (3, 40), (4, 20), (12, 10)] {
                assert!(fits(big, little, kind, most), "{big} {little} {kind}");
                assert!(!fits(big, little, kind, most + 1), "{big} {little} {kind}");
            }
        }
        assert!(!fits(true, true, 16, u64::MAX));
    }

    #[test]
    fn what_is_no_tiff_is_left_to_the_reader() {
        for bytes in [
            &b""[..],
            b"II",
            b"II*\0",
            b"MM\0*\0\0\0\x08",
            b"no tiff at all",
        ] {
            let mut file = Cursor::new(bytes);
            assert!(values_fit(&mut file).expect("memory can be read"));
            assert_eq!(file.position(), 0);
        }
        // more entries than there are bytes
        let mut file = Cursor::new(&b"II*\0\x08\0\0\0\xFF\xFF"[..]);
        assert!(!values_fit(&mut file).expect("memory can be read"));
    }
}
