//! Local time at the site, with its offset, through one night.
//!
//! All computations are in universal time; local time is for display only. The time zone database
//! (the browser's, or another in tests) is behind [`TimeZones`].

use chrono::{DateTime, Datelike, NaiveDate, Timelike, Utc};

use crate::outing::plan::site::Zone;
use crate::sky::moment::Moment;

/// A time zone database.
pub trait TimeZones {
    /// Minutes ahead of UTC at an instant; `None` for an unknown zone.
    fn offset_min(&self, zone: &str, instant: DateTime<Utc>) -> Option<i32>;
}

/// Local time of a site through one night.
#[derive(Debug, Clone, PartialEq)]
pub struct NightClock {
    /// Minutes ahead of UTC when the night begins.
    pub offset_min: i32,
    /// The change of the offset within the night: when, and to how many minutes.
    pub change: Option<(Moment, i32)>,
    /// Whether the zone is unknown, so that UTC is used.
    pub unknown: bool,
}

/// A local date and time.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Local {
    /// Date.
    pub date: NaiveDate,
    /// Hour, 0 to 23.
    pub hour: u32,
    /// Minute, 0 to 59.
    pub minute: u32,
    /// Minutes ahead of UTC.
    pub offset_min: i32,
}

/// How a moment is rounded to the minute. Each event has one way, so that it has one time
/// everywhere.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Rounding {
    /// To the next minute: of what begins usable time, such as dusk, moonset, the core's rising.
    Opening,
    /// To the minute before: of what ends it, such as dawn, moonrise, the core's setting.
    Closing,
    /// To the nearest minute: of a moment that limits nothing.
    Nearest,
}

impl Rounding {
    /// Of a crossing of a horizon or an altitude: by `light`, of Sun and Moon, whose rising ends
    /// usable time; else of the subject, whose rising begins it.
    pub const fn of_crossing(light: bool, up: bool) -> Self {
        if light == up {
            Self::Closing
        } else {
            Self::Opening
        }
    }
}

/// The minute of an event, in whole minutes since 1970 began, UTC. Offsets from UTC are whole
/// minutes, so that it is a whole minute of every clock.
///
/// A moment within a millisecond of a whole minute is that minute: the times of events are no better.
pub fn event_minute(moment: Moment, rounding: Rounding) -> i64 {
    let ahead_ms = match rounding {
        Rounding::Opening => 59_998,
        Rounding::Closing => 1,
        Rounding::Nearest => 30_000,
    };
    let ms = moment.instant().timestamp_millis();
    (ms + ahead_ms).div_euclid(60_000)
}

/// The instant of a minute since 1970 began.
pub fn minute_instant(minute: i64) -> DateTime<Utc> {
    DateTime::from_timestamp(minute.saturating_mul(60), 0).unwrap_or_default()
}

impl NightClock {
    /// The clock of a zone over the day from a moment.
    pub fn new(zone: &Zone, start: Moment, clocks: &dyn TimeZones) -> Self {
        let name = match zone {
            Zone::Fixed(offset_min) => {
                return Self {
                    offset_min: *offset_min,
                    change: None,
                    unknown: false,
                };
            }
            Zone::Named(name) => name,
        };
        let at = |days: f64| clocks.offset_min(name, start.plus_days(days).instant());
        let (Some(before), Some(after)) = (at(0.0), at(1.0)) else {
            return Self {
                offset_min: 0,
                change: None,
                unknown: true,
            };
        };
        let change = (before != after).then(|| {
            // bisected to a twentieth of a second
            let (mut low, mut high) = (0.0, 1.0);
            for _ in 0..21 {
                let middle = (low + high) / 2.0;
                if at(middle) == Some(before) {
                    low = middle;
                } else {
                    high = middle;
                }
            }
            (start.plus_days(high), after)
        });
        Self {
            offset_min: before,
            change,
            unknown: false,
        }
    }

    /// Minutes ahead of UTC at a moment.
    pub fn offset_at(&self, moment: Moment) -> i32 {
        match self.change {
            Some((when, after)) if moment >= when => after,
            _ => self.offset_min,
        }
    }

    /// The local time of a moment, to the nearest minute.
    pub fn local(&self, moment: Moment) -> Local {
        self.event(moment, Rounding::Nearest)
    }

    /// The local time of an event.
    pub fn event(&self, moment: Moment, rounding: Rounding) -> Local {
        let offset_min = self.offset_at(moment);
        let there = minute_instant(event_minute(moment, rounding) + i64::from(offset_min));
        Local {
            date: there.date_naive(),
            hour: there.hour(),
            minute: there.minute(),
            offset_min,
        }
    }
}

