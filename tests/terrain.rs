//! Skylines of invented ground against closed forms, and of real ground against brute force.
#![cfg(not(target_arch = "wasm32"))]

mod tiles;

use serde_json::Value;
use tarnlight::angle::Angle;
use tarnlight::land::geodesic::GeodesicOrigin;
use tarnlight::land::skyline::{BEARINGS, HorizonPoint, Skyline, skyline};
use tiff::encoder::Compression;
use tiff::encoder::compression::DeflateLevel;
use tiles::{File, Sheet, eye, hgt, seen, terrain, towards};

/// Mean radius of the Earth, m, and a degree of WGS84's equator, m: 6 378 137 π / 180.
const RADIUS_M: f64 = 6_371_000.0;
const EQUATOR_DEGREE_M: f64 = 111_319.490_793;

/// Height at which a point is seen, degrees, exactly on a sphere: with θ = d / R',
/// β = atan2((R' + h) cos θ − (R' + eye), (R' + h) sin θ), R' = R / (1 − k).
fn beta(height_m: f64, eye_m: f64, way_m: f64, k: f64) -> f64 {
    let bent = RADIUS_M / (1.0 - k);
    let theta = way_m / bent;
    let up = (bent + height_m) * theta.cos() - (bent + eye_m);
    up.atan2((bent + height_m) * theta.sin()).to_degrees()
}

fn near(got: HorizonPoint, height: f64, way_m: f64, slack: (f64, f64), about: &str) {
    let (degrees, metres) = slack;
    let off = (got.height.degrees() - height).abs();
    assert!(
        off < degrees,
        "{about}: {got:?}, want {height}° ({off:e} off)"
    );
    let off = (got.distance_m - way_m).abs();
    assert!(off < metres, "{about}: {got:?}, want {way_m} m");
}

/// A wall along a meridian: from a place d west of it, its distance is d / sin(bearing).
#[test]
fn a_wall_stands_as_high_as_it_must() {
    let wall = |_: f64, longitude: f64| {
        let on = (longitude - 6.7).abs() < 1e-6;
        if on { 1500 } else { 20 }
    };
    let files = [hgt(0, 6, 1201, wall)];
    for k in [0.0, 0.13, 0.9] {
        let at = eye(0.5, 6.5, 120.0);
        let skyline = seen(&files, at, k).expect("a skyline");
        assert_eq!(skyline.eye_m, 120.0);
        let across = 0.2 * EQUATOR_DEGREE_M * 0.5_f64.to_radians().cos();
        for bearing in [45.0, 60.25, 75.0, 90.0, 100.5, 121.0, 135.0_f64] {
            let way = across / bearing.to_radians().sin();
            let want = beta(1500.0, 120.0, way, k);
            // the meridian and the Earth's shape bend the plane picture by some metres in 30 km
            let about = format!("k {k}, bearing {bearing}°");
            near(towards(&skyline, bearing), want, way, (0.001, 8.0), &about);
        }
        assert!(towards(&skyline, 270.0).height.degrees() < 0.0);
    }
}

/// A cone with its top in the same latitude; to its sides its outline falls off.
#[test]
fn a_cone_shows_its_top_and_its_flanks() {
    let (top, slope) = (2000.0, 0.5);
    let cone = |latitude: f64, longitude: f64| {
        let north = (latitude - 0.5) * EQUATOR_DEGREE_M * 0.993_3;
        let east = (longitude - 6.8) * EQUATOR_DEGREE_M;
        (top - slope * north.hypot(east)).max(30.0) as f32
    };
    let sheet = Sheet {
        rows: 1201,
        columns: 1201,
        north: 1.0,
        west: 6.0,
        step: 1.0 / 1200.0,
        area: false,
        compression: Compression::Deflate(DeflateLevel::Fast),
    };
    let files = [sheet.float(cone)];
    let (eye_m, k) = (500.0, 0.13);
    let skyline = seen(&files, eye(0.5, 6.5, eye_m), k).expect("a skyline");
    let way = 0.3 * EQUATOR_DEGREE_M * 0.5_f64.to_radians().cos();
    near(
        towards(&skyline, 90.0),
        beta(top, eye_m, way, k),
        way,
        (0.001, 5.0),
        "the top",
    );
    for off in [1.0, 2.5, 4.0_f64] {
        // the highest of the flank along a line that passes the axis at this angle, by brute force
        // over the cone itself
        let angle = off.to_radians();
        let seen = |step: u32| {
            let d = way - 4000.0 + f64::from(step);
            let from_top = (d * d + way * way - 2.0 * d * way * angle.cos()).sqrt();
            (beta(top - slope * from_top, eye_m, d, k), d)
        };
        let best = (0..8000)
            .map(seen)
            .max_by(|one, two| one.0.total_cmp(&two.0));
        let (want, d) = best.expect("steps");
        for bearing in [90.0 - off, 90.0 + off] {
            let about = format!("bearing {bearing}°");
            // grid of 93 m; the highest place is a flat one
            near(towards(&skyline, bearing), want, d, (0.005, 300.0), &about);
        }
    }
}

