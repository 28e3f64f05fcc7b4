//! Moments: UTC for the Earth's rotation, terrestrial time for Sun and Moon.
//!
//! A [`Moment`] is an instant of UTC. The Earth's rotation is computed as if UTC were UT1, which
//! errs by at most 0.9 s; a known difference can be given to the
//! [`crate::sky::observer::Observer`]. Sun and Moon are computed in terrestrial time, which is
//! ahead of UTC by 32.184 s and TAI − UTC.

use chrono::{DateTime, Utc};

/// Seconds in a day.
pub const DAY_S: f64 = 86_400.0;

/// The epoch J2000.0, 2000-01-01 12:00, as a Julian date.
pub const J2000_JD: f64 = 2_451_545.0;

/// The same in seconds since 1970-01-01 00:00 UTC.
const J2000_UNIX_S: f64 = 946_728_000.0;

/// TT − TAI, s; exact by definition (IAU 1991, A4).
const TT_MINUS_TAI_S: f64 = 32.184;

/// First and last year supported.
///
/// The series for the Moon were compared with a numerical ephemeris over these
/// years (notes to the routine `moon98` of the IAU's collection).
pub const YEARS: std::ops::RangeInclusive<i32> = 1950..=2100;

/// TAI − UTC, s, by the first day (counted from J2000.0) of each value. Source: IERS Bulletin C, up
/// to number 72; no leap second is announced after the last row.
const LEAP_SECONDS: [(f64, f64); 28] = [
    (-10_227.5, 10.0), // 1972-01-01
    (-10_045.5, 11.0), // 1972-07-01
    (-9_861.5, 12.0),  // 1973-01-01
    (-9_496.5, 13.0),  // 1974-01-01
    (-9_131.5, 14.0),  // 1975-01-01
    (-8_766.5, 15.0),  // 1976-01-01
    (-8_400.5, 16.0),  // 1977-01-01
    (-8_035.5, 17.0),  // 1978-01-01
    (-7_670.5, 18.0),  // 1979-01-01
    (-7_305.5, 19.0),  // 1980-01-01
    (-6_758.5, 20.0),  // 1981-07-01
    (-6_393.5, 21.0),  // 1982-07-01
    (-6_028.5, 22.0),  // 1983-07-01
    (-5_297.5, 23.0),  // 1985-07-01
    (-4_383.5, 24.0),  // 1988-01-01
    (-3_652.5, 25.0),  // 1990-01-01
    (-3_287.5, 26.0),  // 1991-01-01
    (-2_740.5, 27.0),  // 1992-07-01
    (-2_375.5, 28.0),  // 1993-07-01
    (-2_010.5, 29.0),  // 1994-07-01
    (-1_461.5, 30.0),  // 1996-01-01
    (-914.5, 31.0),    // 1997-07-01
    (-365.5, 32.0),    // 1999-01-01
    (2_191.5, 33.0),   // 2006-01-01
    (3_287.5, 34.0),   // 2009-01-01
    (4_564.5, 35.0),   // 2012-07-01
    (5_659.5, 36.0),   // 2015-07-01
    (6_209.5, 37.0),   // 2017-01-01
];

/// An instant, as days of UTC since 2000-01-01 12:00.
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd)]
pub struct Moment(f64);

impl Moment {
    /// From days of UTC since 2000-01-01 12:00.
    pub const fn from_days(days: f64) -> Self {
        Self(days)
    }

    /// The moment of an instant, to a microsecond.
    pub fn from_utc(instant: DateTime<Utc>) -> Self {
        let seconds = instant.timestamp() as f64 - J2000_UNIX_S;
        let part = f64::from(instant.timestamp_subsec_nanos()) * 1e-9;
        Self((seconds + part) / DAY_S)
    }

    /// The instant, to a millisecond; 1970 for a moment outside the calendar.
    pub fn instant(self) -> DateTime<Utc> {
        let milliseconds = ((self.0 * DAY_S + J2000_UNIX_S) * 1000.0).round();
        DateTime::from_timestamp_millis(milliseconds as i64).unwrap_or_default()
    }

    /// Days of UTC since J2000.0.
    pub const fn days(self) -> f64 {
        self.0
    }

    /// Later by `days`.
    pub const fn plus_days(self, days: f64) -> Self {
        Self(self.0 + days)
    }

