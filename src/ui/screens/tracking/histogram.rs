//! Where the sky stands in the camera's histogram, as a sketch.

use yew::prelude::*;

use crate::decimal::fixed;
use crate::outing::exposure::settings::Settings;
use crate::ui::widgets::element::{el_with, text};
use crate::ui::widgets::svg_path::SvgPath;

/// Size of the drawing, in its own units, which are about a pixel each.
const SIZE: (f64, f64) = (330.0, 84.0);

/// Foot and top of the hill.
const FOOT: f64 = 60.0;
const TOP: f64 = 8.0;

/// Half width of the hill, as a share of the whole (a sketch; a sky's hill is
/// widened by noise and by the darker corners).
const HALF: f64 = 0.06;

/// The words at both ends need so much room, in the drawing's units.
const ENDS: f64 = 95.0;

/// The sketch.
pub fn histogram(settings: &Settings) -> Html {
    let at = settings.exposure_level.in_histogram;
    let mut hill = SvgPath::default();
    hill.move_to((0.0, FOOT));
    for step in 0..=110 {
        let share = f64::from(step) / 110.0;
        let off = (share - at) / HALF;
        hill.line_to((share * SIZE.0, FOOT - (FOOT - TOP) * (-off * off).exp()));
    }
    hill.line_to((SIZE.0, FOOT));
    let percent = fixed(100.0 * at, 0);
    let label = format!("the sky's hill stands {percent} % of the way from left to right");
    let word = |x: f64, anchor: &'static str, word: &str| {
        let about = vec![
            ("x", fixed(x, 0)),
            ("y", fixed(SIZE.1 - 4.0, 0)),
            ("text-anchor", anchor.to_owned()),
        ];
        el_with("text", &[], about, vec![text(word.to_owned())])
    };
    el_with(
        "svg",
        &[
            ("class", "histogram"),
            ("role", "img"),
            ("viewBox", "0 0 330 84"),
        ],
        vec![("aria-label", label)],
        vec![
            el_with("path", &[], vec![("d", hill.finish())], Vec::new()),
            word(0.0, "start", "black"),
            word(
                (at * SIZE.0).max(ENDS).min(SIZE.0 - ENDS),
                "middle",
                &(percent + " %"),
            ),
            word(SIZE.0, "end", "white"),
        ],
    )
}
