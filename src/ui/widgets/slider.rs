//! A drawing with a cursor that a thumb, a tap or keys move along it.

use std::rc::Rc;

use wasm_bindgen::JsCast;
use web_sys::{Element, KeyboardEvent, PointerEvent};
use yew::prelude::*;

use crate::decimal::fixed;
use crate::ui::state::action::Action;
use crate::ui::widgets::dispatch::Dispatch;

/// What a slider is and reports.
pub struct Slider {
    /// Class of the drawing.
    pub class: &'static str,
    /// What is moved, for a screen reader.
    pub label: &'static str,
    /// Least and greatest value of the scale.
    pub bounds: (&'static str, &'static str),
    /// The value at the cursor.
    pub value: String,
    /// The value as a screen reader speaks it.
    pub value_text: String,
    /// Whether the cursor moves down the drawing, not to the right.
    pub vertical: bool,
    /// Shares of the drawing's length at which the scale begins and ends.
    pub ends: (f64, f64),
    /// The action for a pointer at a share of the scale, 0 to 1.
    pub pointed: Rc<dyn Fn(f64) -> Action>,
    /// The action for a key, by the key's name.
    pub keyed: Rc<Keyed>,
}

/// The action for a key, if it has one.
type Keyed = dyn Fn(&str) -> Option<Action>;

/// A slider whose drawing has this size in its own units.
pub fn slider(slider: Slider, size: (f64, f64), drawn: Vec<Html>, dispatch: &Dispatch) -> Html {
    let Slider {
        class,
        label,
        bounds,
        value,
        value_text,
        vertical,
        ends,
        pointed,
        keyed,
    } = slider;
    let moved = |always: bool| {
        let (dispatch, pointed) = (dispatch.clone(), pointed.clone());
        Callback::from(move |event: PointerEvent| {
            // a pointer that only passes over moves nothing
            if (always || event.buttons() != 0)
                && let Some(along) = along(&event, vertical, ends)
            {
                dispatch.emit(pointed(along));
            }
        })
    };
    let onkeydown = {
        let dispatch = dispatch.clone();
        Callback::from(move |event: KeyboardEvent| {
            if let Some(action) = keyed(&event.key()) {
                event.prevent_default();
                dispatch.emit(action);
            }
        })
    };
    html! {
        <svg
            role="slider"
            tabindex="0"
            {class}
            aria-label={label}
            aria-orientation={vertical.then_some("vertical")}
            aria-valuemin={bounds.0}
            aria-valuemax={bounds.1}
            aria-valuenow={value}
            aria-valuetext={value_text}
            viewBox={format!("0 0 {} {}", fixed(size.0, 0), fixed(size.1, 0))}
            onpointerdown={moved(true)}
            onpointermove={moved(false)}
            {onkeydown}
        >
            { for drawn }
        </svg>
    }
}

/// The share of the scale under the pointer.
fn along(event: &PointerEvent, vertical: bool, ends: (f64, f64)) -> Option<f64> {
    let target: Element = event.target()?.dyn_into().ok()?;
    let drawing = target.closest("[role=slider]").ok()??;
    // a mouse that leaves the drawing goes on moving the cursor, as a finger does without capture
    let _ = drawing.set_pointer_capture(event.pointer_id());
    let bounds = drawing.get_bounding_client_rect();
    let share = if vertical {
        (f64::from(event.client_y()) - bounds.top()) / bounds.height()
    } else {
        (f64::from(event.client_x()) - bounds.left()) / bounds.width()
    };
    let along = (share - ends.0) / (ends.1 - ends.0);
    along.is_finite().then(|| along.clamp(0.0, 1.0))
}
