//! What must hold for every ridge line, and where a body is when it crosses one.
#![cfg(not(target_arch = "wasm32"))]

use chrono::NaiveDate;
use proptest::prelude::*;
use tarnlight::angle::Angle;
use tarnlight::land::ridge::{RidgeLine, Sighting};
use tarnlight::outing::night::horizon_crossings::over_ridge;
use tarnlight::sky::almanac::{Almanac, SkyBody};
use tarnlight::sky::altitude::{Air, ApparentAltitude, TrueAltitude};
use tarnlight::sky::night::{Course, Night, SunAltitudeLimit, noon};
use tarnlight::sky::observer::{GeoPosition, Observer};
use tarnlight::sky::spans::Spans;

/// A millisecond, days.
const MILLISECOND: f64 = 1.0 / 86_400_000.0;

fn angle(degrees: f64) -> Angle {
    Angle::from_degrees(degrees)
}

fn line(level_deg: f64, points: &[(f64, f64)]) -> RidgeLine {
    let sightings = points.iter().map(|(bearing, height)| Sighting {
        bearing: angle(*bearing),
        height: angle(*height),
    });
    RidgeLine::new(angle(level_deg), sightings)
}

/// Asks something of a night.
fn with_night<T>(latitude: f64, longitude: f64, day: u32, ask: impl FnOnce(&Night<'_>) -> T) -> T {
    with_night_at((latitude, longitude, 800.0), day, ask)
}

/// The same at a site of a height above the sea, m.
fn with_night_at<T>(
    (latitude, longitude, height_m): (f64, f64, f64),
    day: u32,
    ask: impl FnOnce(&Night<'_>) -> T,
) -> T {
    let site = GeoPosition {
        latitude: angle(latitude),
        longitude: angle(longitude),
        height_m,
    };
    let date = NaiveDate::from_yo_opt(2027, day).expect("a day of the year");
    let start = noon(date, site.longitude);
    let almanac = Almanac::over(start.plus_days(-1.0), 3.0);
    ask(&Night::new(&almanac, Observer::at(site), start))
}

fn minutes(course: &Course) -> f64 {
    Spans::new(course, true).minutes()
}

fn bodies() -> impl Strategy<Value = SkyBody> {
    prop::sample::select(vec![SkyBody::Subject, SkyBody::Sun, SkyBody::Moon])
}

fn points() -> impl Strategy<Value = Vec<(f64, f64)>> {
    prop::collection::vec((0.0..360.0, -3.0..50.0), 0..12)
}

proptest! {
    #![proptest_config(ProptestConfig {
        cases: 160,
        failure_persistence: None,
        ..ProptestConfig::default()
    })]

    /// A line of one height, sighted all round, is that height.
    #[test]
    fn a_flat_line_is_a_flat_height(
        latitude in -75.0..75.0, longitude in -180.0..180.0, day in 1_u32..365,
        height in -9.0..40.0, every in 20_usize..90,
    ) {
        let round: Vec<_> = (0..360).step_by(every).map(|at| (at as f64, height)).collect();
        let (flat, sighted) = with_night(latitude, longitude, day, |night| {
            let ridge = line(height, &round);
            // a sighting a hair higher makes it a line to be followed, not a height
            let mut bent = ridge.clone();
            bent.take(Sighting { bearing: angle(0.0), height: angle(height + 1e-9) });
            let flat = night.subject_course(Air::STANDARD.to_true(ApparentAltitude(angle(height))));
            (flat, [&ridge, &bent].map(|ridge| over_ridge(night, SkyBody::Subject, ridge, Air::STANDARD)))
        });
        for sighted in sighted {
            prop_assert_eq!(flat.starts_above, sighted.starts_above);
            // where the core's top grazes the line, either may find it
            let brief = minutes(&flat) < 0.5 || minutes(&flat) > 1439.5;
            if flat.crossings.len() != sighted.crossings.len() {
                prop_assert!(brief, "{:?} {:?}", flat, sighted);
                continue;
            }
            for (flat, sighted) in flat.crossings.iter().zip(&sighted.crossings) {
                let miss = (flat.at - sighted.at).abs() / MILLISECOND;
                prop_assert!(miss < 5.0 || brief, "{miss} ms");
                prop_assert_eq!(flat.up, sighted.up);
            }
        }
    }

    /// Raising a ridge never lengthens the hours above it.
    #[test]
    fn a_higher_ridge_hides_more(
        latitude in -75.0..75.0, longitude in -180.0..180.0, day in 1_u32..365,
        points in points(), level in -9.0..20.0, lifted in 0.01..15.0, body in bodies(),
    ) {
        let higher: Vec<_> = points.iter().map(|(at, height)| (*at, height + lifted)).collect();
        let (low, high) = with_night(latitude, longitude, day, |night| {
            let over = |ridge: &RidgeLine| minutes(&over_ridge(night, body, ridge, Air::STANDARD));
            (over(&line(level, &points)), over(&line(level + lifted, &higher)))
        });
        // two samples miss what is between them
        prop_assert!(high <= low + 4.0, "{low} min, {high} min over the higher");
    }

    /// Crossings alternate, and at each the body's apparent altitude is that of the line there, or
    /// steps over one of its ends.
    #[test]
    fn a_crossing_lies_on_the_line(
        latitude in -75.0..75.0, longitude in -180.0..180.0, day in 1_u32..365,
        points in points(), level in -9.0..20.0, body in bodies(),
    ) {
        let ridge = line(level, &points);
        with_night(latitude, longitude, day, |night| {
            let course = over_ridge(night, body, &ridge, Air::STANDARD);
            let mut above = course.starts_above;
            let edge = if body == SkyBody::Subject { 0.0 } else { 0.26 };
            let over = |at: f64| {
                let place = night.topocentric(body, at).horizontal();
                let top = TrueAltitude(angle(place.altitude.0.degrees() + edge));
                let looks = Air::STANDARD.to_apparent(top).0.degrees();
                looks - ridge.height(place.bearing).degrees()
            };
            for crossing in &course.crossings {
                assert_ne!(crossing.up, above);
                above = crossing.up;
                let on = over(crossing.at).abs() < 1e-4;
                let around = [-2.0, 2.0].map(|ms| over(crossing.at + ms * MILLISECOND) > 0.0);
                assert!(on || around == [!crossing.up, crossing.up], "{}", over(crossing.at));
            }
        });
    }
}

