//! In the field: the frame to take now, where to turn for it, and one tap for the next.

use yew::prelude::*;

use crate::angle::Angle;
use crate::ui::state::State;
use crate::ui::state::derived::Derived;
use crate::ui::state::derived::panorama::PanoramaFrame;
use crate::ui::state::panorama::PanoramaAction;
use crate::ui::text::night::compass;
use crate::ui::text::units::degrees_to;
use crate::ui::widgets::dispatch::{Dispatch, on_click};
use crate::ui::widgets::small_frame::small_frame;

/// Longer side of a frame's picture, px.
const PICTURE_PX: f64 = 170.0;

/// The frame at a place among so many.
pub(super) fn field(
    state: &State,
    derived: &Derived,
    (place, count): (usize, usize),
    taken: &PanoramaFrame,
) -> Html {
    let frame = taken.frame;
    let name = compass(frame.bearing);
    let up = degrees_to(frame.tilt, 0);
    let picture = derived.turned_frame(state, state.outing().view_of(frame), PICTURE_PX);
    html! {
        <div class="field-frame">
            { small_frame(&picture, PICTURE_PX, state.display.theme) }
            <div role="status">
                <p class="second">{ format!("frame {} of {count}", place + 1) }</p>
                <p class="fact quiet">{ "turn to" }</p>
                <p class="figure turn-to">{ degrees_to(frame.bearing, 0) }</p>
                <p class="second">{ format!("({name}), {up} up") }</p>
                <p class="fact quiet">{ turn_message(taken.turn) }</p>
            </div>
        </div>
    }
}

/// How far to turn from the frame before; nothing for the first.
fn turn_message(turn: Angle) -> String {
    let side = if turn < Angle::ZERO { "left" } else { "right" };
    let turn = Angle::from_degrees(turn.degrees().abs());
    if turn.degrees() < 0.5 {
        return String::new();
    }
    format!("{} to the {side}", degrees_to(turn, 0))
}

/// Back, and the next frame; before the first and after the last they lead to the plan.
pub(super) fn field_keys(place: usize, count: usize, dispatch: &Dispatch) -> Html {
    let back = if place == 0 {
        PanoramaAction::FieldEnd
    } else {
        PanoramaAction::FieldBack
    };
    let (word, next) = if place + 1 < count {
        ("Next frame", PanoramaAction::FieldNext(count))
    } else {
        ("All taken", PanoramaAction::FieldEnd)
    };
    html! {
        <div class="field-keys">
            <button id="panorama-back" type="button" onclick={on_click(dispatch, back)}>
                { "Back" }
            </button>
            <button
                id="panorama-next"
                type="button"
                class="chief"
                onclick={on_click(dispatch, next)}
            >
                { word }
            </button>
        </div>
    }
}
