//! The written form: what is written is read, and what is wrong is named.

use super::*;
use crate::angle::Angle;
use crate::camera::distortion::Distortion;
use crate::camera::focus::Focus;
use crate::camera::frame::Frame;
use crate::camera::lens::StarWidth;
use crate::camera::sharpness::{Sharpness, Viewing};
use crate::land::ridge::{RidgeLine, Sighting};
use crate::light::tracking::{Mount, TrackingRate};
use crate::outing::plan::camera_body::{CameraBody, CameraClock};
use crate::outing::plan::limits::{DarknessLimit, Limits, MoonLimit};
use crate::outing::plan::site::{Site, Zone};
use crate::outing::plan::{KeepSharp, Orientation, Support, Weather};
use crate::sky::subject::Subject;
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
        subject: Subject::WinterBand,
        limits: Limits {
            darkness: DarknessLimit::Down12,
            least_core: Angle::from_degrees(12.5),
            moon: MoonLimit::Any,
        },
        night: NaiveDate::from_ymd_opt(2026, 6, 14),
        minute: Some(800),
        f_number: 2.8,
        sharpness: Sharpness::Print(Viewing::USUAL_PRINT),
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
            rate: TrackingRate::Half,
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
        clock: NaiveDate::from_ymd_opt(2026, 7, 9).map(|date| CameraClock {
            ahead_s: 7203.5,
            date,
        }),
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
    assert!(outing.site.ridge.open_gap_after(Angle::from_degrees(165.5)));
    outing
}

fn assert_returns(outing: &Outing) {
    let text = write(outing);
    let decoded = read(&text);
    assert_eq!(decoded.errors, Vec::<String>::new(), "{text}");
    // angles pass through decimal degrees, so compare what is written
    assert_eq!(write(&decoded.outing), text);
    assert_eq!(decoded.outing.kit, outing.kit, "{text}");
}

#[test]
fn what_is_written_is_read() {
    assert_returns(&Outing::default());
    assert_returns(&elaborate());
    for sharpness in [
        Sharpness::EveryPixel,
        Sharpness::CloseLook,
        Sharpness::Pixels(2.0),
        Sharpness::Screen(Viewing::USUAL_SCREEN),
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
        let decoded = read(&format!("v=1&ridge={text}"));
        assert_eq!(decoded.errors, Vec::<String>::new(), "{text}");
        let level = decoded.outing.site.ridge.all_round().degrees();
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
        assert!(
            outing
                .site
                .ridge
                .open_gap_after(Angle::from_degrees(bearing))
        );
    }
    assert_returns(&outing);
    let text = write(&outing);
    assert!(text.contains("&gaps=80.25_350.5"), "{text}");
    let ridge = read(&text).outing.site.ridge;
    assert_eq!(ridge.gap_starts().count(), 2);
    let height = |bearing: f64| ridge.height(Angle::from_degrees(bearing)).degrees();
    assert!((height(110.0) + 1.0).abs() < 1e-9 && (height(5.0) + 1.0).abs() < 1e-9);
    assert!((height(190.0) - 3.0).abs() < 1e-9);
    let decoded = read("v=1&line=20*3_80*3&gaps=50");
    assert_eq!(decoded.errors, ["gaps: must be bearings of the line"]);
}

#[test]
fn a_wrong_key_is_named_and_the_rest_stands() {
    let decoded = read("#v=1&lat=95&mm=35&f=2&colour=blue");
    assert_eq!(
        decoded.errors,
        [
            "lat: latitude must be from -90 to 90°",
            "colour: means nothing here"
        ]
    );
    assert_eq!(decoded.outing.kit.lens.focal_mm, 35.0);
    assert_eq!(decoded.outing.site.latitude.degrees(), 36.0);
    assert!(decoded.invalid && !decoded.unsupported);
    let newer = read("v=1&mm=35&colour=blue");
    assert!(!newer.invalid && newer.errors.len() == 1);
}

/// Each coefficient is within its bounds, but the two together fold the picture.
#[test]
fn a_distortion_that_folds_the_picture_is_refused_in_words() {
    for pair in ["-0.15_0", "-0.5_0.1", "0.5_-0.5", "0_-0.3"] {
        let decoded = read(&format!("v=1&distort={pair}"));
        let want = "distort: k1 and k2 must let the picture grow steadily out to its corner";
        assert_eq!(decoded.errors, [want], "{pair}");
        assert_eq!(decoded.outing, Outing::default(), "{pair}");
        assert!(decoded.invalid, "{pair}");
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
        let decoded = read(text);
        assert_eq!(decoded.errors.len(), 1, "{text:?}");
        assert_eq!(decoded.outing, Outing::default(), "{text:?}");
    }
}

/// Keys whose value is a name: any text is one.
const NAMES: [&str; 2] = ["place", "kit"];

/// Keys whose value may be −1.
const MAY_BE_MINUS_ONE: [&str; 5] = ["lat", "lon", "high", "zone", "ridge"];

#[test]
fn hostile_values_never_get_through() {
    for exception in NAMES.iter().chain(&MAY_BE_MINUS_ONE) {
        assert!(key_names().any(|key| key == *exception), "{exception}");
    }
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
        for key in key_names() {
            let decoded = read(&format!("v=1&{key}={value}"));
            if NAMES.contains(&key) || (value == "-1" && MAY_BE_MINUS_ONE.contains(&key)) {
                assert_eq!(decoded.errors, Vec::<String>::new(), "{key}={value}");
                assert_ne!(decoded.outing, Outing::default(), "{key}={value}");
            } else {
                assert_eq!(decoded.errors.len(), 1, "{key}={value}: {decoded:?}");
                assert_eq!(decoded.outing, Outing::default(), "{key}={value}");
            }
        }
    }
}

/// A key that no outing here writes would be tested by none of these tests.
#[test]
fn the_elaborate_outing_writes_every_key_in_order() {
    let text = write(&elaborate());
    let pairs = text.split('&').skip(1);
    let written: Vec<_> = pairs
        .filter_map(|pair| Some(pair.split_once('=')?.0))
        .collect();
    assert_eq!(written, key_names().collect::<Vec<_>>(), "{text}");
}

/// The lens opens as far as it is set, unless another aperture is given before or after.
#[test]
fn the_widest_aperture_defaults_to_the_one_in_use() {
    for (text, widest, errors) in [
        ("v=1&f=4", 4.0, 0),
        ("v=1", 1.8, 0),
        ("v=1&f=4&widest=1.4", 1.4, 0),
        ("v=1&widest=1.4&f=4", 1.4, 0),
        ("v=1&widest=wide&f=4", 4.0, 1),
        ("v=1&widest=1.4&f=4&widest=wide", 1.4, 1),
    ] {
        let decoded = read(text);
        assert_eq!(decoded.outing.kit.lens.f_number, widest, "{text}");
        assert_eq!(decoded.errors.len(), errors, "{text}");
    }
}
