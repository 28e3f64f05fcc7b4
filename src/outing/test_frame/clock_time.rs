//! When the shutter opened, from a camera's clock.
//!
//! A camera writes its own clock into a file, and some write how far it is from UTC. Where they do
//! not, the zone is never assumed: it was measured with the [code](super::clock_code), or the
//! photographer says it.

use chrono::{DateTime, NaiveDateTime};

use super::report::{CameraNotes, FramePriors, TimeSource};
use crate::outing::night::local_time::TimeZones;
use crate::outing::plan::site::Zone;

/// Offsets of clocks from UTC are multiples of this, s.
const ZONE_STEP_S: f64 = 900.0;

/// A clock's time as milliseconds since 1970 began by the same clock.
pub fn clock_ms(local: NaiveDateTime) -> i64 {
    local.and_utc().timestamp_millis()
}

/// What a clock that was measured is ahead of the right time of its zone, s: what is left over of
/// quarters of an hour.
///
/// ```
/// use tarnlight::outing::test_frame::clock_time::error_s;
/// assert_eq!(error_s(7213.0), 13.0);
/// assert_eq!(error_s(-3600.0 - 20.0), -20.0);
/// ```
pub fn error_s(ahead_s: f64) -> f64 {
    ahead_s - (ahead_s / ZONE_STEP_S).round() * ZONE_STEP_S
}

/// What a zone's clocks are ahead of UTC, s, when they show a time; `None` for an unknown zone.
///
/// Of a time that they show twice, in the hour after summer time, one of the two.
pub fn zone_ahead_s(zone: &Zone, clock_ms: i64, zones: &dyn TimeZones) -> Option<f64> {
    const MINUTE_MS: i64 = 60_000;
    let name = match zone {
        Zone::Fixed(minutes) => return Some(60.0 * f64::from(*minutes)),
        Zone::Named(name) => name,
    };
    // the offset at the instant that follows from the offset: settled after two rounds
    let mut offset_min = 0;
    for _ in 0..2 {
        let instant_ms = clock_ms.checked_sub(MINUTE_MS * i64::from(offset_min))?;
        offset_min = zones.offset_min(name, DateTime::from_timestamp_millis(instant_ms)?)?;
    }
    Some(60.0 * f64::from(offset_min))
}

/// The moment when the shutter opened, ms since 1970, UTC, and how it is known.
///
/// What the photographer says of this picture goes first; then the file's own offset, which knows of
/// journeys and summer time, less the clock's measured error; then the clock as it was measured.
pub fn start(notes: &CameraNotes, priors: &FramePriors) -> (TimeSource, Option<i64>) {
    let Some(taken_ms) = notes.taken_ms else {
        return (TimeSource::None, None);
    };
    let (source, ahead_s) = match (priors.said_ahead_s, notes.offset_min, priors.clock_ahead_s) {
        (Some(ahead_s), ..) => (TimeSource::Said, ahead_s),
        (_, Some(offset_min), Some(ahead_s)) => (
            TimeSource::FileCorrected,
            60.0 * f64::from(offset_min) + error_s(ahead_s),
        ),
        (_, Some(offset_min), None) => (TimeSource::File, 60.0 * f64::from(offset_min)),
        (_, None, Some(ahead_s)) => (TimeSource::Measured, ahead_s),
        (_, None, None) => return (TimeSource::UnknownZone, None),
    };
    let ahead_ms = (1000.0 * ahead_s).round() as i64;
    (source, taken_ms.checked_sub(ahead_ms))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::outing::test_frame::measured::tests::FULL_FRAME;

    /// First principles: what is ahead is taken off, and a zone is never made up.
    #[test]
    fn a_zone_is_never_assumed() {
        let taken_ms = Some(1_000_000_000_000);
        let table = [
            // by the file, min; measured, s; said, s; from where; seconds taken off
            (None, None, None, TimeSource::UnknownZone, None),
            (Some(120), None, None, TimeSource::File, Some(7200)),
            (
                Some(120),
                Some(3613.0),
                None,
                TimeSource::FileCorrected,
                Some(7213),
            ),
            (None, Some(3613.0), None, TimeSource::Measured, Some(3613)),
            (
                Some(120),
                Some(3613.0),
                Some(0.0),
                TimeSource::Said,
                Some(0),
            ),
        ];
        for (offset_min, clock_ahead_s, said_ahead_s, source, off_s) in table {
            let notes = CameraNotes {
                taken_ms,
                offset_min,
                ..CameraNotes::default()
            };
            let priors = FramePriors {
                clock_ahead_s,
                said_ahead_s,
                ..FULL_FRAME
            };
            let want = off_s.map(|off_s| 1_000_000_000_000 - 1000 * off_s);
            assert_eq!(start(&notes, &priors), (source, want), "{offset_min:?}");
            let without = CameraNotes {
                taken_ms: None,
                ..notes
            };
            assert_eq!(start(&without, &priors), (TimeSource::None, None));
        }
    }

    /// A zone an hour ahead in summer, from an instant on.
    struct Summer(i64);

    impl TimeZones for Summer {
        fn offset_min(&self, zone: &str, instant: DateTime<chrono::Utc>) -> Option<i32> {
            let later = instant.timestamp_millis() >= self.0;
            (zone == "Test/Summer").then_some(if later { 120 } else { 60 })
        }
    }

    #[test]
    fn a_zone_is_that_of_the_time_shown() {
        const HOUR_MS: i64 = 3_600_000;
        let zones = Summer(1000 * HOUR_MS);
        let named = Zone::Named("Test/Summer".to_owned());
        // clocks go from 1001 to 1002 h
        for (shown_h, want_s) in [(1000, 3600.0), (1003, 7200.0)] {
            let ahead_s = zone_ahead_s(&named, shown_h * HOUR_MS, &zones);
            assert_eq!(ahead_s, Some(want_s), "{shown_h} h");
        }
        assert_eq!(zone_ahead_s(&Zone::Fixed(-90), 0, &zones), Some(-5400.0));
        let unknown = Zone::Named("Test/Winter".to_owned());
        assert_eq!(zone_ahead_s(&unknown, 0, &zones), None);
    }
}
