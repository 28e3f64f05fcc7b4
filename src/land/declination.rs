//! Magnetic declination: the angle from true north to magnetic north.
//!
//! A bearing from a compass, or from a phone's magnetometer, counts from magnetic north. The World
//! Magnetic Model gives the angle between that and true north; iron in the ground, in a car or in a
//! tripod's magnet is not in it, and can have a larger effect.
//!
//! Source: NOAA National Centers for Environmental Information and British Geological Survey, *The
//! US/UK World Magnetic Model for 2025–2030*; public domain. Equation numbers are the report's of
//! 2020 (from memory), unchanged in that of 2025.

use chrono::{Datelike, NaiveDate};
use serde::{Deserialize, Serialize};

use crate::angle::Angle;
use crate::land::wmm2025::COEFFICIENTS;
use crate::sky::observer::outward_north_km;

/// Years the model is valid for.
const YEARS: std::ops::Range<i32> = 2025..2030;

/// Highest degree of the model.
const DEGREE: usize = 12;

/// Reference radius of the model, km.
const REFERENCE_KM: f64 = 6371.2;

/// Units of the coefficients, tenths of a nanotesla, in a nanotesla.
const TENTHS: f64 = 10.0;

/// Below this horizontal field, nT, a compass is unusable: the model's blackout zones about the
/// magnetic poles (WMM report; MIL-PRF-89500B).
const BLACKOUT_NT: f64 = 2000.0;

/// Below this one it is unreliable: the model's caution zones (same).
const CAUTION_NT: f64 = 6000.0;

/// Valid heights of the model, m: from just below the ground to low orbit.
const HEIGHTS_M: (f64, f64) = (-1000.0, 850_000.0);

/// The declination, −180° to 180°, west negative, by reliability of a compass. True bearing =
/// compass bearing + declination.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub enum Declination {
    /// Where the horizontal field is 6000 nT and more, almost everywhere.
    Usual(Angle),
    /// In the model's caution zones, a horizontal field of 2000 to 6000 nT: a compass is
    /// unreliable, and the model errs by 0.9° to 2.7°.
    Caution(Angle),
    /// In the blackout zones about the magnetic poles, below 2000 nT: a compass is unusable.
    Blackout,
}

impl Declination {
    /// The declination, where a compass is usable.
    pub const fn east(self) -> Option<Angle> {
        match self {
            Self::Usual(east) | Self::Caution(east) => Some(east),
            Self::Blackout => None,
        }
    }
}

/// The declination at a place on a date at 0 h.
///
/// `height_m` is above the sea or the ellipsoid, a negligible difference here. `None` outside the
/// years 2025 to 2029, for which the model is valid.
///
/// Measured against the table published with the model, to its 0.01°, and against NCEI's own
/// program, to 0.0001°. The model itself is off by √(0.26² + (5417/H)²)°, with H the horizontal
/// field in nT, by its own error model: 0.35° in mid-latitudes; above local rock by more.
///
/// ```
/// use chrono::NaiveDate;
/// use tarnlight::angle::Angle;
/// use tarnlight::land::declination::declination;
/// let day = NaiveDate::from_ymd_opt(2025, 1, 1).unwrap();
/// let found = declination(Angle::from_degrees(80.0), Angle::ZERO, 0.0, day).unwrap();
/// assert!((found.east().unwrap().degrees() - 1.28).abs() < 0.005);
/// ```
pub fn declination(
    latitude: Angle,
    longitude: Angle,
    height_m: f64,
    date: NaiveDate,
) -> Option<Declination> {
    let year = date.year();
    if !YEARS.contains(&year) {
        return None;
    }
    let days = if date.leap_year() { 366.0 } else { 365.0 };
    let years = f64::from(year - YEARS.start) + f64::from(date.ordinal0()) / days;
    let (north, east) = level_field_nt(latitude, longitude, height_m, years);
    let declination = Angle::from_radians(east.atan2(north));
    Some(match north.hypot(east) {
        level if level < BLACKOUT_NT => Declination::Blackout,
        level if level < CAUTION_NT => Declination::Caution(declination),
        _ => Declination::Usual(declination),
    })
}

