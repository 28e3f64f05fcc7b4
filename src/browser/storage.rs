//! The browser's storage: local storage for all tabs, session storage for one tab.

use std::rc::Rc;

use gloo_events::EventListener;
use wasm_bindgen::JsCast;
use web_sys::{PageTransitionEvent, Storage, StorageEvent, VisibilityState};

/// Error message when storage is blocked.
pub const BLOCKED: &str =
    "this browser keeps nothing for this page; what you type is lost when it closes";

fn local() -> Option<Storage> {
    web_sys::window()?.local_storage().ok()?
}

fn session() -> Option<Storage> {
    web_sys::window()?.session_storage().ok()?
}

/// The text under a key; `None` when there is none or storage is blocked.
pub fn get(key: &str) -> Option<String> {
    local()?.get_item(key).ok()?
}

/// Stores a text; an error message where it cannot.
pub fn set(key: &str, text: &str) -> Result<(), String> {
    let stored = local().and_then(|storage| storage.set_item(key, text).ok());
    stored.ok_or_else(|| BLOCKED.to_owned())
}

/// Removes the text under a key.
pub fn remove(key: &str) {
    if let Some(storage) = local() {
        // without storage there is nothing to remove
        let _ = storage.remove_item(key);
    }
}

/// The keys that begin with a prefix, without it, and their texts.
pub fn with_prefix(prefix: &str) -> Vec<(String, String)> {
    let Some(storage) = local() else {
        return Vec::new();
    };
    let count = storage.length().unwrap_or(0);
    let keys = (0..count).filter_map(|index| storage.key(index).ok()?);
    keys.filter_map(|key| {
        let text = storage.get_item(&key).ok()??;
        Some((key.strip_prefix(prefix)?.to_owned(), text))
    })
    .collect()
}

/// The text under a key in this tab's session storage.
pub fn tab_get(key: &str) -> Option<String> {
    session()?.get_item(key).ok()?
}

/// Stores a text in this tab's session storage, where there is one.
pub fn tab_set(key: &str, text: &str) {
    if let Some(storage) = session() {
        // without session storage the tab starts from local storage
        let _ = storage.set_item(key, text);
    }
}

/// Removes the text under a key of this tab's session storage.
pub fn tab_remove(key: &str) {
    if let Some(storage) = session() {
        // without session storage there is nothing to remove
        let _ = storage.remove_item(key);
    }
}

/// Reports each key that another tab changes, until dropped.
pub fn on_change(changed: impl Fn(&str) + 'static) -> Option<EventListener> {
    let window = web_sys::window()?;
    let listener = EventListener::new(&window, "storage", move |event| {
        let key = event.dyn_ref().and_then(StorageEvent::key);
        if let Some(key) = key {
            changed(&key);
        }
    });
    Some(listener)
}

/// Calls when the page is hidden or left. Phones that switch to another program may announce
/// the former alone. Dropped, it no longer does.
pub fn on_page_hide(hidden: impl Fn() + 'static) -> [Option<EventListener>; 2] {
    let Some(window) = web_sys::window() else {
        return [None, None];
    };
    let hidden = Rc::new(hidden);
    let left = {
        let hidden = hidden.clone();
        EventListener::new(&window, "pagehide", move |_| hidden())
    };
    let covered = window.document().map(|document| {
        EventListener::new(&document.clone(), "visibilitychange", move |_| {
            if document.visibility_state() == VisibilityState::Hidden {
                hidden();
            }
        })
    });
    [Some(left), covered]
}

/// Calls when the browser shows a page again that it had frozen; meanwhile no change of another
/// tab was reported. Dropped, it no longer does.
pub fn on_page_thaw(thawed: impl Fn() + 'static) -> Option<EventListener> {
    let window = web_sys::window()?;
    let listener = EventListener::new(&window, "pageshow", move |event| {
        let event = event.dyn_ref::<PageTransitionEvent>();
        if event.is_some_and(PageTransitionEvent::persisted) {
            thawed();
        }
    });
    Some(listener)
}
