//! Shares a text file: by the phone's share sheet where there is one, else as a download.

use js_sys::{Array, Function, Object, Promise, Reflect};
use wasm_bindgen::{JsCast, JsValue};
use wasm_bindgen_futures::{JsFuture, spawn_local};
use web_sys::{Blob, BlobPropertyBag, File, FilePropertyBag, HtmlElement, Url};

/// Shares a text as a file of a name and media type; reports an error message on failure.
pub fn share_text(
    name: &'static str,
    kind: &'static str,
    text: &str,
    tell: impl Fn(String) + 'static,
) {
    let parts = Array::of1(&text.into());
    if let Some(shared) = share(name, kind, &parts) {
        let parts = parts.clone();
        spawn_local(async move {
            let failed = JsFuture::from(shared).await.err();
            // closed by the user: not an error, and no download
            let closed = failed.as_ref().is_some_and(|why| named(why, "AbortError"));
            if failed.is_some() && !closed && download(name, kind, &parts).is_none() {
                tell("this browser hands over no files".to_owned());
            }
        });
    } else if download(name, kind, &parts).is_none() {
        tell("this browser hands over no files".to_owned());
    }
}

fn named(error: &JsValue, name: &str) -> bool {
    Reflect::get(error, &"name".into()).is_ok_and(|found| found == name)
}

/// Opens the share sheet with the file; `None` where there is none.
fn share(name: &str, kind: &str, parts: &Array) -> Option<Promise> {
    let options = FilePropertyBag::new();
    options.set_type(kind);
    let file = File::new_with_str_sequence_and_options(parts, name, &options).ok()?;
    let data = Object::new();
    Reflect::set(&data, &"files".into(), &Array::of1(&file)).ok()?;
    let navigator: JsValue = web_sys::window()?.navigator().into();
    let call = |name: &str| -> Option<JsValue> {
        let function = Reflect::get(&navigator, &name.into()).ok()?;
        function
            .dyn_into::<Function>()
            .ok()?
            .call1(&navigator, &data)
            .ok()
    };
    if call("canShare")?.is_falsy() {
        return None;
    }
    call("share")?.dyn_into().ok()
}

fn download(name: &str, kind: &str, parts: &Array) -> Option<()> {
    let options = BlobPropertyBag::new();
    options.set_type(kind);
    let blob = Blob::new_with_str_sequence_and_options(parts, &options).ok()?;
    let address = Url::create_object_url_with_blob(&blob).ok()?;
    let document = web_sys::window()?.document()?;
    let link: HtmlElement = document.create_element("a").ok()?.dyn_into().ok()?;
    link.set_attribute("href", &address).ok()?;
    link.set_attribute("download", name).ok()?;
    link.click();
    // the browser has read the file by the time `click` returns
    Url::revoke_object_url(&address).ok()
}
