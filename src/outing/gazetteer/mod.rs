//! The bundled gazetteer: search by name, or the nearest place, with its time zone.
//!
//! The list is a text of GeoNames' towns; `.tools/places` writes it and documents its format and
//! the selection. The nearest town's zone is a proposal that the photographer confirms, since the
//! nearest town may be across a border.

pub mod parse;
pub mod read;
pub mod search_key;

use std::cmp::Reverse;
use std::ops::Range;

use crate::angle::Angle;
use crate::outing::gazetteer::search_key::{MatchRank, append_search_key, search_key};

/// Mean radius of the Earth, km (International Union of Geodesy and Geophysics, 1980). The sphere
/// errs by up to 0.6 %.
const EARTH_KM: f64 = 6_371.008_8;

/// Units of the text in a degree.
const PER_DEGREE: f64 = 100.0;

/// A town, village or station.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Town<'a> {
    /// Its name in Latin letters, with accents.
    pub name: &'a str,
    /// The two letters of its country (ISO 3166-1).
    pub country: &'a str,
    /// Latitude, to 0.01°; south is negative.
    pub latitude: Angle,
    /// Longitude, to 0.01°; west is negative.
    pub longitude: Angle,
    /// The IANA name of its time zone, such as `Europe/Rome`.
    pub zone: &'a str,
}

/// All places of the text.
#[derive(Debug, Clone, PartialEq)]
pub struct Gazetteer {
    text: String,
    source: Range<usize>,
    groups: Vec<Group>,
    rows: Vec<Row>,
}

/// Places of one zone and country, with the ranges of these words in the text.
#[derive(Debug, Clone, PartialEq)]
struct Group {
    zone: Range<usize>,
    country: Range<usize>,
}

/// One place, in few bytes: there are thousands of them.
#[derive(Debug, Clone, PartialEq)]
struct Row {
    name: Range<usize>,
    group: usize,
    /// Hundredths of a degree.
    north: i16,
    /// Hundredths of a degree.
    east: i16,
    /// From 0 to 9; each step is twice the population.
    size: u8,
}

impl Gazetteer {
    /// Source and licence, to be shown with the places.
    pub fn source(&self) -> &str {
        self.words(&self.source)
    }

    /// Every place, in the order of the text.
    pub fn iter(&self) -> impl Iterator<Item = Town<'_>> {
        self.rows.iter().map(|row| self.place(row))
    }

    /// The place nearest to a point, and how far it is, in kilometres along
    /// the great circle, to 0.6 %.
    ///
    /// `None` when there are no places, or for NaN. A longitude may exceed ±180°.
    pub fn nearest(&self, latitude: Angle, longitude: Angle) -> Option<(Town<'_>, f64)> {
        let mut best: Option<(&Row, f64)> = None;
        for row in &self.rows {
            let far = haversine(latitude, longitude, degrees(row.north), degrees(row.east));
            // false for NaN
            if far <= best.map_or(1.0, |(_, least)| least) {
                best = Some((row, far));
            }
        }
        best.map(|(row, far)| {
            let half_angle = far.sqrt().atan2((1.0 - far).sqrt());
            (self.place(row), 2.0 * EARTH_KM * half_angle)
        })
    }

    /// Places by a part of their name, at most `limit` of them.
    ///
    /// Accents, capitals, hyphens and apostrophes do not matter. Exact names come first, then those
    /// where it begins a word, then those where it is inside one; among equals, larger places
    /// first. An empty text finds nothing.
    pub fn search(&self, typed: &str, limit: usize) -> Vec<Town<'_>> {
        let wanted = search_key(typed);
        if wanted.is_empty() {
            return Vec::new();
        }
        let mut name = String::new();
        let mut found = Vec::new();
        for row in &self.rows {
            append_search_key(&mut name, self.words(&row.name));
            if let Some(matched) = MatchRank::new(&name, &wanted) {
                found.push((matched, row));
            }
        }
        let rank = |(matched, row): &(MatchRank, &Row)| (*matched, Reverse(row.size));
        let mut best = Vec::new();
        while best.len() < limit {
            // only a few of many are needed: a selection sort
            let sooner = |one: usize, two: usize| {
                if rank(&found[two]) < rank(&found[one]) {
                    two
                } else {
                    one
                }
            };
            let Some(place) = (0..found.len()).reduce(sooner) else {
                break;
            };
            best.push(self.place(found.remove(place).1));
        }
        best
    }

    fn words(&self, range: &Range<usize>) -> &str {
        self.text.get(range.clone()).unwrap_or_default()
    }

    fn place(&self, row: &Row) -> Town<'_> {
        let group = self.groups.get(row.group);
        Town {
            name: self.words(&row.name),
            country: group.map_or("", |group| self.words(&group.country)),
            latitude: degrees(row.north),
            longitude: degrees(row.east),
            zone: group.map_or("", |group| self.words(&group.zone)),
        }
    }
}

fn degrees(hundredths: i16) -> Angle {
    Angle::from_degrees(f64::from(hundredths) / PER_DEGREE)
}

/// The squared sine of half the angle between two points: grows with their
/// distance, and loses nothing when they are close (R. W. Sinnott, *Sky and
/// Telescope* 68 (1984) 159).
fn haversine(latitude: Angle, longitude: Angle, other_lat: Angle, other_lon: Angle) -> f64 {
    let half = |from: Angle, to: Angle| ((to.radians() - from.radians()) / 2.0).sin();
    let north = half(latitude, other_lat);
    let east = half(longitude, other_lon);
    // rounding may put opposite points just above one; clamping keeps NaN
    (north * north + latitude.cos() * other_lat.cos() * east * east).clamp(0.0, 1.0)
}

