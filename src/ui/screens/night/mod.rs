//! When? – the night, its shot window, and the minute looked at.

mod band;
pub mod calendar_button;
pub mod controls;
mod headline;
mod timeline_slider;

use yew::prelude::*;

use crate::ui::screens::ScreenParts;
use crate::ui::screens::link_row::link_row;
use crate::ui::screens::night::band::band;
use crate::ui::screens::night::controls::{night_drawer, night_stepper, time_stepper};
use crate::ui::screens::night::headline::headline;
use crate::ui::state::State;
use crate::ui::state::derived::Derived;
use crate::ui::state::routes::Sheet;
use crate::ui::text::windows;
use crate::ui::widgets::dispatch::Dispatch;

/// What the lines of the band mean.
const LEGEND: &str = "Height runs to the right, time down. Hatched: light, the closer the lighter. \
                      Heavy line: the core over the ridge. Bar: the shot window.";

/// The screen.
pub fn night_screen(state: &State, derived: &Derived, dispatch: &Dispatch) -> ScreenParts {
    let outing = state.outing();
    let (selected, curves) = (derived.night(state), derived.night_band(state));
    ScreenParts {
        title: "When?",
        headline: headline(outing, &selected),
        picture: html! {
            <>
                { band(&selected, &curves, outing, dispatch) }
                <p class="legend">{ LEGEND }</p>
            </>
        },
        below: link_row(windows::allowed(outing), Sheet::Night, dispatch),
        keys: Some([
            night_stepper(&selected, dispatch),
            time_stepper(&selected, dispatch),
        ]),
        drawer: night_drawer(&selected, dispatch),
        notes: Html::default(),
    }
}