/// The horizon of a plain, on a sphere through it: cos dip = R' / (R' + eye).
#[test]
fn a_plain_ends_at_its_horizon() {
    for (plain, k) in [(100, 0.13), (0, 0.13), (0, 0.0)] {
        let files = [hgt(46, 9, 1201, |_, _| plain)];
        let skyline = seen(&files, eye(46.5, 9.5, None), k).expect("a skyline");
        let bent = RADIUS_M / (1.0 - k) + f64::from(plain);
        let dip = (bent / (bent + 1.7)).acos();
        for bearing in [0.0, 17.25, 90.0, 200.0] {
            let got = towards(&skyline, bearing);
            assert_eq!(got.sea, plain == 0);
            near(
                got,
                -dip.to_degrees(),
                bent * dip,
                (0.0001, 60.0),
                &format!("{plain} m"),
            );
        }
    }
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

fn rolling(latitude: f64, longitude: f64) -> i16 {
    let (north, east) = (latitude * 97.0, longitude * 83.0);
    (900.0 + 400.0 * north.sin() * east.cos() + 90.0 * (7.3 * north + 5.1 * east).sin()) as i16
}

fn same(one: &Skyline, two: &Skyline, about: &str) {
    assert_eq!(one.points.len(), BEARINGS);
    assert!((one.eye_m - two.eye_m).abs() < 1e-6, "{about}: eye");
    for (one, two) in one.points.iter().zip(&two.points) {
        match (one.top, two.top) {
            (Some(first), Some(second)) => {
                let off = (first.height.degrees() - second.height.degrees()).abs();
                assert!(off < 1e-6, "{about}: {one:?}, {two:?}");
            }
            (first, second) => assert_eq!(first, second, "{about}: {one:?}"),
        }
    }
}

#[test]
fn tiles_side_by_side_are_one_and_geotiff_is_as_hgt() {
    let sheet = |columns, west, area, compression| Sheet {
        rows: 1201,
        columns,
        north: 47.0,
        west,
        step: 1.0 / 1200.0,
        area,
        compression,
    };
    let at = eye(46.52, 9.96, None);
    let pair = [hgt(46, 9, 1201, rolling), hgt(46, 10, 1201, rolling)];
    let want = seen(&pair, at, 0.13).expect("a skyline");
    let one = [sheet(2401, 9.0, false, Compression::Lzw).whole(rolling)];
    same(
        &want,
        &seen(&one, at, 0.13).expect("a skyline"),
        "one sheet",
    );
    // no point in both, and tiepoints at pixel corners
    let apart: [File; 2] = [
        sheet(1200, 9.0, true, Compression::Deflate(DeflateLevel::Fast)).whole(rolling),
        sheet(1201, 10.0, true, Compression::Uncompressed).whole(rolling),
    ];
    same(
        &want,
        &seen(&apart, at, 0.13).expect("a skyline"),
        "two sheets",
    );
    // one tile alone sees less
    let alone = seen(&pair[..1], at, 0.13).expect("a skyline");
    assert!(towards(&alone, 90.0).distance_m < 3_100.0);
}

#[test]
fn the_date_line_is_no_edge() {
    let sheet = |west| Sheet {
        rows: 300,
        columns: 150,
        north: 0.3,
        west,
        step: 0.002,
        area: false,
        compression: Compression::Uncompressed,
    };
    // one step apart, so that they join
    let here =
        |latitude: f64, longitude: f64| rolling(latitude, longitude.rem_euclid(360.0) - 170.0);
    let there = |latitude: f64, longitude: f64| rolling(latitude, longitude);
    let files = [sheet(179.8).whole(here), sheet(-179.9).whole(here)];
    let plain = [sheet(9.8).whole(there), sheet(10.1).whole(there)];
    let want = seen(&plain, eye(0.01, 10.05, None), 0.13).expect("a skyline");
    for longitude in [-179.95, 180.05] {
        let got = seen(&files, eye(0.01, longitude, None), 0.13).expect("a skyline");
        assert!(towards(&got, 90.0).distance_m < 40_000.0);
        same(&want, &got, "across the date line");
    }
}

#[test]
fn unknown_ground_is_passed_over() {
    let holes = |latitude: f64, longitude: f64| {
        let east = longitude > 9.6;
        let hole = (latitude - 46.4).abs() < 0.01;
        if east || hole {
            i16::MIN
        } else {
            rolling(latitude, longitude)
        }
    };
    let at = eye(46.5, 9.7, 3000.0);
    let files = [hgt(46, 9, 1201, holes)];
    let skyline = seen(&files, at, 0.13).expect("a skyline");
    assert!(
        skyline.points[360].top.is_none(),
        "nothing is known to the east"
    );
    assert!(towards(&skyline, 270.0).distance_m > 7_000.0);
    assert!(seen(&files, eye(46.5, 9.7, None), 0.13).is_err());
}

fn number(value: &Value) -> f64 {
    value
        .as_f64()
        .unwrap_or_else(|| panic!("{value} is no number"))
}

fn reference_file(name: &str) -> File {
    let path = format!("{}/tests/reference/{name}", env!("CARGO_MANIFEST_DIR"));
    let bytes = std::fs::read(&path).unwrap_or_else(|why| panic!("{path}: {why}"));
    (name.to_owned(), bytes)
}

fn reference_cases() -> Value {
    let (_, bytes) = reference_file("skyline_cases.json");
    serde_json::from_slice(&bytes).expect("JSON")
}

/// Distance from the middle of a tile of one degree at 46° to 47° N to its edge, m, to some tens of
/// metres: on a sphere of the mean radius.
fn to_the_edge_m(bearing: f64) -> f64 {
    let degree_m = RADIUS_M.to_radians();
    let (north, east) = (0.5 * degree_m, 0.5 * degree_m * 46.5_f64.to_radians().cos());
    let (sin, cos) = bearing.to_radians().sin_cos();
    (north / cos.abs()).min(east / sin.abs())
}

/// A plain of which the tile ends before its horizon is no skyline there; where the horizon lies
/// nearer than the edge it is. Seen from 200 m above it, that is 53.5 km away: by R' √(2 h / R').
#[test]
fn a_plain_that_goes_on_beyond_the_tile_is_its_edge() {
    let files = [hgt(46, 9, 1201, |_, _| 100)];
    let skyline = seen(&files, eye(46.5, 9.5, 300.0), 0.13).expect("a skyline");
    let horizon_m = (2.0 * 200.0 * RADIUS_M / 0.87).sqrt();
    let mut both = [0, 0];
    for point in &skyline.points {
        let bearing = point.bearing.degrees();
        let edge_m = to_the_edge_m(bearing);
        let top = point.top.expect("ground all round");
        if (edge_m - horizon_m).abs() > 600.0 {
            assert_eq!(top.model_edge, edge_m < horizon_m, "{bearing}°: {top:?}");
            both[usize::from(top.model_edge)] += 1;
        }
        assert!(!top.sea);
    }
    assert!(both[0] > 100 && both[1] > 600, "{both:?}");
    // the sea continues beyond its tiles
    let files = [hgt(46, 9, 1201, |_, _| 0)];
    let skyline = seen(&files, eye(46.5, 9.5, 300.0), 0.13).expect("a skyline");
    assert!(
        skyline
            .points
            .iter()
            .all(|point| !point.top.expect("the sea").model_edge)
    );
}

/// From 3000 m over an unlimited plain the 60 km searched end before its horizon.
#[test]
fn the_reach_is_an_edge_too() {
    let sheet = Sheet {
        rows: 400,
        columns: 400,
        north: 2.0,
        west: 8.0,
        step: 0.01,
        area: false,
        compression: Compression::Lzw,
    };
    let hill = |latitude: f64, longitude: f64| {
        // a hill 20 km to the east that hides all that is beyond
        let near = (latitude.abs() < 0.06) && (longitude - 10.18).abs() < 0.02;
        if near { 3200.0 } else { 100.0 }
    };
    let skyline = seen(&[sheet.float(hill)], eye(0.0, 10.0, 3000.0), 0.13).expect("a skyline");
    for bearing in [0.0, 33.0, 180.0, 271.25] {
        let top = towards(&skyline, bearing);
        assert!(
            top.model_edge && top.distance_m > 59_000.0,
            "{bearing}°: {top:?}"
        );
    }
    let top = towards(&skyline, 90.0);
    assert!(!top.model_edge && top.height.degrees() > 0.4, "{top:?}");
}

/// A cone within the tile is a skyline; one of which the tile shows only the near flank is none,
/// however high that is; nor is the near lip of a hole in the data.
#[test]
fn a_slope_that_is_cut_off_is_the_edge() {
    let cone_at = |east_deg: f64| {
        move |latitude: f64, longitude: f64| {
            let north = (latitude - 46.5) * EQUATOR_DEGREE_M;
            let east = (longitude - east_deg) * EQUATOR_DEGREE_M * 46.5_f64.to_radians().cos();
            (3500.0 - 0.4 * north.hypot(east)).max(600.0) as i16
        }
    };
    let at = eye(46.5, 9.5, 900.0);
    let whole = seen(&[hgt(46, 9, 1201, cone_at(9.9))], at, 0.13).expect("a skyline");
    let top = towards(&whole, 90.0);
    assert!(!top.model_edge && top.height.degrees() > 4.0, "{top:?}");
    let cut = seen(&[hgt(46, 9, 1201, cone_at(10.02))], at, 0.13).expect("a skyline");
    let top = towards(&cut, 90.0);
    assert!(top.model_edge && top.height.degrees() > 2.0, "{top:?}");
    // the same cone with a hole where its top is
    let cone = cone_at(9.9);
    let holed = |latitude: f64, longitude: f64| {
        let hole = (longitude - 9.9).abs() < 0.004 && (latitude - 46.5).abs() < 0.01;
        if hole {
            i16::MIN
        } else {
            cone(latitude, longitude)
        }
    };
    let holed = seen(&[hgt(46, 9, 1201, holed)], at, 0.13).expect("a skyline");
    let top = towards(&holed, 90.0);
    assert!(top.model_edge && top.height.degrees() > 4.0, "{top:?}");
    assert!(!towards(&holed, 84.0).model_edge);
}

/// A bump that appears higher than the far edge of a plain, but lower than the plain would beyond
/// the edge, is no skyline either.
#[test]
fn a_bump_below_what_would_go_on_is_no_skyline() {
    let bump = |height: i16| {
        let ground = move |_: f64, longitude: f64| {
            let on = (longitude - 9.9).abs() < 0.002;
            if on { 100 + height } else { 100 }
        };
        let skyline = seen(&[hgt(46, 9, 1201, ground)], eye(46.5, 9.5, 1100.0), 0.13);
        let skyline = skyline.expect("a skyline");
        towards(&skyline, 90.0)
    };
    let way_m = 0.4 * EQUATOR_DEGREE_M * 46.5_f64.to_radians().cos();
    // dip to a plain 1000 m lower: 1.797′ √1000 = 0.947°
    let low = bump(300);
    assert!((low.distance_m - way_m).abs() < 700.0, "{low:?}");
    assert!(low.height.degrees() < -0.96 && low.model_edge, "{low:?}");
    let high = bump(600);
    assert!(
        high.height.degrees() > -0.93 && !high.model_edge,
        "{high:?}"
    );
}

/// A square of real ground about an eye against all of it that there is: what the square shows is
/// never higher, and where it is lower the square marks the end of the model: for more than nine
/// bearings in ten, since of land that rises beyond a crest the square cannot know. Where both show
/// the same skyline, and the larger one calls it one, so does the square.
#[test]
fn a_cut_of_real_ground_knows_where_it_ends() {
    const STEP: f64 = 1.0 / 1200.0;
    let file = reference_file("ground.tif");
    // the first point's middle, as the file has it
    let (north, west) = (36.682_916_7 - STEP / 2.0, -84.330_416_7 + STEP / 2.0);
    let places = [(36.6, -84.27), (36.630_958, -84.271_333)];
    for ((latitude, longitude), half) in places
        .into_iter()
        .flat_map(|place| [30_u32, 45].map(|half| (place, half)))
    {
        let at = eye(latitude, longitude, None);
        let all = terrain(std::slice::from_ref(&file), at).expect("terrain");
        let first = |from: f64| f64::from((from / STEP) as u32 - half) * STEP;
        let square = Sheet {
            rows: 2 * half,
            columns: 2 * half,
            north: north - first(north - latitude),
            west: west + first(longitude - west),
            step: STEP,
            area: false,
            compression: Compression::Lzw,
        };
        let heights = |latitude: f64, longitude: f64| {
            let height = all.height_at(latitude, longitude);
            height.expect("ground within the file") as f32
        };
        let cut = seen(&[square.float(heights)], at, 0.13).expect("a skyline");
        let whole = skyline(&all, at, 0.13).expect("a skyline");
        let (mut lower, mut message, mut wrong) = (0, 0, 0);
        for (one, other) in cut.points.iter().zip(&whole.points) {
            let (one, other) = (one.top.expect("ground"), other.top.expect("ground"));
            let under = other.height.degrees() - one.height.degrees();
            assert!(under > -0.001, "{one:?}, {other:?}");
            if under > 0.02 {
                lower += 1;
                message += u32::from(one.model_edge);
            } else if one.model_edge && !other.model_edge {
                wrong += 1;
            }
        }
        println!("{latitude}, {half}: {message} of {lower} told, {wrong} for nothing");
        assert!(
            lower > 200 && 10 * message > 9 * lower,
            "{message} of {lower}"
        );
        // a skyline that ground beyond could overtop
        assert!(wrong < 60, "{wrong} skylines called an edge");
    }
}
