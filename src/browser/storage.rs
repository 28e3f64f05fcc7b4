//! Small texts kept by the browser between visits.

use web_sys::Storage;

/// What is said when nothing can be kept.
pub const BLOCKED: &str =
    "this browser keeps nothing for this page; what you type is lost when it closes";

fn storage() -> Option<Storage> {
    web_sys::window()?.local_storage().ok()?
}

/// What the browser keeps for as long as the tab is open.
pub(super) fn tab() -> Option<Storage> {
    web_sys::window()?.session_storage().ok()?
}

/// The text under a key; `None` when there is none or the browser refuses.
pub fn get(key: &str) -> Option<String> {
    storage()?.get_item(key).ok()?
}

/// Keeps a text, or says that it cannot.
pub fn set(key: &str, text: &str) -> Result<(), String> {
    let kept = storage().and_then(|storage| storage.set_item(key, text).ok());
    kept.ok_or_else(|| BLOCKED.to_owned())
}
