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
        let offset_min = self.offset_at(moment);
        let there = moment.plus_s(f64::from(offset_min) * 60.0 + 30.0).instant();
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
