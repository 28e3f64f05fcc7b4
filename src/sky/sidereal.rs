//! Sidereal time and ecliptic longitude, as almanacs print them.

use sofars::erst::{ee00b, era00, gmst00, gmst06};
use sofars::pnp::nut00b;

use crate::angle::Angle;
use crate::sky::moment::{J2000_JD, Moment};
use crate::vector::Vector;

/// Mean sidereal time at Greenwich, 0 to under 360°; UTC is taken as UT1.
///
/// Source: the IAU's routine `gmst06` (IAU 2006 precession).
///
/// ```text
/// 1987-04-10 19:21 UT  →  128.737 873° (8h 34m 57.09s)
/// ```
pub fn mean(moment: Moment) -> Angle {
    let (ut, tt) = (moment.days(), moment.tt_days());
    Angle::from_radians(gmst06(J2000_JD, ut, J2000_JD, tt))
}

/// Apparent sidereal time at Greenwich: with nutation (IAU 2000B).
pub fn apparent(moment: Moment) -> Angle {
    let equation = ee00b(J2000_JD, moment.tt_days());
    Angle::from_radians(mean(moment).radians() + equation)
}

/// Ecliptic longitude of a direction along the axes of
/// [`crate::sky::positions::SolarSystemPositions`], referred to the true equinox, 0 to under 360°.
pub fn ecliptic_longitude(direction: Vector, moment: Moment) -> Angle {
    let (ut, tt) = (moment.days(), moment.tt_days());
    let (dpsi, deps) = nut00b(J2000_JD, tt);
    let obliquity = sofars::pnp::obl06(J2000_JD, tt) + deps;
    let mean = gmst00(J2000_JD, ut, J2000_JD, tt);
    let equinox = mean - era00(J2000_JD, ut) + dpsi * obliquity.cos();
    let (sin, cos) = equinox.sin_cos();
    let x = cos * direction.x - sin * direction.y;
    let y = sin * direction.x + cos * direction.y;
    let in_ecliptic = y * obliquity.cos() + direction.z * obliquity.sin();
    let longitude = in_ecliptic.atan2(x).rem_euclid(std::f64::consts::TAU);
    Angle::from_radians(longitude)
}

#[cfg(test)]
mod tests {
    use super::*;
    use chrono::{TimeZone, Utc};

    /// J. Meeus, *Astronomical Algorithms*, 2nd ed. 1998, ex. 12.b and 12.a:
    /// mean sidereal time 1987-04-10 19h21m UT is 8h34m57.0896s; apparent at 0h
    /// 13h10m46.1351s. The book's expression is of 1982; the one of 2006 differs
    /// from it by some milliseconds.
    #[test]
    fn agrees_with_the_worked_examples() {
        let at = |hour, minute| {
            let instant = Utc.with_ymd_and_hms(1987, 4, 10, hour, minute, 0);
            Moment::from_utc(instant.single().expect("a time of day"))
        };
        let seconds =
            |hours: f64, minutes: f64, seconds: f64| hours * 3600.0 + minutes * 60.0 + seconds;
        let got = mean(at(19, 21)).degrees() * 240.0;
        let want = seconds(8.0, 34.0, 57.0896);
        assert!((got - want).abs() < 5e-3, "{got} s, want {want}");
        let got = apparent(at(0, 0)).degrees() * 240.0;
        let want = seconds(13.0, 10.0, 46.1351);
        assert!((got - want).abs() < 5e-3, "{got} s, want {want}");
    }
}
