//! Parsing coordinates from pasted text: from a map, a message, a guidebook or a link.
//!
//! Supported are latitude and longitude in degrees, or in degrees, minutes and seconds, with a sign
//! or a letter for the side; and `geo:` links such as `geo:46.52,9.91`. Latitude comes first unless
//! letters determine the order. An ambiguous text is an error.

use std::fmt;

use crate::angle::{Angle, BadAngle};
use crate::decimal;
use crate::outing::plan::bounds::{self, Bounds};

/// Longest text read, bytes.
const LONGEST_TEXT: usize = 500;

/// Scheme of a link to a place.
const SCHEME: &str = "geo:";

/// The supported coordinate reference system, lower case (RFC 5870, section 3.4.2).
const WGS84: &str = "wgs84";

/// Coordinates on Earth.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Coordinates {
    /// Latitude, −90° to 90°, north positive.
    pub latitude: Angle,
    /// Longitude, above −180° to 180°, east positive; 0 at the poles.
    pub longitude: Angle,
    /// Height above the sea, m, if given.
    pub height_m: Option<f64>,
}

/// Why a text could not be read as coordinates; displays as a sentence.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum CoordinatesError {
    /// The text is empty.
    Empty,
    /// Neither two angles nor a link to a place, or ambiguous.
    NotAPlace,
    /// Only one angle.
    OneAngle,
    /// The latitude could not be read.
    Latitude(BadAngle),
    /// The longitude could not be read.
    Longitude(BadAngle),
    /// A number is out of bounds.
    Outside(Bounds),
    /// A link with another coordinate reference system.
    OtherSystem,
    /// A link with a search query.
    Search,
}

impl fmt::Display for CoordinatesError {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Empty => out.write_str("type a place, such as 46.52, 9.91"),
            Self::NotAPlace => {
                out.write_str("not a place; type latitude and longitude, such as 46.52, 9.91")
            }
            Self::OneAngle => {
                out.write_str("a place needs a latitude and a longitude, such as 46.52, 9.91")
            }
            Self::Latitude(why) => write!(out, "latitude: {why}"),
            Self::Longitude(why) => write!(out, "longitude: {why}"),
            Self::Outside(bounds) => out.write_str(&bounds.out_of_range_message()),
            Self::OtherSystem => {
                out.write_str("this link counts in another system of coordinates than WGS 84")
            }
            Self::Search => {
                out.write_str("this link looks for words and does not say where the place is")
            }
        }
    }
}

/// Reads coordinates.
///
/// Fails with a [`CoordinatesError`]. In links the height is read too, −500 m to 9000 m;
/// uncertainty and other parameters are ignored. At the poles longitude is 0, and 180° west is
/// given as 180° east.
///
/// Source: for links A. Mayrhofer & C. Spanring, *A Uniform Resource Identifier
/// for Geographic Locations*, RFC 5870 (2010), sections 3.3 and 3.4.
///
/// ```
/// use tarnlight::outing::gazetteer::parse;
/// let place = parse::read("46°31′12″ N 9°54′36″ E").unwrap();
/// assert!((place.latitude.degrees() - 46.52).abs() < 1e-9);
/// assert!((place.longitude.degrees() - 9.91).abs() < 1e-9);
/// assert_eq!(parse::read("geo:46.52,9.91,2240").unwrap().height_m, Some(2240.0));
/// ```
pub fn read(text: &str) -> Result<Coordinates, CoordinatesError> {
    let text = text.trim();
    if bare(text).is_empty() {
        return Err(CoordinatesError::Empty);
    }
    if text.len() > LONGEST_TEXT {
        return Err(CoordinatesError::NotAPlace);
    }
    let scheme = text.get(..SCHEME.len());
    if scheme.is_some_and(|scheme| scheme.eq_ignore_ascii_case(SCHEME)) {
        return link(&text[SCHEME.len()..]);
    }
    let (one, other) = halves(bare(text))?;
    let (one, other) = (bare(one), bare(other));
    if other.is_empty() {
        return Err(CoordinatesError::OneAngle);
    }
    let swapped = one.contains(is_east_west) || other.contains(is_north_south);
    let (latitude, longitude) = if swapped { (other, one) } else { (one, other) };
    let latitude = Angle::parse(latitude).map_err(CoordinatesError::Latitude)?;
    let longitude = Angle::parse_longitude(longitude).map_err(CoordinatesError::Longitude)?;
    place(latitude, longitude, None)
}

