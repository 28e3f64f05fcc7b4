//! The sky against printed examples and almanacs, and against what the trade takes for granted.
//!
//! "The book" is J. Meeus, *Astronomical Algorithms*, 2nd ed. 1998. Its figures were written from
//! memory and then each was confirmed by an independent computation (ERFA, or Skyfield over DE440).
#![cfg(not(target_arch = "wasm32"))]

use chrono::{DateTime, NaiveDate, Timelike, Utc};
use sofars::erst::era00;
use tarnlight::angle::Angle;
use tarnlight::sky::almanac::{Almanac, SkyBody};
use tarnlight::sky::altitude::{Air, ApparentAltitude, TrueAltitude};
use tarnlight::sky::crossings::{Crossing, Samples, sample_time};
use tarnlight::sky::galactic_core::CORE_DECLINATION;
use tarnlight::sky::moment::{J2000_JD, Moment};
use tarnlight::sky::night::{Night, SunAltitudeLimit, Visibility, noon};
use tarnlight::sky::observer::{GeoPosition, Observer};
use tarnlight::sky::positions::{AU_KM, SolarSystemPositions};
use tarnlight::sky::sidereal::{self, ecliptic_longitude};
use tarnlight::sky::spans::Spans;
use tarnlight::vector::Vector;

fn near(got: f64, want: f64, allowed: f64, what: &str) {
    assert!(
        (got - want).abs() <= allowed,
        "{what}: {got}, want {want} within {allowed}"
    );
}

fn universal(text: &str) -> Moment {
    Moment::from_utc(text.parse::<DateTime<Utc>>().expect("an instant"))
}

/// The moment of an instant of terrestrial time, which the book calls TD.
fn terrestrial(text: &str) -> Moment {
    let moment = universal(text);
    moment.plus_s(-moment.tt_minus_utc_s())
}

fn declination_deg(place: Vector) -> f64 {
    place.z.atan2(place.x.hypot(place.y)).to_degrees()
}

/// Right ascension by the hour angle at Greenwich: apparent sidereal time less the Earth's
/// rotation.
fn ascension_deg(place: Vector, moment: Moment) -> f64 {
    let turned = place.y.atan2(place.x) - era00(J2000_JD, moment.days());
    (turned.to_degrees() + sidereal::apparent(moment).degrees()).rem_euclid(360.0)
}

fn longitude_deg(place: Vector, moment: Moment) -> f64 {
    ecliptic_longitude(place, moment).degrees()
}

/// Inputs of a night from noon at a place, in degrees.
fn at_night<T>((latitude, longitude): (f64, f64), date: &str, ask: impl Fn(&Night) -> T) -> T {
    let site = GeoPosition {
        latitude: Angle::from_degrees(latitude),
        longitude: Angle::from_degrees(longitude),
        height_m: 0.0,
    };
    let date: NaiveDate = date.parse().expect("a date");
    let start = noon(date, site.longitude);
    let almanac = Almanac::over(start.plus_days(-1.0), 3.0);
    ask(&Night::new(&almanac, Observer::at(site), start))
}

fn core_at(night: &Night, height_deg: f64) -> tarnlight::sky::night::Course {
    night.subject_course(TrueAltitude(Angle::from_degrees(height_deg)))
}

/// The book, ex. 47.a: the Moon on 1992 April 12, 0h TD. DE440 puts it 1.9″ behind the book.
#[test]
fn the_moon_of_the_book() {
    let moment = terrestrial("1992-04-12T00:00:00Z");
    let moon = SolarSystemPositions::at(moment).moon;
    let distance_km = moon.length() * AU_KM;
    near(distance_km, 368_409.7, 1.0, "distance, km");
    let parallax = (6378.14 / distance_km).asin().to_degrees();
    near(parallax, 0.991_990, 3e-6, "parallax");
    near(longitude_deg(moon, moment), 133.167_265, 4e-4, "longitude");
    near(ascension_deg(moon, moment), 134.688_470, 4e-4, "ascension");
    near(declination_deg(moon), 13.768_368, 3e-4, "declination");
}

