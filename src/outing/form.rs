//! The outing as text: the one form in which it is kept, linked and carried.
//!
//! The form is a query string, such as
//! `v=1&lat=36&sensor=36x24&px=6000x4000&mm=20&f=1.8&sharp=2&keep=core`. It is
//! short enough for an address, and a person can read and change it. Each key
//! is read by itself: what is wrong is named in a sentence, and the rest
//! stands. Keys at their usual value may be left out.

use std::fmt::Write;

use super::bounds::{self, Bounds};
use super::clock::{read_date, written_date};
use super::kit::Kit;
use super::plan::{Held, KeepSharp, MoonLimit, Outing};
use super::site::{Site, Zone};
use crate::angle::Angle;
use crate::camera::focus::Focus;
use crate::camera::frame::Frame;
use crate::camera::lens::Projection;
use crate::camera::sharpness::{Seen, Sharpness};
use crate::decimal::{self, plain};
use crate::land::ridge::{RidgeLine, Sighting};

/// Version of the form written here. Older ones are read, newer ones refused.
pub const VERSION: u32 = 1;

/// A text longer than this is not ours.
const LONGEST_TEXT: usize = 60_000;

/// A kit's name is cut to so many letters.
pub const LONGEST_NAME: usize = 40;

/// At most so many complaints are made about one text.
const MOST_COMPLAINTS: usize = 3;

/// An outing read from text, and what could not be read of it.
#[derive(Debug, Clone, PartialEq)]
pub struct Reading {
    /// The outing; what could not be read is at its usual value.
    pub outing: Outing,
    /// A plain sentence for each thing that could not be read.
    pub complaints: Vec<String>,
    /// Whether nothing of the text was used.
    pub refused: bool,
}

/// Writes an outing.
///
/// ```
/// use tarnlight::outing::{form, plan::Outing};
/// assert_eq!(
///     form::write(&Outing::default()),
///     "v=1&lat=36&sensor=36x24&px=6000x4000&mm=20&f=1.8&sharp=2&keep=core"
/// );
/// ```
pub fn write(outing: &Outing) -> String {
    let mut text = format!("v={VERSION}");
    let mut put = |key: &str, value: String| {
        let value: String = form_urlencoded::byte_serialize(value.as_bytes()).collect();
        // writing to a String cannot fail
        let _ = write!(text, "&{key}={value}");
    };
    let Site {
        name: place,
        latitude,
        longitude,
        height_m,
        zone,
        ridge,
    } = &outing.site;
    put("lat", plain(latitude.degrees()));
    if *longitude != Angle::ZERO {
        put("lon", plain(longitude.degrees()));
    }
    let Kit { name, sensor, lens } = &outing.kit;
    put(
        "sensor",
        format!("{}x{}", plain(sensor.width_mm), plain(sensor.height_mm)),
    );
    put(
        "px",
        format!("{}x{}", sensor.pixels_across, sensor.pixels_down),
    );
    put("mm", plain(lens.focal_mm));
    put("f", plain(outing.f_number));
    match outing.sharpness {
        Sharpness::CloseLook => put("sharp", "2".to_owned()),
        Sharpness::EveryPixel => put("sharp", "pixel".to_owned()),
        Sharpness::Pixels(pixels) => put("sharp", format!("{}px", plain(pixels))),
        Sharpness::Print(seen) => put("sharp", seen_text("print", seen)),
        Sharpness::Screen(seen) => put("sharp", seen_text("screen", seen)),
    }
    match outing.keep_sharp {
        KeepSharp::Core => put("keep", "core".to_owned()),
        KeepSharp::WholeFrame => put("keep", "frame".to_owned()),
        KeepSharp::Centre => put("keep", "centre".to_owned()),
        KeepSharp::Declination(angle) => put("keep", format!("dec{}", plain(angle.degrees()))),
    }
    if outing.held == Held::Upright {
        put("held", "upright".to_owned());
    }
    if lens.projection != Projection::Rectilinear {
        put("lens", projection_word(lens.projection).to_owned());
    }
    if plain(lens.f_number) != plain(outing.f_number) {
        put("widest", plain(lens.f_number));
    }
    match outing.focus {
        Focus::Stars => {}
        Focus::Hyperfocal => put("focus", "hyperfocal".to_owned()),
        Focus::At(metres) => put("focus", format!("{}m", plain(metres))),
    }
    if *height_m != 0.0 {
        put("high", plain(*height_m));
    }
    if *zone != Zone::Fixed(0) {
        put("zone", zone.written());
    }
    if !place.is_empty() {
        put("place", place.chars().take(LONGEST_NAME).collect());
    }
    if ridge.all_round() != Angle::ZERO {
        put("ridge", plain(ridge.all_round().degrees()));
    }
    if !ridge.sightings().is_empty() {
        put("line", line_text(ridge));
    }
    if let Some(frame) = outing.frame {
        let turns = [frame.bearing, frame.tilt, frame.roll];
        put("aim", turns.map(|angle| plain(angle.degrees())).join("_"));
    }
    match outing.moon {
        MoonLimit::Harmless => {}
        MoonLimit::Any => put("moon", "any".to_owned()),
        MoonLimit::None => put("moon", "none".to_owned()),
    }
    if let Some(date) = outing.night {
        put("night", written_date(date));
    }
    if let Some(minute) = outing.minute {
        put("minute", minute.to_string());
    }
    if !name.is_empty() {
        put("kit", name.chars().take(LONGEST_NAME).collect());
    }
    text
}

