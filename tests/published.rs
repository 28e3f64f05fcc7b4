//! The sky against printed examples and almanacs.
#![cfg(not(target_arch = "wasm32"))]

use chrono::{DateTime, NaiveDate, Timelike, Utc};
use tarnlight::angle::Angle;
use tarnlight::sky::almanac::{Almanac, Body};
use tarnlight::sky::altitude::TrueAltitude;
use tarnlight::sky::core::CORE_DECLINATION;
use tarnlight::sky::moment::Moment;
use tarnlight::sky::night::{Night, Standing, SunLine, noon};
use tarnlight::sky::observer::{Observer, Site};
use tarnlight::sky::places::{AU_KM, Places};
use tarnlight::sky::sidereal::ecliptic_longitude;

/// The moment of an instant of terrestrial time.
fn terrestrial(text: &str) -> Moment {
    let moment = Moment::of(text.parse().expect("an instant"));
    moment.plus_s(-moment.terrestrial_ahead_s())
}

fn site(latitude: f64, longitude: f64) -> Site {
    Site {
        latitude: Angle::from_degrees(latitude),
        longitude: Angle::from_degrees(longitude),
        height_m: 0.0,
    }
}

fn near(got: f64, want: f64, allowed: f64, what: &str) {
    assert!(
        (got - want).abs() <= allowed,
        "{what}: {got}, want {want} within {allowed}"
    );
}

/// J. Meeus, *Astronomical Algorithms*, 2nd ed. 1998, ex. 47.a: the Moon on 1992 April 12, 0h TD.
/// The book's place is geometric; here it is where its light left 1.28 s before, 0.7″ behind.
#[test]
fn the_moon_of_the_book() {
    let moment = terrestrial("1992-04-12T00:00:00Z");
    let moon = Places::at(moment).moon;
    near(moon.length() * AU_KM, 368_409.7, 1.0, "distance, km");
    near(
        ecliptic_longitude(moon, moment).degrees(),
        133.167_265,
        4e-4,
        "longitude",
    );
    let declination = moon.z.atan2(moon.x.hypot(moon.y)).to_degrees();
    near(declination, 13.768_368, 3e-4, "declination");
}

/// The same, ex. 48.a: phase angle 69.0756°, lit share 0.6786.
#[test]
fn the_phase_of_the_book() {
    let moment = terrestrial("1992-04-12T00:00:00Z");
    let almanac = Almanac::over(moment.plus_days(-1.0), 2.0);
    near(
        almanac.phase_angle(moment).degrees(),
        69.0756,
        0.01,
        "phase angle",
    );
    near(almanac.lit_share(moment), 0.6786, 1e-4, "lit share");
}

/// The same, ex. 25.b: the Sun on 1992 October 13, 0h TD, by the complete theory: apparent
/// longitude 199°54′21.56″, declination −7°47′01.74″, distance 0.997 608 53 au.
#[test]
fn the_sun_of_the_book() {
    let moment = terrestrial("1992-10-13T00:00:00Z");
    let sun = Places::at(moment).sun;
    near(
        ecliptic_longitude(sun, moment).degrees(),
        199.905_989,
        2e-3,
        "longitude",
    );
    let declination = sun.z.atan2(sun.x.hypot(sun.y)).to_degrees();
    near(declination, -7.783_817, 1e-3, "declination");
    near(sun.length(), 0.997_608_53, 2e-5, "distance, au");
}

