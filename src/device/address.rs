//! The part of the address after `#`, which carries the outing.

use gloo_events::EventListener;
use wasm_bindgen::JsValue;

use crate::outing::form::{self, Reading};

/// What stands after `#`, if anything does.
pub fn text() -> Option<String> {
    let hash = web_sys::window()?.location().hash().ok()?;
    let text = hash.strip_prefix('#').unwrap_or(&hash);
    (!text.is_empty()).then(|| text.to_owned())
}

/// Puts a text after `#` without a new step in the history.
pub fn write(text: &str) {
    let Some(window) = web_sys::window() else {
        return;
    };
    if let Ok(history) = window.history() {
        let hash = format!("#{text}");
        // Browsers refuse when it is done too often; the next change catches up.
        let _ = history.replace_state_with_url(&JsValue::NULL, "", Some(&hash));
    }
}

/// Listens for an address changed by hand. Dropped, it listens no more.
pub fn on_change(arrived: impl Fn(Reading) + 'static) -> Option<EventListener> {
    let window = web_sys::window()?;
    let listener = EventListener::new(&window, "hashchange", move |_| {
        if let Some(text) = text() {
            arrived(form::read(&text));
        }
    });
    Some(listener)
}
