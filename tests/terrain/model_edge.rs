//! Where the model of the ground ends before the skyline does, the skyline says so.

use tarnlight::land::skyline::skyline;
use tiff::encoder::Compression;

use super::reference::reference_file;
use super::tiles::{Sheet, eye, hgt, seen, terrain, towards};
use super::{EQUATOR_DEGREE_M, RADIUS_M};

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
