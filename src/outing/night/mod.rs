//! One night of an outing: dark hours, core hours, the Moon, and the shot windows.
//!
//! The core here and in the names below is the outing's subject, by default the core itself.
//!
//! A shot window is open while the Sun is below the darkness limit, the core's apparent altitude is
//! above the ridge line and the least height, and the moon cost is within the limit; it lasts five
//! minutes at least. Each end of a window has a reason.

pub mod help;
pub mod horizon_crossings;
pub mod local_time;
pub mod moon_verdict;
pub mod season;
pub mod site_sky;
pub mod status;
pub mod subject_light;
pub mod subjects_up;
pub mod windows;

use chrono::NaiveDate;
use serde::Serialize;

pub use crate::outing::night::site_sky::{SiteSky, SkyReading};
use crate::outing::night::windows::UsableTime;
use crate::outing::plan::NIGHT_MIN;
use crate::sky::moment::Moment;
use crate::sky::night::Course;
use crate::sky::spans::{Span, Spans};

/// Why a shot window begins or ends.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum WindowBoundary {
    /// The sky gets dark, or light.
    Twilight,
    /// The core rises above the ridge line, or sets behind it.
    Ridge,
    /// The core reaches its least height, or sinks below it.
    LeastHeight,
    /// The Moon sets, or rises.
    Moon,
    /// The moon cost falls below the limit, or rises above it.
    MoonCost,
    /// The night, noon to noon, begins or ends.
    Noon,
}

/// A shot window.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Window {
    /// Its span, days since the night's noon.
    pub span: Span,
    /// Whole minutes between its ends as a clock tells them, see
    /// [`event_minute`](crate::outing::night::local_time::event_minute): what somebody works
    /// out from the two times.
    pub minutes: f64,
    /// Why it begins.
    pub opens: WindowBoundary,
    /// Why it ends.
    pub closes: WindowBoundary,
    /// Equivalent hours; see
    /// [`SiteSky::equivalent_hours`](crate::outing::night::site_sky::SiteSky::equivalent_hours).
    pub equivalent_h: f64,
}

impl Window {
    /// The minute of the night, counted from its noon, nearest to a moment, moved so that its
    /// clock time is not outside the window's rounded ends. The night's minutes do not begin
    /// with those of the clock.
    fn minute_inside(&self, at: f64) -> f64 {
        let in_minutes = |at: f64| at * f64::from(NIGHT_MIN);
        let first = (in_minutes(self.span.start) + 0.5).ceil();
        let last = (in_minutes(self.span.end) - 0.5).floor();
        in_minutes(at).round().min(last).max(first)
    }
}

/// Why there is no shot window.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum NoWindowReason {
    /// The core never comes above the flat horizon at this latitude.
    NeverRises,
    /// It rises, in the dark or at all, but not above the ridge.
    BehindRidge,
    /// It rises above the ridge, in the dark or at all, but not above the least height.
    LeastHeight,
    /// The Sun is never below the darkness limit.
    NotDark,
    /// The core is high enough only by day or in twilight.
    CoreByDay,
    /// The moon cost exceeds the limit all the time.
    Moon,
}

/// The results for a night.
#[derive(Debug, Clone, PartialEq)]
pub struct NightWindows {
    /// The date of the night's noon.
    pub date: NaiveDate,
    /// That noon.
    pub start: Moment,
    /// The Sun relative to each of its limits, sunset first.
    pub sun: [Course; 4],
    /// The Moon relative to the horizon.
    pub moon: Course,
    /// When the Moon is above the horizon.
    pub moon_up: Spans,
    /// The core relative to the ridge line.
    pub core: Course,
    /// The time within the limits.
    pub usable: UsableTime,
    /// The moment shown first, days since noon: the best light of the best window; without a
    /// window, the core's greatest altitude in the dark, or the middle of the night.
    pub best_at: f64,
}

/// The window with the most equivalent hours; the earlier of two equal ones.
pub(super) fn best_of(windows: &[Window]) -> Option<Window> {
    let better = |best: Window, window: Window| {
        if window.equivalent_h > best.equivalent_h {
            window
        } else {
            best
        }
    };
    windows.iter().copied().reduce(better)
}

impl NightWindows {
    /// The window with the most equivalent hours.
    pub fn best(&self) -> Option<Window> {
        best_of(&self.usable.windows)
    }

    /// The window that a moment lies in, days since noon; else the best one.
    pub fn around(&self, at: f64) -> Option<Window> {
        let windows = self.usable.windows.iter();
        let mut around = windows.filter(|window| window.span.contains(at));
        around.next().copied().or_else(|| self.best())
    }

    /// The minute shown first, counted from the night's noon: that of [`NightWindows::best_at`],
    /// inside the best window where that is written to the minute.
    pub fn best_minute(&self) -> u16 {
        let minute = match self.best() {
            Some(window) => window.minute_inside(self.best_at),
            None => (self.best_at * f64::from(NIGHT_MIN)).round(),
        };
        minute.clamp(0.0, f64::from(NIGHT_MIN - 1)) as u16
    }

    /// The same, days since noon.
    pub fn best_at_minute(&self) -> f64 {
        f64::from(self.best_minute()) / f64::from(NIGHT_MIN)
    }
}

impl UsableTime {
    /// Whether the Moon is up during some part of a window.
    pub fn moon_in_windows(&self, moon_up: &Spans) -> bool {
        let windows = self.windows.iter().map(|window| window.span).collect();
        Spans(windows).intersection(moon_up).minutes() > 1.0
    }
}