/// Reads a date such as `2026-06-14`.
pub fn read_date(text: &str) -> Result<NaiveDate, String> {
    let message = || "type a date such as 2026-06-14".to_owned();
    let mut parts = text.trim().splitn(3, '-');
    let mut next = |digits: usize| {
        let part = parts
            .next()
            .filter(|part| part.len() <= digits && !part.is_empty())?;
        part.bytes().try_fold(0_u32, |sum, digit| {
            digit
                .is_ascii_digit()
                .then(|| sum * 10 + u32::from(digit - b'0'))
        })
    };
    let (year, month, day) = (next(4), next(2), next(2));
    let date = year.zip(month).zip(day);
    let date = date.and_then(|((year, month), day)| {
        NaiveDate::from_ymd_opt(i32::try_from(year).ok()?, month, day)
    });
    let date = date.ok_or_else(message)?;
    if crate::sky::moment::YEARS.contains(&date.year()) {
        Ok(date)
    } else {
        Err("the years from 1950 to 2100 are worked out here".to_owned())
    }
}

/// Writes a date as `2026-06-14`.
pub fn format_date(date: NaiveDate) -> String {
    format!("{:04}-{:02}-{:02}", date.year(), date.month(), date.day())
}

#[cfg(test)]
mod tests {
    use super::*;
    use chrono::TimeZone;

    /// A zone that changes by an hour at one instant.
    struct Summer(DateTime<Utc>);

    impl TimeZones for Summer {
        fn offset_min(&self, zone: &str, instant: DateTime<Utc>) -> Option<i32> {
            (zone == "Test/Summer").then(|| if instant < self.0 { 60 } else { 120 })
        }
    }

    #[test]
    fn a_change_inside_the_night_is_found_to_the_second() {
        let change = Utc.with_ymd_and_hms(2039, 3, 27, 1, 0, 0).unwrap();
        let start = Moment::from_utc(Utc.with_ymd_and_hms(2039, 3, 26, 11, 20, 21).unwrap());
        let zone = Zone::Named("Test/Summer".to_owned());
        let clock = NightClock::new(&zone, start, &Summer(change));
        let (when, after) = clock.change.expect("a change");
        assert!(when.since_s(Moment::from_utc(change)).abs() < 0.1);
        assert_eq!((clock.offset_min, after), (60, 120));
        let minute = |seconds: i64| {
            let moment = Moment::from_utc(change + chrono::Duration::seconds(seconds));
            let local = clock.local(moment);
            (local.hour, local.minute, local.offset_min)
        };
        assert_eq!(minute(-60), (1, 59, 60));
        assert_eq!(minute(1), (3, 0, 120));
        assert!(NightClock::new(&Zone::Named("X/Y".into()), start, &Summer(change)).unknown);
    }

    /// Dusk at 23:44:20 is written 23:45 and dawn then 23:44, whole minutes are kept, and the
    /// distance from the moment is under a minute.
    #[test]
    fn an_event_is_rounded_the_safe_way() {
        let start = Utc.with_ymd_and_hms(2027, 6, 4, 23, 44, 0).unwrap();
        let clock = NightClock {
            offset_min: -210,
            change: None,
            unknown: false,
        };
        let minute = |ms: i64, rounding| {
            let moment = Moment::from_utc(start + chrono::Duration::milliseconds(ms));
            let local = clock.event(moment, rounding);
            assert_eq!((local.hour, local.offset_min), (20, -210));
            local.minute
        };
        for (ms, opening, closing, nearest) in [
            (0, 14, 14, 14),
            (20_000, 15, 14, 14),
            (40_000, 15, 14, 15),
            (59_998, 15, 14, 15),
            (60_000, 15, 15, 15),
        ] {
            assert_eq!(minute(ms, Rounding::Opening), opening, "{ms}");
            assert_eq!(minute(ms, Rounding::Closing), closing, "{ms}");
            assert_eq!(minute(ms, Rounding::Nearest), nearest, "{ms}");
        }
        for (light, up, want) in [
            (true, true, Rounding::Closing),
            (true, false, Rounding::Opening),
            (false, true, Rounding::Opening),
            (false, false, Rounding::Closing),
        ] {
            assert_eq!(Rounding::of_crossing(light, up), want);
        }
    }

    #[test]
    fn dates_are_read_and_written() {
        let date = read_date(" 2026-06-04 ").expect("a date");
        assert_eq!(format_date(date), "2026-06-04");
        assert_eq!(read_date("2026-6-4"), Ok(date));
        for text in [
            "",
            "2026",
            "2026-13-01",
            "2026-02-30",
            "1949-12-31",
            "2101-01-01",
            "x-y-z",
            "99999-1-1",
            "2026-06-04-1",
            "2026-+6-04",
        ] {
            assert!(read_date(text).is_err(), "{text:?}");
        }
    }
}
