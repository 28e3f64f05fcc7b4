//! Where stars fall in a picture, against astropy and plain geometry, for two sites, two
//! projections and eighty stars; and the bundled stars against Gaia's.
//!
//! The reference values, how they were made and how far they can be trusted are described in
//! `tests/reference/README.md`. A frame is passed unchanged through the JSON-lines interface
//! (`tests/answer`); the way the page draws, which skips the detour by angles, is held to the same.
#![cfg(not(target_arch = "wasm32"))]

mod answer;
#[allow(dead_code, reason = "other tests read the rest")]
mod reference;

use chrono::DateTime;
use reference::{lens, number, parse, rows, word};
use serde_json::{Value, json};
use tarnlight::angle::Angle;
use tarnlight::camera::frame::Frame;
use tarnlight::camera::sensor::Sensor;
use tarnlight::camera::view::View;
use tarnlight::sky::moment::Moment;
use tarnlight::sky::observer::{GeoPosition, Observer};
use tarnlight::sky::stars::stars;
use tarnlight::vector::Vector;

const FRAMES: &str = include_str!("reference/frame_stars.json");

/// How far a star may fall from its place. A pixel is 155″ across in the middle of the coarsest of
/// these frames,
const PIXELS: f64 = 0.2;

/// and in the corner of the finest so little: 14 mm, rectilinear, 57° from the axis.
const FINEST_ARCSEC_A_PIXEL: f64 = 26.0;

/// How far its direction may be off, arcseconds: the wandering of the pole, which we leave out, is
/// up to 0.6″.
const DIRECTION_ARCSEC: f64 = 0.7;

/// Above this height the reference's formula for the air is good, and ours, which is rounder, lifts
/// by so much more at the most: up to 4 % of the lift.
const HIGH_ENOUGH_DEG: f64 = 10.0;
const LIFT_ARCMIN: f64 = 0.2;

/// Rounding of our places, 0.66″, and what two catalogues' motions differ by in the years after the
/// second.
const CATALOGUE_ARCSEC: f64 = 1.0;

fn frames() -> Vec<Value> {
    let frames = rows(&parse(FRAMES), "frames").to_vec();
    assert_eq!(frames.len(), 4, "frames in the reference");
    frames
}

fn degrees(value: &Value, key: &str) -> Angle {
    Angle::from_degrees(number(value, key))
}

fn direction(star: &Value) -> Vector {
    Vector::from_spherical(degrees(star, "ra_deg"), degrees(star, "dec_deg"))
}

fn pixels(star: &Value, key: &str) -> [f64; 2] {
    let pair = rows(star, key);
    [0, 1].map(|place| pair[place].as_f64().expect("a number"))
}

/// How far one place is from another, in pixels.
fn away([x, y]: [f64; 2], [to_x, to_y]: [f64; 2]) -> f64 {
    (x - to_x).hypot(y - to_y)
}

fn asked(frame: &Value, refraction: bool) -> Vec<(Value, Value)> {
    let mut question = frame.clone();
    question["refraction"] = json!(refraction);
    let answer = answer::reply(&question.to_string());
    assert!(answer.get("error").is_none(), "{answer}");
    let (message, stars) = (rows(&answer, "stars"), rows(frame, "stars"));
    assert_eq!((message.len(), stars.len()), (20, 20), "stars told");
    message.iter().cloned().zip(stars.iter().cloned()).collect()
}

#[test]
fn stars_fall_where_the_reference_has_them() {
    let (mut worst, mut worst_arcsec) = (0.0_f64, 0.0_f64);
    for frame in frames() {
        for (got, want) in asked(&frame, false) {
            let miss = away(
                [number(&got, "x_px"), number(&got, "y_px")],
                pixels(&want, "px"),
            );
            assert!(miss < PIXELS, "{miss} pixels: {got}, want {want}");
            worst = worst.max(miss);
            let [got, want] = [&got, &want].map(|star| {
                Vector::from_spherical(degrees(star, "az_deg"), degrees(star, "alt_geom_deg"))
            });
            let miss = got.angle_to(want).degrees() * 3600.0;
            assert!(miss < DIRECTION_ARCSEC, "{miss}″");
            worst_arcsec = worst_arcsec.max(miss);
        }
    }
    println!("worst of 80 stars: {worst:.4} pixels, {worst_arcsec:.3}″");
}

