//! The night on the screen: which one, by which clock, and the minute looked at.

use chrono::NaiveDate;

use crate::outing::night::NightWindows;
use crate::outing::night::local_time::{Local, NightClock, TimeZones};
use crate::outing::night::site_sky::{SiteSky, SkyReading};
use crate::outing::plan::limits::Limits;
use crate::outing::plan::{NIGHT_MIN, Outing};
use crate::sky::almanac::SkyBody;
use crate::sky::night::Course;

/// Everything When? shows, worked out from the outing and the time of day.
#[derive(Debug, Clone)]
pub struct SelectedNight {
    /// The date of the night's noon.
    pub date: NaiveDate,
    /// Whether it is tonight, picked or not.
    pub tonight: bool,
    /// Somebody at the site.
    pub site_sky: SiteSky,
    /// What the night offers.
    pub evening: NightWindows,
    /// Where there is no window: easier limits that would leave one, and its minutes.
    pub easier_limits: Option<(Limits, f64)>,
    /// The site's clock.
    pub clock: NightClock,
    /// The minute looked at, since noon.
    pub minute: u16,
    /// How things stand then.
    pub reading: SkyReading,
}

impl SelectedNight {
    /// The night an outing asks for; without one, tonight.
    pub fn new(outing: &Outing, tonight: NaiveDate, clocks: &dyn TimeZones) -> Self {
        let date = outing.night.unwrap_or(tonight);
        let site_sky = SiteSky::over(outing, date, 1);
        let evening = site_sky.evening(date, &outing.limits);
        let clock = NightClock::new(&outing.site.zone, evening.start, clocks);
        let night = site_sky.night(date);
        let minute = outing
            .minute
            .unwrap_or_else(|| minute_of(evening.best_displayed()));
        let easier_limits = evening
            .usable
            .windows
            .is_empty()
            .then(|| site_sky.easier_limits(&night, &outing.limits));
        let reading = site_sky.reading(date, days_of(minute));
        Self {
            date,
            tonight: date == tonight,
            site_sky,
            evening,
            easier_limits: easier_limits.flatten(),
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
pub struct MoonSunCrossings {
    /// The Moon's upper edge.
    pub moon: Course,
    /// The Sun's.
    pub sun: Course,
}

impl MoonSunCrossings {
    /// Over the night shown.
    pub fn new(shown: &SelectedNight) -> Self {
        let night = shown.site_sky.night(shown.date);
        let [moon, sun] =
            [SkyBody::Moon, SkyBody::Sun].map(|body| shown.site_sky.over_ridge(&night, body));
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
