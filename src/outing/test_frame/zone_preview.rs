//! Where a camera would have pointed if its clock showed the time of one zone or another: a look at both
//! tells which it was.

use chrono::DateTime;

use super::measured::middle_ms;
use super::report::FrameReport;
use crate::angle::Angle;
use crate::sky::altitude::Air;
use crate::sky::celestial_to_horizontal::{horizontal, refract};
use crate::sky::moment::Moment;
use crate::sky::observer::{GeoPosition, Observer};
use crate::vector::Vector;

/// True bearing and apparent altitude of the picture's middle, had the clock been ahead of UTC by so many
/// seconds; `None` where the stars are not identified or the file has no time.
///
/// Good to a tenth of a degree: the middle was found without regard to how air shrinks the sky about it.
/// A negative altitude shows that the clock cannot have been in that zone.
pub fn aim_if_ahead(
    report: &FrameReport,
    site: GeoPosition,
    ahead_s: f64,
) -> Option<(Angle, Angle)> {
    let (right_ascension, declination) = report.solution.ok()?.middle?;
    let ahead_ms = (1000.0 * ahead_s).round() as i64;
    let start_ms = report.notes.taken_ms?.checked_sub(ahead_ms)?;
    let middle = DateTime::from_timestamp_millis(middle_ms(start_ms, report.notes.exposure_s))?;
    let star = Vector::from_spherical(right_ascension, declination);
    let sky = Observer::at(site).celestial_to_horizontal(Moment::from_utc(middle));
    let seen = horizontal(refract(Air::at_height(site.height_m), sky.apply(star)));
    Some((seen.bearing, seen.altitude.0))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::outing::test_frame::offers::tests::good;
    use crate::outing::test_frame::report::CameraNotes;

    const SITE: GeoPosition = GeoPosition {
        latitude: Angle::from_degrees(40.0),
        longitude: Angle::ZERO,
        height_m: 0.0,
    };

    fn at_noon(ahead_s: f64) -> Option<(f64, f64)> {
        let report = FrameReport {
            notes: CameraNotes {
                // 2026-06-21 00:00:00 by the clock: sidereal time 269.21° (Meeus, Astronomical
                // Algorithms, 12.4), 2.4° past the core's right ascension of the date
                taken_ms: Some(1_782_000_000_000),
                ..CameraNotes::default()
            },
            ..good()
        };
        let (bearing, altitude) = aim_if_ahead(&report, SITE, ahead_s)?;
        Some((bearing.degrees(), altitude.degrees()))
    }

    /// The core past the meridian, 90° − 40° − 29.0° high, at 182.25° by Meeus, 13.5; an hour earlier it is
    /// 14° to the east.
    #[test]
    fn a_zone_turns_the_aim() {
        let (bearing, altitude) = at_noon(0.0).expect("a direction");
        assert!((bearing - 182.25).abs() < 0.1, "{bearing}°");
        assert!((altitude - 21.0).abs() < 0.1, "{altitude}°");
        let (earlier, _) = at_noon(3600.0).expect("a direction");
        assert!((bearing - earlier - 14.0).abs() < 1.0, "{earlier}°");
        let without = FrameReport {
            notes: CameraNotes::default(),
            ..good()
        };
        assert_eq!(aim_if_ahead(&without, SITE, 0.0), None);
    }
}
