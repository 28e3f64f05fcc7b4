//! Land where the projection puts it.

use super::*;
use crate::camera::frame::Frame;
use crate::camera::lens::Projection;
use crate::land::ridge::Sighting;
use crate::outing::night::site_sky::SiteSky;
use crate::outing::plan::Outing;

fn land(tilt: f64, projection: Projection, focal_mm: f64, ridge: &RidgeLine) -> Land {
    let mut outing = Outing::default();
    outing.kit.lens.projection = projection;
    outing.kit.lens.focal_mm = focal_mm;
    outing.frame = Some(Frame {
        bearing: Angle::from_degrees(180.0),
        tilt: Angle::from_degrees(tilt),
        roll: Angle::ZERO,
    });
    let date = chrono::NaiveDate::from_ymd_opt(2027, 6, 4).expect("a date");
    let site_sky = SiteSky::over(&outing.site, outing.subject, date, 1);
    Scene::new(&outing, &site_sky, site_sky.night(date)).land(ridge, LandDetail::Fine)
}

/// 20 mm level on 24 mm: the horizon crosses the middle, and a ridge of 10° is 20 tan 10° =
/// 3.527 mm above it, all the more to the sides, where it is a curve: y = f tan h / cos of the
/// turn.
#[test]
fn a_level_ridge_stands_where_the_projection_puts_it() {
    let ridge = RidgeLine::level(Angle::from_degrees(10.0));
    let land = land(0.0, Projection::Rectilinear, 20.0, &ridge);
    let line = &land.unsighted[0];
    assert_eq!(line.len(), LandDetail::Fine.columns() + 1);
    for (x, y) in line {
        let x_mm = (x - 0.5) * 36.0;
        let up_mm = 20.0_f64.hypot(x_mm) * 10.0_f64.to_radians().tan();
        let want = 0.5 - up_mm / 24.0;
        assert!((y - want).abs() < 2e-4, "{x}: {y}, want {want}");
    }
    assert_eq!(land.sighted, Vec::<Vec<Place>>::new());
    assert_eq!((land.ridge.len(), land.ground.len()), (1, 1));
    // 36 mm at 20 mm are 84°, and 24 mm in height are 62°
    let bearings: Vec<f64> = land.bearings.iter().map(|mark| mark.1).collect();
    assert_eq!(bearings, [150.0, 180.0, 210.0]);
    assert!((land.bearings[1].0 - 0.5).abs() < 1e-9);
    let heights: Vec<f64> = land.heights.iter().map(|mark| mark.1).collect();
    // the left edge is 27 mm away: atan(12 / 27) is 24°
    assert_eq!(heights, [20.0, 10.0, 0.0, -10.0, -20.0]);
}

/// Below level there is no ground in front of the sky, for a horizon and for a sighting: both
/// end at the ridge line, 20 tan(−3°) from the middle.
#[test]
fn a_horizon_below_level_has_no_ground_before_the_sky() {
    let ridge = RidgeLine::level(Angle::from_degrees(-3.0));
    let land = land(0.0, Projection::Rectilinear, 20.0, &ridge);
    assert_eq!((land.ridge.len(), land.ground.len()), (1, 1));
    assert_eq!(land.ridge, land.ground);
    let top = land.unsighted[0][LandDetail::Fine.columns() / 2].1;
    let want = 0.5 + 20.0 * 3.0_f64.to_radians().tan() / 24.0;
    assert!((top - want).abs() < 2e-4, "{top}, want {want}");
}