#[test]
fn the_air_lifts_them_as_much() {
    let (mut worst, mut worst_lift, mut compared) = (0.0_f64, 0.0_f64, 0);
    for frame in frames() {
        for (got, want) in asked(&frame, true) {
            if number(&want, "alt_geom_deg") < HIGH_ENOUGH_DEG {
                continue;
            }
            let place = [number(&got, "x_px"), number(&got, "y_px")];
            let miss = away(place, pixels(&want, "px_through_air"));
            worst = worst.max(miss);
            let lift = number(&got, "alt_apparent_deg") - number(&want, "alt_through_air_deg");
            worst_lift = worst_lift.max(lift.abs() * 60.0);
            // what the formulas differ by, at the finest scale of these frames, and the rest
            let formulas = lift.abs() * 3600.0 / FINEST_ARCSEC_A_PIXEL;
            assert!(
                miss < PIXELS + formulas,
                "{miss} pixels: {got}, want {want}"
            );
            assert!(
                lift.abs() * 60.0 < LIFT_ARCMIN,
                "{lift}°: {got}, want {want}"
            );
            compared += 1;
        }
    }
    assert!(compared > 60, "{compared} stars high enough");
    println!(
        "worst of {compared} stars through the air: {worst:.4} pixels, lifted {worst_lift:.2}′ apart"
    );
}

/// The way the page draws: one matrix from the catalogue to the camera.
#[test]
fn drawing_puts_them_in_the_same_place() {
    let mut worst = 0.0_f64;
    for value in frames() {
        let (site, camera, pointing) = (&value["site"], &value["camera"], &value["pointing"]);
        let site = GeoPosition {
            latitude: degrees(site, "lat_deg"),
            longitude: degrees(site, "lon_deg"),
            height_m: number(site, "elev_m"),
        };
        let utc = DateTime::parse_from_rfc3339(word(&value, "utc")).expect("an instant");
        let frame = Frame {
            bearing: degrees(pointing, "az_deg"),
            tilt: degrees(pointing, "alt_deg"),
            roll: degrees(pointing, "roll_deg"),
        };
        let sensor = Sensor {
            width_mm: 36.0,
            height_mm: 24.0,
            pixels_across: 6000,
            pixels_down: 4000,
        };
        let view = View::new(sensor, lens(camera), frame, site.latitude);
        let axes = frame.axes();
        let observer = Observer::with_dut1(site, number(&value["time"], "dut1_s"));
        let sky = observer.celestial_to_horizontal(Moment::from_utc(utc.into()));
        let sky = sky.with_axes([axes.right, axes.up, axes.forward]);
        for star in rows(&value, "stars") {
            let at = view.image_of(sky.apply(direction(star))).expect("an image");
            let place = [(18.0 + at.x_mm) / 0.006, (12.0 - at.y_mm) / 0.006];
            let miss = away(place, pixels(star, "px"));
            assert!(miss < PIXELS, "{miss} pixels: {star}");
            worst = worst.max(miss);
        }
    }
    println!("worst of 80 stars as drawn: {worst:.4} pixels");
}

/// The reference's directions are Gaia's, carried on without Hipparcos' own proper motions.
#[test]
fn the_bundled_stars_stand_where_another_satellite_saw_them() {
    let all: Vec<_> = stars().collect();
    let mut worst = 0.0_f64;
    for frame in frames() {
        for want in rows(&frame, "stars") {
            let angle = |direction: Vector| direction.angle_to(self::direction(want));
            let near = all
                .iter()
                .map(|star| (angle(star.direction).degrees(), star));
            let (away, star) = near.min_by(|a, b| a.0.total_cmp(&b.0)).expect("stars");
            let miss = away * 3600.0;
            assert!(miss < CATALOGUE_ARCSEC, "{miss}″: {want}");
            let fainter = star.magnitude - number(want, "hp_mag");
            assert!(fainter.abs() < 0.051, "{star:?}: {want}");
            worst = worst.max(miss);
        }
    }
    println!("worst of 80 stars against Gaia: {worst:.2}″");
}
