//! When what was drawn is seen.
//!
//! Source: WHATWG, *HTML*, section 8.11 (animation frames): their callbacks run just before a frame is
//! painted.

use gloo_timers::callback::Timeout;
use wasm_bindgen::JsCast;
use wasm_bindgen::closure::Closure;

/// How long style, layout and painting of a screen may take on a slow phone, ms: a dozen in Chromium, four times
/// that when slowed four times.
const PAINTING_MS: u32 = 50;

/// Calls once what has been drawn so far is painted; while the page is hidden, not yet.
pub fn after_next(call: impl FnOnce() + 'static) {
    let frame = Closure::once_into_js(move || Timeout::new(PAINTING_MS, call).forget());
    if let Some(window) = web_sys::window() {
        // there is always a window, and it takes any function
        let _ = window.request_animation_frame(frame.unchecked_ref());
    }
}
