//! Settings for the foreground in the night selected.

use std::rc::Rc;

use chrono::NaiveDate;

use super::Derived;
use super::selected_night::{SelectedNight, days_of};
use crate::camera::f_number::exact_f_number;
use crate::camera::focus::USUAL_CIRCLE;
use crate::camera::lens::Lens;
use crate::light::exposure::{middle_iso, suggested_iso};
use crate::outing::exposure::Answer;
use crate::outing::ground::{Ground, GroundCamera};
use crate::outing::plan::Outing;
use crate::outing::plan::site::Site;
use crate::ui::state::State;
use crate::ui::state::ground::GroundDraft;

const MM_PER_M: f64 = 1000.0;

/// What a [`Ground`] depends on.
#[derive(Debug, Clone, PartialEq)]
pub struct GroundInputs {
    site: Site,
    date: NaiveDate,
    minute: u16,
    camera: GroundCamera,
}

/// The camera of an outing for the ground: its lens, and its ISO or the one suggested for the
/// stars' frames under a moonless sky.
fn camera(
    outing: &Outing,
    answer: &Answer,
    selected: &SelectedNight,
    draft: &GroundDraft,
) -> GroundCamera {
    let Lens { f_number, .. } = answer.view.lens;
    let iso = outing.iso.unwrap_or_else(|| {
        let luminance = selected.night.site_sky.dark().luminance_cd_m2();
        let f_number = exact_f_number(f_number).unwrap_or(f_number);
        suggested_iso(middle_iso(luminance, f_number, answer.shutter().exact_s())).into()
    });
    GroundCamera {
        lens: answer.view.lens,
        iso,
        longest_s: draft.longest_s,
        circle_mm: answer.view.sensor.diagonal_mm() * USUAL_CIRCLE,
        nearest_mm: draft.nearest_m * MM_PER_M,
    }
}

impl Derived {
    /// Settings for the foreground: in dusk and dawn, under the Moon of the minute looked at, in
    /// starlight, and the focus distances.
    pub fn ground(&self, state: &State) -> Rc<Ground> {
        let (outing, selected) = (state.outing(), self.night(state));
        let inputs = GroundInputs {
            site: outing.site.clone(),
            date: selected.night.date,
            minute: selected.minute,
            camera: camera(outing, &self.answer(state), &selected, &state.ground),
        };
        self.ground.get(inputs, |inputs| {
            let at = (inputs.date, days_of(inputs.minute));
            Ground::new(&inputs.camera, &selected.night.site_sky, at)
        })
    }
}
