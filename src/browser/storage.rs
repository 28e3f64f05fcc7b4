//! Texts that the browser keeps: for all tabs between visits, and for one tab while it is
//! open.

use gloo_events::EventListener;
use wasm_bindgen::JsCast;
use web_sys::{Storage, StorageEvent};

/// What is said when nothing can be stored.
pub const BLOCKED: &str =
    "this browser keeps nothing for this page; what you type is lost when it closes";

fn local() -> Option<Storage> {
    web_sys::window()?.local_storage().ok()?
}

fn session() -> Option<Storage> {
    web_sys::window()?.session_storage().ok()?
}

/// The text under a key; `None` when there is none or the browser refuses.
pub fn get(key: &str) -> Option<String> {
    local()?.get_item(key).ok()?
}

/// Stores a text, or says that it cannot.
pub fn set(key: &str, text: &str) -> Result<(), String> {
    let stored = local().and_then(|storage| storage.set_item(key, text).ok());
    stored.ok_or_else(|| BLOCKED.to_owned())
}

/// Removes the text under a key.
pub fn remove(key: &str) {
    if let Some(storage) = local() {
        // a browser that stores nothing has nothing to remove
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

/// The text that this tab keeps under a key.
pub fn tab_get(key: &str) -> Option<String> {
    session()?.get_item(key).ok()?
}

/// Keeps a text for this tab, where the browser does so.
pub fn tab_set(key: &str, text: &str) {
    if let Some(storage) = session() {
        // a tab that keeps nothing starts from what all tabs share
        let _ = storage.set_item(key, text);
    }
}

/// Reports each key that another tab changes. Dropped, it stops.
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

/// Calls when the page is being left. Dropped, it no longer does.
pub fn on_page_hide(hidden: impl Fn() + 'static) -> Option<EventListener> {
    let window = web_sys::window()?;
    Some(EventListener::new(&window, "pagehide", move |_| hidden()))
}
