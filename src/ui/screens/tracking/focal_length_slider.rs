//! Holds the reach chart: a thumb, a tap or keys move the lens along it.

use crate::ui::state::views::TrackingAction;
use std::rc::Rc;

use yew::prelude::*;

use crate::decimal::fixed;
use crate::outing::exposure::by_focal_length::{LONGEST_MM, SHORTEST_MM};
use crate::outing::plan::kit::next_focal_mm;
use crate::ui::widgets::dispatch::Dispatch;
use crate::ui::widgets::slider::{Slider, slider};

/// A drawing of all lenses, `ends` of its width being the chart's, that can be
/// gripped; `message` tells of the lens looked at.
pub fn draggable(
    tried_mm: f64,
    ends: (f64, f64),
    size: (f64, f64),
    drawn: Vec<Html>,
    message: String,
    dispatch: &Dispatch,
) -> Html {
    let tried = |focal_mm: f64| TrackingAction::TryLens(Some(focal_mm)).into();
    let held = Slider {
        fixed: &[
            ("class", "reach"),
            ("aria-label", "lens looked at"),
            ("aria-valuemin", "10"),
            ("aria-valuemax", "600"),
        ],
        changing: vec![
            ("aria-valuenow", fixed(tried_mm, 0)),
            ("aria-valuetext", message),
        ],
        down: false,
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
    slider(held, size, drawn, dispatch)
}