/// U.S. Naval Observatory, tables of Sun and Moon for one day, to the minute: 40.8939° N
/// 83.8917° W on 2018-09-12 and 41.281944° N 84.362778° W on 2019-11-08, in UTC.
#[test]
fn sunset_sunrise_and_twilights_to_the_almanacs_minute() {
    let table: [(f64, f64, &str, SunLine, bool, &str); 10] = [
        (
            40.8939,
            -83.8917,
            "2018-09-11",
            SunLine::Horizon,
            true,
            "11:13",
        ),
        (
            40.8939,
            -83.8917,
            "2018-09-12",
            SunLine::Horizon,
            false,
            "23:50",
        ),
        (
            41.281_944,
            -84.362_778,
            "2019-11-07",
            SunLine::Astronomical,
            true,
            "10:42",
        ),
        (
            41.281_944,
            -84.362_778,
            "2019-11-07",
            SunLine::Nautical,
            true,
            "11:15",
        ),
        (
            41.281_944,
            -84.362_778,
            "2019-11-07",
            SunLine::Civil,
            true,
            "11:48",
        ),
        (
            41.281_944,
            -84.362_778,
            "2019-11-07",
            SunLine::Horizon,
            true,
            "12:17",
        ),
        (
            41.281_944,
            -84.362_778,
            "2019-11-08",
            SunLine::Horizon,
            false,
            "22:25",
        ),
        (
            41.281_944,
            -84.362_778,
            "2019-11-08",
            SunLine::Civil,
            false,
            "22:54",
        ),
        (
            41.281_944,
            -84.362_778,
            "2019-11-08",
            SunLine::Nautical,
            false,
            "23:27",
        ),
        (
            41.281_944,
            -84.362_778,
            "2019-11-08",
            SunLine::Astronomical,
            false,
            "23:59",
        ),
    ];
    for (latitude, longitude, evening, line, up, want) in table {
        let evening: NaiveDate = evening.parse().expect("a date");
        let site = site(latitude, longitude);
        let start = noon(evening, site.longitude);
        let almanac = Almanac::over(start.plus_days(-1.0), 3.0);
        let night = Night::from(&almanac, Observer::at(site), start);
        let at = night.sun_at(line).first(up).expect("a crossing");
        assert_eq!(minute(start.plus_days(at)), want, "{evening} {line:?}");
    }
}

/// An instant's time of day, to the nearest minute.
fn minute(moment: Moment) -> String {
    let rounded = moment.plus_s(30.0).instant();
    format!("{:02}:{:02}", rounded.hour(), rounded.minute())
}

/// U.S. Naval Observatory: at 70° N on the meridian of Greenwich the Moon of 2023-02-19 rises at
/// 11:28 and sets at 12:05, having barely looked over the horizon. It moves through that at 0.05° a
/// minute, so a hundredth of a degree of air is worth a minute's half.
#[test]
fn a_moon_that_only_just_rises() {
    let site = site(70.0, 0.0);
    let start = noon("2023-02-18".parse().expect("a date"), site.longitude).plus_days(0.4);
    let almanac = Almanac::over(start.plus_days(-1.0), 3.0);
    let night = Night::from(&almanac, Observer::at(site), start);
    let course = night.moon_at_horizon();
    let times = course
        .crossings
        .iter()
        .map(|crossing| start.plus_days(crossing.at));
    let got: Vec<_> = times.map(minute).collect();
    assert_eq!(got, ["11:28", "12:05"]);
}

/// U.S. Naval Observatory, fraction of the Moon illuminated at 05h UT, 2018-09-09 to 18.
#[test]
fn the_lit_share_of_ten_days() {
    const WANT: [f64; 10] = [0.0, 0.0, 0.03, 0.08, 0.15, 0.24, 0.33, 0.43, 0.52, 0.62];
    let start = Moment::of(
        "2018-09-09T05:00:00Z"
            .parse::<DateTime<Utc>>()
            .expect("an instant"),
    );
    let almanac = Almanac::over(start, 12.0);
    for (day, want) in WANT.into_iter().enumerate() {
        let got = almanac.lit_share(start.plus_days(day as f64));
        near(got, want, 0.0051, "lit share");
    }
}

/// Hour angles of the core at a height: cos H = (sin h − sin φ sin δ)/(cos φ cos δ) (J. Meeus, as
/// above, eq. 15.1), worked with the J2000 declination. Precession since has moved that by 0.01°,
/// which in hour angle is most, 0.2°, where the core just clears the line.
#[test]
fn hour_angles_of_the_core() {
    let table = [
        (50.0, 0.0, Some(48.638)),
        (50.0, 10.0, Some(14.138)),
        (50.0, 15.0, None),
        (40.0, 5.0, Some(53.461)),
        (30.0, -34.0 / 60.0, Some(72.117)),
        (0.0, 0.0, Some(90.0)),
        (-33.0, 15.0, Some(90.413)),
    ];
    for (latitude, height, want) in table {
        let site = site(latitude, 0.0);
        let start = noon("2025-06-21".parse().expect("a date"), Angle::ZERO);
        let almanac = Almanac::over(start.plus_days(-1.0), 3.0);
        let night = Night::from(&almanac, Observer::at(site), start);
        let course = night.core_at(TrueAltitude(Angle::from_degrees(height)));
        let Some(want) = want else {
            assert_eq!(
                course.standing(),
                Standing::NeverAbove,
                "{latitude}°, {height}°"
            );
            continue;
        };
        let (up, down) = (course.first(true), course.first(false));
        let length = down
            .zip(up)
            .map(|(down, up)| (down - up).rem_euclid(0.997_27));
        let half_deg = length.expect("two crossings") * 360.985_647 / 2.0;
        near(half_deg, want, 0.2, &format!("{latitude}°, {height}°"));
    }
}

