//! Writing to the clipboard.

use js_sys::{Function, Promise, Reflect};
use wasm_bindgen::{JsCast, JsValue};
use wasm_bindgen_futures::{JsFuture, spawn_local};
use web_sys::HtmlTextAreaElement;

/// Copies a text and reports whether it succeeded; on failure all text of the named text box is
/// selected, to be copied by hand.
pub fn copy(text: &str, marked: &'static str, done: impl FnOnce(bool) + 'static) {
    let promise = write(text);
    spawn_local(async move {
        let copied = match promise {
            Some(promise) => JsFuture::from(promise).await.is_ok(),
            None => false,
        };
        if !copied {
            mark(marked);
        }
        done(copied);
    });
}

fn mark(name: &str) -> Option<()> {
    let document = web_sys::window()?.document()?;
    let area: HtmlTextAreaElement = document.get_element_by_id(name)?.dyn_into().ok()?;
    // the selection works without the focus
    let _ = area.focus();
    area.select();
    Some(())
}

/// Starts writing; `None` without a clipboard.
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
