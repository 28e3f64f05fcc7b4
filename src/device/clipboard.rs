//! The phone's clipboard, where a page may write to it.

use js_sys::{Function, Promise, Reflect};
use wasm_bindgen::{JsCast, JsValue};
use wasm_bindgen_futures::{JsFuture, spawn_local};

/// Copies a text, and tells whether that could be done.
pub fn copy(text: &str, done: impl FnOnce(bool) + 'static) {
    let Some(copied) = write(text) else {
        done(false);
        return;
    };
    spawn_local(async move { done(JsFuture::from(copied).await.is_ok()) });
}

/// Asks for it; nothing where there is no clipboard.
fn write(text: &str) -> Option<Promise> {
    let navigator: JsValue = web_sys::window()?.navigator().into();
    let clipboard = Reflect::get(&navigator, &"clipboard".into()).ok()?;
    let function = Reflect::get(&clipboard, &"writeText".into()).ok()?;
    let function: Function = function.dyn_into().ok()?;
    function
        .call1(&clipboard, &text.into())
        .ok()?
        .dyn_into()
        .ok()
}
