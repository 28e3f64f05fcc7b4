//! Drift, trails and the fastest place against a brute-force rotation of the sky, for 30 cameras.
//!
//! The reference values, how they were made and how far they can be trusted are described in
//! `tests/reference/README.md`. A case is passed unchanged through the JSON-lines interface
//! (`tests/answer`).
#![cfg(not(target_arch = "wasm32"))]

mod answer;
mod reference;

use reference::{lens, number, parse, point, rows, view, word};
use serde_json::Value;
use tarnlight::camera::fastest::Search;
use tarnlight::camera::lens::FIELD_LIMIT;
use tarnlight::camera::sensor::Sensor;
use tarnlight::camera::view::View;

const CASES: &str = include_str!("reference/drift_cases.json");

/// Agreement required of every speed, trail and chord. The reference prints eight figures, whose
/// rounding is a twentieth of this.
const RELATIVE: f64 = 1e-6;

/// What a fixed star may move, µm or µm/s: rounding, where the reference prints 0.
const STILL: f64 = 1e-12;

/// Half of the last digit printed of a direction, degrees, and of a place, mm.
const LAST_DIGIT_DEG: f64 = 0.5e-5;
const LAST_DIGIT_MM: f64 = 0.5e-5;

/// The reference searches its maximum on a grid with this number of spaces along a side, so it can
/// miss the true one by this share,
const GRID_SPACES: f64 = 360.0;
const OFF_THE_CUTS: f64 = 1e-3;

/// and by this share where the fastest star is on the horizon or on the edge of the field, for no
/// grid point need be near that line.
const ON_A_CUT: f64 = 5e-3;

/// Ours is searched for, not sampled, and may fall short of the grid's by rounding alone.
const SHORT_OF_GRID: f64 = 1e-6;

struct Case {
    value: Value,
    view: View,
    answer: Value,
}

impl Case {
    fn all() -> Vec<Self> {
        let file = parse(CASES);
        let cases = rows(&file, "cases").iter().cloned().map(Self::new);
        let cases: Vec<Self> = cases.collect();
        assert_eq!(cases.len(), 30, "cases in the reference");
        cases
    }

    fn new(value: Value) -> Self {
        let (camera, pointing) = (&value["camera"], &value["pointing"]);
        let aim = ["az_deg", "alt_deg", "roll_deg"].map(|key| number(pointing, key));
        let view = view(
            sensor(camera),
            lens(camera),
            aim,
            number(&value, "site_lat_deg"),
        );
        let answer = answer::reply(&value.to_string());
        assert!(answer.get("error").is_none(), "{answer}");
        Self {
            value,
            view,
            answer,
        }
    }

    fn id(&self) -> &str {
        word(&self.value, "id")
    }

    /// The values of each point and of the reference, by name.
    fn points(&self) -> Vec<(&Value, &Value)> {
        let (got, want) = (rows(&self.answer, "points"), rows(&self.value, "points"));
        let names = |rows: &[Value]| {
            rows.iter()
                .map(|row| word(row, "name").to_owned())
                .collect()
        };
        let [asked, message]: [Vec<String>; 2] = [names(want), names(got)];
        assert_eq!(message, asked, "{}: points told", self.id());
        got.iter().zip(want).collect()
    }

    /// The named points that have an image, and the fastest one of the reference's grid.
    fn inside(&self) -> Vec<(&Value, &Value)> {
        let mut points = self.points();
        points.retain(|(_, want)| want["outside_projection"] != true);
        points
    }

    fn outside(&self) -> Vec<(&Value, &Value)> {
        let mut points = self.points();
        points.retain(|(_, want)| want["outside_projection"] == true);
        points
    }

    /// Fails where `got` is farther from the reference's number than `allowed`.
    fn near(&self, (got, row): (&Value, &Value), key: &str, allowed: f64) {
        let (got, want) = (number(got, key), number(row, key));
        assert!(
            (got - want).abs() <= allowed,
            "{} {}: {key} is {got}, want {want}, {:.1e} off and {allowed:.1e} allowed",
            self.id(),
            word(row, "name"),
            got - want,
        );
    }
}

