//! The part of the address after `#`, which carries the outing.

use gloo_events::EventListener;
use wasm_bindgen::JsValue;

use crate::browser::storage;
use crate::outing::share::query::{self, DecodedPlan};

/// Where the tab remembers the last two texts that the page itself wrote into
/// its address, a line each. Two, since the address may be written once more
/// while the page is being opened again with the text before.
const WRITTEN: &str = "tarnlight.written";

/// The outing of a link that somebody opened; nothing where the address only
/// says what the page itself wrote, which may be older than what is kept.
pub fn link() -> Option<DecodedPlan> {
    let text = text()?;
    let own = remembered().split('\n').any(|line| line == text);
    (!own).then(|| query::read(&text))
}

fn remembered() -> String {
    let tab = storage::tab();
    tab.and_then(|tab| tab.get_item(WRITTEN).ok()?)
        .unwrap_or_default()
}

/// The address of the page as it is served, without what stands after `#`;
/// empty where the browser does not tell.
pub fn page() -> String {
    let place = web_sys::window().map(|window| window.location());
    let part = |part: Option<String>| part.unwrap_or_default();
    let origin = place.as_ref().and_then(|place| place.origin().ok());
    part(origin) + &part(place.and_then(|place| place.pathname().ok()))
}

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
    let before = remembered();
    let last = before.split('\n').next().unwrap_or_default();
    if last == text {
        return;
    }
    if let Some(tab) = storage::tab() {
        // a tab that remembers nothing takes its own address for a link
        let _ = tab.set_item(WRITTEN, &format!("{text}\n{last}"));
    }
}

/// Listens for an address changed by hand. Dropped, it listens no more.
pub fn on_change(arrived: impl Fn(DecodedPlan) + 'static) -> Option<EventListener> {
    let window = web_sys::window()?;
    let listener = EventListener::new(&window, "hashchange", move |_| {
        if let Some(text) = text() {
            arrived(query::read(&text));
        }
    });
    Some(listener)
}
