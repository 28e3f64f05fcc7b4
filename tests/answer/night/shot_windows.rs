//! The shot windows of a night, within limits.

use serde::Serialize;
use tarnlight::land::ridge::RidgeLine;
use tarnlight::outing::night::site_sky::SiteSky;
use tarnlight::outing::night::{NoWindowReason, Window, WindowBoundary};
use tarnlight::outing::plan::site::Site;
use tarnlight::sky::altitude::Air;
use tarnlight::sky::observer::Observer;

use super::question::NightQuestion;
use super::zoned_night::DAY_S;

#[derive(Serialize)]
pub struct ShotWindow {
    start_s: f64,
    end_s: f64,
    minutes: f64,
    opens: WindowBoundary,
    closes: WindowBoundary,
    equivalent_hours: f64,
}

impl From<&Window> for ShotWindow {
    fn from(window: &Window) -> Self {
        Self {
            start_s: window.span.start * DAY_S,
            end_s: window.span.end * DAY_S,
            minutes: window.span.minutes(),
            opens: window.opens,
            closes: window.closes,
            equivalent_hours: window.equivalent_h,
        }
    }
}

/// The windows of the question's night, and why there is none. Through standard air, as all else in
/// the answer.
pub fn compute(
    question: &NightQuestion,
    observer: Observer,
) -> (Vec<ShotWindow>, Option<NoWindowReason>) {
    let ridge = question.ridge_line.clone();
    let site = Site {
        latitude: question.position.latitude,
        longitude: question.position.longitude,
        height_m: question.position.height_m,
        ridge: ridge.unwrap_or_else(|| RidgeLine::level(question.ridge_level)),
        sky_brightness: question.zenith_v,
        extinction_mag: question.extinction_mag,
        ..Site::default()
    };
    let site_sky = SiteSky::with_observer(
        Air::STANDARD,
        observer,
        (&site, question.subject),
        (question.date, 1),
    );
    let usable = site_sky.usable(&site_sky.night(question.date), &question.limits);
    let windows = usable.windows.iter().map(ShotWindow::from);
    (windows.collect(), usable.no_window_reason)
}
