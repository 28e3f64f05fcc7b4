//! A skyline that tells of a wrong clock, and the clock set by it.

use chrono::DateTime;
use yew::html::Scope;
use yew::prelude::*;

use super::{Message, TestFrameSheet};
use crate::angle::Angle;
use crate::astrometry::skyline_clock::{ClockMisfit, clock_misfit};
use crate::outing::plan::camera_body::CameraClock;
use crate::outing::plan::site::Site;
use crate::outing::test_frame::report::FrameReport;
use crate::ui::state::test_frame::TestFrameAction;
use crate::ui::text::frame_offers as words;

/// What the site's skyline says of the clock with which a frame was explained.
pub fn misfit(
    report: &FrameReport,
    skyline: &[(Angle, Angle)],
    site: &Site,
) -> Option<ClockMisfit> {
    let known = report.start_ms.is_some() && site.is_set() && !site.ridge.sightings().is_empty();
    let misfit = || clock_misfit(skyline, &site.ridge, site.latitude);
    known.then(misfit).flatten()
}

/// The clock as the skyline has it.
pub fn clock(report: &FrameReport, misfit: ClockMisfit) -> Option<CameraClock> {
    let (taken_ms, start_ms) = (report.notes.taken_ms?, report.start_ms?);
    let ahead_s = taken_ms.checked_sub(start_ms)? as f64 / 1000.0 - misfit.later_s;
    Some(CameraClock {
        ahead_s: ahead_s.round(),
        date: DateTime::from_timestamp_millis(start_ms)?.date_naive(),
    })
}

/// The hint, and the key that sets the clock.
pub fn by_skyline(
    report: &FrameReport,
    misfit: Option<ClockMisfit>,
    link: &Scope<TestFrameSheet>,
) -> Html {
    let found = misfit.and_then(|misfit| Some((misfit, clock(report, misfit)?)));
    let Some((misfit, clock)) = found else {
        return Html::default();
    };
    let onclick =
        link.callback(move |_: MouseEvent| Message::Do(TestFrameAction::BySkyline(clock)));
    html! {
        <div class="which-clock" id="by-skyline" role="status">
            <p>{ words::misfit(misfit.later_s) }</p>
            <button id="clock-by-skyline" type="button" class="wide" {onclick}>
                { "Set the clock so" }
            </button>
        </div>
    }
}