/// The book, ex. 48.a, for the same moment; it leaves out the Earth's motion.
#[test]
fn the_phase_of_the_book() {
    let moment = terrestrial("1992-04-12T00:00:00Z");
    let almanac = Almanac::over(moment.plus_days(-1.0), 2.0);
    let phase = almanac.phase_angle(moment).degrees();
    near(phase, 69.0756, 0.01, "phase angle");
    near(
        almanac.illuminated_fraction(moment),
        0.6786,
        1e-4,
        "lit share",
    );
    let [moon, sun] = [SkyBody::Moon, SkyBody::Sun].map(|body| almanac.position(body, moment));
    near(moon.angle_to(sun).degrees(), 110.7929, 2e-3, "elongation");
}

/// The book, ex. 25.a (a short series, good to 0.01°) and 25.b (the whole theory): the Sun on 1992
/// October 13, 0h TD. The series here is good to 7″.
#[test]
fn the_sun_of_the_book() {
    const SEVEN_ARCSEC: f64 = 7.0 / 3600.0;
    let moment = terrestrial("1992-10-13T00:00:00Z");
    let sun = SolarSystemPositions::at(moment).sun;
    let (longitude, declination) = (longitude_deg(sun, moment), declination_deg(sun));
    near(longitude, 199.908_95, 0.01, "longitude, 25.a");
    near(declination, -7.785_07, 0.01, "declination, 25.a");
    near(longitude, 199.905_989, SEVEN_ARCSEC, "longitude, 25.b");
    near(declination, -7.783_817, SEVEN_ARCSEC, "declination, 25.b");
    let ascension = ascension_deg(sun, moment);
    near(ascension, 198.378_121, SEVEN_ARCSEC, "ascension, 25.b");
    near(sun.length(), 0.997_608_53, 2e-5, "distance, au");
}

/// The book, ex. 12.a and 12.b: sidereal time at Greenwich on 1987 April 10. The book uses the
/// expressions of 1982 and the nutation of 1980, some milliseconds from those in use.
#[test]
fn the_sidereal_time_of_the_book() {
    let seconds = |angle: Angle| angle.degrees() * 240.0;
    let clock = |h: f64, m: f64, s: f64| h * 3600.0 + m * 60.0 + s;
    let (midnight, evening) = (
        universal("1987-04-10T00:00:00Z"),
        universal("1987-04-10T19:21:00Z"),
    );
    let got = seconds(sidereal::mean(midnight));
    near(got, clock(13.0, 10.0, 46.3668), 5e-3, "12.a, mean");
    let got = seconds(sidereal::apparent(midnight));
    near(got, clock(13.0, 10.0, 46.1351), 5e-3, "12.a, apparent");
    let got = seconds(sidereal::mean(evening));
    near(got, clock(8.0, 34.0, 57.0896), 5e-3, "12.b, mean");
}

/// The book, ex. 16.a: an apparent altitude of 30′ has a refraction of 28.754′, by Bennett's
/// formula, from which the one used here differs by up to 0.1′ so low; by that one a true 33.25′ is
/// lifted by 24.618′.
#[test]
fn the_air_of_the_book() {
    let lift = Air::STANDARD.refraction(TrueAltitude(Angle::from_degrees(33.25 / 60.0)));
    near(lift.degrees() * 60.0, 24.618, 2e-3, "lift, arcminutes");
    let seen = ApparentAltitude(Angle::from_degrees(0.5));
    let lift = 0.5 - Air::STANDARD.to_true(seen).0.degrees();
    near(lift * 60.0, 28.754, 0.1, "lift, arcminutes");
}

/// Crossings in a day of an altitude that is above a line by `over`, with its slope by differences.
fn crossings(over: impl Fn(f64) -> f64) -> Vec<Crossing> {
    const REACH: f64 = 1e-5;
    let slope = |at: f64| (over(at + REACH) - over(at - REACH)) / (2.0 * REACH);
    let looks = Samples::new(std::array::from_fn(|place| over(sample_time(place))));
    looks.crossings(|at| (over(at), slope(at)))
}

