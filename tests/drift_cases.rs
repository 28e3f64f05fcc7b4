//! Drift, trails and the fastest place against a brute-force rotation of the sky, for 30 cameras.
//!
//! The reference values, how they were made and how far they can be trusted are described in
//! `tests/reference/README.md`.
#![cfg(not(target_arch = "wasm32"))]

mod reference;

use reference::{lens, number, parse, point, rows, view, word};
use serde_json::Value;
use tarnlight::angle::Angle;
use tarnlight::camera::lens::FIELD_LIMIT;
use tarnlight::camera::sensor::Sensor;
use tarnlight::camera::view::{SensorPoint, View};
use tarnlight::camera::worst::Search;

const CASES: &str = include_str!("reference/drift_cases.json");

/// Agreement asked of every speed, trail and chord. The reference prints eight figures, whose
/// rounding is a twentieth of this.
const RELATIVE: f64 = 1e-6;

/// What a star that stands still may move, µm or µm/s: rounding, where the reference prints 0.
const STILL: f64 = 1e-12;

/// Half of the last digit printed of a direction, degrees, and of a place, mm.
const LAST_DIGIT_DEG: f64 = 0.5e-5;
const LAST_DIGIT_MM: f64 = 0.5e-5;

/// The reference looks for its maximum on a grid of so many spaces along a side, so it can miss
/// the true one by this share,
const GRID_SPACES: f64 = 360.0;
const OFF_THE_CUTS: f64 = 1e-3;

/// and by this share where the fastest star stands on the horizon or on the edge of the field,
/// for no grid point need be near that line.
const ON_A_CUT: f64 = 5e-3;

/// Ours is searched for, not sampled, and may fall short of the grid's by rounding alone.
const SHORT_OF_GRID: f64 = 1e-6;

struct Case {
    value: Value,
    view: View,
}

impl Case {
    fn all() -> Vec<Self> {
        let file = parse(CASES);
        let cases = rows(&file, "cases").iter().cloned().map(Self::of);
        let cases: Vec<Self> = cases.collect();
        assert_eq!(cases.len(), 30, "cases in the reference");
        cases
    }

    fn of(value: Value) -> Self {
        let (camera, pointing) = (&value["camera"], &value["pointing"]);
        let aim = ["az_deg", "alt_deg", "roll_deg"].map(|key| number(pointing, key));
        let view = view(
            sensor(camera),
            lens(camera),
            aim,
            number(&value, "site_lat_deg"),
        );
        Self { value, view }
    }

    fn id(&self) -> &str {
        word(&self.value, "id")
    }

    fn seconds(&self) -> f64 {
        number(&self.value, "exposure_s")
    }

    /// The named points that have an image, and the fastest one of the reference's grid.
    fn inside(&self) -> impl Iterator<Item = &Value> {
        let points = rows(&self.value, "points").iter();
        points.filter(|point| point["outside_projection"] != true)
    }

    fn outside(&self) -> impl Iterator<Item = &Value> {
        let points = rows(&self.value, "points").iter();
        points.filter(|point| point["outside_projection"] == true)
    }

    /// Fails where `got` is farther from the reference's number than `allowed`.
    fn near(&self, row: &Value, key: &str, got: f64, allowed: f64) {
        let want = number(row, key);
        assert!(
            (got - want).abs() <= allowed,
            "{} {}: {key} is {got}, want {want}, {:.1e} off and {allowed:.1e} allowed",
            self.id(),
            word(row, "name"),
            got - want,
        );
    }
}

/// The reference states its pixel pitch to the micrometre's hundredth; whole pixels come within
/// 0.1 % of it, and none of the numbers compared here is in pixels.
fn sensor(camera: &Value) -> Sensor {
    let (width_mm, height_mm) = (number(camera, "sensor_w_mm"), number(camera, "sensor_h_mm"));
    let pixels =
        |side_mm: f64| (1000.0 * side_mm / number(camera, "pixel_pitch_um")).round() as u32;
    Sensor {
        width_mm,
        height_mm,
        pixels_across: pixels(width_mm),
        pixels_down: pixels(height_mm),
    }
}

/// A component can be small beside the speed and then carries the speed's error, so the tolerance
/// of both components is relative to the speed.
#[test]
fn velocities_agree_at_every_point() {
    let mut points = 0;
    for case in Case::all() {
        for row in case.inside() {
            let drift = case.view.drift_at(point(row)).expect("an image");
            let allowed = RELATIVE * number(row, "speed_um_s") + STILL;
            case.near(row, "vx_um_s", drift.right_um_s, allowed);
            case.near(row, "vy_um_s", drift.up_um_s, allowed);
            case.near(row, "speed_um_s", drift.speed_um_s(), allowed);
            points += 1;
        }
    }
    assert_eq!(points, 278, "points compared");
}

