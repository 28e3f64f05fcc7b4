//! In the field: the frame to take now, where to turn for it, and one tap for the next.

use yew::prelude::*;

use crate::angle::Angle;
use crate::camera::dial::Shutter;
use crate::outing::plan::Orientation;
use crate::ui::sheets::panorama::looks_straight_up;
use crate::ui::state::State;
use crate::ui::state::derived::Derived;
use crate::ui::state::derived::panorama::PanoramaFrame;
use crate::ui::state::panorama::PanoramaAction;
use crate::ui::text::field_card::iso;
use crate::ui::text::framing::compass_beside;
use crate::ui::text::night::{bearing, compass};
use crate::ui::text::units::{self, degrees_to};
use crate::ui::widgets::dispatch::{Dispatch, on_click};
use crate::ui::widgets::small_frame::small_frame;

/// Longer side of a frame's picture, px: of one held upright, and of a level one, beside which the
/// words are to have room.
const UPRIGHT_PX: f64 = 170.0;
const LEVEL_PX: f64 = 124.0;

/// The frame at a place among so many.
pub(super) fn field(
    state: &State,
    derived: &Derived,
    (place, count): (usize, usize),
    (taken, shutter): (&PanoramaFrame, Shutter),
) -> Html {
    let frame = taken.frame;
    let (turn_to, figure, point, towards) = if looks_straight_up(frame.tilt) {
        let top = format!("top of the frame to {}", bearing(frame.bearing));
        ("point", "up".to_owned(), None, top)
    } else {
        let up = format!("{} up", degrees_to(frame.tilt, 0));
        let point = format!("({})", compass(frame.bearing));
        ("turn to", degrees_to(frame.bearing, 0), Some(point), up)
    };
    let by_compass = compass_beside(frame.bearing, state.skyline.known_declination())
        .filter(|_| !looks_straight_up(frame.tilt));
    let settings = [
        units::shutter(shutter),
        units::f_stop(state.outing().f_number),
        ["ISO ", &iso(derived.iso_for_shutter(state, shutter))].concat(),
    ];
    let picture_px = match state.outing().orientation {
        Orientation::Portrait => UPRIGHT_PX,
        Orientation::Landscape => LEVEL_PX,
    };
    let picture = derived.turned_frame(state, state.outing().view_of(frame), picture_px);
    html! {
        <div class="field-frame">
            { small_frame(&picture, picture_px, state.display.theme) }
            <div role="status">
                <p class="second">{ format!("frame {} of {count}", place + 1) }</p>
                <p class="fact quiet">{ turn_to }</p>
                <p class="figure turn-to">
                    { figure }
                    if let Some(point) = point {
                        <small>{ [" ", &point].concat() }</small>
                    }
                </p>
                <p class="second">{ towards }</p>
                if let Some(compass) = by_compass {
                    <p class="fact">{ compass }</p>
                }
                <p class="fact quiet">{ turn_message(taken.turn) }</p>
                <p class="fact">{ settings.join(" · ") }</p>
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
