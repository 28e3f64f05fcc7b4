//! Signs for the core and the Moon in drawings.

use yew::prelude::*;

use crate::decimal::fixed;
use crate::ui::widgets::svg_path::SvgPath;

/// Half width of the core's spindle over its half length.
const SLENDER: f64 = 0.42;

/// Points of a half circle.
const POINTS: usize = 16;

/// The core at a place, px: a spindle that lies along the band, whose direction is given to the
/// right and up; half as long as `reach_px`.
pub fn core_sign((x, y): (f64, f64), (right, up): (f64, f64), reach_px: f64) -> Html {
    let put = |along: f64, across: f64| {
        let (along, across) = (along * reach_px, across * reach_px * SLENDER);
        (
            x + along * right + across * up,
            y - along * up + across * right,
        )
    };
    let mut path = SvgPath::default();
    path.move_to(put(-1.0, 0.0));
    path.curve_to(put(0.0, 1.3), put(1.0, 0.0));
    path.curve_to(put(0.0, -1.3), put(-1.0, 0.0));
    html! { <path class="core-sign" d={path.finish()} /> }
}

/// The Moon at a place, px, with its illuminated fraction; the Sun's direction is given to the
/// right and up.
pub fn moon_disc((x, y): (f64, f64), radius_px: f64, lit: f64, (right, up): (f64, f64)) -> Html {
    // along points to the Sun, across at right angles
    let put = |along: f64, across: f64| {
        (
            x + radius_px * (along * right + across * up),
            y - radius_px * (along * up - across * right),
        )
    };
    let mut path = SvgPath::default();
    // the lit limb from horn to horn, and the terminator back
    let rim = (0..=2 * POINTS).map(|step| {
        let turn = std::f64::consts::PI * (step as f64 / POINTS as f64 - 0.5);
        let (across, along) = turn.sin_cos();
        put(
            if step <= POINTS {
                along
            } else {
                // half an ellipse whose axis is 2 lit − 1 of the limb's
                along * (2.0 * lit - 1.0)
            },
            across,
        )
    });
    path.polyline(rim);
    html! {
        <g>
            <circle
                class="moon-dark"
                cx={fixed(x, 1)}
                cy={fixed(y, 1)}
                r={fixed(radius_px, 1)}
            />
            <path class="moon-lit" d={path.finish()} />
        </g>
    }
}
