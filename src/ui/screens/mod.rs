//! The four screens, one folder a question.

pub mod exposure;
pub mod framing;
pub mod night;
pub mod tracking;

use yew::prelude::*;

use crate::ui::state::State;
use crate::ui::state::derived::Derived;
use crate::ui::state::routes::Screen;
use crate::ui::widgets::dispatch::Dispatch;

/// The screen shown: its title, itself, and the controls under the thumb.
pub fn view(state: &State, derived: &Derived, dispatch: &Dispatch) -> (&'static str, Html, Html) {
    let outing = state.outing();
    match state.routes.screen {
        Screen::Exposure => {
            let answer = derived.answer(state);
            (
                "How long?",
                exposure::exposure_screen(state, &answer, dispatch),
                exposure::controls::exposure_controls(outing, dispatch),
            )
        }
        Screen::Night => {
            let shown = derived.night(state);
            (
                "When?",
                night::night_screen(outing, &shown, dispatch),
                night::controls::night_controls(&shown, dispatch),
            )
        }
        Screen::Framing => {
            let (answer, shown) = (derived.answer(state), derived.night(state));
            let crossings = derived.crossings(state);
            (
                "Where?",
                framing::framing_screen(state, &answer, (&shown, Some(&crossings)), dispatch),
                framing::controls::framing_controls(outing, &shown, dispatch),
            )
        }
        Screen::Tracking => {
            let analysis = derived.tracking(state);
            (
                "Why track?",
                tracking::tracking_screen(state, &analysis, dispatch),
                tracking::controls::tracking_controls(
                    outing,
                    analysis.strategies.focal_mm,
                    dispatch,
                ),
            )
        }
    }
}
