//! The outing as text: the one form in which it is kept, linked and carried.
//!
//! The form is a query string, such as
//! `v=1&lat=36&sensor=36x24&px=6000x4000&mm=20&f=1.8&sharp=2&keep=core`. It is
//! short enough for an address, and a person can read and change it. Each key
//! is read by itself: what is wrong is named in a sentence, and the rest
//! stands. Keys at their usual value may be left out.

mod read;
mod write;

use std::fmt::Write;

use crate::camera::lens::Projection;
use crate::outing::plan::Outing;
use crate::outing::plan::bounds;

/// Version of the form written here. Older ones are read, newer ones unsupported.
pub const VERSION: u32 = 1;

/// A text longer than this is not ours.
const LONGEST_TEXT: usize = 60_000;

/// A kit's name is cut to so many letters.
pub const LONGEST_NAME: usize = 40;

/// Before the complaints about a link that was spoilt.
pub const LINK_IGNORED: &str = "The link was not taken: ";

/// At most so many complaints are made about one text.
const MOST_COMPLAINTS: usize = 3;

/// An outing read from text, and what could not be read of it.
#[derive(Debug, Clone, PartialEq)]
pub struct DecodedPlan {
    /// The outing; what could not be read is at its usual value.
    pub outing: Outing,
    /// A plain sentence for each thing that could not be read.
    pub errors: Vec<String>,
    /// Whether nothing of the text was used.
    pub unsupported: bool,
    /// Whether something that is known here had a value that cannot be, so that the
    /// outing is not the one that was meant.
    pub invalid: bool,
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
    write::all(outing, &mut |key, value| {
        let value: String = form_urlencoded::byte_serialize(value.as_bytes()).collect();
        // writing to a String cannot fail
        let _ = write!(text, "&{key}={value}");
    });
    text
}

