//! Ground whose skyline is known in closed form: a wall, a cone, a plain.

use tarnlight::land::skyline::HorizonPoint;
use tiff::encoder::Compression;
use tiff::encoder::compression::DeflateLevel;

use super::tiles::{Sheet, eye, hgt, seen, towards};
use super::{EQUATOR_DEGREE_M, RADIUS_M};

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