/// The book, ex. 15.a: Venus over Boston on 1988 March 20 sets at 0.121 30 and rises at 0.517 66 of
/// the day of UT; its places at 0h TD of three days are given (from memory).
#[test]
fn the_venus_of_the_book() {
    const PLACES: [[f64; 2]; 3] = [
        [40.680_21, 18.047_61],
        [41.731_29, 18.440_92],
        [42.782_04, 18.827_42],
    ];
    let between = |which: usize, n: f64| {
        let [y1, y2, y3] = PLACES.map(|place| place[which]);
        let (a, b) = (y2 - y1, y3 - y2);
        (y2 + n / 2.0 * (a + b + n * (b - a))).to_radians()
    };
    let latitude = f64::to_radians(42.3333);
    let over = |day: f64| {
        let n = day + 56.0 / 86_400.0;
        let (ra, declination) = (between(0, n), between(1, n));
        let sidereal = (177.742_08 + 360.985_647 * day - 71.0833).to_radians();
        let height = latitude.sin() * declination.sin()
            + latitude.cos() * declination.cos() * (sidereal - ra).cos();
        height - f64::to_radians(-0.5667).sin()
    };
    let found = crossings(over);
    let ways: Vec<_> = found.iter().map(|crossing| crossing.up).collect();
    assert_eq!(ways, [false, true], "{found:?}");
    for (found, want) in found.iter().zip([0.121_30, 0.517_66]) {
        near(found.at, want, 1e-5, "share of the day");
    }
}

/// The book, ex. 27.a, 49.a and 49.b: a solstice, a new Moon and a last quarter; and by the U.S.
/// Naval Observatory, to the minute, an equinox, a quarter and a full Moon. Where the book's moment
/// is, the longitudes are those it is defined by.
#[test]
fn moments_of_the_year_and_of_the_moon() {
    let sun = |moment| longitude_deg(SolarSystemPositions::at(moment).sun, moment);
    let turned = |from: f64, to: f64| (to - from + 180.0).rem_euclid(360.0) - 180.0;
    // 7″, and a minute's motion of the Sun
    let allowed = 7.0 / 3600.0 + 0.0007;
    for (moment, want) in [
        (terrestrial("1962-06-21T21:24:42Z"), 90.0),
        (universal("2018-09-23T01:54:00Z"), 180.0),
    ] {
        near(turned(want, sun(moment)), 0.0, allowed, "Sun's longitude");
    }
    // the Moon gains half an arcsecond a second
    for (moment, want, seconds) in [
        (terrestrial("1977-02-18T03:37:42Z"), 0.0, 17.0),
        (terrestrial("2044-01-21T23:48:17Z"), 270.0, 17.0),
        (universal("2018-09-16T23:15:00Z"), 90.0, 30.0),
        (universal("2018-09-25T02:52:00Z"), 180.0, 30.0),
    ] {
        let moon = longitude_deg(SolarSystemPositions::at(moment).moon, moment);
        let off = turned(want, moon - sun(moment)) * 3600.0;
        near(off, 0.0, 10.0 + seconds * 0.51, "Moon from Sun, ″");
    }
}

/// An instant's time of day, to the nearest minute.
fn minute(moment: Moment) -> String {
    let rounded = moment.plus_s(30.0).instant();
    format!("{:02}:{:02}", rounded.hour(), rounded.minute())
}

/// U.S. Naval Observatory, tables of Sun and Moon for one day, in UTC to the minute. A morning
/// belongs to the night of the day before.
#[test]
fn sunset_sunrise_and_twilights_to_the_almanacs_minute() {
    use SunAltitudeLimit::{Astronomical, Civil, Horizon, Nautical};
    let (one, other) = ((40.8939, -83.8917), (41.281_944, -84.362_778));
    let mornings = [
        (Astronomical, "10:42"),
        (Nautical, "11:15"),
        (Civil, "11:48"),
        (Horizon, "12:17"),
    ];
    let evenings = [
        (Horizon, "22:25"),
        (Civil, "22:54"),
        (Nautical, "23:27"),
        (Astronomical, "23:59"),
    ];
    for (place, date, up, table) in [
        (one, "2018-09-11", true, &[(Horizon, "11:13")][..]),
        (one, "2018-09-12", false, &[(Horizon, "23:50")]),
        (other, "2019-11-07", true, &mornings),
        (other, "2019-11-08", false, &evenings),
    ] {
        for (line, want) in table {
            let got = at_night(place, date, |night| {
                let at = night.sun_course(*line).first(up).expect("a crossing");
                minute(night.start().plus_days(at))
            });
            assert_eq!(got, *want, "{date} {line:?}");
        }
    }
}