/// Reads an outing from any text at all.
///
/// Every key that cannot be read, and every unknown one, gives a sentence; a
/// text of a newer version is unsupported whole.
pub fn read(text: &str) -> DecodedPlan {
    let text = text.trim().trim_start_matches('#');
    let usual = Outing::default();
    let mut reading = DecodedPlan {
        outing: usual.clone(),
        errors: Vec::new(),
        unsupported: true,
        invalid: true,
    };
    if text.len() > LONGEST_TEXT {
        reading
            .errors
            .push("this address is too long to be one of ours".to_owned());
        return reading;
    }
    let pairs: Vec<_> = form_urlencoded::parse(text.as_bytes()).collect();
    let version = pairs.iter().find(|(key, _)| key == "v");
    match version.map(|(_, value)| value.parse::<u32>()) {
        Some(Ok(version)) if version > VERSION => {
            let message = "this was made by a newer Tarnlight; update the page to read it";
            reading.errors.push(message.to_owned());
            return reading;
        }
        Some(Ok(1..)) => {}
        _ => {
            let message = "this address does not say which form it has (v=1)";
            reading.errors.push(message.to_owned());
            return reading;
        }
    }
    (reading.unsupported, reading.invalid) = (false, false);
    let mut widest = None;
    for (key, value) in pairs.iter().filter(|(key, _)| key != "v") {
        if key == "widest" {
            match bounds::F_NUMBER.read(value) {
                Ok(f_number) => widest = Some(f_number),
                Err(why) => {
                    reading.invalid = true;
                    reading.errors.push(format!("widest: {why}"));
                }
            }
            continue;
        }
        if let Err(why) = read::one(&mut reading.outing, key, value) {
            reading.invalid |= why != read::UNKNOWN;
            let key: String = key.chars().take(20).collect();
            reading.errors.push(format!("{key}: {why}"));
        }
    }
    let outing = &mut reading.outing;
    outing.kit.lens.f_number = widest.unwrap_or(outing.f_number);
    reading.errors.truncate(MOST_COMPLAINTS);
    reading
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
    use crate::angle::Angle;
    use crate::camera::distortion::Distortion;
    use crate::camera::focus::Focus;
    use crate::camera::frame::Frame;
    use crate::camera::lens::StarWidth;
    use crate::camera::sharpness::{Seen, Sharpness};
    use crate::land::ridge::{RidgeLine, Sighting};
    use crate::light::tracking::{Mount, Rate};
    use crate::outing::plan::camera_body::CameraBody;
    use crate::outing::plan::limits::{DarknessLimit, Limits, MoonLimit};
    use crate::outing::plan::site::{Site, Zone};
    use crate::outing::plan::{KeepSharp, Orientation, Support, Weather};
    use chrono::NaiveDate;

    fn elaborate() -> Outing {
        let mut outing = Outing {
            site: Site {
                name: "tarn & ridge".to_owned(),
                latitude: Angle::from_degrees(-33.8694),
                longitude: Angle::from_degrees(-70.25),
                height_m: 2400.0,
                zone: Zone::Named("America/Santiago".to_owned()),
                sky_brightness: 21.25,
                extinction_mag: Some(0.375),
                ridge: RidgeLine::new(
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
            limits: Limits {
                darkness: DarknessLimit::Down12,
                least_core: Angle::from_degrees(12.5),
                moon: MoonLimit::Any,
            },
            night: NaiveDate::from_ymd_opt(2026, 6, 14),
            minute: Some(800),
            f_number: 2.8,
            sharpness: Sharpness::Print(Seen::USUAL_PRINT),
            keep_sharp: KeepSharp::Declination(Angle::from_degrees(-29.5)),
            orientation: Orientation::Portrait,
            focus: Focus::At(12.5),
            subject_brightness: 22.5,
            iso: Some(3200.0),
            stack_min: 30.0,
            support: Support::Tracker,
            mount: Mount {
                azimuth_error: Angle::from_degrees(-0.25),
                altitude_error: Angle::from_degrees(0.125),
                periodic: Angle::from_degrees(0.0125),
                period_s: 480.0,
                rate: Rate::Half,
            },
            weather: Some(Weather {
                celsius: -3.5,
                humidity_percent: 85.0,
            }),
            ..Outing::default()
        };
        outing.kit.body = CameraBody {
            quantum: Some(0.625),
            transmitted: Some(0.875),
            read_noise: vec![(400.0, 3.5), (3200.0, 1.75)],
            dark_e_s: Some(0.25),
            full_well_e: Some(40_000.0),
            file_mb: Some(32.5),
            write_s: Some(2.0),
            charge_min: Some(200.0),
        };
        outing.kit.name = "old & odd, 100 % “fish” #1".to_owned();
        outing.kit.lens.projection = Projection::Equisolid;
        outing.kit.lens.distortion = Distortion {
            k1: -0.1125,
            k2: 0.04,
        };
        outing.kit.lens.star_width = Some(StarWidth {
            centre_px: 1.5,
            corner_px: 2.75,
        });
        outing.kit.lens.corner_falloff_stops = Some(2.25);
        outing
    }

    fn assert_returns(outing: &Outing) {
        let text = write(outing);
        let reading = read(&text);
        assert_eq!(reading.errors, Vec::<String>::new(), "{text}");
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

    /// The horizon of a plain far below is a height like any other, down to −10°.
    #[test]
    fn a_skyline_below_level_is_written_and_read() {
        let mut outing = Outing::default();
        outing.site.ridge = RidgeLine::level(Angle::from_degrees(-1.64));
        assert_returns(&outing);
        assert!(
            write(&outing).contains("&ridge=-1.64"),
            "{}",
            write(&outing)
        );
        for (text, want) in [("-1", -1.0), ("−10", -10.0), ("0", 0.0)] {
            let reading = read(&format!("v=1&ridge={text}"));
            assert_eq!(reading.errors, Vec::<String>::new(), "{text}");
            let level = reading.outing.site.ridge.all_round().degrees();
            assert!((level - want).abs() < 1e-12, "{text}: {level}");
        }
        assert_eq!(
            read("v=1&ridge=-10.5").errors,
            ["ridge: ridge height must be from -10 to 60°"]
        );
    }

    /// A gap that a survey left is no straight line on another phone either.
    #[test]
    fn gaps_of_the_skyline_are_written_and_read() {
        let point = |bearing: f64| Sighting {
            bearing: Angle::from_degrees(bearing),
            height: Angle::from_degrees(3.0),
        };
        let mut outing = Outing::default();
        let bearings = [20.0, 80.25, 150.0, 230.0, 300.0, 350.5].map(point);
        outing.site.ridge = RidgeLine::new(Angle::from_degrees(-1.0), bearings);
        for bearing in [80.25, 350.5] {
            assert!(outing.site.ridge.open_after(Angle::from_degrees(bearing)));
        }
        assert_returns(&outing);
        let text = write(&outing);
        assert!(text.contains("&gaps=80.25_350.5"), "{text}");
        let ridge = read(&text).outing.site.ridge;
        assert_eq!(ridge.opened().count(), 2);
        let height = |bearing: f64| ridge.height(Angle::from_degrees(bearing)).degrees();
        assert!((height(110.0) + 1.0).abs() < 1e-9 && (height(5.0) + 1.0).abs() < 1e-9);
        assert!((height(190.0) - 3.0).abs() < 1e-9);
        let reading = read("v=1&line=20*3_80*3&gaps=50");
        assert_eq!(reading.errors, ["gaps: must be bearings of the line"]);
    }

    #[test]
    fn a_wrong_key_is_named_and_the_rest_stands() {
        let reading = read("#v=1&lat=95&mm=35&f=2&colour=blue");
        assert_eq!(
            reading.errors,
            [
                "lat: latitude must be from -90 to 90°",
                "colour: means nothing here"
            ]
        );
        assert_eq!(reading.outing.kit.lens.focal_mm, 35.0);
        assert_eq!(reading.outing.site.latitude.degrees(), 36.0);
        assert!(reading.invalid && !reading.unsupported);
        let newer = read("v=1&mm=35&colour=blue");
        assert!(!newer.invalid && newer.errors.len() == 1);
    }

    /// Each coefficient is within its bounds, but the two together fold the picture.
    #[test]
    fn a_distortion_that_folds_the_picture_is_refused_in_words() {
        for pair in ["-0.15_0", "-0.5_0.1", "0.5_-0.5", "0_-0.3"] {
            let reading = read(&format!("v=1&distort={pair}"));
            let want = "distort: k1 and k2 must let the picture grow steadily out to its corner";
            assert_eq!(reading.errors, [want], "{pair}");
            assert_eq!(reading.outing, Outing::default(), "{pair}");
            assert!(reading.invalid, "{pair}");
        }
        let fine = read("v=1&distort=-0.148_0").outing.kit.lens.distortion;
        assert_eq!(
            fine,
            Distortion {
                k1: -0.148,
                k2: 0.0
            }
        );
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
            assert_eq!(reading.errors.len(), 1, "{text:?}");
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
                "mm", "f", "sharp", "keep", "held", "lens", "focus", "line", "gaps", "aim", "dark",
                "glow", "iso", "mins", "on", "air", "qe", "glass", "warm", "well", "mb", "write",
                "charge", "noise", "tracker", "sun", "least", "haze", "distort", "star", "falloff",
            ] {
                let reading = read(&format!("v=1&{key}={value}"));
                let fine = reading.outing == Outing::default() && reading.errors.len() == 1;
                // which these can be
                let minus_one =
                    value == "-1" && ["lat", "lon", "high", "zone", "ridge"].contains(&key);
                assert!(fine || minus_one, "{key}={value}: {reading:?}");
            }
        }
    }
}
