//! In the field: the frame to take now, where to turn for it, and one tap for the next.

use yew::prelude::*;

use crate::angle::Angle;
use crate::decimal::fixed;
use crate::outing::framing::scene::Place;
use crate::ui::layout::Size;
use crate::ui::state::State;
use crate::ui::state::derived::Derived;
use crate::ui::state::derived::panorama::PanoramaFrame;
use crate::ui::state::derived::sky_images::Grain;
use crate::ui::state::panorama::PanoramaAction;
use crate::ui::text::exposure::degrees_to;
use crate::ui::text::night::{bearing, compass};
use crate::ui::widgets::dispatch::{Dispatch, on_click};
use crate::ui::widgets::sky_canvas::SkyCanvas;
use crate::ui::widgets::svg_path::SvgPath;

/// Most a frame's picture takes, px.
const PICTURE: Size = Size {
    width: 140.0,
    height: 190.0,
};

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
    html! {
        <div class="field-frame">
            { picture(state, derived, taken) }
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

fn picture(state: &State, derived: &Derived, taken: &PanoramaFrame) -> Html {
    let view = state.outing().view_of(taken.frame);
    let size = PICTURE.fitted(view.sensor.width_mm / view.sensor.height_mm);
    let land = derived.small_frame_land(state, view);
    let image = derived.frame_sky(state, view, size, Grain::Small);
    let lines = |lines: &[Vec<Place>]| {
        let mut path = SvgPath::default();
        for line in lines {
            path.polyline(line.iter().map(|(x, y)| (x * size.width, y * size.height)));
        }
        path.finish()
    };
    let (width, height) = (fixed(size.width, 0), fixed(size.height, 0));
    let label = format!("the frame towards {}", bearing(taken.frame.bearing));
    html! {
        <div class="unrolled small-frame">
            <SkyCanvas {image} {size} theme={state.display.theme} />
            <svg
                class="drawing"
                role="img"
                aria-label={label}
                viewBox={format!("0 0 {width} {height}")}
                width={width}
                height={height}
            >
                <path class="land" d={lines(&land.ridge)} />
                <path class="near" d={lines(&land.ground)} />
                <path class="skyline" d={lines(&land.sighted)} />
                <path class="skyline" d={lines(&land.unsighted)} />
            </svg>
        </div>
    }
}

/// Back, and the next frame; before the first and after the last they lead to the plan.
pub(super) fn field_keys(place: usize, count: usize, dispatch: &Dispatch) -> Html {
    let back = if place == 0 {
        PanoramaAction::FieldEnd
    } else {
        PanoramaAction::FieldBack
    };
    let (word, next) = if place + 1 < count {
        ("Taken, next", PanoramaAction::FieldNext(count))
    } else {
        ("Taken, done", PanoramaAction::FieldEnd)
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
