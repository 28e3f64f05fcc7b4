//! The focal-length chart as a slider: a thumb, a tap or keys choose the lens looked at.

use std::rc::Rc;

use yew::prelude::*;

use crate::decimal::fixed;
use crate::outing::exposure::by_focal_length::{LONGEST_MM, SHORTEST_MM};
use crate::outing::plan::kit::next_focal_mm;
use crate::ui::state::views::TrackingAction;
use crate::ui::widgets::dispatch::Dispatch;
use crate::ui::widgets::slider::{Slider, slider};

/// A slider over all focal lengths; `ends` are the shares of the drawing's width
/// at which the scale begins and ends, `message` describes the lens looked at.
pub fn focal_length_slider(
    tried_mm: f64,
    ends: (f64, f64),
    size: (f64, f64),
    drawn: Vec<Html>,
    message: String,
    dispatch: &Dispatch,
) -> Html {
    let tried = |focal_mm: f64| TrackingAction::TryLens(Some(focal_mm)).into();
    let focal_lengths = Slider {
        class: "reach drawing",
        label: "lens looked at",
        bounds: ("10", "600"),
        value: fixed(tried_mm, 0),
        value_text: message,
        ends,
        // by equal factors, to the whole millimetre
        pointed: Rc::new(move |along| {
            let factor = (along * (LONGEST_MM / SHORTEST_MM).ln()).exp();
            tried((SHORTEST_MM * factor).round())
        }),
        keyed: Rc::new(move |key| {
            Some(tried(match key {
                "ArrowRight" | "ArrowUp" => next_focal_mm(tried_mm, true),
                "ArrowLeft" | "ArrowDown" => next_focal_mm(tried_mm, false),
                "Home" => SHORTEST_MM,
                "End" => LONGEST_MM,
                _ => return None,
            }))
        }),
    };
    slider(focal_lengths, size, drawn, dispatch)
}