/// Reads an outing from any text at all.
///
/// Every key that cannot be read, and every unknown one, gives a sentence; a
/// text of a newer version is refused whole.
pub fn read(text: &str) -> Reading {
    let text = text.trim().trim_start_matches('#');
    let usual = Outing::default();
    let mut reading = Reading {
        outing: usual.clone(),
        complaints: Vec::new(),
        refused: true,
    };
    if text.len() > LONGEST_TEXT {
        reading
            .complaints
            .push("this address is too long to be one of ours".to_owned());
        return reading;
    }
    let pairs: Vec<_> = form_urlencoded::parse(text.as_bytes()).collect();
    let version = pairs.iter().find(|(key, _)| key == "v");
    match version.map(|(_, value)| value.parse::<u32>()) {
        Some(Ok(version)) if version > VERSION => {
            let said = "this was made by a newer Tarnlight; update the page to read it";
            reading.complaints.push(said.to_owned());
            return reading;
        }
        Some(Ok(1..)) => {}
        _ => {
            let said = "this address does not say which form it has (v=1)";
            reading.complaints.push(said.to_owned());
            return reading;
        }
    }
    reading.refused = false;
    let mut widest = None;
    for (key, value) in pairs.iter().filter(|(key, _)| key != "v") {
        if key == "widest" {
            match bounds::F_NUMBER.read(value) {
                Ok(f_number) => widest = Some(f_number),
                Err(why) => reading.complaints.push(format!("widest: {why}")),
            }
            continue;
        }
        if let Err(why) = take(&mut reading.outing, key, value) {
            let key: String = key.chars().take(20).collect();
            reading.complaints.push(format!("{key}: {why}"));
        }
    }
    let outing = &mut reading.outing;
    outing.kit.lens.f_number = widest.unwrap_or(outing.f_number);
    reading.complaints.truncate(MOST_COMPLAINTS);
    reading
}

/// Reads one key into the outing, or says what is wrong with it.
fn take(outing: &mut Outing, key: &str, value: &str) -> Result<(), String> {
    match key {
        "lat" => outing.site.latitude = bounds::LATITUDE.read_angle(value)?,
        "lon" => outing.site.longitude = bounds::LONGITUDE.read_longitude(value)?,
        "high" => outing.site.height_m = bounds::SITE_HEIGHT_M.read(value)?,
        "zone" => outing.site.zone = Zone::read(value)?,
        "place" => outing.site.name = value.chars().take(LONGEST_NAME).collect(),
        "ridge" => {
            let level = bounds::RIDGE.read_angle(value)?;
            outing.site.ridge = outing.site.ridge.at_level(level);
        }
        "line" => {
            for point in value.split('_') {
                outing.site.ridge.take(sighting(point)?);
            }
        }
        "aim" => outing.frame = Some(frame(value)?),
        "moon" => {
            outing.moon = match value {
                "any" => MoonLimit::Any,
                "harmless" => MoonLimit::Harmless,
                "none" => MoonLimit::None,
                _ => return Err("must be any, harmless or none".to_owned()),
            }
        }
        "night" => outing.night = Some(read_date(value)?),
        "minute" => outing.minute = Some(minute(value)?),
        "sensor" => {
            let (width, height) = two(value)?;
            let size = bounds::SENSOR_MM;
            let (width, height) = (size.read(width)?, size.read(height)?);
            (outing.kit.sensor.width_mm, outing.kit.sensor.height_mm) = (width, height);
        }
        "px" => {
            let (across, down) = two(value)?;
            let side = bounds::SIDE_PX;
            let (across, down) = (side.read_whole(across)?, side.read_whole(down)?);
            (
                outing.kit.sensor.pixels_across,
                outing.kit.sensor.pixels_down,
            ) = (across, down);
        }
        "mm" => outing.kit.lens.focal_mm = bounds::FOCAL_MM.read(value)?,
        "f" => outing.f_number = bounds::F_NUMBER.read(value)?,
        "sharp" => outing.sharpness = sharpness(value)?,
        "keep" => outing.keep_sharp = keep_sharp(value)?,
        "held" => {
            outing.held = match value {
                "level" => Held::Level,
                "upright" => Held::Upright,
                _ => return Err("must be level or upright".to_owned()),
            }
        }
        "lens" => {
            let named = |projection: &Projection| projection_word(*projection) == value;
            let found = Projection::ALL.into_iter().find(named);
            outing.kit.lens.projection =
                found.ok_or("must be rectilinear, equisolid, equidistant or stereographic")?;
        }
        "focus" => {
            outing.focus = match value {
                "stars" => Focus::Stars,
                "hyperfocal" => Focus::Hyperfocal,
                metres => Focus::At(bounds::FOCUS_M.read(metres)?),
            }
        }
        "kit" => outing.kit.name = value.chars().take(LONGEST_NAME).collect(),
        _ => return Err("means nothing here".to_owned()),
    }
    Ok(())
}

