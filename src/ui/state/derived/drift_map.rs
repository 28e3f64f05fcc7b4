//! The drift map of the frame.

use std::rc::Rc;

use super::Derived;
use crate::camera::dial::Shutter;
use crate::camera::drift_map::DriftMap;
use crate::camera::view::View;
use crate::ui::state::State;

/// What a [`DriftMap`] depends on. Of site and moment there is only what they make of the view:
/// with a frame that was set, the minute does not matter.
#[derive(Debug, Clone, PartialEq)]
pub struct DriftMapInputs {
    view: View,
    shutter_s: f64,
    allowed_px: f64,
}

impl Derived {
    /// The drift map after this shutter time.
    pub fn drift_map(&self, state: &State, shutter: Shutter) -> Rc<DriftMap> {
        let answer = self.answer(state);
        let inputs = DriftMapInputs {
            view: answer.view,
            shutter_s: shutter.exact_s(),
            allowed_px: answer.allowed_px,
        };
        self.drift_map.get(inputs, |inputs| {
            inputs.view.drift_map(inputs.shutter_s, inputs.allowed_px)
        })
    }
}
