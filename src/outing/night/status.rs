//! How things stand in a night at a minute: the core, and the shot window.

use crate::angle::Angle;
use crate::outing::night::local_time::{Rounding, event_minute};
use crate::outing::night::site_sky::SiteSky;
use crate::outing::night::{NightWindows, Window};
use crate::outing::plan::NIGHT_MIN;
use crate::sky::almanac::SkyBody;
use crate::sky::altitude::ApparentAltitude;

/// The core relative to horizon and skyline.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum CoreStanding {
    /// Above the skyline.
    Clear,
    /// Above the flat horizon, behind the skyline.
    BehindRidge,
    /// Below the flat horizon.
    Down,
}

/// The shot windows from a minute on. Minutes are those between the times as they are written, see
/// [`event_minute`].
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum WindowStatus {
    /// One is open, for so many more minutes.
    Open(u32),
    /// The next opens in so many minutes.
    OpensIn(u32),
    /// All are over.
    Over,
    /// The night has none.
    None,
}

/// How things stand at a minute.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct NightStatus {
    /// The core's apparent altitude.
    pub altitude: ApparentAltitude,
    /// Its true bearing.
    pub bearing: Angle,
    /// Where that is.
    pub standing: CoreStanding,
    /// The windows.
    pub window: WindowStatus,
}

impl NightStatus {
    /// At a minute of the night of some windows, counted from its noon.
    pub fn at(site_sky: &SiteSky, evening: &NightWindows, minute: u16) -> Self {
        let at = f64::from(minute) / f64::from(NIGHT_MIN);
        let core = site_sky
            .night(evening.date)
            .topocentric(SkyBody::Subject, at)
            .horizontal();
        let altitude = site_sky.apparent_altitude(core);
        let standing = if altitude.0 >= site_sky.ridge().height(core.bearing) {
            CoreStanding::Clear
        } else if altitude.0 >= Angle::ZERO {
            CoreStanding::BehindRidge
        } else {
            CoreStanding::Down
        };
        Self {
            altitude,
            bearing: core.bearing,
            standing,
            window: window_status(evening, at),
        }
    }
}

fn window_status(evening: &NightWindows, at: f64) -> WindowStatus {
    let windows = &evening.usable.windows;
    let minute = |at, rounding| event_minute(evening.start.plus_days(at), rounding);
    let now = minute(at, Rounding::Nearest);
    let ends = |window: &Window| {
        let opens = minute(window.span.start, Rounding::Opening);
        (opens, minute(window.span.end, Rounding::Closing))
    };
    let left = |to: i64| u32::try_from(to - now).unwrap_or(0);
    match windows.iter().map(ends).find(|(_, end)| *end > now) {
        Some((start, end)) if start <= now => WindowStatus::Open(left(end)),
        Some((start, _)) => WindowStatus::OpensIn(left(start)),
        None if windows.is_empty() => WindowStatus::None,
        None => WindowStatus::Over,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::outing::plan::limits::Limits;
    use crate::outing::plan::site::Site;
    use crate::sky::subject::Subject;
    use chrono::NaiveDate;

    /// Minute by minute through a night: the window opens, runs out by a minute each minute, and is
    /// over; the core is up where it is said to be.
    #[test]
    fn the_window_runs_out_minute_by_minute() {
        let mut site = Site {
            longitude: Angle::from_degrees(9.91),
            ..Site::default()
        };
        site.ridge = site.ridge.at_level(Angle::from_degrees(8.0));
        let date = NaiveDate::from_ymd_opt(2027, 6, 4).expect("a date");
        let site_sky = SiteSky::over(&site, Subject::Core, date, 1);
        let evening = site_sky.night_windows(date, &Limits::default());
        let statuses: Vec<_> = (0..NIGHT_MIN)
            .map(|minute| NightStatus::at(&site_sky, &evening, minute))
            .collect();
        let opens = statuses
            .iter()
            .position(|status| matches!(status.window, WindowStatus::Open(_)))
            .expect("it opens");
        let WindowStatus::Open(length) = statuses[opens].window else {
            panic!("open");
        };
        let window = evening.best().expect("a window");
        let minutes = window.span.minutes();
        assert!((f64::from(length) - minutes).abs() < 2.0 && f64::from(length) <= minutes);
        for (minute, status) in statuses.iter().enumerate() {
            let closes = opens + length as usize;
            let want = if minute < opens {
                WindowStatus::OpensIn((opens - minute) as u32)
            } else if minute < closes {
                WindowStatus::Open((closes - minute) as u32)
            } else {
                WindowStatus::Over
            };
            assert_eq!(status.window, want, "{minute}");
            let high = status.altitude.0.degrees();
            let want = if high >= 8.0 {
                CoreStanding::Clear
            } else if high >= 0.0 {
                CoreStanding::BehindRidge
            } else {
                CoreStanding::Down
            };
            assert_eq!(status.standing, want, "{high}");
        }
        let level = site.ridge.at_level(Angle::from_degrees(60.0));
        let closed = SiteSky::over(
            &Site {
                ridge: level,
                ..site
            },
            Subject::Core,
            date,
            1,
        );
        let evening = closed.night_windows(date, &Limits::default());
        let status = NightStatus::at(&closed, &evening, 700);
        assert_eq!(status.window, WindowStatus::None);
    }
}
