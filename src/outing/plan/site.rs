//! The site: position, time zone, skyline and sky.

use crate::angle::Angle;
use crate::land::ridge::RidgeLine;
use crate::light::air::extinction;
use crate::light::brightness::DARK_ZENITH_V;
use crate::outing::plan::bounds::{LATITUDE, LONGITUDE, SITE_HEIGHT_M};
use crate::sky::altitude::Air;
use crate::sky::observer;

/// Most saved sites.
pub const MOST_SITES: usize = 30;

/// Greatest offset from UTC, minutes.
pub const MOST_OFFSET_MIN: i32 = 15 * 60;

/// Latitude of the default site, degrees.
const DEFAULT_LATITUDE_DEG: f64 = 36.0;

/// Meridians on which a site without a given place may stand are whole multiples of this from
/// Greenwich, degrees: a quarter of an hour, as clocks differ.
const CLOCK_MERIDIANS_DEG: f64 = 3.75;

/// Longest zone name.
const LONGEST_ZONE: usize = 40;

/// The time zone of a site.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Zone {
    /// A zone of the IANA database, such as `Europe/Zurich`.
    Named(String),
    /// A fixed number of minutes ahead of UTC.
    Fixed(i32),
}

/// A place to photograph from.
#[derive(Debug, Clone, PartialEq)]
pub struct Site {
    /// Its name; may be empty.
    pub name: String,
    /// Geographic latitude, north positive.
    pub latitude: Angle,
    /// Longitude, east positive, −180° to 180°.
    pub longitude: Angle,
    /// Height above the sea, m.
    pub height_m: f64,
    /// Its time zone.
    pub zone: Zone,
    /// Its skyline.
    pub ridge: RidgeLine,
    /// Zenith brightness of its sky without Moon and twilight, V magnitudes per square arcsecond.
    pub sky_brightness: f64,
    /// Extinction, magnitudes per air mass; `None` = a clear night's at its height.
    pub extinction_mag: Option<f64>,
}

impl Default for Site {
    /// The default site: 36° N on the meridian of Greenwich, in universal time.
    fn default() -> Self {
        Self {
            name: String::new(),
            latitude: Angle::from_degrees(DEFAULT_LATITUDE_DEG),
            longitude: Angle::ZERO,
            height_m: 0.0,
            zone: Zone::Fixed(0),
            ridge: RidgeLine::default(),
            sky_brightness: DARK_ZENITH_V,
            extinction_mag: None,
        }
    }
}

impl Site {
    /// Its position.
    pub fn on_earth(&self) -> observer::GeoPosition {
        observer::GeoPosition {
            latitude: self.latitude,
            longitude: self.longitude,
            height_m: self.height_m,
        }
    }

    /// Whether a place was given. Until then figures are for 36° N at sea level, on the meridian of
    /// the phone's clock, and the zone is the phone's.
    ///
    /// It follows from the place itself, so that stored and shared sites need no mark: an unnamed
    /// place exactly there counts as not given.
    pub fn is_set(&self) -> bool {
        // an angle in degrees is back only to the last digit
        let quarters = (self.longitude.degrees() / CLOCK_MERIDIANS_DEG).round();
        let on_a_meridian = self.longitude == Angle::from_degrees(quarters * CLOCK_MERIDIANS_DEG);
        let there = self.latitude == Angle::from_degrees(DEFAULT_LATITUDE_DEG);
        !(self.name.is_empty() && there && on_a_meridian && self.height_m == 0.0)
    }

    /// Whether the place is within the bounds of latitude, longitude and height.
    pub fn is_within_bounds(&self) -> bool {
        [
            (LATITUDE, self.latitude.degrees()),
            (LONGITUDE, self.longitude.degrees()),
            (SITE_HEIGHT_M, self.height_m),
        ]
        .into_iter()
        .all(|(bounds, value)| bounds.check(value).is_ok())
    }

    /// Moves the site. The name is reset; after a move over 0.027° so is all else but the clock.
    pub fn move_to(&mut self, latitude: Angle, longitude: Angle, height_m: f64) {
        // three kilometres
        const FAR_DEG: f64 = 0.027;
        let north_deg = latitude.degrees() - self.latitude.degrees();
        let east_deg = (longitude.degrees() - self.longitude.degrees()) * latitude.cos();
        self.name.clear();
        if north_deg.hypot(east_deg) > FAR_DEG {
            *self = Self {
                zone: self.zone.clone(),
                ..Self::default()
            };
        }
        (self.latitude, self.longitude, self.height_m) = (latitude, longitude, height_m);
    }

    /// Extinction, magnitudes per air mass: typed, or a clear night's at its height.
    pub fn extinction(&self) -> f64 {
        self.extinction_mag
            .unwrap_or_else(|| extinction(self.height_m))
    }

