//! The frame as a sketch: its sky, land, thirds, and the subject with its path.

use yew::prelude::*;

use crate::decimal::fixed;
use crate::outing::framing::scene::Place;
use crate::ui::layout::Size;
use crate::ui::state::State;
use crate::ui::state::derived::Derived;
use crate::ui::state::derived::sky_images::Grain;
use crate::ui::text::framing;
use crate::ui::widgets::sky_canvas::SkyCanvas;
use crate::ui::widgets::svg_path::SvgPath;

/// Half length of the subject's sign, px.
const SIGN_PX: f64 = 9.0;

/// The frame at the minute looked at, as large as the room allows.
pub fn sketch(state: &State, derived: &Derived, room: Size) -> Html {
    let view = derived.answer(state).view;
    let scene = derived.scene(state, view);
    let size = room.fitted(view.sensor.width_mm / view.sensor.height_mm);
    let image = derived.frame_sky(state, scene.view, size, Grain::Small);
    let label = framing::view(state.outing(), &derived.night(state), scene.sky.core);
    let put = |(x, y): Place| (x * size.width, y * size.height);
    let areas = |areas: &[Vec<Place>]| {
        let mut path = SvgPath::default();
        for area in areas {
            path.polyline(area.iter().map(|place| put(*place)));
        }
        path.finish()
    };
    let mut thirds = SvgPath::default();
    for third in [1.0 / 3.0, 2.0 / 3.0] {
        thirds.move_to(put((third, 0.0))).line_to(put((third, 1.0)));
        thirds.move_to(put((0.0, third))).line_to(put((1.0, third)));
    }
    let sign = scene.sky.core.map(|place| {
        let (x, y) = put(place);
        html! { <circle class="core-sign" cx={fixed(x, 1)} cy={fixed(y, 1)} r={fixed(SIGN_PX / 2.0, 1)} /> }
    });
    let (land, path) = (&scene.land, &scene.core_path);
    let [width, height] = [size.width, size.height].map(|length| fixed(length, 0));
    html! {
        <div class="sketch">
            <SkyCanvas {image} {size} theme={state.display.theme} />
            <svg
                class="drawing"
                role="img"
                aria-label={label}
                viewBox={["0 0 ", &width, " ", &height].concat()}
                {width}
                {height}
            >
                <path class="far" d={areas(&land.ridge)} />
                <path class="near" d={areas(&land.ground)} />
                <path class="skyline" d={areas(&land.sighted)} />
                <path class="skyline" d={areas(&land.unsighted)} />
                <path class="thirds" d={thirds.finish()} />
                <path class="way hidden" d={areas(&path.outside)} />
                <path class="way" d={areas(&path.window)} />
                { sign.unwrap_or_default() }
            </svg>
        </div>
    }
}