/// Coordinates within bounds, normalised.
fn place(
    latitude: Angle,
    longitude: Angle,
    height_m: Option<f64>,
) -> Result<Coordinates, CoordinatesError> {
    for (value, bounds) in [
        (Some(latitude.degrees()), bounds::LATITUDE),
        (Some(longitude.degrees()), bounds::LONGITUDE),
        (height_m, bounds::SITE_HEIGHT_M),
    ] {
        if value.is_some_and(|value| !(bounds.least..=bounds.most).contains(&value)) {
            return Err(CoordinatesError::Outside(bounds));
        }
    }
    let longitude = if latitude.degrees().abs() == bounds::LATITUDE.most {
        Angle::ZERO
    } else if longitude.degrees() == bounds::LONGITUDE.least {
        Angle::from_degrees(bounds::LONGITUDE.most)
    } else {
        longitude
    };
    Ok(Coordinates {
        latitude,
        longitude,
        height_m,
    })
}

/// The coordinates of a link, without its scheme (RFC 5870, section 3.3).
fn link(text: &str) -> Result<Coordinates, CoordinatesError> {
    // some maps write links with a search query after a question mark, and zeros as coordinates
    let (text, query) = text.split_once('?').unwrap_or((text, ""));
    if query.split('&').any(|part| part.starts_with("q=")) {
        return Err(CoordinatesError::Search);
    }
    let mut parts = text.split(';');
    let mut numbers = parts.next().unwrap_or_default().split(',');
    for part in parts {
        let (name, value) = part.split_once('=').unwrap_or((part, ""));
        if name.eq_ignore_ascii_case("crs") && !value.eq_ignore_ascii_case(WGS84) {
            return Err(CoordinatesError::OtherSystem);
        }
    }
    let latitude = numbers.next().and_then(signed);
    let longitude = numbers.next().and_then(signed);
    let height_m = numbers.next().map(signed);
    let (Some(latitude), Some(longitude)) = (latitude, longitude) else {
        return Err(CoordinatesError::NotAPlace);
    };
    if height_m == Some(None) || numbers.next().is_some() {
        return Err(CoordinatesError::NotAPlace);
    }
    place(
        Angle::from_degrees(latitude),
        Angle::from_degrees(longitude),
        height_m.flatten(),
    )
}

/// A number of a link: digits with a point, perhaps a minus sign.
fn signed(text: &str) -> Option<f64> {
    match text.strip_prefix('-') {
        Some(digits) => decimal::read(digits).map(|value| -value),
        None => decimal::read(text),
    }
}

fn is_north_south(letter: char) -> bool {
    matches!(letter, 'N' | 'n' | 'S' | 's')
}

fn is_east_west(letter: char) -> bool {
    matches!(letter, 'E' | 'e' | 'W' | 'w')
}

/// Without brackets and punctuation around an angle or a pair.
fn bare(text: &str) -> &str {
    text.trim_matches(|letter: char| {
        letter.is_whitespace() || matches!(letter, ',' | ';' | '(' | ')' | '[' | ']')
    })
}

/// The two angles of a pair, separated by the first that occurs of: letters for the sides, degree
/// marks, a semicolon, a comma, blanks.
fn halves(text: &str) -> Result<(&str, &str), CoordinatesError> {
    let only_two = |mut places: Vec<usize>| {
        let second = places.pop();
        let first = places.pop();
        first.zip(second).filter(|_| places.is_empty())
    };
    let places = |found: &dyn Fn(char) -> bool| -> Vec<usize> {
        let letters = text.char_indices().filter(|(_, letter)| found(*letter));
        letters.map(|(place, _)| place).collect()
    };
    if let Some((first, second)) = only_two(places(&|c| is_north_south(c) || is_east_west(c))) {
        // a letter in front belongs to what follows it
        let gap = if first == 0 { second } else { first + 1 };
        return Ok(text.split_at(gap));
    }
    if let Some((_, second)) = only_two(places(&|letter| letter == '°')) {
        let number = |letter: char| letter.is_ascii_digit() || matches!(letter, '.' | ',');
        let before = text[..second].trim_end().trim_end_matches(number);
        let before = before.trim_end_matches(['-', '−', '+']);
        return Ok(text.split_at(before.len()));
    }
    if let Some(halves) = text.split_once(';') {
        return Ok(halves);
    }
    pair_by_commas_or_blanks(text)
}