/// Over a wall with a gate the core is seen through the gate alone: the wall is 60° high but for
/// bearings from 170° to 190°, where the core culminates 25° up (90° − |φ − δ|, J. Meeus,
/// *Astronomical Algorithms*, 2nd ed. 1998, ch. 15).
#[test]
fn the_core_passes_a_gate() {
    let gate = [
        (80.0, 60.0),
        (169.99, 60.0),
        (170.0, 2.0),
        (190.0, 2.0),
        (190.01, 60.0),
        (280.0, 60.0),
    ];
    with_night(36.0, -112.0, 171, |night| {
        let ridge = line(0.0, &gate);
        let course = over_ridge(night, SkyBody::Subject, &ridge, Air::STANDARD);
        let bearings: Vec<f64> = course
            .crossings
            .iter()
            .map(|crossing| {
                night
                    .topocentric(SkyBody::Subject, crossing.at)
                    .horizontal()
                    .bearing
                    .degrees()
            })
            .collect();
        assert_eq!(bearings.len(), 2, "{bearings:?}");
        assert!((bearings[0] - 170.0).abs() < 0.01 && (bearings[1] - 190.0).abs() < 0.01);
        // the sky turns past a bearing on the meridian by sin φ + cos φ tan h cos A a degree
        let middle = night.transits(SkyBody::Subject, true)[0];
        let half = [0, 1].map(|end| (course.crossings[end].at - middle).abs() * 1440.0);
        assert!((half[0] - half[1]).abs() < 0.1, "{half:?}");
    });
}

/// The hour angle of a height, minutes from the meridian: cos H = (sin h − sin φ sin δ)/(cos φ cos
/// δ) (J. Meeus, *Astronomical Algorithms*, 2nd ed. 1998, eq. 15.1); 15.0° of it pass in an hour
/// for the Sun, 15.041° for the core.
fn hour_angle_min(latitude: f64, declination: f64, height: f64, deg_per_hour: f64) -> f64 {
    let (phi, delta, h) = (angle(latitude), angle(declination), angle(height));
    let cos = (h.sin() - phi.sin() * delta.sin()) / (phi.cos() * delta.cos());
    cos.acos().to_degrees() / deg_per_hour * 60.0
}

/// From 3000 m over a plain at sea level the Sun sets 8 to 11 minutes later than over a level
/// horizon at 36° N, the core rises so much earlier: by the dip, 1.797′ √h, and by the longer way
/// of the light down to the plain and up again, for which light followed through an atmosphere
/// gives some 52′ instead of 26′ (`src/sky/altitude.rs`); hour angles by Meeus.
#[test]
fn over_a_plain_far_below_bodies_rise_earlier_and_set_later() {
    const HEIGHT_M: f64 = 3000.0;
    let dip = 1.797 / 60.0 * HEIGHT_M.sqrt();
    // the equinox; in June it is a minute more
    with_night_at((36.0, 0.0, HEIGHT_M), 79, |night| {
        let air = Air::at_height(HEIGHT_M);
        for (body, declination, edge, deg_per_hour) in [
            (SkyBody::Sun, 0.0, 0.26, 15.0),
            (SkyBody::Subject, -29.0, 0.0, 15.041),
        ] {
            let over = |level: f64| {
                let course = over_ridge(night, body, &line(level, &[]), air);
                minutes(&course)
            };
            let got = (over(-dip) - over(0.0)) / 2.0;
            let at = |height: f64| hour_angle_min(36.0, declination, height - edge, deg_per_hour);
            let want = at(-dip - 52.0 / 60.0) - at(-26.0 / 60.0);
            assert!((got - want).abs() < 0.4, "{body:?}: {got} min, want {want}");
            if body == SkyBody::Sun {
                assert!((8.0..11.0).contains(&got), "{got} min");
            }
        }
    });
}

/// Over a flat horizon at the sea the Sun's upper edge is seen to the moment at which almanacs take
/// it: 34′ of air and 16′ of half a width, to the 0.4′ by which the air is taken for more.
#[test]
fn over_a_flat_horizon_the_sun_sets_as_in_almanacs() {
    with_night_at((46.0, 8.0, 0.0), 100, |night| {
        let over = over_ridge(night, SkyBody::Sun, &line(0.0, &[]), Air::STANDARD);
        let almanac = night.sun_course(SunAltitudeLimit::Horizon);
        assert_eq!(over.crossings.len(), almanac.crossings.len());
        for (over, almanac) in over.crossings.iter().zip(&almanac.crossings) {
            let miss_s = (over.at - almanac.at).abs() * 86_400.0;
            assert!(miss_s < 3.0, "{miss_s} s");
        }
    });
}
