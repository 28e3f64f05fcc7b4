//! Where the sky stands in the camera's histogram, as a sketch.

use yew::prelude::*;

use crate::decimal::fixed;
use crate::outing::exposure::settings::Settings;
use crate::ui::widgets::svg_path::SvgPath;

/// Height of the drawing, and of the foot and the top of the hill, px.
const HEIGHT_PX: f64 = 84.0;
const FOOT_PX: f64 = 60.0;
const TOP_PX: f64 = 8.0;

/// Half width of the hill, as a share of the whole (a sketch; a sky's hill is widened by noise and
/// by the darker corners).
const HALF: f64 = 0.06;

/// The words at both ends need so much room, px.
const ENDS_PX: f64 = 75.0;

/// The sketch, of this width.
pub fn histogram(settings: &Settings, width_px: f64) -> Html {
    let at = settings.exposure_level.in_histogram;
    let hill = (0..=110).map(|step| {
        let share = f64::from(step) / 110.0;
        let off = (share - at) / HALF;
        (
            share * width_px,
            FOOT_PX - (FOOT_PX - TOP_PX) * (-off * off).exp(),
        )
    });
    let mut path = SvgPath::default();
    path.polyline(hill);
    let percent = fixed(100.0 * at, 0);
    let label = [
        "the sky's peak stands ",
        &percent,
        " % of the way from left to right",
    ]
    .concat();
    let word = |x: f64, anchor: &'static str, word: String| {
        html! {
            <text x={fixed(x, 0)} y={fixed(HEIGHT_PX - 4.0, 0)} text-anchor={anchor}>{ word }</text>
        }
    };
    let middle = (at * width_px).max(ENDS_PX).min(width_px - ENDS_PX);
    html! {
        <svg
            class="histogram drawing"
            role="img"
            aria-label={label}
            viewBox={["0 0 ", &fixed(width_px, 0), " ", &fixed(HEIGHT_PX, 0)].concat()}
        >
            <path d={path.finish()} />
            { word(0.0, "start", "black".to_owned()) }
            { word(middle, "middle", percent + " %") }
            { word(width_px, "end", "white".to_owned()) }
        </svg>
    }
}
