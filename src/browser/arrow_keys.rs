//! Left and right arrows pressed anywhere on the page where they mean nothing else.

use gloo_events::EventListener;
use wasm_bindgen::JsCast;
use web_sys::{Element, KeyboardEvent};

/// Elements in which arrows move something of their own, and sheets.
const WITH_ARROWS: &str = "input, select, textarea, dialog, summary, [role=slider]";

/// An arrow that was pressed.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Arrow {
    /// Whether it points to the right.
    pub right: bool,
    /// Whether it was pressed together with Shift.
    pub shift: bool,
}

/// Reports arrows; dropping the listener ends it. Nothing of the page scrolls sideways, so that the
/// browser's own use of them is left as it is.
pub fn listen(pressed: impl Fn(Arrow) + 'static) -> Option<EventListener> {
    let window = web_sys::window()?;
    let read = move |event: &web_sys::Event| {
        let Some(event) = event.dyn_ref::<KeyboardEvent>() else {
            return;
        };
        let right = match event.key().as_str() {
            "ArrowRight" => true,
            "ArrowLeft" => false,
            _ => return,
        };
        let other = event.alt_key() || event.ctrl_key() || event.meta_key();
        let target = event.target().and_then(|target| target.dyn_into().ok());
        let taken = target
            .is_some_and(|target: Element| matches!(target.closest(WITH_ARROWS), Ok(Some(_))));
        let arrow = Arrow {
            right,
            shift: event.shift_key(),
        };
        if !other && !taken && !event.default_prevented() {
            pressed(arrow);
        }
    };
    Some(EventListener::new(&window, "keydown", read))
}