/// A ridge line's sightings: `150*8.5_165.5*3`, in degrees.
fn line_text(ridge: &RidgeLine) -> String {
    let mut text = String::new();
    for held in ridge.sightings() {
        if !text.is_empty() {
            text.push('_');
        }
        decimal::put(&mut text, held.bearing.degrees(), 2);
        text.push('*');
        decimal::put(&mut text, held.height.degrees(), 2);
    }
    text
}

fn sighting(text: &str) -> Result<Sighting, String> {
    let (bearing, height) = text
        .split_once('*')
        .ok_or("must be bearings and heights such as 150*8.5_165*3")?;
    Ok(Sighting {
        bearing: bounds::BEARING.read_angle(bearing)?,
        height: bounds::SIGHTED.read_angle(height)?,
    })
}

/// Bearing, tilt and roll.
fn frame(value: &str) -> Result<Frame, String> {
    let mut turns = value.split('_');
    let mut next = |bounds: Bounds| bounds.read_angle(turns.next().unwrap_or_default());
    Ok(Frame {
        bearing: next(bounds::BEARING)?,
        tilt: next(bounds::TILT)?,
        roll: next(bounds::ROLL)?,
    })
}

fn minute(value: &str) -> Result<u16, String> {
    let minute = bounds::NIGHT_MINUTE.read_whole(value)?;
    Ok(u16::try_from(minute).unwrap_or(0))
}

fn sharpness(value: &str) -> Result<Sharpness, String> {
    if let Some(seen) = value.strip_prefix("print") {
        return Ok(Sharpness::Print(seen_from(seen)?));
    }
    if let Some(seen) = value.strip_prefix("screen") {
        return Ok(Sharpness::Screen(seen_from(seen)?));
    }
    match value {
        "2" => Ok(Sharpness::CloseLook),
        "pixel" => Ok(Sharpness::EveryPixel),
        pixels => bounds::TRAIL_PX.read(pixels).map(Sharpness::Pixels),
    }
}

fn keep_sharp(value: &str) -> Result<KeepSharp, String> {
    if let Some(degrees) = value.strip_prefix("dec") {
        let angle = bounds::DECLINATION.read_angle(degrees)?;
        return Ok(KeepSharp::Declination(angle));
    }
    match value {
        "core" => Ok(KeepSharp::Core),
        "frame" => Ok(KeepSharp::WholeFrame),
        "centre" => Ok(KeepSharp::Centre),
        _ => Err("must be core, frame, centre or dec and degrees".to_owned()),
    }
}

/// Two values parted by an x.
fn two(value: &str) -> Result<(&str, &str), String> {
    value
        .split_once('x')
        .ok_or_else(|| "must be two numbers such as 36x24".to_owned())
}

fn seen_text(word: &str, seen: Seen) -> String {
    format!("{word}{}x{}", plain(seen.width_cm), plain(seen.from_cm))
}

fn seen_from(value: &str) -> Result<Seen, String> {
    let (width, from) = two(value)?;
    Ok(Seen {
        width_cm: bounds::PICTURE_CM.read(width)?,
        from_cm: bounds::EYE_CM.read(from)?,
    })
}