/// U.S. Naval Observatory: at 70° N on the meridian of Greenwich the Moon of 2023-02-19 rises at
/// 11:28 and sets at 12:05, having barely looked over the horizon, on either side of a noon.
#[test]
fn a_moon_that_only_just_rises() {
    let crossing = |date: &str| {
        at_night((70.0, 0.0), date, |night| {
            let crossings = night.moon_course().crossings;
            let at = |crossing: &Crossing| minute(night.start().plus_days(crossing.at));
            crossings.iter().map(at).collect::<Vec<_>>()
        })
    };
    assert_eq!(crossing("2023-02-18").last().unwrap(), "11:28");
    assert_eq!(crossing("2023-02-19").first().unwrap(), "12:05");
}

/// U.S. Naval Observatory, fraction of the Moon illuminated at 05h UT, 2018-09-09 to 18, in
/// hundredths.
#[test]
fn the_lit_share_of_ten_days() {
    const WANT: [f64; 10] = [0.0, 0.0, 0.03, 0.08, 0.15, 0.24, 0.33, 0.43, 0.52, 0.62];
    let start = universal("2018-09-09T05:00:00Z");
    let almanac = Almanac::over(start, 12.0);
    for (day, want) in WANT.into_iter().enumerate() {
        let got = almanac.illuminated_fraction(start.plus_days(day as f64));
        near(got, want, 0.0051, "lit share");
    }
}

/// Hour angles of the core, in degrees, at heights of −34′, 0°, 5°, 10° and 15°, computed from cos
/// H = (sin h − sin φ sin δ)/(cos φ cos δ) (the book, eq. 15.1) with its J2000 declination.
const HOUR_ANGLES: [(f64, [f64; 5]); 5] = [
    (50.0, [49.968, 48.638, 35.328, 14.138, NEVER]),
    (40.0, [63.224, 62.272, 53.461, 43.575, 31.614]),
    (30.0, [72.117, 71.329, 64.201, 56.674, 48.558]),
    (0.0, [90.648, 90.0, 84.281, 78.547, 72.786]),
    (-33.0, [111.936, 111.106, 103.961, 97.085, 90.413]),
];

/// It does not come so high.
const NEVER: f64 = -1.0;

const HEIGHTS_DEG: [f64; 5] = [-34.0 / 60.0, 0.0, 5.0, 10.0, 15.0];

/// The search alone, for a star that stays at the J2000 declination, to the table's last digit.
#[test]
fn hour_angles_of_a_star_that_stays() {
    for (latitude, row) in HOUR_ANGLES {
        let latitude = Angle::from_degrees(latitude);
        for (height, want) in HEIGHTS_DEG.into_iter().zip(row) {
            let line = height.to_radians().sin();
            let found = crossings(|day: f64| {
                let angle = std::f64::consts::TAU * (day - 0.5);
                latitude.sin() * CORE_DECLINATION.sin()
                    + latitude.cos() * CORE_DECLINATION.cos() * angle.cos()
                    - line
            });
            let got = found.iter().find(|crossing| !crossing.up);
            let got = got.map(|crossing| (crossing.at - 0.5) * 360.0);
            near(
                got.unwrap_or(NEVER),
                want,
                6e-4,
                &format!("{latitude:?}, {height}°"),
            );
        }
    }
}

