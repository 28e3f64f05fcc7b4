//! Where a star stands, and when it crosses a line, by formulas of this test's own.
//!
//! Source: J. Meeus, *Astronomical Algorithms*, 2nd ed. 1998: sidereal time (12.4), precession (21.2 to
//! 21.4), horizontal coordinates (13.5 and 13.6), refraction (16.4). Nutation, aberration and UT1 − UTC are
//! left out: together under half a minute of arc.

use chrono::{DateTime, TimeDelta, Utc};

/// Seconds between the samples among which a crossing is looked for.
const STEP_S: i64 = 20;

/// A star over a site.
#[derive(Debug, Clone, Copy)]
pub struct Star {
    /// Right ascension and declination, J2000, degrees.
    pub j2000: (f64, f64),
    /// Latitude and longitude (east positive), degrees, and the height, m.
    pub site: (f64, f64, f64),
}

/// Days of UTC since 2000 January 1.5.
fn days(utc: DateTime<Utc>) -> f64 {
    utc.timestamp_millis() as f64 / 86_400_000.0 - 10_957.5
}

/// Right ascension and declination of the date, radians.
fn precessed((ra_deg, dec_deg): (f64, f64), days: f64) -> (f64, f64) {
    let t = days / 36_525.0;
    let arcsec = |value: f64| (value / 3600.0).to_radians();
    let zeta = arcsec(2306.2181 * t + 0.30188 * t * t + 0.017998 * t.powi(3));
    let z = arcsec(2306.2181 * t + 1.09468 * t * t + 0.018203 * t.powi(3));
    let theta = arcsec(2004.3109 * t - 0.42665 * t * t - 0.041833 * t.powi(3));
    let (ra, dec) = (ra_deg.to_radians() + zeta, dec_deg.to_radians());
    let a = dec.cos() * ra.sin();
    let b = theta.cos() * dec.cos() * ra.cos() - theta.sin() * dec.sin();
    let c = theta.sin() * dec.cos() * ra.cos() + theta.cos() * dec.sin();
    (a.atan2(b) + z, c.asin())
}

/// Refraction of a true altitude at a height above the sea, degrees.
fn refraction_deg(altitude_deg: f64, height_m: f64) -> f64 {
    // the standard atmosphere, ISO 2533
    let pressure_hpa = 1013.25 * (1.0 - 2.25577e-5 * height_m).powf(5.25588);
    let kelvin = 288.15 - 0.0065 * height_m;
    let minutes = 1.02
        / (altitude_deg + 10.3 / (altitude_deg + 5.11))
            .to_radians()
            .tan();
    minutes / 60.0 * pressure_hpa / 1010.0 * 283.0 / kelvin
}

impl Star {
    /// Bearing and apparent altitude, degrees.
    pub fn seen(&self, utc: DateTime<Utc>) -> (f64, f64) {
        let days = days(utc);
        let (ra, dec) = precessed(self.j2000, days);
        let (lat_deg, lon_deg, height_m) = self.site;
        let sidereal_deg = 280.460_618_37 + 360.985_647_366_29 * days;
        let hour_angle = (sidereal_deg + lon_deg).to_radians() - ra;
        let lat = lat_deg.to_radians();
        let altitude = lat.sin() * dec.sin() + lat.cos() * dec.cos() * hour_angle.cos();
        let altitude_deg = altitude.asin().to_degrees();
        let south = hour_angle.cos() * lat.sin() - dec.tan() * lat.cos();
        let bearing_deg = hour_angle.sin().atan2(south).to_degrees() + 180.0;
        (
            bearing_deg.rem_euclid(360.0),
            altitude_deg + refraction_deg(altitude_deg, height_m),
        )
    }

    /// The first moment after another at which the star rises above a line of heights by bearing, or
    /// sets behind it, within half a day.
    pub fn crossing(
        &self,
        after: DateTime<Utc>,
        rises: bool,
        line_deg: &dyn Fn(f64) -> f64,
    ) -> Option<DateTime<Utc>> {
        let above = |utc: DateTime<Utc>| {
            let (bearing, altitude) = self.seen(utc);
            altitude > line_deg(bearing)
        };
        let step = TimeDelta::seconds(STEP_S);
        let mut before = above(after);
        let mut utc = after;
        for _ in 0..43_200 / STEP_S {
            utc += step;
            let now = above(utc);
            if now == rises && before != rises {
                return Some(utc - step / 2);
            }
            before = now;
        }
        None
    }
}