/// The horizontal field, nT to the north and to the east, `years` after 2025.0.
fn level_field_nt(latitude: Angle, longitude: Angle, height_m: f64, years: f64) -> (f64, f64) {
    let height_m = height_m.max(HEIGHTS_M.0).min(HEIGHTS_M.1);
    let (outward, north) = outward_north_km(latitude, height_m);
    let radius = outward.hypot(north);
    // sine and cosine of the geocentric latitude
    let (sin, cos) = (north / radius, outward / radius);
    let ratio = REFERENCE_KM / radius;
    let (mut to_north, mut to_east, mut down) = (0.0, 0.0, 0.0);
    // Schmidt's functions of equal order m = n, over the cosine: so that there is no division by it
    // at the poles
    let mut equal_over_cos = 0.0;
    let mut equal = (1.0, 0.0);
    let mut start = ratio * ratio;
    for m in 0..=DEGREE {
        let order = m as f64;
        if m > 0 {
            let grown = if m == 1 {
                1.0
            } else {
                (1.0 - 0.5 / order).sqrt()
            };
            equal_over_cos = grown * equal.0;
            // value, and derivative by the angle from the pole
            equal = (
                cos * equal_over_cos,
                grown * (sin * equal.0 + cos * equal.1),
            );
            start *= ratio;
        }
        let (sin_m, cos_m) = (order * longitude.radians()).sin_cos();
        let (mut before, mut value) = ((0.0, 0.0, 0.0), (equal.0, equal.1, equal_over_cos));
        let mut share = start;
        for n in m..=DEGREE {
            let degree = n as f64;
            if n > m {
                let this = (2.0 * degree - 1.0, (degree * degree - order * order).sqrt());
                let last = ((degree - 1.0) * (degree - 1.0) - order * order).sqrt();
                let next = (
                    (this.0 * sin * value.0 - last * before.0) / this.1,
                    (this.0 * (sin * value.1 - cos * value.0) - last * before.1) / this.1,
                    (this.0 * sin * value.2 - last * before.2) / this.1,
                );
                (before, value) = (value, next);
                share *= ratio;
            }
            // there is no degree 0, a magnetic monopole
            let Some(place) = (n * (n + 1) / 2 + m).checked_sub(1) else {
                continue;
            };
            let (g, h, g_a_year, h_a_year) = COEFFICIENTS[place];
            let g = f64::from(g) + years * f64::from(g_a_year);
            let h = f64::from(h) + years * f64::from(h_a_year);
            let along = share * (g * cos_m + h * sin_m);
            to_north += along * value.1;
            to_east += share * order * (g * sin_m - h * cos_m) * value.2;
            down -= (degree + 1.0) * along * value.0;
        }
    }
    // from geocentric to geodetic vertical
    let lean_sin = sin * latitude.cos() - cos * latitude.sin();
    let lean_cos = cos * latitude.cos() + sin * latitude.sin();
    let level = to_north * lean_cos - down * lean_sin;
    (level / TENTHS, to_east / TENTHS)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn on(year: i32, month: u32, day: u32) -> NaiveDate {
        NaiveDate::from_ymd_opt(year, month, day).expect("a date")
    }

    fn found(latitude: f64, longitude: f64, height_m: f64, date: NaiveDate) -> Option<f64> {
        let [latitude, longitude] = [latitude, longitude].map(Angle::from_degrees);
        let found = declination(latitude, longitude, height_m, date)?;
        found.east().map(Angle::degrees)
    }

    /// The table of test values published with the model (WMM2025 report, NCEI's
    /// `WMM2025_TEST_VALUES.txt`). 2027.5 is the noon of 2027-07-02; half a day moves no
    /// row by more than 0.001°.
    #[test]
    fn agrees_with_the_published_table() {
        let [first, later] = [on(2025, 1, 1), on(2027, 7, 2)];
        let table = [
            (first, 0.0, 80.0, 0.0, 1.28),
            (first, 0.0, 0.0, 120.0, -0.16),
            (first, 0.0, -80.0, -120.0, 68.78),
            (first, 100e3, 80.0, 0.0, 0.85),
            (first, 100e3, 0.0, 120.0, -0.15),
            (first, 100e3, -80.0, -120.0, 68.21),
            (later, 0.0, 80.0, 0.0, 2.59),
            (later, 0.0, 0.0, 120.0, -0.24),
            (later, 0.0, -80.0, -120.0, 68.49),
            (later, 100e3, 80.0, 0.0, 2.16),
            (later, 100e3, 0.0, 120.0, -0.23),
            (later, 100e3, -80.0, -120.0, 67.93),
        ];
        for (date, height_m, latitude, longitude, want) in table {
            let got = found(latitude, longitude, height_m, date).unwrap_or(f64::NAN);
            let miss = (got - want).abs();
            assert!(
                miss < 0.0061,
                "{date} {latitude} {longitude}: {got}, {want}"
            );
        }
    }

    /// Sites all over the globe by NCEI's own program, the Python package
    /// wmm-calculator 1.4.4 (`.tools/magnetic cases`).
    #[test]
    fn agrees_with_the_makers_program() {
        let table = [
            // latitude °, longitude °, height m, date, declination °
            (10.28, 52.5, 5000.0, (2026, 9, 1), -0.0264),
            (-22.92, -44.77, 500.0, (2025, 7, 13), -22.5391),
            (-71.61, -137.27, 500.0, (2028, 2, 14), 62.8329),
            (-80.24, -169.97, 0.0, (2026, 4, 1), 117.0591),
            (37.06, 173.24, 5000.0, (2028, 6, 17), 2.1471),
            (73.37, 34.44, 500.0, (2026, 2, 8), 21.8951),
            (18.83, -138.22, 500.0, (2029, 6, 3), 9.8345),
            (86.87, -14.18, 2400.0, (2028, 10, 6), -1.6913),
            (57.38, -63.32, 5000.0, (2029, 8, 13), -19.8968),
            (33.88, 92.53, 5000.0, (2029, 1, 25), -0.0187),
            (-30.04, 40.19, 500.0, (2027, 4, 18), -31.4069),
            (5.55, -67.66, 2400.0, (2027, 5, 12), -12.9526),
            (-75.56, -127.16, 2400.0, (2029, 5, 19), 64.7782),
            (24.66, -126.58, 2400.0, (2029, 9, 26), 10.4479),
            (15.86, 19.48, 500.0, (2029, 7, 27), 3.0263),
            (-27.88, -91.31, 0.0, (2029, 10, 14), 11.7369),
            (33.35, -105.95, 500.0, (2026, 3, 21), 7.3772),
            (-10.06, 26.21, 500.0, (2027, 9, 1), -1.8853),
            (-72.18, -23.8, 500.0, (2026, 11, 8), -4.9596),
            (41.16, -86.63, 500.0, (2027, 12, 12), -4.8733),
            (-62.2, 160.83, 500.0, (2029, 8, 26), 59.0280),
            (-56.19, 155.29, 500.0, (2026, 11, 14), 36.3624),
            (-32.87, 73.74, 500.0, (2025, 6, 24), -30.2845),
            (38.13, 5.92, 2400.0, (2029, 8, 11), 3.0124),
            (-42.74, -156.0, 500.0, (2027, 12, 17), 25.3395),
            (-8.22, -26.33, 5000.0, (2027, 6, 4), -18.4421),
            (49.65, 165.85, 500.0, (2027, 2, 11), -3.8657),
            (-47.79, -126.85, 500.0, (2029, 11, 3), 28.4557),
            (-70.89, -85.52, 0.0, (2025, 10, 4), 32.6034),
            (55.06, 32.97, 2400.0, (2027, 4, 22), 10.8038),
            (-42.41, -83.14, 0.0, (2028, 9, 19), 15.2852),
            (-11.92, 98.84, 2400.0, (2027, 4, 9), -0.9028),
            (-7.31, 144.8, 0.0, (2027, 1, 25), 4.6171),
            (5.6, 115.51, 5000.0, (2029, 3, 23), -0.7349),
            (68.4, 46.72, 5000.0, (2028, 6, 14), 23.8869),
            (-80.28, -148.05, 2400.0, (2025, 2, 17), 94.1993),
            (-12.93, 15.71, 0.0, (2027, 2, 11), -4.0460),
            (38.66, 150.32, 0.0, (2026, 9, 23), -6.3606),
            (-7.19, -69.37, 2400.0, (2027, 5, 4), -10.9413),
            (31.02, -179.58, 2400.0, (2027, 11, 9), 5.9519),
        ];
        for (latitude, longitude, height_m, (year, month, day), want) in table {
            let date = on(year, month, day);
            let got = found(latitude, longitude, height_m, date).unwrap_or(f64::NAN);
            let miss = (got - want).abs();
            assert!(miss < 1e-4, "{latitude} {longitude} {date}: {got}, {want}");
        }
    }

    /// The model's report puts the north magnetic pole of 2025 at 85.76° N 139.30° E and
    /// the south one at 63.85° S 135.08° E (from memory).
    #[test]
    fn says_nothing_where_or_when_it_cannot() {
        let date = on(2025, 1, 1);
        for (latitude, longitude) in [(85.76, 139.3), (-63.85, 135.08)] {
            assert_eq!(found(latitude, longitude, 0.0, date), None);
            let [latitude, longitude] = [latitude, longitude].map(Angle::from_degrees);
            let (north, east) = level_field_nt(latitude, longitude, 0.0, 0.0);
            assert!(north.hypot(east) < 20.0, "{north} {east}");
        }
        assert_eq!(found(46.0, 8.0, 0.0, on(2024, 12, 31)), None);
        assert!(found(46.0, 8.0, 0.0, on(2029, 12, 31)).is_some());
        assert_eq!(found(46.0, 8.0, 0.0, on(2030, 1, 1)), None);
    }

    /// The zones by their published definition, a horizontal field under 2000 nT and from 2000 to
    /// 6000 nT, with the horizontal field of NCEI's own program (wmm-calculator 1.4.4), nT:
    /// settlements of the Arctic, the coast of Adélie Land, the ice about the north magnetic pole.
    #[test]
    fn a_compass_is_unreliable_about_the_magnetic_poles() {
        let date = on(2027, 6, 1);
        for (latitude, longitude, height_m, level_nt) in [
            (82.5, -62.35, 100.0, 3598.0),
            (74.72, -94.97, 0.0, 3398.2),
            (78.22, 15.65, 0.0, 7222.7),
            (-66.66, 140.0, 0.0, 2296.6),
            (-77.85, 166.67, 0.0, 10_670.3),
            (69.1, -105.0, 0.0, 5562.2),
            (81.6, -16.7, 0.0, 5596.0),
            (70.65, -68.6, 0.0, 6609.2),
            (84.0, 139.0, 0.0, 810.7),
            (-64.0, 137.0, 0.0, 678.4),
        ] {
            let [at, to] = [latitude, longitude].map(Angle::from_degrees);
            let days = f64::from(date.ordinal0()) / 365.0;
            let (north, east) = level_field_nt(at, to, height_m, 2.0 + days);
            let miss = (north.hypot(east) - level_nt).abs();
            assert!(
                miss < 0.2,
                "{latitude} {longitude}: {miss} nT off {level_nt}"
            );
            let found = declination(at, to, height_m, date).expect("a year of the model");
            let right = match found {
                Declination::Usual(_) => level_nt >= 6000.0,
                Declination::Caution(_) => (2000.0..6000.0).contains(&level_nt),
                Declination::Blackout => level_nt < 2000.0,
            };
            assert!(right, "{latitude} {longitude}: {found:?}");
        }
    }

    #[test]
    fn poles_and_odd_heights_are_no_trouble() {
        let date = on(2026, 6, 1);
        // at the south pole, from above, meridians to the east follow clockwise, as bearings do
        let [here, there] = [0.0, 30.0].map(|at| found(-90.0, at, 0.0, date).unwrap_or(f64::NAN));
        assert!((there - here + 30.0).abs() < 1e-6, "{here} {there}");
        for height_m in [f64::NAN, f64::INFINITY, -1e300] {
            assert!(found(36.0, -112.0, height_m, date).is_some_and(f64::is_finite));
        }
        let round = [-180.0, 180.0].map(|at| found(10.0, at, 0.0, date).unwrap_or(f64::NAN));
        assert!((round[0] - round[1]).abs() < 1e-9, "{round:?}");
    }
}