#[test]
fn trails_and_chords_agree_at_every_point() {
    for case in Case::all() {
        for row in case.inside() {
            let (start, seconds) = (point(row), case.seconds());
            let allowed = RELATIVE * number(row, "path_um") + STILL;
            let trail = case.view.trail_um(start, seconds).expect("an image");
            case.near(row, "path_um", trail, allowed);
            let end = case.view.star_after(start, seconds).expect("an image");
            let chord = 1000.0 * (end.x_mm - start.x_mm).hypot(end.y_mm - start.y_mm);
            case.near(row, "chord_um", chord, allowed);
        }
    }
}

#[test]
fn directions_agree_to_the_printed_digits() {
    for case in Case::all() {
        for row in case.inside() {
            let degrees = |angle: Option<Angle>| angle.expect("an image").degrees();
            let here = point(row);
            let of_place = (LAST_DIGIT_MM / case.view.lens.focal_mm).to_degrees();
            let allowed = LAST_DIGIT_DEG + of_place;
            case.near(
                row,
                "theta_deg",
                degrees(case.view.off_axis_at(here)),
                allowed,
            );
            case.near(
                row,
                "alt_deg",
                degrees(case.view.altitude_at(here)),
                allowed,
            );
            case.near(
                row,
                "dec_deg",
                degrees(case.view.declination_at(here)),
                allowed,
            );
        }
    }
}

/// The reference gives no value more than 100° from the axis or where the projection ends; here
/// such a place either has no image at all or lies beyond the field, where nothing is searched.
#[test]
fn outside_the_field_there_is_nothing() {
    let mut points = 0;
    for case in Case::all() {
        for row in case.outside() {
            let here = point(row);
            let theta = case.view.off_axis_at(here).map(|angle| angle.degrees());
            assert!(
                theta.is_none_or(|theta| theta > 100.0),
                "{} {}: {theta:?}° from the axis, want none or more than 100",
                case.id(),
                word(row, "name"),
            );
            let drift = case.view.drift_at(here);
            assert_eq!(drift.is_some(), theta.is_some(), "{}: {drift:?}", case.id());
            points += 1;
        }
    }
    assert_eq!(points, 22, "points compared");
}

#[test]
fn the_fastest_place_agrees_over_the_whole_frame() {
    for case in Case::all() {
        compare_fastest(&case, "frame_max", Search::WholeFrame);
    }
}

#[test]
fn the_fastest_place_agrees_above_the_horizon() {
    for case in Case::all() {
        compare_fastest(&case, "frame_max_above_horizon", Search::AboveHorizon);
    }
}

fn compare_fastest(case: &Case, key: &str, search: Search) {
    let row = &case.value[key];
    let want = number(row, "speed_um_s");
    let found = case.view.fastest(search).expect("sky in the frame");
    let above = found.speed_um_s / want - 1.0;
    let allowed = if on_a_cut(case, row, search) {
        ON_A_CUT
    } else {
        OFF_THE_CUTS
    };
    assert!(
        (-SHORT_OF_GRID..=allowed).contains(&above),
        "{} {key}: {} µm/s at {:?}, want {want} at {:?}, {above:.1e} off and {allowed} allowed",
        case.id(),
        found.speed_um_s,
        found.point,
        point(row),
    );
    assert_stands_in_the_search(case, found.point, search);
}

/// Whether the reference's maximum is the grid point next to the horizon or to the field's edge:
/// no farther from it than one space of the grid, seen through the lens.
fn on_a_cut(case: &Case, row: &Value, search: Search) -> bool {
    let sensor = case.view.sensor;
    let space_mm = sensor.width_mm.max(sensor.height_mm) / GRID_SPACES;
    let space_deg = (space_mm / case.view.lens.focal_mm).to_degrees();
    let horizon = search == Search::AboveHorizon && number(row, "alt_deg") < space_deg;
    horizon || number(row, "theta_deg") > FIELD_LIMIT.degrees() - space_deg
}

fn assert_stands_in_the_search(case: &Case, place: SensorPoint, search: Search) {
    let sensor = case.view.sensor;
    let slack = 1.0 + 1e-9;
    assert!(
        place.x_mm.abs() <= sensor.width_mm / 2.0 * slack
            && place.y_mm.abs() <= sensor.height_mm / 2.0 * slack,
        "{}: {place:?} is outside the frame",
        case.id()
    );
    let theta = case.view.off_axis_at(place).expect("an image").degrees();
    assert!(theta <= 90.0 * slack, "{}: {theta}° off axis", case.id());
    let altitude = case.view.altitude_at(place).expect("an image").degrees();
    assert!(
        search == Search::WholeFrame || altitude > -1e-4,
        "{}: {altitude}° high",
        case.id()
    );
}