/// The real core of 2025, whose declination is 0.011° lower by precession and up to 0.006° more by
/// the Earth's motion: that is most, 0.2° of hour angle, where it only just clears the line.
#[test]
fn hour_angles_of_the_core() {
    const SIDEREAL_DAY: f64 = 0.997_269_57;
    for (latitude, row) in HOUR_ANGLES {
        for (height, want) in HEIGHTS_DEG.into_iter().zip(row) {
            let place = format!("{latitude}°, {height}°");
            let course = at_night((latitude, 0.0), "2025-06-21", |night| {
                core_at(night, height)
            });
            if want == NEVER {
                assert_eq!(course.visibility(), Visibility::NeverAbove, "{place}");
                continue;
            }
            let (up, down) = course.first(true).zip(course.first(false)).expect(&place);
            let half_deg = (down - up).rem_euclid(SIDEREAL_DAY) / SIDEREAL_DAY * 180.0;
            near(half_deg, want, 0.2, &place);
        }
    }
}

/// A night worked by the IAU's routines (ERFA), to the minute and without the air: 36° N 112° W,
/// 2025-06-21 UT. The bearings are those of the whole minutes.
#[test]
fn a_night_of_the_core_to_the_minute() {
    at_night((36.0, -112.0), "2025-06-20", |night| {
        let find = |moment| {
            night
                .observer()
                .horizontal(night.almanac(), SkyBody::Subject, moment)
        };
        let time = |at| night.start().plus_days(at);
        for (height, up, want, bearing) in [
            (-34.0 / 60.0, true, "02:49", None),
            (0.0, true, "02:53", Some(127.0)),
            (10.0, true, "03:59", Some(137.5)),
            (10.0, false, "10:35", Some(222.7)),
            (0.0, false, "11:41", None),
            (-34.0 / 60.0, false, "11:44", None),
        ] {
            let at = core_at(night, height).first(up).expect("a crossing");
            let minute = universal(&format!("2025-06-21T{want}:00Z"));
            near(time(at).since_s(minute), 0.0, 60.0, want);
            if let Some(bearing) = bearing {
                near(find(minute).bearing.degrees(), bearing, 0.06, want);
            }
        }
        let [at] = night.transits(SkyBody::Subject, true)[..] else {
            panic!("one transit");
        };
        let want = universal("2025-06-21T07:16:00Z");
        near(time(at).since_s(want), 0.0, 60.0, "transit, s");
        let highest = find(time(at));
        near(highest.altitude.0.degrees(), 24.981, 1e-3, "highest");
        near(highest.bearing.degrees(), 180.0, 1e-6, "in the south");
    });
}

/// Common practice: in the north the core is a target of summer, highest at midnight in June and
/// low in the south; the southern winter shows it best.
#[test]
fn what_the_trade_takes_for_granted() {
    let best = |latitude: f64, date: &str| {
        at_night((latitude, 10.0), date, |night| {
            let top = night
                .extreme(SkyBody::Subject, true)
                .expect("a highest place");
            let standing = night.topocentric(SkyBody::Subject, top.at).horizontal();
            let dark = Spans::new(&night.sun_course(SunAltitudeLimit::Astronomical), false);
            let hours = dark
                .intersection(&Spans::new(&core_at(night, 0.0), true))
                .minutes()
                / 60.0;
            let height = standing.altitude.0.degrees();
            let from_midnight = top.at * 24.0 - 12.0;
            (from_midnight, height, standing.bearing.degrees(), hours)
        })
    };
    for date in ["2026-06-20", "2026-07-01"] {
        let (hour, height, bearing, hours) = best(46.0, date);
        near(hour, 0.0, 1.0, "hours from midnight in summer");
        assert!((10.0..20.0).contains(&height), "low: {height}°");
        near(bearing, 180.0, 0.1, "in the south");
        assert!(hours > 2.0, "{hours} dark hours of it");
    }
    let (hour, .., hours) = best(46.0, "2026-12-20");
    near(hour.abs(), 12.0, 1.0, "at noon in December");
    assert_eq!(hours, 0.0, "none of it in a December night");
    let (hour, height, _, southern) = best(-30.0, "2026-06-20");
    near(hour, 0.0, 1.0, "hours from midnight in the southern winter");
    assert!(height > 85.0, "overhead: {height}°");
    let northern = best(46.0, "2026-06-20").3;
    assert!(southern > 3.0 * northern, "{southern} h, {northern} h");
    let summer = best(-30.0, "2026-12-20").3;
    assert!(southern > 10.0 + summer, "{southern} h, {summer} h");
}
