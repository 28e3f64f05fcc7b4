//! A horizon table: a skyline as rows of bearing and height.
//!
//! Columns are separated by commas, tabs, semicolons or blanks; angles are decimal degrees, or
//! degrees, minutes and seconds. What follows `#` or `//` is a comment, a first row of words is a
//! heading, and columns after the second are ignored.

use std::fmt;

use crate::angle::Angle;
use crate::land::ridge::{LEAST_DEG, MOST_DEG, MOST_SIGHTINGS, Sighting};

/// Longest text read, bytes.
const LONGEST_TEXT: usize = 400_000;

/// Why a table cannot be read.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum BadTable {
    /// An invalid row: its number, counted from 1, and the error.
    Row(usize, &'static str),
    /// It has no rows.
    Empty,
    /// It is too long.
    TooLong,
}

impl fmt::Display for BadTable {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Row(row, how) => write!(out, "line {row}: {how}"),
            Self::Empty => out.write_str("there is no bearing and height in it"),
            Self::TooLong => out.write_str("this is too long for a table of a skyline"),
        }
    }
}

/// Reads a table: sightings in the order of its rows.
///
/// ```
/// use tarnlight::land::table::read;
/// let rows = read("bearing, height\n150, 8.5\n# the notch\n165°30′, 3\n").unwrap();
/// assert_eq!(rows[1].bearing.degrees(), 165.5);
/// assert_eq!(read("150 8\n160 high").unwrap_err().to_string(),
///     "line 2: the height must be an angle, such as 8.5 or 8°30′");
/// ```
pub fn read(text: &str) -> Result<Vec<Sighting>, BadTable> {
    if text.len() > LONGEST_TEXT {
        return Err(BadTable::TooLong);
    }
    let mut rows = Vec::new();
    let mut first = true;
    for (place, line) in text.trim_start_matches('\u{feff}').lines().enumerate() {
        let line = line.split('#').next().unwrap_or_default();
        let line = line.split("//").next().unwrap_or_default().trim();
        let heading = std::mem::take(&mut first) && !line.bytes().any(|b| b.is_ascii_digit());
        if line.is_empty() {
            first |= heading;
            continue;
        }
        if heading {
            continue;
        }
        rows.push(row(line).map_err(|how| BadTable::Row(place + 1, how))?);
        if rows.len() > MOST_SIGHTINGS {
            return Err(BadTable::TooLong);
        }
    }
    if rows.is_empty() {
        return Err(BadTable::Empty);
    }
    Ok(rows)
}

fn row(line: &str) -> Result<Sighting, &'static str> {
    const BEARING: &str = "the bearing must be an angle, such as 165.5 or 165°30′";
    const HEIGHT: &str = "the height must be an angle, such as 8.5 or 8°30′";
    let (bearing, height) = columns(line).ok_or("a bearing and a height are needed")?;
    let bearing = Angle::parse(&bearing).map_err(|_| BEARING)?;
    let height = Angle::parse(&height).map_err(|_| HEIGHT)?;
    if !(-180.0..=360.0).contains(&bearing.degrees()) {
        return Err("the bearing must be from 0 to 360°");
    }
    if !(LEAST_DEG..=MOST_DEG).contains(&height.degrees()) {
        return Err("the height must be from -10 to 89°");
    }
    Ok(Sighting { bearing, height })
}

/// The first two columns.
fn columns(line: &str) -> Option<(String, String)> {
    let parted = |mark: char| {
        let mut parts = line.split(mark).map(|part| part.trim().to_owned());
        parts.next().zip(parts.next())
    };
    for mark in ['\t', ';', ','] {
        if line.contains(mark) {
            return parted(mark);
        }
    }
    let parts: Vec<&str> = line.split_whitespace().collect();
    match parts[..] {
        // degrees, minutes and seconds, each a column
        [a, b, c, d, e, f] if [b, c, e, f].iter().all(is_number) => {
            Some((format!("{a} {b} {c}"), format!("{d} {e} {f}")))
        }
        [bearing, height, ..] => Some((bearing.to_owned(), height.to_owned())),
        _ => None,
    }
}

fn is_number(part: &&str) -> bool {
    crate::decimal::read(part).is_some()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn degrees(text: &str) -> Vec<(f64, f64)> {
        let rows = read(text).unwrap_or_else(|why| panic!("{text:?}: {why}"));
        let round = |angle: Angle| (angle.degrees() * 1e9).round() / 1e9;
        let pair = |row: &Sighting| (round(row.bearing), round(row.height));
        rows.iter().map(pair).collect()
    }

    #[test]
    fn reads_what_people_keep() {
        let want = vec![(150.0, 8.5), (165.5, 3.0)];
        for text in [
            "150,8.5\n165.5,3",
            "150\t8.5\r\n165.5\t3\r\n",
            "150 8.5\n\n165.5   3  12000 far ridge",
            "\u{feff}azimuth;altitude\n150;8.5\n165.5;3",
            "# made on the spot\nbearing height\n150 8.5 # the pass\n165.5 3 // hut",
            "150°0′ 8°30′\n165°30′ 3°",
            "150 0 0 8 30 0\n165 30 0 3 0 0",
            "150 00,8 30\n165 30,3",
        ] {
            assert_eq!(degrees(text), want, "{text:?}");
        }
    }

    #[test]
    fn says_which_line_is_wrong() {
        for (text, message) in [
            ("150 8\n160", "line 2: a bearing and a height are needed"),
            (
                "150 8\n\n# x\n400 2",
                "line 4: the bearing must be from 0 to 360°",
            ),
            ("150 90", "line 1: the height must be from -10 to 89°"),
            (
                "150 8\nsouth 4",
                "line 2: the bearing must be an angle, such as 165.5 or 165°30′",
            ),
            (
                "1 1\n1 NaN",
                "line 2: the height must be an angle, such as 8.5 or 8°30′",
            ),
            ("", "there is no bearing and height in it"),
            (
                "# only\n\nwords, words",
                "there is no bearing and height in it",
            ),
        ] {
            assert_eq!(
                read(text).map_err(|why| why.to_string()),
                Err(message.to_owned()),
                "{text:?}"
            );
        }
        assert_eq!(read(&"1 1\n".repeat(5000)), Err(BadTable::TooLong));
        assert_eq!(read(&"x".repeat(500_000)), Err(BadTable::TooLong));
    }
}
