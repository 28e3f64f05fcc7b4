//! The night on the screen: which one, by which clock, and the minute looked at.

use std::rc::Rc;

use chrono::NaiveDate;

use crate::outing::night::NightWindows;
use crate::outing::night::local_time::{Local, NightClock, Rounding, TimeZones};
use crate::outing::night::moon_verdict::MoonVerdict;
use crate::outing::night::site_sky::{SiteSky, SkyReading};
use crate::outing::night::status::NightStatus;
use crate::outing::plan::NIGHT_MIN;
use crate::outing::plan::limits::Limits;
use crate::outing::plan::site::Site;
use crate::sky::almanac::SkyBody;
use crate::sky::night::Course;
use crate::sky::subject::Subject;

/// What a [`Night`] depends on. The minute looked at is not among it.
#[derive(Debug, Clone, PartialEq)]
pub struct NightInputs {
    /// The site.
    pub site: Site,
    /// What the night is planned about.
    pub subject: Subject,
    /// The limits of a shot window.
    pub limits: Limits,
    /// The date of the night's noon.
    pub date: NaiveDate,
    /// Whether it is tonight, selected or not.
    pub tonight: bool,
}

/// A night at the site.
#[derive(Debug, Clone)]
pub struct Night {
    /// The date of its noon.
    pub date: NaiveDate,
    /// Whether it is tonight, selected or not.
    pub tonight: bool,
    /// What it is planned about.
    pub subject: Subject,
    /// The sky over the site.
    pub site_sky: SiteSky,
    /// What the night offers.
    pub evening: NightWindows,
    /// Where there is no window: easier limits that would leave one, and its minutes.
    pub easier_limits: Option<(Limits, f64)>,
    /// The Moon over the best window, or over the dark hours where there is no window; `None`
    /// where there are no dark hours either.
    pub moon: Option<MoonVerdict>,
    /// The site's clock.
    pub clock: NightClock,
    /// Whether it is the site's own: until a site is set it is the phone's.
    pub clock_is_the_sites: bool,
}

impl Night {
    /// Computes a night.
    pub fn new(inputs: &NightInputs, zones: &dyn TimeZones) -> Self {
        let NightInputs {
            site,
            subject,
            limits,
            date,
            tonight,
        } = inputs;
        let site_sky = SiteSky::over(site, *subject, *date, 1);
        let evening = site_sky.night_windows(*date, limits);
        let clock = NightClock::new(&site.zone, evening.start, zones);
        let easier = evening
            .usable
            .windows
            .is_empty()
            .then(|| site_sky.easier_limits(&site_sky.night(*date), limits));
        let best = evening.best().map(|window| window.span);
        let span = best.or_else(|| evening.usable.dark.longest());
        let moon = span.map(|span| {
            MoonVerdict::new(&site_sky, &site_sky.night(*date), span, &evening.moon_up)
        });
        Self {
            date: *date,
            tonight: *tonight,
            subject: *subject,
            evening,
            easier_limits: easier.flatten(),
            moon,
            clock,
            clock_is_the_sites: site.is_set(),
            site_sky,
        }
    }

    /// The site's clock at an event, so many days into the night.
    pub fn event(&self, at: f64, rounding: Rounding) -> Local {
        self.clock.event(self.evening.start.plus_days(at), rounding)
    }
}

/// A night and the minute looked at.
#[derive(Debug, Clone)]
pub struct SelectedNight {
    /// The night.
    pub night: Rc<Night>,
    /// The minute, since its noon.
    pub minute: u16,
    /// Whether it follows the clock.
    pub live: bool,
    /// How things stand then.
    pub reading: SkyReading,
}

impl SelectedNight {
    /// The minute asked for, or the best one; it does not follow the clock.
    pub fn new(night: Rc<Night>, minute: Option<u16>) -> Self {
        let minute = minute.unwrap_or_else(|| night.evening.best_minute());
        let reading = night.site_sky.reading(night.date, days_of(minute));
        Self {
            night,
            minute,
            live: false,
            reading,
        }
    }

    /// How core and window stand at the minute.
    pub fn status(&self) -> NightStatus {
        let Night {
            site_sky, evening, ..
        } = &*self.night;
        NightStatus::at(site_sky, evening, self.minute)
    }

    /// The site's clock at an event, so many days into the night.
    pub fn event(&self, at: f64, rounding: Rounding) -> Local {
        self.night.event(at, rounding)
    }

    /// The site's clock so many days into the night, to the nearest minute: for moments that limit
    /// nothing. Events have [`SelectedNight::event`].
    pub fn local(&self, at: f64) -> Local {
        let night = &self.night;
        night.clock.local(night.evening.start.plus_days(at))
    }
}

/// When Moon and Sun cross the skyline.
#[derive(Debug, Clone)]
pub struct MoonSunCrossings {
    /// The Moon's upper edge.
    pub moon: Course,
    /// The Sun's.
    pub sun: Course,
}

impl MoonSunCrossings {
    /// Over a night.
    pub fn new(night: &Night) -> Self {
        let hours = night.site_sky.night(night.date);
        let [moon, sun] =
            [SkyBody::Moon, SkyBody::Sun].map(|body| night.site_sky.over_ridge(&hours, body));
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
