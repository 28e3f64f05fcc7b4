//! Keys of the site: where it is, its skyline, its sky and its air.

use super::{Key, cut_name, name_text, pair_text, set, set_some, unless};
use crate::angle::Angle;
use crate::decimal::{self, plain};
use crate::land::ridge::{RidgeLine, Sighting};
use crate::light::brightness::DARK_ZENITH_V;
use crate::outing::plan::site::{Site, Zone};
use crate::outing::plan::{Weather, bounds};

/// Does not compile when a field is added: give it a key below, then name it here.
const _: fn(Site, Weather) = |site, weather| {
    let Site {
        name: _,
        latitude: _,
        longitude: _,
        height_m: _,
        zone: _,
        ridge: _,
        sky_brightness: _,
        extinction_mag: _,
    } = site;
    let Weather {
        celsius: _,
        humidity_percent: _,
    } = weather;
};

/// Where the site is.
pub const POSITION: &[Key] = &[
    // Latitude, degrees. Always written.
    Key::new(
        "lat",
        |outing| Some(plain(outing.site.latitude.degrees())),
        |outing, text| set(&mut outing.site.latitude, bounds::LATITUDE.read_angle(text)),
    ),
    // Longitude, degrees. Left out: 0.
    Key::new(
        "lon",
        |outing| unless(0.0, outing.site.longitude.degrees()),
        |outing, text| {
            let longitude = bounds::LONGITUDE.read_longitude(text);
            set(&mut outing.site.longitude, longitude)
        },
    ),
];

/// Height, zone and name of the place, and its skyline.
pub const PLACE_AND_SKYLINE: &[Key] = &[
    // Height of the site, m. Left out: 0.
    Key::new(
        "high",
        |outing| unless(0.0, outing.site.height_m),
        |outing, text| set(&mut outing.site.height_m, bounds::SITE_HEIGHT_M.read(text)),
    ),
    // `Europe/Zurich`, `+5:30`. Left out: UTC.
    Key::new(
        "zone",
        |outing| {
            let zone = &outing.site.zone;
            (*zone != Zone::Fixed(0)).then(|| zone.written())
        },
        |outing, text| set(&mut outing.site.zone, Zone::read(text)),
    ),
    // Name of the site. Left out: unnamed.
    Key::new(
        "place",
        |outing| name_text(&outing.site.name),
        |outing, text| set(&mut outing.site.name, Ok(cut_name(text))),
    ),
    // Height of the skyline where it is not sighted, degrees; negative below level. Left out:
    // 0.
    Key::new(
        "ridge",
        |outing| unless(0.0, outing.site.ridge.all_round().degrees()),
        |outing, text| {
            let level = bounds::RIDGE.read_angle(text)?;
            outing.site.ridge = outing.site.ridge.at_level(level);
            Ok(())
        },
    ),
    // Sightings, bearing and height in degrees: `150*8.5_165.5*3`. Left out: none.
    Key::new(
        "line",
        |outing| line_text(&outing.site.ridge),
        |outing, text| {
            for point in text.split('_') {
                outing.site.ridge.take(sighting(point)?);
            }
            Ok(())
        },
    ),
    // Bearings in `line` from which to the next the skyline is not known: `165.5_290.25`. Left
    // out: none.
    Key::new(
        "gaps",
        |outing| gaps_text(&outing.site.ridge),
        |outing, text| {
            for bearing in text.split('_') {
                let bearing = Angle::from_degrees(bounds::BEARING.read(bearing)?);
                if !outing.site.ridge.open_gap_after(bearing) {
                    return Err("must be bearings of the line".to_owned());
                }
            }
            Ok(())
        },
    ),
];

/// The sky over the site.
pub const SKY: &[Key] = &[
    // Sky overhead, mag/arcsec². Left out: 21.6.
    Key::new(
        "dark",
        |outing| unless(DARK_ZENITH_V, outing.site.sky_brightness),
        |outing, text| {
            let brightness = bounds::SKY_BRIGHTNESS.read(text);
            set(&mut outing.site.sky_brightness, brightness)
        },
    ),
    // Extinction of the site's air, magnitudes an air mass. Left out: by its height.
    Key::new(
        "haze",
        |outing| outing.site.extinction_mag.map(plain),
        |outing, text| {
            set_some(
                &mut outing.site.extinction_mag,
                bounds::EXTINCTION.read(text),
            )
        },
    ),
];

/// The air at the site.
pub const WEATHER: &[Key] = &[
    // Temperature (°C) and humidity (%): `8_90`. Left out: not read.
    Key::new(
        "air",
        |outing| {
            let weather = outing.weather?;
            Some(pair_text(weather.celsius, weather.humidity_percent))
        },
        |outing, text| set_some(&mut outing.weather, weather(text)),
    ),
];

/// Temperature and humidity.
fn weather(text: &str) -> Result<Weather, String> {
    let parts = text.split_once('_');
    let (celsius, humidity) = parts.ok_or("must be degrees and percent such as 10_85")?;
    Ok(Weather {
        celsius: bounds::CELSIUS.read(celsius)?,
        humidity_percent: bounds::HUMIDITY.read(humidity)?,
    })
}

/// A ridge line's sightings: `150.00*8.50_165.50*3.00`, in degrees.
fn line_text(ridge: &RidgeLine) -> Option<String> {
    let mut text = String::new();
    for sighting in ridge.sightings() {
        if !text.is_empty() {
            text.push('_');
        }
        decimal::put(&mut text, sighting.bearing.degrees(), 2);
        text.push('*');
        decimal::put(&mut text, sighting.height.degrees(), 2);
    }
    (!text.is_empty()).then_some(text)
}

/// Bearing and height of one sighting.
fn sighting(text: &str) -> Result<Sighting, String> {
    let (bearing, height) = text
        .split_once('*')
        .ok_or("must be bearings and heights such as 150*8.5_165*3")?;
    Ok(Sighting {
        bearing: bounds::BEARING.read_angle(bearing)?,
        height: bounds::SIGHTED.read_angle(height)?,
    })
}

/// The bearings of sightings from which to the next the skyline is not known:
/// `165.50_290.25`.
fn gaps_text(ridge: &RidgeLine) -> Option<String> {
    let mut text = String::new();
    for sighting in ridge.gap_starts() {
        if !text.is_empty() {
            text.push('_');
        }
        decimal::put(&mut text, sighting.bearing.degrees(), 2);
    }
    (!text.is_empty()).then_some(text)
}
