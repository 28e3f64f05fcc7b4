//! One night of an outing: dark hours, core hours, the Moon, and the shot
//! window they leave.
//!
//! A shot window is open while the Sun is below the darkness limit, the core stands above
//! the ridge line and the least height as it looks through the air, and the Moon costs
//! no more than is allowed; it lasts five minutes at least. Each end of a window has a
//! reason.

pub mod core_light;
pub mod horizon_crossings;
pub mod local_time;
pub mod season;
pub mod site_sky;
pub mod windows;

use chrono::NaiveDate;
use serde::Serialize;

pub use crate::outing::night::site_sky::{SiteSky, SkyReading};
use crate::outing::night::windows::UsableTime;
use crate::sky::moment::Moment;
use crate::sky::night::Course;
use crate::sky::spans::{Span, Spans};

/// Why a shot window begins or ends.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum WindowBoundary {
    /// The sky gets dark, or light.
    Twilight,
    /// The core clears the ridge line, or goes behind it.
    Ridge,
    /// The core reaches its least height, or sinks below it.
    LeastHeight,
    /// The Moon sets, or rises.
    Moon,
    /// The Moon becomes harmless, or stops being so.
    MoonCost,
    /// The night as reckoned here, noon to noon, begins or ends.
    Noon,
}

/// A shot window.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Window {
    /// When, in days since the night's noon.
    pub span: Span,
    /// Why it begins.
    pub opens: WindowBoundary,
    /// Why it ends.
    pub closes: WindowBoundary,
    /// What its light is worth, hours; see
    /// [`SiteSky::equivalent_hours`](crate::outing::night::site_sky::SiteSky::equivalent_hours).
    pub equivalent_h: f64,
}

impl Window {
    /// A moment moved into the window by half a minute at least, so that rounded to the minute it
    /// is inside the ends as they are told.
    pub fn inside(&self, at: f64) -> f64 {
        const HALF_MINUTE: f64 = 0.5 / 1440.0;
        at.min(self.span.end - HALF_MINUTE)
            .max(self.span.start + HALF_MINUTE)
    }
}

/// Why there is no shot window.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum NoWindowReason {
    /// The core never comes above the flat horizon at this latitude.
    NeverRises,
    /// It rises, in the dark or ever, but not above the ridge.
    BehindRidge,
    /// It clears the ridge, in the dark or ever, but not the least height.
    LeastHeight,
    /// The Sun is never below the darkness limit.
    NotDark,
    /// The core is high enough by day and twilight only.
    CoreByDay,
    /// The Moon costs too much all the while.
    Moon,
}

/// What a night offers.
#[derive(Debug, Clone, PartialEq)]
pub struct NightWindows {
    /// The date of the night's noon.
    pub date: NaiveDate,
    /// That noon.
    pub start: Moment,
    /// The Sun and each of its lines, sunset first.
    pub sun: [Course; 4],
    /// The Moon and the horizon.
    pub moon: Course,
    /// When the Moon is above the horizon.
    pub moon_up: Spans,
    /// The core and the ridge line.
    pub core: Course,
    /// What the limits leave.
    pub usable: UsableTime,
    /// The moment worth looking at first, days since noon: where the light of the best
    /// window is best; without one, where the core stands highest in the dark, or the
    /// middle of the night.
    pub best_at: f64,
}

/// The window whose light is worth most; the earlier of two alike.
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
    /// The window whose light is worth most.
    pub fn best(&self) -> Option<Window> {
        best_of(&self.usable.windows)
    }

    /// The moment worth looking at first, to be told to the minute.
    pub fn best_displayed(&self) -> f64 {
        let best = self.best();
        best.map_or(self.best_at, |window| window.inside(self.best_at))
    }
}

impl UsableTime {
    /// Whether the Moon is up during some part of a window.
    pub fn moon_in_windows(&self, moon_up: &Spans) -> bool {
        let windows = self.windows.iter().map(|window| window.span).collect();
        Spans(windows).and(moon_up).minutes() > 1.0
    }
}
