//! The four screens, one folder a question.

mod card;
pub mod exposure;
pub mod framing;
mod link_row;
pub mod night;
pub mod tracking;

use yew::prelude::*;

use crate::ui::screens::exposure::ExposureData;
use crate::ui::screens::framing::FramingData;
use crate::ui::state::State;
use crate::ui::state::derived::Derived;
use crate::ui::state::routes::Screen;
use crate::ui::widgets::dispatch::Dispatch;

/// The screen in view: its title, its content, and the controls in the row under the thumb.
pub fn view(state: &State, derived: &Derived, dispatch: &Dispatch) -> (&'static str, Html, Html) {
    let outing = state.outing();
    match state.routes.screen {
        Screen::Exposure => (
            "How long?",
            exposure::exposure_screen(state, &ExposureData::new(state, derived), dispatch),
            exposure::controls::exposure_controls(outing, dispatch),
        ),
        Screen::Night => {
            let (selected, band) = (derived.night(state), derived.night_band(state));
            (
                "When?",
                night::night_screen(outing, &selected, &band, dispatch),
                night::controls::night_controls(&selected, dispatch),
            )
        }
        Screen::Framing => {
            let data = FramingData::new(state, derived);
            (
                "Where?",
                framing::framing_screen(outing, &data, dispatch),
                framing::controls::framing_controls(outing, &data.selected, dispatch),
            )
        }
        Screen::Tracking => {
            let analysis = derived.tracking(state);
            let focal_mm = analysis.strategies.focal_mm;
            (
                "Why track?",
                tracking::tracking_screen(state, &analysis, dispatch),
                tracking::controls::tracking_controls(outing, focal_mm, dispatch),
            )
        }
    }
}
