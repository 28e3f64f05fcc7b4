//! What moves with the minute: the plumb line with its readout, and the core.

use yew::prelude::*;

use crate::decimal::fixed;
use crate::outing::night::status::CoreStanding;
use crate::ui::state::derived::selected_night::{SelectedNight, days_of};
use crate::ui::text::night as words;
use crate::ui::widgets::bodies::core_sign;
use crate::ui::widgets::svg_path::SvgPath;

use super::scale::NightScale;

/// Half length of the core's sign, px.
const CORE_PX: f64 = 13.0;

/// The bob: half its width, above and below the ground's edge, px.
const BOB_PX: (f64, f64, f64) = (8.0, 15.0, 10.0);

/// Width of the readout, px.
const READOUT_PX: f64 = 126.0;

/// Size of the headline on a phone on its side, px.
const WORDS_PX: (f64, f64) = (310.0, 118.0);

/// The plumb line, the readout and the core; nothing while the minute is outside the picture.
/// `under_words` tells whether the headline lies over the upper left corner.
pub fn cursor(
    selected: &SelectedNight,
    scale: &NightScale,
    along_band: (f64, f64),
    under_words: bool,
) -> Vec<Html> {
    let at = days_of(selected.minute);
    if !scale.shows(at) {
        return Vec::new();
    }
    let (x, level) = (scale.x(at), scale.level_px());
    let mut line = SvgPath::default();
    line.move_to((x, 0.0)).line_to((x, level));
    let (half, up, down) = BOB_PX;
    let mut bob = SvgPath::default();
    let corners = [(-half, 0.0), (0.0, -up), (half, 0.0), (0.0, down)];
    bob.polyline(corners.map(|(right, below)| (x + right, level - 3.0 + below)));
    let status = selected.status();
    let core = if status.standing == CoreStanding::Clear {
        let place = (x, scale.y(status.altitude.0.degrees()));
        core_sign(place, along_band, CORE_PX)
    } else {
        Html::default()
    };
    let right = x + READOUT_PX < scale.size.width - 4.0;
    let (words_x, anchor) = if right {
        (x + 10.0, "start")
    } else {
        (x - 10.0, "end")
    };
    let reaches = if right { words_x } else { words_x - READOUT_PX };
    let top = if under_words && reaches < WORDS_PX.0 {
        WORDS_PX.1
    } else {
        0.0
    };
    let word = |class: &'static str, down: f64, word: String| {
        html! {
            <text {class} x={fixed(words_x, 1)} y={fixed(top + down, 1)} text-anchor={anchor}>
                { word }
            </text>
        }
    };
    vec![
        html! { <path class="plumb" d={line.finish()} /> },
        html! { <path class="bob" d={bob.finish() + "Z"} /> },
        core,
        word("at", 24.0, words::time(selected.local(at))),
        word("stands", 45.0, words::stands(selected)),
    ]
}