    /// Later by `seconds`.
    pub const fn plus_s(self, seconds: f64) -> Self {
        Self(self.0 + seconds / DAY_S)
    }

    /// Seconds since another moment.
    pub const fn since_s(self, other: Self) -> f64 {
        (self.0 - other.0) * DAY_S
    }

    /// TT − UTC, s.
    ///
    /// From the leap seconds since 1972. Before that TT − UT1 is used instead, by the polynomials
    /// of F. Espenak & J. Meeus, *Five Millennium Canon of Solar Eclipses*, NASA TP-2006-214141
    /// (from memory), good to about a second.
    ///
    /// ```text
    /// 2026-11-25  →  69.184 s
    /// ```
    pub fn tt_minus_utc_s(self) -> f64 {
        let leap = LEAP_SECONDS.iter().rev().find(|(from, _)| self.0 >= *from);
        match leap {
            Some((_, seconds)) => seconds + TT_MINUS_TAI_S,
            None => {
                let year = 2000.0 + self.0 / 365.25;
                if year < 1961.0 {
                    let t = year - 1950.0;
                    29.07 + 0.407 * t - t * t / 233.0 + t * t * t / 2547.0
                } else {
                    let t = year - 1975.0;
                    45.45 + 1.067 * t - t * t / 260.0 - t * t * t / 718.0
                }
            }
        }
    }

    /// Terrestrial time, days since J2000.0.
    pub fn tt_days(self) -> f64 {
        self.0 + self.tt_minus_utc_s() / DAY_S
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use chrono::{NaiveDate, TimeZone};

    fn at(year: i32, month: u32, day: u32) -> Moment {
        Moment::from_utc(Utc.with_ymd_and_hms(year, month, day, 0, 0, 0).unwrap())
    }

    #[test]
    fn an_instant_comes_back() {
        for (year, want) in [(2000, -0.5), (1950, -18_262.5), (2100, 36_524.5)] {
            let moment = at(year, 1, 1);
            assert_eq!(moment.days(), want, "{year}");
            let day = NaiveDate::from_ymd_opt(year, 1, 1);
            assert_eq!(Some(moment.instant().date_naive()), day);
        }
    }

    /// ERFA's own test of `eraDat`: 32 s on 2003-06-01, 33 s on 2008-01-17 and
    /// 37 s on 2017-09-01; and every row of the table against its date.
    #[test]
    fn leap_seconds_stand_where_the_bulletins_put_them() {
        let table = [
            (1972, 1, 1, 10.0),
            (1972, 7, 1, 11.0),
            (1973, 1, 1, 12.0),
            (1979, 12, 31, 18.0),
            (1980, 1, 1, 19.0),
            (1981, 7, 1, 20.0),
            (1985, 7, 1, 23.0),
            (1988, 1, 1, 24.0),
            (1990, 1, 1, 25.0),
            (1991, 1, 1, 26.0),
            (1992, 7, 1, 27.0),
            (1996, 1, 1, 30.0),
            (1997, 7, 1, 31.0),
            (1999, 1, 1, 32.0),
            (2003, 6, 1, 32.0),
            (2005, 12, 31, 32.0),
            (2006, 1, 1, 33.0),
            (2008, 1, 17, 33.0),
            (2009, 1, 1, 34.0),
            (2012, 7, 1, 35.0),
            (2015, 7, 1, 36.0),
            (2016, 12, 31, 36.0),
            (2017, 9, 1, 37.0),
            (2099, 1, 1, 37.0),
        ];
        for (year, month, day, want) in table {
            let got = at(year, month, day).tt_minus_utc_s() - TT_MINUS_TAI_S;
            assert!((got - want).abs() < 1e-9, "{year}-{month}-{day}: {got}");
        }
    }

    /// Espenak & Meeus' own table of ΔT: 29.1 s in 1950, 33.1 s in 1960, 40.2 s
    /// in 1970 (from memory); and no step where the rules change.
    #[test]
    fn before_leap_seconds_the_clock_is_smooth() {
        for (year, want) in [(1950, 29.1), (1960, 33.1), (1970, 40.2)] {
            let got = at(year, 1, 1).tt_minus_utc_s();
            assert!((got - want).abs() < 0.3, "{year}: {got}");
        }
        let step = at(1972, 1, 1).tt_minus_utc_s() - at(1971, 12, 31).tt_minus_utc_s();
        assert!(step.abs() < 0.5, "{step}");
    }
}
