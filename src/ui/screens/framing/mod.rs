//! Where? – what the sensor would hold, and where the camera points.

pub mod controls;
mod draggable;
mod drawing;
mod headline;
pub mod picture;
mod wide_view;

use yew::prelude::*;

use crate::ui::layout::Size;
use crate::ui::screens::ScreenParts;
use crate::ui::screens::card::{details, paragraphs};
use crate::ui::screens::framing::controls::{
    bearing_stepper, framing_drawer, ground_keys, tilt_stepper,
};
use crate::ui::screens::framing::headline::headline;
use crate::ui::screens::framing::picture::{StageParts, core_in_frame, frame_picture, stage_parts};
use crate::ui::screens::framing::wide_view::WideView;
use crate::ui::screens::night::night_and_season;
use crate::ui::screens::night::picture::night_picture;
use crate::ui::sheets::compare_lenses::lens_keys;
use crate::ui::state::State;
use crate::ui::state::derived::Derived;
use crate::ui::text::framing as words;
use crate::ui::widgets::dispatch::Dispatch;

/// Height of the lenses compared in a column, px.
const LENSES_PX: f64 = 120.0;

/// The screen.
pub fn framing_screen(state: &State, derived: &Derived, dispatch: &Dispatch) -> ScreenParts {
    let outing = state.outing();
    let (answer, selected) = (derived.answer(state), derived.night(state));
    let notes = || {
        let crossings = derived.crossings(state);
        details(
            "Notes",
            paragraphs([
                words::sentence(outing, &selected),
                words::crossings(outing, &selected, &crossings),
                words::legend(outing, &answer, state.framing.drift_map),
            ]),
        )
    };
    let frames = derived.core_frames(state);
    let layout = state.layout;
    let sensor = answer.view.sensor;
    let aspect_ratio = sensor.width_mm / sensor.height_mm;
    let StageParts { frame: room, night } =
        stage_parts(layout.kind(), layout.stage(), aspect_ratio);
    let night = night_beside(state, derived, night, dispatch);
    let wide = WideView::new(answer.view, room);
    let scene = derived.scene(state, wide.view);
    let in_frame = core_in_frame(&scene, &wide).is_some();
    let lenses = Size {
        width: layout.column_width(),
        height: LENSES_PX,
    };
    let drawer = || framing_drawer(state, &selected, &frames, dispatch);
    ScreenParts {
        title: "Where?",
        headline: headline(state, &answer, &selected, (&scene.sky, in_frame)),
        picture: html! {
            <div class="frame-and-night">
                { frame_picture(state, derived, dispatch, room) }
                { night }
            </div>
        },
        below: html! {
            <>
                { ground_keys(&selected, &frames, dispatch) }
                if layout.has_column() {
                    { lens_keys(state, derived, dispatch, lenses) }
                }
            </>
        },
        keys: Some([
            bearing_stepper(outing, &selected, dispatch),
            tilt_stepper(outing, &selected, dispatch),
        ]),
        drawer: state.shows_drawer().then(drawer).unwrap_or_default(),
        folded: state.folded_due().then(notes).unwrap_or_default(),
        ..ScreenParts::default()
    }
}

/// The night: under the frame on a tablet, with the season beside it at a desk; nothing on phones.
fn night_beside(state: &State, derived: &Derived, room: Option<Size>, dispatch: &Dispatch) -> Html {
    match room {
        None => Html::default(),
        Some(room) if state.layout.is_desk() => html! {
            <div class="night-beside">{ night_and_season(state, derived, room, dispatch) }</div>
        },
        Some(room) => html! {
            <div class="night-beside">{ night_picture(state, derived, room, dispatch) }</div>
        },
    }
}
