//! The settings of How long? for the camera beyond the shutter time: ISO, frames, and when to
//! start them.

use std::rc::Rc;

use super::Derived;
use super::selected_night::days_of;
use crate::outing::exposure::sequence::Sequence;
use crate::outing::field::card::{Camera, series_of};
use crate::outing::night::Window;
use crate::outing::plan::{Outing, Support};
use crate::ui::state::State;

/// ISO, frames and start of a series on the tripod.
#[derive(Debug, Clone, PartialEq)]
pub struct ShotPlan {
    /// ISO, chosen or suggested: that of the field card.
    pub iso: f64,
    /// The frames of the shutter time at the minute looked at.
    pub series: Sequence,
    /// The window that minute is in, or else the best of the night.
    pub window: Option<Window>,
    /// The last moment at which the series fits that window, days since the night's noon.
    pub start_by: Option<f64>,
}

impl Derived {
    /// ISO, frames and start, on the tripod.
    pub fn shot_plan(&self, state: &State) -> Rc<ShotPlan> {
        let (selected, outing) = (self.night(state), state.outing());
        let night = &selected.night;
        let key = (outing.clone(), night.date, selected.minute);
        self.shot_plan.get(key, |_| {
            let outing = Outing {
                support: Support::Tripod,
                ..outing.clone()
            };
            let (at, evening) = (days_of(selected.minute), &night.evening);
            let camera = Camera::new(&outing, (&night.site_sky, evening), at);
            let series = series_of(&outing, &self.answer(state));
            let window = evening.around(at);
            ShotPlan {
                iso: camera.settings.iso,
                series,
                window,
                start_by: window.and_then(|window| series.latest_start(window.span)),
            }
        })
    }
}
