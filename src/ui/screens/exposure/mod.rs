//! How long? – the shutter time, what it leaves, and why.

pub mod controls;
mod drift_map;
mod focus_card;
mod headline;
mod loupes;
mod rules_table;

use std::rc::Rc;

use yew::prelude::*;

use crate::camera::drift_map::DriftMap;
use crate::outing::exposure::{Answer, ShutterTrails};
use crate::ui::screens::ScreenParts;
use crate::ui::screens::exposure::controls::{
    exposure_drawer, f_number, focal_length, trial_stepper,
};
use crate::ui::screens::exposure::drift_map::drift_map;
use crate::ui::screens::exposure::focus_card::focus_card;
use crate::ui::screens::exposure::headline::headline;
use crate::ui::screens::exposure::loupes::loupes;
use crate::ui::screens::exposure::rules_table::rules_table;
use crate::ui::screens::framing::controls::orientation_toggle;
use crate::ui::state::State;
use crate::ui::state::derived::Derived;
use crate::ui::state::derived::star_images::StarImages;
use crate::ui::text::exposure;
use crate::ui::widgets::dispatch::Dispatch;

/// The derived values that the screen draws.
pub struct ExposureData {
    answer: Rc<Answer>,
    trial: ShutterTrails,
    star_images: Rc<StarImages>,
    /// After the shutter time tried.
    drift_map: Rc<DriftMap>,
}

impl ExposureData {
    /// For this state.
    pub fn new(state: &State, derived: &Derived) -> Self {
        let trial = derived.trial(state);
        Self {
            answer: derived.answer(state),
            trial,
            star_images: derived.star_images(state),
            drift_map: derived.drift_map(state, trial.shutter),
        }
    }
}

/// The screen.
pub fn exposure_screen(state: &State, derived: &Derived, dispatch: &Dispatch) -> ScreenParts {
    let ExposureData {
        answer,
        trial,
        star_images,
        drift_map: map,
    } = &ExposureData::new(state, derived);
    let outing = state.outing();
    let allowed = exposure::trail(answer.allowed_px);
    let frame = html! {
        <>
            { drift_map(map, answer.allowed_px, trial.shutter) }
            <p class="legend">{ format!("Heavy line: {allowed}. Hatched: longer.") }</p>
            { orientation_toggle(outing, dispatch) }
        </>
    };
    let rules = rules_table(answer, state.exposure.open_rule, dispatch);
    ScreenParts {
        title: "How long?",
        headline: headline(outing, answer),
        picture: html! {
            <>
                { loupes(star_images, answer) }
                { trial_stepper(trial, state.exposure.tried_thirds, dispatch) }
                { frame }
            </>
        },
        below: rules,
        keys: Some([focal_length(outing, dispatch), f_number(outing, dispatch)]),
        drawer: exposure_drawer(outing, dispatch),
        notes: focus_card(outing, dispatch),
    }
}
