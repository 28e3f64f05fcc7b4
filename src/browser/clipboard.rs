//! The phone's clipboard, where a page may write to it.

use js_sys::{Function, Promise, Reflect};
use wasm_bindgen::{JsCast, JsValue};
use wasm_bindgen_futures::{JsFuture, spawn_local};
use web_sys::HtmlTextAreaElement;

/// Copies a text, and tells whether that could be done; where it could not, the
/// text box named marks all of its text, to be copied by hand.
pub fn copy(text: &str, marked: &'static str, done: impl FnOnce(bool) + 'static) {
    let asked = write(text);
    spawn_local(async move {
        let copied = match asked {
            Some(asked) => JsFuture::from(asked).await.is_ok(),
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
    // a box that cannot take the focus is still there to be held
    let _ = area.focus();
    area.select();
    Some(())
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