#[cfg(test)]
mod tests {
    use super::read::GazetteerError;
    use super::*;

    /// Three places by hand; the zones and names are made up.
    const SMALL: &str = "tarnlight places 1\nBy hand\n\n\
        Mid/Sea AA 2\nEast/Line BB 1\n\n\
        Nether Óth\nOther Town\nLinemouth\n\n\
        0 150\n-1700\n\n0 -25\n17990\n\n19\n0\n";

    fn small() -> Gazetteer {
        Gazetteer::read(SMALL).expect("a whole list")
    }

    #[test]
    fn reads_steps_back_into_places() {
        let places = small();
        let message: Vec<_> = places
            .iter()
            .map(|place| {
                let degrees = (place.latitude.degrees(), place.longitude.degrees());
                (place.name, place.country, place.zone, degrees)
            })
            .collect();
        let want = [
            ("Nether Óth", "AA", "Mid/Sea", (0.0, 0.0)),
            ("Other Town", "AA", "Mid/Sea", (1.5, -0.25)),
            ("Linemouth", "BB", "East/Line", (-17.0, 179.9)),
        ];
        assert_eq!(message.len(), want.len());
        for (message, want) in message.into_iter().zip(want) {
            assert_eq!((message.0, message.1, message.2), (want.0, want.1, want.2));
            let miss = (message.3.0 - want.3.0).abs() + (message.3.1 - want.3.1).abs();
            assert!(miss < 1e-9, "{message:?}, want {want:?}");
        }
        assert_eq!(places.source(), "By hand");
    }

    #[test]
    fn refuses_the_rest_in_words() {
        let table = [
            ("", "", GazetteerError::NotPlaces),
            (SMALL, "<!doctype html>", GazetteerError::NotPlaces),
            ("places 1", "places 2", GazetteerError::NotPlaces),
            ("AA 2", "AA 3", GazetteerError::Cut),
            ("AA 2", "AA 1", GazetteerError::Cut),
            ("AA 2", "AA 99999999", GazetteerError::Cut),
            ("AA 2", "AA -2", GazetteerError::BadEntry),
            ("AA 2", "AA", GazetteerError::BadEntry),
            ("AA 2", "Aa 2", GazetteerError::BadEntry),
            ("Mid/Sea", "Mid<Sea", GazetteerError::BadEntry),
            ("Other Town", "", GazetteerError::BadEntry),
            ("0 150", "0 x", GazetteerError::BadEntry),
            ("0 150", "0 9001", GazetteerError::OffTheEarth),
            ("17990", "18001", GazetteerError::OffTheEarth),
            ("0 150", "0 2147483647", GazetteerError::OffTheEarth),
            ("19\n", "1x\n", GazetteerError::BadEntry),
            ("19\n", "199\n", GazetteerError::Cut),
        ];
        for (old, new, want) in table {
            let text = if old.is_empty() {
                String::new()
            } else {
                SMALL.replace(old, new)
            };
            assert_eq!(Gazetteer::read(&text), Err(want), "{old:?} as {new:?}");
        }
        for end in 0..SMALL.len() - 1 {
            // a cut within a letter is not a valid string
            if let Some(cut) = SMALL.get(..end) {
                assert!(Gazetteer::read(cut).is_err(), "{cut:?}");
            }
        }
    }

    /// A quarter of the great circle is π/2 radii; a tenth of a degree along the
    /// equator is a 3600th of the whole.
    #[test]
    fn distances_are_along_the_great_circle() {
        let places = small();
        let table = [
            (90.0, 180.0, "Other Town", 88.5 * 111.195_08),
            (0.0, -0.1, "Nether Óth", 11.119_508),
            (0.0, 359.9, "Nether Óth", 11.119_508),
            (-17.0, -180.0, "Linemouth", 10.633_5),
            (-17.0, 180.0, "Linemouth", 10.633_5),
            (-17.0, 179.9, "Linemouth", 0.0),
        ];
        for (latitude, longitude, name, km) in table {
            let (latitude, longitude) = (
                Angle::from_degrees(latitude),
                Angle::from_degrees(longitude),
            );
            let (place, far) = places.nearest(latitude, longitude).expect("a place");
            assert_eq!(place.name, name);
            assert!((far - km).abs() < 1e-3, "{name}: {far} km, want {km} km");
        }
    }

    #[test]
    fn nowhere_has_no_nearest_place() {
        let places = small();
        for none in [f64::NAN, f64::INFINITY] {
            let none = Angle::from_radians(none);
            assert_eq!(places.nearest(none, Angle::ZERO), None);
            assert_eq!(places.nearest(Angle::ZERO, none), None);
        }
        let huge = Angle::from_radians(f64::MAX);
        assert!(
            places
                .nearest(huge, huge)
                .is_some_and(|(_, km)| km < 20_016.0)
        );
    }

    #[test]
    fn finds_whole_names_then_words_then_larger_places() {
        let places = small();
        let found = |typed: &str| {
            let found = places.search(typed, 9);
            found.iter().map(|place| place.name).collect::<Vec<_>>()
        };
        assert_eq!(found("oth"), ["Other Town", "Nether Óth"]);
        assert_eq!(found("nether-oth"), ["Nether Óth"]);
        assert_eq!(found("TOWN"), ["Other Town"]);
        assert_eq!(found("ther"), ["Other Town", "Nether Óth"]);
        assert_eq!(found("line mouth"), [""; 0]);
        assert_eq!(found(" - "), [""; 0]);
        assert_eq!(places.search("oth", 1).len(), 1);
        assert_eq!(places.search("oth", 0).len(), 0);
    }
}
