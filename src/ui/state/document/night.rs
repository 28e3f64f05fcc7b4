//! Edits of the night, the minute looked at and the limits of a shot window.

use chrono::{DateTime, Datelike, NaiveDate, Utc};

use crate::angle::Angle;
use crate::outing::night::local_time::minute_instant;
use crate::outing::plan::limits::{DarknessLimit, MoonLimit};
use crate::outing::plan::{NIGHT_MIN, Outing};
use crate::sky::moment::{Moment, YEARS};
use crate::sky::night::{date_of, noon};
use crate::sky::subject::Subject;

/// An edit of the night.
#[derive(Debug, Clone)]
pub enum NightEdit {
    /// A night, by the date of its noon. Dates outside the years covered change nothing.
    Date(NaiveDate),
    /// The coming night.
    Tonight,
    /// A minute of a night, counted from its noon.
    Minute(NaiveDate, u16),
    /// The present moment.
    Now(DateTime<Utc>),
    /// What the night is planned about. Minute and aim that were chosen for another are dropped.
    Subject(Subject),
    /// How far the Sun must be down.
    Darkness(DarknessLimit),
    /// How high the subject must stand.
    LeastHeight(Angle),
    /// How much moonlight is put up with.
    Moon(MoonLimit),
}

impl NightEdit {
    /// Applies the edit.
    pub(super) fn apply(self, outing: &mut Outing) {
        let limits = &mut outing.limits;
        match self {
            Self::Date(date) => {
                if YEARS.contains(&date.year()) {
                    (outing.night, outing.minute) = (Some(date), None);
                }
            }
            Self::Tonight => (outing.night, outing.minute) = (None, None),
            Self::Minute(date, minute) => {
                (outing.night, outing.minute) = (Some(date), Some(minute.min(NIGHT_MIN - 1)));
            }
            Self::Now(now) => {
                // the night that holds the minute, which from sunrise to noon is not tonight
                let (date, minute) = present_minute(now, outing.site.longitude);
                (outing.night, outing.minute) = (Some(date), Some(minute));
            }
            Self::Subject(subject) => {
                if outing.subject != subject {
                    outing.subject = subject;
                    (outing.minute, outing.frame) = (None, None);
                }
            }
            Self::Darkness(darkness) => limits.darkness = darkness,
            Self::LeastHeight(least) => limits.least_core = least,
            Self::Moon(moon) => limits.moon = moon,
        }
    }
}

/// The night that holds an instant at a longitude, and the minute of it that is written as the
/// clock's own, which shows whole minutes that have begun. The night's minutes do not begin with
/// those of the clock. Of an instant outside the years covered, as a camera without a date has it,
/// the first or last night that is covered.
pub fn present_minute(now: DateTime<Utc>, longitude: Angle) -> (NaiveDate, u16) {
    // two thirds of a millisecond, in minutes: of two that are as near, the one before
    const TIE_MIN: f64 = 1e-5;
    let date = covered(date_of(now, longitude));
    let clock = minute_instant(now.timestamp().div_euclid(60));
    let minutes = Moment::from_utc(clock).since_s(noon(date, longitude)) / 60.0;
    let nearest = (minutes - 0.5 - TIE_MIN).ceil();
    (date, nearest.clamp(0.0, f64::from(NIGHT_MIN - 1)) as u16)
}

/// The date, or the nearest of the years covered.
fn covered(date: NaiveDate) -> NaiveDate {
    let first = NaiveDate::from_ymd_opt(*YEARS.start(), 1, 1).unwrap_or(date);
    let last = NaiveDate::from_ymd_opt(*YEARS.end(), 12, 31).unwrap_or(date);
    date.clamp(first, last)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::outing::night::local_time::{NightClock, Rounding, event_minute};

    #[test]
    fn a_clock_without_a_date_stays_in_the_years_covered() {
        for (second, want) in [
            (-2_000_000_000, (1950, 0)),
            (4_200_000_000, (2100, NIGHT_MIN - 1)),
        ] {
            let now = DateTime::from_timestamp(second, 0).expect("a time");
            let (date, minute) = present_minute(now, Angle::ZERO);
            assert_eq!((date.year(), minute), want, "{now}");
        }
    }

    /// The present is written as the clock's minute at every second and longitude, also where the
    /// night's minutes begin half a minute from the clock's; at a night's end the last minute may
    /// be one before.
    #[test]
    fn now_is_the_clocks_minute() {
        let clock = NightClock {
            offset_min: 120,
            change: None,
            unknown: false,
        };
        for longitude_deg in [0.0, 9.91, 9.125, -112.375, 179.99] {
            let longitude = Angle::from_degrees(longitude_deg);
            for second in (0..86_400).step_by(7) {
                let now = DateTime::from_timestamp(1_812_400_000 + second, 0).expect("a time");
                let (date, minute) = present_minute(now, longitude);
                let start = noon(date, longitude);
                let shown = start.plus_days(f64::from(minute) / f64::from(NIGHT_MIN));
                let written = event_minute(shown, Rounding::Nearest);
                let want = now.timestamp().div_euclid(60);
                if (1..NIGHT_MIN - 1).contains(&minute) {
                    assert_eq!(written, want, "{longitude_deg}° {now}");
                    let local = clock.local(shown);
                    assert_eq!(i64::from(local.minute), want.rem_euclid(60));
                } else {
                    assert!((written - want).abs() <= 1, "{longitude_deg}° {now}");
                }
            }
        }
    }
}
