//! Where? – the view through the lens, and where the core clears the ridge.

mod camera_view;
pub mod controls;
mod draggable;
mod headline;

use std::rc::Rc;

use yew::prelude::*;

use crate::camera::drift_map::DriftMap;
use crate::outing::exposure::Answer;
use crate::ui::screens::ScreenParts;
use crate::ui::screens::framing::camera_view::camera_view;
use crate::ui::screens::framing::controls::{
    bearing_stepper, core_placement, drift_map_toggle, framing_drawer, orientation_toggle,
    tilt_stepper,
};
use crate::ui::screens::framing::headline::headline;
use crate::ui::screens::link_row::link_row;
use crate::ui::state::State;
use crate::ui::state::derived::Derived;
use crate::ui::state::derived::core_frames::CoreFrames;
use crate::ui::state::derived::scene::FramedScene;
use crate::ui::state::derived::selected_night::{MoonSunCrossings, SelectedNight};
use crate::ui::state::document::framing::FramingEdit;
use crate::ui::state::routes::Sheet;
use crate::ui::text::framing as words;
use crate::ui::widgets::dispatch::{Dispatch, on_click};

/// The derived values that the screen draws.
pub struct FramingData {
    answer: Rc<Answer>,
    /// The night and the minute looked at.
    pub selected: SelectedNight,
    crossings: Rc<MoonSunCrossings>,
    scene: FramedScene,
    /// After the dial time; `None` while it is not to lie over the view.
    drift_map: Option<Rc<DriftMap>>,
    core_frames: Rc<CoreFrames>,
}

impl FramingData {
    /// For this state.
    pub fn new(state: &State, derived: &Derived) -> Self {
        let answer = derived.answer(state);
        let with_drift = state.framing.drift_map;
        Self {
            selected: derived.night(state),
            crossings: derived.crossings(state),
            scene: derived.scene(state),
            drift_map: with_drift.then(|| derived.drift_map(state, answer.shutter())),
            core_frames: derived.core_frames(state),
            answer,
        }
    }
}

/// The screen.
pub fn framing_screen(state: &State, derived: &Derived, dispatch: &Dispatch) -> ScreenParts {
    let outing = state.outing();
    let FramingData {
        answer,
        selected,
        crossings,
        scene,
        drift_map,
        core_frames,
    } = &FramingData::new(state, derived);
    let drift_map = drift_map.as_deref();
    ScreenParts {
        title: "Where?",
        headline: headline(answer, selected),
        picture: camera_view(outing, selected, scene, drift_map, dispatch),
        below: html! {
            <>
                { core_placement(selected, core_frames, dispatch) }
                { orientation_toggle(outing, dispatch) }
                { drift_map_toggle(drift_map.is_some(), dispatch) }
                // last, so that a drawing that is being dragged stays in its place when this appears
                if outing.frame.is_some() {
                    <button
                        class="wide"
                        type="button"
                        onclick={on_click(dispatch, FramingEdit::FollowCore)}
                    >
                        { "Follow the core again" }
                    </button>
                }
            </>
        },
        keys: Some([
            bearing_stepper(outing, selected, dispatch),
            tilt_stepper(outing, selected, dispatch),
        ]),
        drawer: framing_drawer(outing, selected, dispatch),
        notes: html! {
            <>
                <p class="legend">{ words::legend(outing, answer, drift_map.is_some()) }</p>
                <p class="others">{ words::crossings(selected, crossings) }</p>
                { link_row(words::skyline(outing), Sheet::Skyline, dispatch) }
                { link_row(words::PANORAMA_LINK.to_owned(), Sheet::Panorama, dispatch) }
            </>
        },
    }
}