/// A projection's word in the form and on the page.
pub const fn projection_word(projection: Projection) -> &'static str {
    match projection {
        Projection::Rectilinear => "rectilinear",
        Projection::Stereographic => "stereographic",
        Projection::Equidistant => "equidistant",
        Projection::Equisolid => "equisolid",
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use chrono::NaiveDate;

    fn elaborate() -> Outing {
        let mut outing = Outing {
            site: Site {
                name: "tarn & ridge".to_owned(),
                latitude: Angle::from_degrees(-33.8694),
                longitude: Angle::from_degrees(-70.25),
                height_m: 2400.0,
                zone: Zone::Named("America/Santiago".to_owned()),
                ridge: RidgeLine::of(
                    Angle::from_degrees(7.5),
                    [(150.0, 8.25), (165.5, -1.0)].map(|(bearing, height)| Sighting {
                        bearing: Angle::from_degrees(bearing),
                        height: Angle::from_degrees(height),
                    }),
                ),
            },
            frame: Some(Frame {
                bearing: Angle::from_degrees(171.5),
                tilt: Angle::from_degrees(-12.25),
                roll: Angle::from_degrees(2.0),
            }),
            moon: MoonLimit::Any,
            night: NaiveDate::from_ymd_opt(2026, 6, 14),
            minute: Some(800),
            f_number: 2.8,
            sharpness: Sharpness::Print(Seen::USUAL_PRINT),
            keep_sharp: KeepSharp::Declination(Angle::from_degrees(-29.5)),
            held: Held::Upright,
            focus: Focus::At(12.5),
            ..Outing::default()
        };
        outing.kit.name = "old & odd, 100 % “fish” #1".to_owned();
        outing.kit.lens.projection = Projection::Equisolid;
        outing
    }

    fn assert_returns(outing: &Outing) {
        let text = write(outing);
        let reading = read(&text);
        assert_eq!(reading.complaints, Vec::<String>::new(), "{text}");
        // angles pass through decimal degrees, so compare what is written
        assert_eq!(write(&reading.outing), text);
        assert_eq!(reading.outing.kit, outing.kit, "{text}");
    }

    #[test]
    fn what_is_written_is_read() {
        assert_returns(&Outing::default());
        assert_returns(&elaborate());
        for sharpness in [
            Sharpness::EveryPixel,
            Sharpness::CloseLook,
            Sharpness::Pixels(2.0),
            Sharpness::Screen(Seen::USUAL_SCREEN),
        ] {
            let outing = Outing {
                sharpness,
                ..Outing::default()
            };
            assert_returns(&outing);
            assert_eq!(read(&write(&outing)).outing.sharpness, sharpness);
        }
    }

    #[test]
    fn a_wrong_key_is_named_and_the_rest_stands() {
        let reading = read("#v=1&lat=95&mm=35&f=2&colour=blue");
        assert_eq!(
            reading.complaints,
            [
                "lat: latitude must be from -90 to 90°",
                "colour: means nothing here"
            ]
        );
        assert_eq!(reading.outing.kit.lens.focal_mm, 35.0);
        assert_eq!(reading.outing.site.latitude.degrees(), 36.0);
    }

    #[test]
    fn newer_and_foreign_texts_are_refused_in_words() {
        for text in [
            "v=2&mm=35",
            "mm=35",
            "",
            "<script>",
            "v=x",
            "v=0",
            &"a=1&".repeat(20_000),
        ] {
            let reading = read(text);
            assert_eq!(reading.complaints.len(), 1, "{text:?}");
            assert_eq!(reading.outing, Outing::default(), "{text:?}");
        }
    }

    #[test]
    fn hostile_values_never_get_through() {
        for value in [
            "NaN",
            "inf",
            "-1",
            "1e999",
            "0x",
            "30x-1",
            "3000x",
            "x",
            "☃",
            "%00",
            "999999999999",
        ] {
            for key in [
                "lat", "lon", "high", "zone", "ridge", "moon", "night", "minute", "sensor", "px",
                "mm", "f", "sharp", "keep", "held", "lens", "focus", "line", "aim",
            ] {
                let reading = read(&format!("v=1&{key}={value}"));
                let fine = reading.outing == Outing::default() && reading.complaints.len() == 1;
                // which these can be
                let minus_one = value == "-1" && ["lat", "lon", "high", "zone"].contains(&key);
                assert!(fine || minus_one, "{key}={value}: {reading:?}");
            }
        }
    }
}
