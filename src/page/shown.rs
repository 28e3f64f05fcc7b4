//! The night on the screen: which one, by which clock, and the minute looked at.

use chrono::NaiveDate;

use crate::outing::clock::{Clocks, Local, NightClock};
use crate::outing::evening::{Evening, Reading, Watch};
use crate::outing::limits::Limits;
use crate::outing::plan::{NIGHT_MIN, Outing};
use crate::sky::almanac::Body;
use crate::sky::night::Course;

/// Everything When? shows, worked out from the outing and the time of day.
#[derive(Debug, Clone)]
pub struct Shown {
    /// The date of the night's noon.
    pub date: NaiveDate,
    /// Whether it is tonight, picked or not.
    pub tonight: bool,
    /// Somebody at the site.
    pub watch: Watch,
    /// What the night offers.
    pub evening: Evening,
    /// Where there is no window: easier limits that would leave one, and its minutes.
    pub easier: Option<(Limits, f64)>,
    /// The site's clock.
    pub clock: NightClock,
    /// The minute looked at, since noon.
    pub minute: u16,
    /// How things stand then.
    pub reading: Reading,
}

impl Shown {
    /// The night an outing asks for; without one, tonight.
    pub fn of(outing: &Outing, tonight: NaiveDate, clocks: &dyn Clocks) -> Self {
        let date = outing.night.unwrap_or(tonight);
        let watch = Watch::over(outing, date, 1);
        let evening = watch.evening(date, &outing.limits);
        let clock = NightClock::of(&outing.site.zone, evening.start, clocks);
        let night = watch.night(date);
        let minute = outing
            .minute
            .unwrap_or_else(|| minute_of(evening.best_told()));
        let easier = evening
            .usable
            .windows
            .is_empty()
            .then(|| watch.easier(&night, &outing.limits));
        let reading = watch.reading(date, days_of(minute));
        Self {
            date,
            tonight: date == tonight,
            watch,
            evening,
            easier: easier.flatten(),
            clock,
            minute,
            reading,
        }
    }

    /// The site's clock so many days into the night.
    pub fn local(&self, at: f64) -> Local {
        self.clock.local(self.evening.start.plus_days(at))
    }
}

/// Moon and Sun over the ridge line, which take longer than all the rest.
#[derive(Debug, Clone)]
pub struct Others {
    /// The Moon's upper edge.
    pub moon: Course,
    /// The Sun's.
    pub sun: Course,
}

impl Others {
    /// Over the night shown.
    pub fn of(shown: &Shown) -> Self {
        let night = shown.watch.night(shown.date);
        let [moon, sun] = [Body::Moon, Body::Sun].map(|body| shown.watch.over_ridge(&night, body));
        Self { moon, sun }
    }
}

/// Days of a minute since noon.
pub fn days_of(minute: u16) -> f64 {
    f64::from(minute) / f64::from(NIGHT_MIN)
}

/// The minute of so many days since noon.
pub fn minute_of(at: f64) -> u16 {
    (at * f64::from(NIGHT_MIN))
        .round()
        .clamp(0.0, f64::from(NIGHT_MIN - 1)) as u16
}
