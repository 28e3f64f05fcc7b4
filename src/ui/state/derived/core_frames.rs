//! The frames that put the core on a third of the picture, or in its middle.

use std::rc::Rc;

use super::Derived;
use crate::angle::Angle;
use crate::camera::frame::Frame;
use crate::camera::lens::Lens;
use crate::camera::sensor::Sensor;
use crate::camera::view::SensorPoint;
use crate::outing::plan::Outing;
use crate::outing::plan::pointing::Pointing;
use crate::ui::state::State;
use crate::vector::Vector;

/// What [`CoreFrames`] depend on. The frame in use is not among it: dragging the sky leaves them as
/// they are.
#[derive(Debug, Clone, PartialEq)]
pub struct CoreFrameInputs {
    /// As the camera is held.
    sensor: Sensor,
    lens: Lens,
    latitude: Angle,
    /// Bearing and apparent altitude of the core at the minute looked at.
    core: (Angle, Angle),
    /// The frame that is proposed for that minute.
    proposed: Frame,
}

/// A frame for each place of the core. [`FramingEdit::Point`] takes one of them.
///
/// [`FramingEdit::Point`]: crate::ui::state::document::framing::FramingEdit::Point
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct CoreFrames {
    /// On the upper left third.
    pub left: Frame,
    /// In the middle.
    pub middle: Frame,
    /// On the upper right third.
    pub right: Frame,
    /// On the lower left third.
    pub lower_left: Frame,
    /// On the lower right third.
    pub lower_right: Frame,
    /// That of the four thirds next to the frame that is proposed: on the side from which the band
    /// leans into the frame, and at the height that leaves the most suitable ground.
    pub third: Frame,
}

impl CoreFrames {
    fn new(outing: &Outing, inputs: &CoreFrameInputs) -> Self {
        // in sixths of the sides from the middle
        let frame = |across: f64, up: f64| {
            let point = SensorPoint {
                x_mm: across * inputs.sensor.width_mm / 6.0,
                y_mm: up * inputs.sensor.height_mm / 6.0,
            };
            Pointing::frame_with(outing, inputs.core, point)
        };
        let [left, right, lower_left, lower_right] =
            [(-1.0, 1.0), (1.0, 1.0), (-1.0, -1.0), (1.0, -1.0)].map(|(x, y)| frame(x, y));
        let axis = |frame: &Frame| Vector::from_bearing(frame.bearing, frame.tilt);
        let proposed = axis(&inputs.proposed);
        let nearer = |best: Frame, other: Frame| {
            let closer = axis(&other).dot(proposed) > axis(&best).dot(proposed);
            if closer { other } else { best }
        };
        Self {
            left,
            middle: frame(0.0, 0.0),
            right,
            lower_left,
            lower_right,
            third: [right, lower_left, lower_right]
                .into_iter()
                .fold(left, nearer),
        }
    }
}

impl Derived {
    /// The frames that put the core, where it stands at the minute looked at, on a third or in
    /// the middle.
    pub fn core_frames(&self, state: &State) -> Rc<CoreFrames> {
        let (outing, view) = (state.outing(), self.answer(state).view);
        let selected = self.night(state);
        let core = selected.reading.core;
        let inputs = CoreFrameInputs {
            sensor: view.sensor,
            lens: view.lens,
            latitude: outing.site.latitude,
            core: (
                core.bearing,
                selected.night.site_sky.apparent_altitude(core).0,
            ),
            proposed: outing.proposed_frame((selected.night.date, selected.minute)),
        };
        self.core_frames
            .get(inputs, |inputs| CoreFrames::new(outing, inputs))
    }
}
