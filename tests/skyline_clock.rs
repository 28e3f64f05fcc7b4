//! What the skyline tells of a wrong clock, in drawn frames whose skyline and instant are known.
#![cfg(not(target_arch = "wasm32"))]

use chrono::{DateTime, TimeDelta, Utc};
use serde_json::Value;
use tarnlight::angle::Angle;
use tarnlight::astrometry::decode::DecodedPicture;
use tarnlight::astrometry::frame::{FrameHints, MeasuredPicture};
use tarnlight::astrometry::skyline_clock::{ClockMisfit, clock_misfit};
use tarnlight::land::ridge::{RidgeLine, Sighting};
use tarnlight::sky::moment::Moment;
use tarnlight::sky::observer::GeoPosition;

/// A drawn frame, measured.
struct Drawn {
    measured: MeasuredPicture,
    hints: FrameHints,
    start: DateTime<Utc>,
    /// Bearing and height, degrees.
    skyline: Vec<(f64, f64)>,
}

impl Drawn {
    fn new(name: &str) -> Self {
        let folder = concat!(env!("CARGO_MANIFEST_DIR"), "/tests/frames/");
        let all = std::fs::read_to_string(format!("{folder}frames.json")).expect("the list");
        let all: Value = serde_json::from_str(&all).expect("JSON");
        let cases = all["cases"].as_array().expect("cases");
        let case = cases
            .iter()
            .find(|case| case["id"] == name)
            .expect("a case");
        let number = |value: &Value| value.as_f64().expect("a number");
        let (site, sensor) = (&case["site"], &case["sensor"]);
        let file = std::fs::read(format!("{folder}{name}.jpg")).expect("a frame");
        let start = case["utc_start"].as_str().expect("an instant");
        let points = case["truth"]["skyline"].as_array().expect("a skyline");
        Self {
            measured: MeasuredPicture::new(&DecodedPicture::read(&file).expect("a picture")),
            hints: FrameHints {
                sensor_mm: Some((number(&sensor["width_mm"]), number(&sensor["height_mm"]))),
                focal_mm: case["focal_marked_mm"].as_f64(),
                site: Some(GeoPosition {
                    latitude: Angle::from_degrees(number(&site["lat_deg"])),
                    longitude: Angle::from_degrees(number(&site["lon_deg"])),
                    height_m: number(&site["elev_m"]),
                }),
                start: None,
            },
            start: start.parse().expect("an instant"),
            skyline: points
                .iter()
                .map(|point| (number(&point[0]), number(&point[1])))
                .collect(),
        }
    }

    /// What is told with a clock that is slow by so many seconds, and a known line that is changed.
    fn told(&self, slow_s: i64, change: impl Fn((f64, f64)) -> (f64, f64)) -> Option<ClockMisfit> {
        let known = self.skyline.iter().map(|point| {
            let (bearing, height) = change(*point);
            Sighting {
                bearing: Angle::from_degrees(bearing),
                height: Angle::from_degrees(height),
            }
        });
        let known = RidgeLine::new(Angle::ZERO, known);
        let start = Moment::from_utc(self.start - TimeDelta::seconds(slow_s));
        let hints = FrameHints {
            start: Some(start),
            ..self.hints
        };
        let frame = self.measured.clone().explained(&hints);
        let traced: Vec<_> = frame
            .skyline
            .iter()
            .map(|point| (point.bearing, point.altitude))
            .collect();
        let site = self.hints.site.expect("a site");
        clock_misfit(&traced, &known, site.latitude)
    }
}

/// Frames whose skyline is not flat, from 30° S, 44° S, 20° N and 37° N.
const HILLS: [&str; 4] = ["open-01", "open-07", "open-10", "open-11"];

fn unchanged(point: (f64, f64)) -> (f64, f64) {
    point
}

/// Half an hour and an hour of summer time, to either side: to a quarter of a minute. Two hours turn so
/// much of the line out of sight that it may tell nothing, but nothing wrong.
#[test]
fn a_wrong_clock_is_found_by_the_hills() {
    for name in HILLS {
        let drawn = Drawn::new(name);
        for slow_s in [1800, -1800, 3600, -3600, 7200, -7200_i64] {
            let Some(told) = drawn.told(slow_s, unchanged) else {
                assert!(slow_s.abs() > 3600, "{name}, {slow_s} s: nothing is told");
                continue;
            };
            let off_s = told.later_s - slow_s as f64;
            println!("{name}, {slow_s} s: off by {off_s} s, {told:?}");
            assert!(off_s.abs() <= 15.0, "{name}, {slow_s} s: {told:?}");
        }
    }
}

/// A clock that is right, or nearly; and a line that was sighted with a compass 4° off.
#[test]
fn nothing_is_told_of_a_right_clock() {
    for name in HILLS {
        let drawn = Drawn::new(name);
        for slow_s in [0, 30, -30] {
            assert_eq!(drawn.told(slow_s, unchanged), None, "{name}, {slow_s} s");
        }
        for off_deg in [-4.0, 4.0] {
            let compass = |(bearing, height): (f64, f64)| (bearing + off_deg, height);
            assert_eq!(drawn.told(0, compass), None, "{name}, {off_deg}°");
        }
    }
}

/// A line that is nearly flat, one that is, and none.
#[test]
fn nothing_is_told_of_flat_or_unsighted_ground() {
    for (name, slow_s) in [("open-02", 1200), ("open-03", 3600)] {
        assert_eq!(Drawn::new(name).told(slow_s, unchanged), None, "{name}");
    }
    let hills = Drawn::new(HILLS[0]);
    let flat = |(bearing, _): (f64, f64)| (bearing, 0.0);
    assert_eq!(hills.told(1200, flat), None);
    let elsewhere = |(bearing, height): (f64, f64)| (bearing + 180.0, height);
    assert_eq!(hills.told(1200, elsewhere), None);
}
