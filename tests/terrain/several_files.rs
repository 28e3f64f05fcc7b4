//! Ground in several files, in other forms and with holes, is the same ground.

use tarnlight::land::skyline::{BEARINGS, Skyline};
use tiff::encoder::Compression;
use tiff::encoder::compression::DeflateLevel;

use super::tiles::{File, Sheet, eye, hgt, seen, towards};

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