/// The reference states its pixel pitch to the micrometre's hundredth; whole pixels come within 0.1
/// % of it. Only answers of the JSON-lines interface are compared in pixels, and they use the
/// pitch.
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
        for pair in case.inside() {
            let allowed = RELATIVE * number(pair.1, "speed_um_s") + STILL;
            for key in ["vx_um_s", "vy_um_s", "speed_um_s"] {
                case.near(pair, key, allowed);
            }
            points += 1;
        }
    }
    assert_eq!(points, 278, "points compared");
}

#[test]
fn trails_and_chords_agree_at_every_point() {
    let mut points = 0;
    for case in Case::all() {
        for pair in case.inside() {
            let allowed = RELATIVE * number(pair.1, "path_um") + STILL;
            for key in ["path_um", "chord_um"] {
                case.near(pair, key, allowed);
            }
            points += 1;
        }
    }
    assert_eq!(points, 278, "points compared");
}

/// The pitch is given; whole pixels on the sensor must not come between.
#[test]
fn pixels_are_micrometres_by_the_pitch() {
    for case in Case::all() {
        for pair in case.inside() {
            for (key, um) in [("speed_px_s", "speed_um_s"), ("path_px", "path_um")] {
                let pitch_um = number(&case.value["camera"], "pixel_pitch_um");
                let allowed = RELATIVE * number(pair.1, um) / pitch_um + STILL;
                case.near(pair, key, allowed);
            }
        }
    }
}

#[test]
fn directions_agree_to_the_printed_digits() {
    for case in Case::all() {
        for pair in case.inside() {
            let of_place = (LAST_DIGIT_MM / case.view.lens.focal_mm).to_degrees();
            for key in ["theta_deg", "alt_deg", "dec_deg"] {
                case.near(pair, key, LAST_DIGIT_DEG + of_place);
            }
        }
    }
}

/// The reference gives no value more than 100° from the axis or where the projection ends; here
/// such a place either has no image at all or lies beyond the field, where nothing is searched.
#[test]
fn outside_the_field_there_is_nothing() {
    let mut points = 0;
    for case in Case::all() {
        for (got, row) in case.outside() {
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
            let told_outside = got["outside_projection"] == true;
            assert_eq!(told_outside, drift.is_none(), "{}: {got}", case.id());
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
    let (found, row) = (&case.answer[key], &case.value[key]);
    let (got, want) = (number(found, "speed_um_s"), number(row, "speed_um_s"));
    let above = got / want - 1.0;
    let allowed = if on_a_cut(case, row, search) {
        ON_A_CUT
    } else {
        OFF_THE_CUTS
    };
    assert!(
        (-SHORT_OF_GRID..=allowed).contains(&above),
        "{} {key}: {got} µm/s at {:?}, want {want} at {:?}, {above:.1e} off and {allowed} allowed",
        case.id(),
        point(found),
        point(row),
    );
    // the speed of the search is the one at the point it finds
    let searched = case.view.fastest(search).expect("sky in the frame");
    let apart = searched.speed_um_s / got - 1.0;
    assert!(apart.abs() < RELATIVE, "{} {key}: {apart:.1e}", case.id());
    assert_stands_in_the_search(case, found, search);
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

fn assert_stands_in_the_search(case: &Case, found: &Value, search: Search) {
    let sensor = case.view.sensor;
    let place = point(found);
    let slack = 1.0 + 1e-9;
    assert!(
        place.x_mm.abs() <= sensor.width_mm / 2.0 * slack
            && place.y_mm.abs() <= sensor.height_mm / 2.0 * slack,
        "{}: {place:?} is outside the frame",
        case.id()
    );
    let theta = number(found, "theta_deg");
    assert!(theta <= 90.0 * slack, "{}: {theta}° off axis", case.id());
    let altitude = number(found, "alt_deg");
    assert!(
        search == Search::WholeFrame || altitude > -1e-4,
        "{}: {altitude}° high",
        case.id()
    );
}
