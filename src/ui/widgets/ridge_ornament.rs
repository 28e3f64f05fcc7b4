//! The page's own ornament: ridges one behind another, drawn in thin lines.

use yew::prelude::*;

/// Ridge lines from far to near, in a box of 360 × 90.
const RIDGES: [&str; 4] = [
    "M0 52 L34 41 L58 46 L92 24 L112 33 L141 18 L169 36 L203 27 L240 44 L276 31 L311 42 L360 29",
    "M0 66 L28 60 L61 64 L97 44 L128 55 L160 47 L196 60 L229 51 L262 61 L301 48 L331 56 L360 50",
    "M0 77 L44 70 L83 76 L121 63 L158 73 L199 66 L238 76 L281 65 L322 74 L360 68",
    "M0 87 L52 81 L104 86 L149 78 L201 86 L252 80 L307 86 L360 81",
];

/// Class of the land below each.
const LANDS: [&str; 4] = ["land-0", "land-1", "land-2", "land-3"];

/// Layered ridges across the width of the element they are put in.
pub fn ridge_ornament() -> Html {
    let layer = |(ridge, land): (&'static str, &'static str)| {
        html! {
            <>
                <path class={land} d={format!("{ridge} L360 90 L0 90 Z")} />
                <path class="line" vector-effect="non-scaling-stroke" d={ridge} />
            </>
        }
    };
    html! {
        <svg class="ridges" viewBox="0 0 360 90" preserveAspectRatio="none" aria-hidden="true">
            { for RIDGES.into_iter().zip(LANDS).map(layer) }
        </svg>
    }
}
