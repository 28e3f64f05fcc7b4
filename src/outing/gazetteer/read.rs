//! The gazetteer's text, read whole or not at all.

use std::fmt;

use crate::outing::gazetteer::{Gazetteer, Group, Row};

/// First line of the supported format.
const FORMAT: &str = "tarnlight places 1";

/// Separator of the sections.
const SECTION_END: (u8, u8) = (b'\n', b'\n');

/// Farthest north and south, hundredths of a degree.
const MOST_NORTH: i32 = 9_000;

/// Farthest east and west, hundredths of a degree.
const MOST_EAST: i32 = 18_000;

/// Why a gazetteer could not be read; displays as a sentence.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum GazetteerError {
    /// Another kind of text, or another version of it.
    NotPlaces,
    /// The end is missing, or the lists are not of one length.
    Cut,
    /// An invalid zone, country, number or size.
    BadEntry,
    /// A place that is not on the Earth.
    OffTheEarth,
}

impl fmt::Display for GazetteerError {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        out.write_str(match self {
            Self::NotPlaces => "this is not a list of places that can be read here",
            Self::Cut => "the list of places has not arrived whole",
            Self::BadEntry => "the list of places has an entry that cannot be read",
            Self::OffTheEarth => {
                "the list of places names a place beyond the poles or the date line"
            }
        })
    }
}

impl Gazetteer {
    /// Reads the text that `.tools/places` writes.
    ///
    /// Fails with a [`GazetteerError`]. A text that was truncated anywhere but at its last line
    /// break is an error.
    pub fn read(text: &str) -> Result<Self, GazetteerError> {
        let body = text.strip_suffix('\n').unwrap_or(text);
        let within = |part: &str| {
            let start = part.as_ptr() as usize - text.as_ptr() as usize;
            start..start + part.len()
        };
        let mut rest = Some(body);
        let mut sections = std::iter::from_fn(|| {
            let left = rest?;
            let end = left
                .bytes()
                .zip(left.bytes().skip(1))
                .position(|two| two == SECTION_END);
            let (section, after) =
                end.map_or((left, None), |end| (&left[..end], left.get(end + 2..)));
            rest = after;
            Some(section)
        });
        let head = sections.next().unwrap_or_default();
        let (format, source) = head.split_once('\n').ok_or(GazetteerError::NotPlaces)?;
        if format != FORMAT {
            return Err(GazetteerError::NotPlaces);
        }
        let mut section = || sections.next().ok_or(GazetteerError::Cut);
        let heads = section()?;
        let mut names = section()?.split('\n');
        let mut norths = section()?.split_ascii_whitespace();
        let mut easts = section()?.split_ascii_whitespace();
        let mut sizes = section()?.bytes().filter(|byte| *byte != b'\n');

        let mut groups = Vec::new();
        let mut rows = Vec::new();
        for head in heads.split('\n') {
            let (zone, country, count) = group_head(head).ok_or(GazetteerError::BadEntry)?;
            let (mut north, mut east) = (0, 0);
            // too large a count ends at the first exhausted list
            for _ in 0..count {
                let name = names.next().ok_or(GazetteerError::Cut)?;
                north = stepped(north, norths.next(), MOST_NORTH)?;
                east = stepped(east, easts.next(), MOST_EAST)?;
                let size = sizes.next().ok_or(GazetteerError::Cut)?;
                if name.is_empty() || !size.is_ascii_digit() {
                    return Err(GazetteerError::BadEntry);
                }
                rows.push(Row {
                    name: within(name),
                    group: groups.len(),
                    north,
                    east,
                    size: size - b'0',
                });
            }
            groups.push(Group {
                zone: within(zone),
                country: within(country),
            });
        }
        let left_over = names.next().is_some()
            || norths.next().is_some()
            || easts.next().is_some()
            || sizes.next().is_some()
            || sections.next().is_some();
        if left_over {
            return Err(GazetteerError::Cut);
        }
        Ok(Self {
            source: within(source),
            text: text.to_owned(),
            groups,
            rows,
        })
    }
}

/// Zone, country and count of a group's line.
fn group_head(line: &str) -> Option<(&str, &str, usize)> {
    let mut words = line.split(' ');
    let (zone, country) = (words.next()?, words.next()?);
    let count = words.next()?.parse().ok()?;
    let zone_letter = |byte: u8| byte.is_ascii_alphanumeric() || b"/_+-".contains(&byte);
    let fits = !zone.is_empty()
        && zone.bytes().all(zone_letter)
        && country.len() == 2
        && country.bytes().all(|byte| byte.is_ascii_uppercase())
        && words.next().is_none();
    fits.then_some((zone, country, count))
}

/// The next of a list of numbers that is written as differences, at most `most`.
fn stepped(from: i16, step: Option<&str>, most: i32) -> Result<i16, GazetteerError> {
    let step: i32 = step
        .ok_or(GazetteerError::Cut)?
        .parse()
        .map_err(|_| GazetteerError::BadEntry)?;
    i32::from(from)
        .checked_add(step)
        .filter(|to| (-most..=most).contains(to))
        .and_then(|to| i16::try_from(to).ok())
        .ok_or(GazetteerError::OffTheEarth)
}
