//! The settings of How long? for the camera beyond the shutter time: ISO, frames, and when to
//! start them.

use std::f64::consts::LN_2;
use std::rc::Rc;

use super::Derived;
use super::selected_night::days_of;
use crate::camera::dial::{Shutter, next_iso};
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
    /// ISO for frames of another shutter time: the one chosen, or as much higher than that of How long?
    /// as they are shorter.
    pub fn iso_for_shutter(&self, state: &State, shutter: Shutter) -> f64 {
        let single = self.shot_plan(state);
        if state.outing().iso.is_some() {
            return single.iso;
        }
        iso_for_same_exposure(single.iso, (single.series.shutter, shutter))
    }

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

/// The ISO at which frames of the second shutter time are as bright as those of the first, to a third of
/// a stop; within the marks.
fn iso_for_same_exposure(iso: f64, (first, second): (Shutter, Shutter)) -> f64 {
    let thirds = (3.0 * (first.exact_s() / second.exact_s()).ln() / LN_2).round() as i32;
    (0..thirds.abs()).fold(iso, |iso, _| next_iso(iso, thirds > 0))
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The trade's marks: a third of a stop each.
    #[test]
    fn a_shorter_frame_has_a_higher_iso() {
        let shutter = |seconds| Shutter::at_most(seconds).expect("a mark");
        let (four, five, eight) = (shutter(4.0), shutter(5.1), shutter(8.0));
        assert_eq!(iso_for_same_exposure(2500.0, (eight, eight)), 2500.0);
        assert_eq!(iso_for_same_exposure(2500.0, (eight, five)), 4000.0);
        assert_eq!(iso_for_same_exposure(1600.0, (eight, four)), 3200.0);
        assert_eq!(iso_for_same_exposure(1600.0, (four, eight)), 800.0);
    }
}
