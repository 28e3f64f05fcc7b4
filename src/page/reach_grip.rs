//! Holds the reach chart: a thumb, a tap or keys move the lens along it.

use std::rc::Rc;

use yew::prelude::*;

use super::slider::{Slider, slider};
use super::state::Action;
use super::tap::Send;
use crate::decimal::fixed;
use crate::outing::kit::next_focal_mm;
use crate::outing::reach::{LONGEST_MM, SHORTEST_MM};

/// A drawing of all lenses, `ends` of its width being the chart's, that can be
/// gripped; `said` tells of the lens looked at.
pub fn gripped(
    tried_mm: f64,
    ends: (f64, f64),
    size: (f64, f64),
    drawn: Vec<Html>,
    said: String,
    send: &Send,
) -> Html {
    let tried = |focal_mm: f64| Action::LensTried(Some(focal_mm));
    let held = Slider {
        fixed: &[
            ("class", "reach"),
            ("aria-label", "lens looked at"),
            ("aria-valuemin", "10"),
            ("aria-valuemax", "600"),
        ],
        changing: vec![
            ("aria-valuenow", fixed(tried_mm, 0)),
            ("aria-valuetext", said),
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
    slider(held, size, drawn, send)
}