/// The two angles of a pair without letters, marks and semicolon. A comma beside a blank separates
/// them; one between digits may be a decimal comma.
fn pair_by_commas_or_blanks(text: &str) -> Result<(&str, &str), CoordinatesError> {
    let commas: Vec<usize> = text.match_indices(',').map(|(place, _)| place).collect();
    let at_comma = |place: usize| (&text[..place], &text[place + 1..]);
    let beside_blank = |place: &usize| {
        let (before, after) = at_comma(*place);
        before.ends_with(char::is_whitespace) || after.starts_with(char::is_whitespace)
    };
    let gaps: Vec<usize> = commas.iter().copied().filter(beside_blank).collect();
    match gaps[..] {
        [] => {}
        [gap] => return Ok(at_comma(gap)),
        _ => return Err(CoordinatesError::NotAPlace),
    }
    let words: Vec<&str> = text.split_whitespace().collect();
    match (words.len(), &commas[..]) {
        (1, []) => Err(CoordinatesError::OneAngle),
        // one comma alone between digits, or between the seconds of one and the degrees of the
        // other
        (1 | 3 | 5, [gap]) => Ok(at_comma(*gap)),
        (2 | 4 | 6, _) => {
            let second = words[words.len() / 2];
            // words are slices of the text, so their pointer distance is an index
            Ok(text.split_at(second.as_ptr().addr() - text.as_ptr().addr()))
        }
        _ => Err(CoordinatesError::NotAPlace),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Reads each text, to a ten-thousandth of a second of arc.
    fn check(table: &[(&str, f64, f64, Option<f64>)]) {
        for &(text, latitude, longitude, height_m) in table {
            let got = read(text).unwrap_or_else(|why| panic!("{text:?}: {why}"));
            let near = |angle: Angle, want: f64| (angle.degrees() - want).abs() < 1e-9;
            assert!(
                near(got.latitude, latitude) && near(got.longitude, longitude),
                "{text:?}: {got:?}, want {latitude}, {longitude}"
            );
            assert_eq!(got.height_m, height_m, "{text:?}");
        }
    }

    #[test]
    fn reads_what_people_paste() {
        let engadin = [
            "46.52, 9.91",
            "46.52 9.91",
            "46.52,9.91",
            "46.52;9.91",
            "46.52\t9.91",
            " (46.52, 9.91)\n",
            "46,52 9,91",
            "46,52, 9,91",
            "46,52; 9,91",
            "46.52° 9.91°",
            "46,52°, 9,91°",
            "46.52 N, 9.91 E",
            "N 46.52 E 9.91",
            "46.52n9.91e",
            "N46.52,E9.91",
            "9.91 E, 46.52 N",
            "E9.91 46.52",
            "46.52N 9.91",
            "46.52, 9.91 E",
            "46°31′12″ N 9°54′36″ E",
            "46°31'12\"N 9°54'36\"E",
            "N 46° 31′ 12″, E 9° 54′ 36″",
            "46°31′12″ 9°54′36″",
            "46° 31′ 12″ 9° 54′ 36″",
            "46 31 12 9 54 36",
            "46 31 12, 9 54 36",
            "46 31 12,9 54 36",
            "46:31:12 9:54:36",
            "46 31.2 9 54.6",
        ];
        check(&engadin.map(|text| (text, 46.52, 9.91, None)));
        check(&[
            ("-31.9;-69.3", -31.9, -69.3, None),
            ("−31.9 −69.3", -31.9, -69.3, None),
            ("31.9 S 69.3 W", -31.9, -69.3, None),
            ("-31.9°-69.3°", -31.9, -69.3, None),
            ("-31 54 -69 18", -31.9, -69.3, None),
            ("46,9", 46.0, 9.0, None),
            ("0 0", 0.0, 0.0, None),
            ("10, -180", 10.0, 180.0, None),
            ("90 N 120 E", 90.0, 0.0, None),
        ]);
    }

    /// The first rows are examples of RFC 5870, sections 1, 3.4.4 and 6, from memory.
    #[test]
    fn reads_links() {
        check(&[
            ("geo:13.4125,103.8667", 13.4125, 103.8667, None),
            ("geo:48.2010,16.3695,183", 48.201, 16.3695, Some(183.0)),
            (
                "geo:48.198634,16.371648;crs=wgs84;u=40",
                48.198_634,
                16.371_648,
                None,
            ),
            ("geo:90,-22.43;crs=WGS84", 90.0, 0.0, None),
            ("geo:90,46", 90.0, 0.0, None),
            ("geo:22.300,-118.44", 22.3, -118.44, None),
            ("geo:66,30;u=6.500;FOo=this%2dthat", 66.0, 30.0, None),
            ("geo:70,20;foo=1.00;bar=white", 70.0, 20.0, None),
            // own example
            ("geo:46.52,9.91,2240", 46.52, 9.91, Some(2240.0)),
            ("GEO:46.52,9.91;CRS=Wgs84", 46.52, 9.91, None),
            ("geo:31.5,35.5,-430.5", 31.5, 35.5, Some(-430.5)),
            ("geo:5,-180", 5.0, 180.0, None),
            ("geo:-90,12", -90.0, 0.0, None),
            ("geo:46.52,9.91?z=15", 46.52, 9.91, None),
        ]);
    }

    #[test]
    fn refuses_the_rest_in_words() {
        use CoordinatesError::{Empty, NotAPlace, OneAngle, OtherSystem, Outside, Search};
        let table = [
            ("", Empty),
            (" \n", Empty),
            ("46.52", OneAngle),
            ("46.52,", OneAngle),
            ("46.52; ", OneAngle),
            (",;()", Empty),
            ("46.52, 9.91, 2240", NotAPlace),
            ("46,52,9,91", NotAPlace),
            ("1 2 3", NotAPlace),
            // ambiguous: the letter's angle
            ("46.52 E 9.91", NotAPlace),
            (
                "46.52 N 9.91 N",
                CoordinatesError::Longitude(BadAngle::NotAnAngle),
            ),
            (
                "46.52 9.91 W E",
                CoordinatesError::Latitude(BadAngle::NotAnAngle),
            ),
            (
                "N 46.52 9.91 E",
                CoordinatesError::Longitude(BadAngle::Empty),
            ),
            ("-46 N 9 E", CoordinatesError::Latitude(BadAngle::TwoSigns)),
            (
                "46 61 9 10",
                CoordinatesError::Latitude(BadAngle::PartTooLarge),
            ),
            (
                "46.52, x",
                CoordinatesError::Longitude(BadAngle::NotAnAngle),
            ),
            ("91, 9", Outside(bounds::LATITUDE)),
            ("9, 180.1", Outside(bounds::LONGITUDE)),
            ("geo:9,181", Outside(bounds::LONGITUDE)),
            ("geo:9,9,9001", Outside(bounds::SITE_HEIGHT_M)),
            ("geo:", NotAPlace),
            ("geo:46.52", NotAPlace),
            ("geo:46.52,9.91,1,2", NotAPlace),
            ("geo:46.52,9.91,", NotAPlace),
            ("geo:+46.52,9.91", NotAPlace),
            ("geo:46.52 ,9.91", NotAPlace),
            ("geo:0,0?q=46.52,9.91(Lake)", Search),
            ("geo:323482,4306480;crs=EPSG:32618;u=20", OtherSystem),
            ("geo:46.52,9.91;crs", OtherSystem),
        ];
        for (text, want) in table {
            assert_eq!(read(text), Err(want), "{text:?}");
            let message = want.to_string();
            let plain = message.starts_with(char::is_lowercase) && !message.ends_with('.');
            assert!(plain, "{text:?}: {message}");
        }
        assert_eq!(read(&"4".repeat(501)), Err(NotAPlace), "too long");
        let message = Outside(bounds::LONGITUDE).to_string();
        assert_eq!(message, "longitude must be from -180 to 180°");
    }
}