    /// Standard air at its height.
    pub fn air(&self) -> Air {
        Air::at_height(self.height_m)
    }
}

impl Zone {
    /// Reads a zone's name or a fixed offset such as `+5:30`, `-3` or `UTC`.
    ///
    /// ```
    /// use tarnlight::outing::plan::site::Zone;
    /// assert_eq!(Zone::read("+5:30"), Ok(Zone::Fixed(330)));
    /// assert!(Zone::read("Atlantis").is_err());
    /// ```
    pub fn read(text: &str) -> Result<Self, String> {
        let text = text.trim();
        let short = text.strip_prefix("UTC").unwrap_or(text).trim();
        if short.is_empty() && !text.is_empty() {
            return Ok(Self::Fixed(0));
        }
        let signed = short.replace('−', "-");
        if let Some(size) = signed.strip_prefix(['+', '-']) {
            let (hours, minutes) = size.split_once(':').unwrap_or((size, "0"));
            let whole = |part: &str| {
                let digits =
                    (1..=2).contains(&part.len()) && part.bytes().all(|b| b.is_ascii_digit());
                digits.then(|| {
                    part.bytes()
                        .fold(0, |sum, digit| sum * 10 + i32::from(digit - b'0'))
                })
            };
            let read = whole(hours).zip(whole(minutes));
            let total = read
                .filter(|(_, minutes)| *minutes < 60)
                .map(|(h, m)| h * 60 + m);
            let total = total.filter(|total| *total <= MOST_OFFSET_MIN);
            let size = total.ok_or("type an offset from -15:00 to +15:00, such as +5:30")?;
            return Ok(Self::Fixed(if signed.starts_with('-') {
                -size
            } else {
                size
            }));
        }
        // the browser knows the valid names; this only rejects what cannot be one
        let letter = |letter: char| {
            letter.is_ascii_alphanumeric() || matches!(letter, '/' | '_' | '+' | '-')
        };
        if text.contains('/') && text.len() <= LONGEST_ZONE && text.chars().all(letter) {
            return Ok(Self::Named(text.to_owned()));
        }
        Err("type a zone such as Europe/Zurich, or an offset such as +5:30".to_owned())
    }

    /// Its text form, as [`Zone::read`] reads it.
    pub fn written(&self) -> String {
        match self {
            Self::Named(name) => name.clone(),
            Self::Fixed(minutes) => offset(*minutes),
        }
    }
}

/// An offset in minutes as `+5:30`.
pub fn offset(minutes: i32) -> String {
    let sign = if minutes < 0 { '-' } else { '+' };
    let size = minutes.unsigned_abs();
    match (size / 60, size % 60) {
        (hours, 0) => format!("{sign}{hours}"),
        (hours, rest) => format!("{sign}{hours}:{rest:02}"),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_site_is_set_when_its_place_was_given() {
        let unset = Site::default();
        assert!(!unset.is_set());
        for longitude_deg in (-48..=56)
            .map(|quarters| f64::from(quarters) * 3.75)
            .chain([141.0])
        {
            let site = Site {
                longitude: Angle::from_degrees(longitude_deg),
                ..Site::default()
            };
            // 141° E is the meridian of no clock
            assert_eq!(site.is_set(), longitude_deg == 141.0, "{longitude_deg}");
        }
        for (latitude_deg, height_m, name) in
            [(36.01, 0.0, ""), (36.0, 2.0, ""), (36.0, 0.0, "Cape")]
        {
            let site = Site {
                latitude: Angle::from_degrees(latitude_deg),
                height_m,
                name: name.to_owned(),
                ..Site::default()
            };
            assert!(site.is_set() && site.is_within_bounds(), "{site:?}");
        }
        for latitude_deg in [95.0, -90.1, f64::NAN] {
            let site = Site {
                latitude: Angle::from_degrees(latitude_deg),
                ..Site::default()
            };
            assert!(!site.is_within_bounds(), "{latitude_deg}");
        }
    }

    #[test]
    fn zones_are_read_and_written() {
        let table = [
            ("UTC", 0, "+0"),
            ("+0", 0, "+0"),
            ("UTC+2", 120, "+2"),
            ("-3", -180, "-3"),
            ("−3:30", -210, "-3:30"),
            ("+12:45", 765, "+12:45"),
        ];
        for (text, want, written) in table {
            let zone = Zone::read(text).expect("a zone");
            assert_eq!(zone, Zone::Fixed(want), "{text}");
            assert_eq!(zone.written(), written, "{text}");
        }
        let named = Zone::read("America/Argentina/San_Juan").expect("a zone");
        assert_eq!(Zone::read(&named.written()), Ok(named));
        for text in [
            "", "Zurich", "+", "+25", "+2:60", "+2:5:1", "+aa", "a/<b>", "+-2", "½/½",
        ] {
            assert!(Zone::read(text).is_err(), "{text:?}");
        }
    }
}
