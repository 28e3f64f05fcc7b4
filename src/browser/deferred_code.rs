//! The part of the program that the first answer does not need, fetched once that stands.
//!
//! The build tool cuts it out of the program and names its file in a `<meta>` of the page. It
//! shares the program's memory, and until it is loaded its functions must not be called.

use std::cell::Cell;

use js_sys::{Object, Reflect, Uint8Array, WebAssembly};
use wasm_bindgen::{JsCast, JsValue};
use wasm_bindgen_futures::{JsFuture, spawn_local};
use web_sys::Response;

use super::page_file;

/// The element that names the file.
const NAME: &str = "deferred-program";

/// The name by which the part imports the program's exports.
const PROGRAM: &str = "p";

const NOT_LOADED: &str = "This part of the page could not be loaded; try again where there is a \
                          signal";

thread_local! {
    static LOADING: Cell<bool> = const { Cell::new(false) };
}

/// Loads the part and reports success or an error message; does nothing while it is being loaded.
pub fn load(done: impl FnOnce(Result<(), String>) + 'static) {
    if LOADING.replace(true) {
        return;
    }
    spawn_local(async move {
        let loaded = instantiate().await;
        LOADING.set(false);
        done(loaded.ok_or_else(|| NOT_LOADED.to_owned()));
    });
}

async fn instantiate() -> Option<()> {
    let window = web_sys::window()?;
    let file = page_file::address(NAME)?;
    let response = JsFuture::from(window.fetch_with_str(&file)).await.ok()?;
    let response: Response = response.dyn_into().ok()?;
    if !response.ok() {
        return None;
    }
    let bytes = JsFuture::from(response.array_buffer().ok()?).await.ok()?;
    let bytes = Uint8Array::new(&bytes).to_vec();
    let imports = Object::new();
    let exports: JsValue = wasm_bindgen::exports();
    Reflect::set(&imports, &PROGRAM.into(), &exports).ok()?;
    // it puts its functions into the program's table and has nothing else to give
    let instance = WebAssembly::instantiate_buffer(&bytes, &imports);
    JsFuture::from(instance).await.ok().map(|_| ())
}