/// A night worked by the IAU's routines (ERFA) to the minute: 36° N 112° W, 2025-06-21 UT.
#[test]
fn a_night_of_the_core_to_the_minute() {
    let site = site(36.0, -112.0);
    let start = noon("2025-06-20".parse().expect("a date"), site.longitude);
    let almanac = Almanac::over(start.plus_days(-1.0), 3.0);
    let night = Night::from(&almanac, Observer::at(site), start);
    let crossing = |height: f64, up| {
        let course = night.core_at(TrueAltitude(Angle::from_degrees(height)));
        start.plus_days(course.first(up).expect("a crossing"))
    };
    let table = [
        (-34.0 / 60.0, true, "2025-06-21T02:49:00Z"),
        (0.0, true, "2025-06-21T02:53:00Z"),
        (10.0, true, "2025-06-21T03:59:00Z"),
        (10.0, false, "2025-06-21T10:35:00Z"),
        (0.0, false, "2025-06-21T11:41:00Z"),
        (-34.0 / 60.0, false, "2025-06-21T11:44:00Z"),
    ];
    for (height, up, want) in table {
        let want = Moment::of(want.parse::<DateTime<Utc>>().expect("an instant"));
        near(
            crossing(height, up).since_s(want),
            0.0,
            60.0,
            &format!("{height}° {up}"),
        );
    }
    // the bearings are for those full minutes
    for (minute, want) in [
        ("2025-06-21T02:53:00Z", 127.0),
        ("2025-06-21T03:59:00Z", 137.5),
        ("2025-06-21T10:35:00Z", 222.7),
    ] {
        let moment = Moment::of(minute.parse::<DateTime<Utc>>().expect("an instant"));
        let got = night.observer().find(&almanac, Body::Core, moment).bearing;
        near(got.degrees(), want, 0.2, minute);
    }
    let top = night.core().extreme(true).expect("a highest place");
    near(top.value.asin().to_degrees(), 24.981, 2e-3, "highest");
}

/// Common practice: in the north the core is a target of summer, highest at midnight in June; from
/// mid-northern latitudes it stays low in the south; the southern winter shows it best.
#[test]
fn what_the_trade_takes_for_granted() {
    let dark_and_up = |latitude: f64, date: &str| {
        let site = site(latitude, 10.0);
        let start = noon(date.parse().expect("a date"), site.longitude);
        let almanac = Almanac::over(start.plus_days(-1.0), 3.0);
        let night = Night::from(&almanac, Observer::at(site), start);
        let top = night.core().extreme(true).expect("a highest place");
        let standing = night.see(Body::Core, top.at).standing();
        (
            top.at * 24.0 - 12.0,
            standing.altitude.0.degrees(),
            standing.bearing.degrees(),
        )
    };
    let (hour, height, bearing) = dark_and_up(46.0, "2026-06-20");
    near(hour, 0.0, 1.0, "hours from midnight in June");
    assert!((10.0..20.0).contains(&height), "low: {height}°");
    near(bearing, 180.0, 1.0, "in the south");
    let (hour, ..) = dark_and_up(46.0, "2026-12-20");
    near(hour.abs(), 12.0, 1.0, "at noon in December");
    let (hour, height, _) = dark_and_up(-30.0, "2026-06-20");
    near(hour, 0.0, 1.0, "hours from midnight in the southern winter");
    assert!(height > 85.0, "overhead: {height}°");
    assert!(CORE_DECLINATION < Angle::ZERO);
}
