//! Skylines and places along bearings against `tests/reference/skyline.py`: PROJ's geodesics and
//! SciPy's interpolation.

use serde_json::Value;
use tarnlight::angle::Angle;
use tarnlight::land::geodesic::GeodesicOrigin;

use super::EQUATOR_DEGREE_M;
use super::tiles::{File, eye, seen, terrain, towards};

fn number(value: &Value) -> f64 {
    value
        .as_f64()
        .unwrap_or_else(|| panic!("{value} is no number"))
}

pub(super) fn reference_file(name: &str) -> File {
    let path = format!("{}/tests/reference/{name}", env!("CARGO_MANIFEST_DIR"));
    let bytes = std::fs::read(&path).unwrap_or_else(|why| panic!("{path}: {why}"));
    (name.to_owned(), bytes)
}

fn reference_cases() -> Value {
    let (_, bytes) = reference_file("skyline_cases.json");
    serde_json::from_slice(&bytes).expect("JSON")
}

/// Values of `skyline.py`, whose ways are PROJ's geodesics.
#[test]
fn places_along_bearings_are_those_of_proj() {
    let cases = reference_cases();
    let longitude = number(&cases["places_from_lon_deg"]);
    let rows = cases["places"].as_array().expect("a list");
    let mut worst = 0.0_f64;
    for row in rows {
        let [lat, bearing, way, want_lat, want_lon] =
            [0, 1, 2, 3, 4].map(|place| number(&row[place]));
        let (latitude, longitude) = (Angle::from_degrees(lat), Angle::from_degrees(longitude));
        let start = GeodesicOrigin::new(latitude, longitude).expect("a place");
        let (to_lat, to_lon) = start.destination(Angle::from_degrees(bearing), way);
        let east = (to_lon - want_lon) * want_lat.to_radians().cos();
        let miss_m = (to_lat - want_lat).hypot(east) * EQUATOR_DEGREE_M;
        // printed to 0.1 mm
        assert!(miss_m < 0.01, "{row}: {to_lat} {to_lon}, {miss_m} m off");
        worst = worst.max(miss_m);
    }
    assert!(rows.len() == 120, "{} places", rows.len());
    println!("worst of {} places: {worst} m", rows.len());
}

/// Real ground: brute force over PROJ's geodesics and SciPy's interpolation, every decimetre to 2
/// km, every two metres beyond.
#[test]
fn real_ground_has_the_skyline_of_brute_force() {
    let cases = reference_cases();
    let files = [reference_file("ground.tif")];
    for case in cases["skylines"].as_array().expect("a list") {
        let at = eye(
            number(&case["lat_deg"]),
            number(&case["lon_deg"]),
            case["eye_m"].as_f64(),
        );
        let skyline = seen(&files, at, number(&case["k"])).expect("a skyline");
        let name = &case["name"];
        assert!(
            (skyline.eye_m - number(&case["eye_used_m"])).abs() < 0.001,
            "{name}"
        );
        let mut worst = 0.0_f64;
        let wanted = case["alt_deg"].as_array().expect("a list");
        assert_eq!(wanted.len(), 720);
        for (place, want) in wanted.iter().enumerate() {
            let bearing = place as f64 / 2.0;
            let got = towards(&skyline, bearing).height.degrees();
            let off = got - number(want);
            // asked for: 0.05°. A walk in steps passes a crest by up to half of one.
            assert!(off.abs() < 0.05, "{name}, {bearing}°: {got}°, want {want}°");
            // a step can miss a crest, a walk through cells must not, but for what the two ways
            // of finding places leave
            assert!(off > -0.002, "{name}, {bearing}°: {got}°, want {want}°");
            let distance = towards(&skyline, bearing).distance_m;
            let wanted_m = number(&case["distance_m"][place]);
            let other = (distance - wanted_m).abs() > 5.0;
            assert!(
                !other || off.abs() < 0.01,
                "{name}, {bearing}°: {distance} m, want {wanted_m}"
            );
            worst = worst.max(off.abs());
        }
        println!("{name}: within {worst:.5}° of brute force");
    }
}

/// What GDAL wrote as floats, by LZW with the predictor of floats, in tiles cut off by the edge.
#[test]
fn floats_of_another_writer_are_the_same_ground() {
    let at = eye(36.58, -84.2, 500.0);
    let whole = terrain(&[reference_file("ground.tif")], at).expect("terrain");
    let float = terrain(&[reference_file("ground_float.tif")], at).expect("terrain");
    let (north, west) = (36.682_916_7 - 1.0 / 2400.0, -84.330_416_7 + 1.0 / 2400.0);
    let mut met = 0;
    for row in 100..149 {
        for column in 100..169 {
            let place = (
                north - (f64::from(row) + 0.5) / 1200.0,
                west + (f64::from(column) + 0.5) / 1200.0,
            );
            let want = whole.height_at(place.0, place.1).expect("known ground");
            let unknown = (102..=103).contains(&row) && (103..=104).contains(&column);
            match float.height_at(place.0, place.1) {
                Some(got) => {
                    assert!(
                        (got - want - 0.25).abs() < 0.01,
                        "{row} {column}: {got}, {want}"
                    );
                    met += 1;
                }
                None => assert!(unknown, "{row} {column} is known"),
            }
        }
    }
    assert_eq!(met, 49 * 69 - 4, "all but the four cells about the void");
}
