//! A drawing with a cursor that a thumb, a tap or keys move along it.

use std::cell::Cell;
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
        ends,
        pointed,
        keyed,
    } = slider;
    let touched = |touch: Touch| {
        let (dispatch, pointed) = (dispatch.clone(), pointed.clone());
        Callback::from(move |event: PointerEvent| {
            if follows_pointer(touch, &event)
                && let Some(share) = scale_share(&event, ends)
            {
                dispatch.emit(pointed(share));
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
            aria-valuemin={bounds.0}
            aria-valuemax={bounds.1}
            aria-valuenow={value}
            aria-valuetext={value_text}
            viewBox={format!("0 0 {} {}", fixed(size.0, 0), fixed(size.1, 0))}
            onpointerdown={touched(Touch::Down)}
            onpointermove={touched(Touch::Move)}
            onpointerup={touched(Touch::Up)}
            onpointercancel={touched(Touch::Cancel)}
            {onkeydown}
        >
            { for drawn }
        </svg>
    }
}

/// What a pointer does.
#[derive(Clone, Copy)]
enum Touch {
    Down,
    Move,
    Up,
    Cancel,
}

/// How far a finger moves before it is clear which way it goes, px.
const SLOP_PX: f64 = 8.0;

thread_local! {
    /// Where a finger came down that has not yet moved along a slider; there is one at a time. The
    /// drawing is made anew while it moves, so this outlives it.
    static UNDECIDED: Cell<Option<(f64, f64)>> = const { Cell::new(None) };
}

/// Whether the cursor goes where the pointer is. A finger that scrolls the page over the drawing
/// moves nothing: it must first move along the slider, or be lifted where it came down.
fn follows_pointer(touch: Touch, event: &PointerEvent) -> bool {
    let at = (f64::from(event.client_x()), f64::from(event.client_y()));
    let finger = event.pointer_type() == "touch";
    match touch {
        Touch::Down => {
            UNDECIDED.set(finger.then_some(at));
            !finger
        }
        // a pointer that only passes over moves nothing
        Touch::Move if event.buttons() == 0 => false,
        Touch::Move => {
            let Some(down) = UNDECIDED.get() else {
                return true;
            };
            let (along, across) = ((at.0 - down.0).abs(), (at.1 - down.1).abs());
            let decided = along > SLOP_PX && along > across;
            if decided {
                UNDECIDED.set(None);
            }
            decided
        }
        Touch::Up => UNDECIDED
            .take()
            .is_some_and(|down| (at.0 - down.0).hypot(at.1 - down.1) <= SLOP_PX),
        Touch::Cancel => {
            UNDECIDED.set(None);
            false
        }
    }
}

/// The share of the scale under the pointer.
fn scale_share(event: &PointerEvent, ends: (f64, f64)) -> Option<f64> {
    let target: Element = event.target()?.dyn_into().ok()?;
    let drawing = target.closest("[role=slider]").ok()??;
    // a mouse that leaves the drawing goes on moving the cursor, as a finger does without capture
    let _ = drawing.set_pointer_capture(event.pointer_id());
    let bounds = drawing.get_bounding_client_rect();
    let share = (f64::from(event.client_x()) - bounds.left()) / bounds.width();
    let along = (share - ends.0) / (ends.1 - ends.0);
    along.is_finite().then(|| along.clamp(0.0, 1.0))
}