/// Coarsely followed, the line between two of the columns is off by no more than the bend of
/// the ridge within one.
#[test]
fn coarse_land_is_near_the_fine() {
    // wider than the frame: beyond the last of them the line falls to level at once
    let points = [90.0, 148.0, 172.0, 185.0, 200.0, 230.0, 300.0];
    let heights = [4.0, 8.0, 12.0, 3.0, 6.0, 9.0, 5.0];
    let sightings = points
        .into_iter()
        .zip(heights)
        .map(|(bearing, height)| Sighting {
            bearing: Angle::from_degrees(bearing),
            height: Angle::from_degrees(height),
        });
    let outing = Outing::default();
    let date = chrono::NaiveDate::from_ymd_opt(2027, 6, 4).expect("a date");
    let site_sky = SiteSky::over(&outing.site, outing.subject, date, 1);
    let scene = Scene::new(&outing, &site_sky, site_sky.night(date));
    let ridge = RidgeLine::new(Angle::ZERO, sightings);
    let [fine, coarse] =
        [LandDetail::Fine, LandDetail::Coarse].map(|detail| scene.land(&ridge, detail));
    assert_eq!(fine.ridge.len(), coarse.ridge.len());
    let top = |land: &Land, x: f64| {
        let above = land.ridge[0]
            .windows(2)
            .find(|pair| pair[0].0 <= x && x <= pair[1].0);
        let pair = above.expect("land at every place");
        let way = (x - pair[0].0) / (pair[1].0 - pair[0].0).max(1e-9);
        pair[0].1 + (pair[1].1 - pair[0].1) * way
    };
    for step in 0..100 {
        let x = share(step, 100);
        let (fine, coarse) = (top(&fine, x), top(&coarse, x));
        assert!((fine - coarse).abs() < 0.01, "{x}: {fine}, {coarse}");
    }
}

#[test]
fn what_nobody_looked_at_is_told_apart() {
    let points = [(170.0, 8.0), (190.0, 12.0)].map(|(bearing, height)| Sighting {
        bearing: Angle::from_degrees(bearing),
        height: Angle::from_degrees(height),
    });
    let ridge = RidgeLine::new(Angle::ZERO, points);
    let land = land(10.0, Projection::Rectilinear, 20.0, &ridge);
    assert_eq!((land.sighted.len(), land.unsighted.len()), (1, 2));
}

/// Turning camera and land together does not change the picture.
#[test]
fn turned_together_nothing_changes() {
    let angle = Angle::from_degrees;
    let points = [(150.0, 8.0), (185.0, 12.0), (200.0, 3.0)];
    let seen = |turn: f64| {
        let sightings = points.map(|(bearing, height)| Sighting {
            bearing: angle(bearing + turn),
            height: angle(height),
        });
        let outing = Outing {
            frame: Some(Frame {
                bearing: angle(175.0 + turn),
                tilt: angle(8.0),
                roll: angle(5.0),
            }),
            ..Outing::default()
        };
        let date = chrono::NaiveDate::from_ymd_opt(2027, 6, 4).expect("a date");
        let site_sky = SiteSky::over(&outing.site, outing.subject, date, 1);
        let scene = Scene::new(&outing, &site_sky, site_sky.night(date));
        scene.land(&RidgeLine::new(angle(1.0), sightings), LandDetail::Fine)
    };
    let want = seen(0.0);
    for turn in [37.0, 111.5, 240.0, 359.0] {
        let got = seen(turn);
        let pairs = [(&got.ridge, &want.ridge), (&got.sighted, &want.sighted)];
        for (got, want) in pairs {
            assert_eq!(got.len(), want.len(), "{turn}°");
            for (got, want) in got.iter().flatten().zip(want.iter().flatten()) {
                let miss = (got.0 - want.0).hypot(got.1 - want.1);
                assert!(miss < 1e-3, "{turn}°: {got:?}, want {want:?}");
            }
        }
    }
}

/// A fisheye straight up has land all round: in every column at the top and at the bottom.
#[test]
fn a_fisheye_straight_up_has_land_all_round() {
    let ridge = RidgeLine::level(Angle::from_degrees(25.0));
    let land = land(90.0, Projection::Equisolid, 8.0, &ridge);
    let has = |x: f64, y: f64| {
        land.ridge
            .iter()
            .flatten()
            .any(|p| (p.0 - x).abs() < 0.01 && (p.1 - y).abs() < 0.08)
    };
    assert!(has(0.5, 0.0) && has(0.5, 1.0), "{:?}", land.ridge.len());
    assert!(land.unsighted.len() >= 2);
    for (x, y) in land.unsighted.iter().flatten() {
        // 65° from the zenith: 2 f sin(65°/2)
        let from_middle = ((x - 0.5) * 36.0).hypot((y - 0.5) * 24.0);
        let want = 16.0 * 32.5_f64.to_radians().sin();
        assert!(
            (from_middle - want).abs() < 0.05,
            "{from_middle}, want {want}"
        );
    }
}
