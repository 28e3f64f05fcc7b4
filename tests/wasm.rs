//! Tests of the WebAssembly itself, run in a headless browser.
#![cfg(target_arch = "wasm32")]

use wasm_bindgen_test::{wasm_bindgen_test, wasm_bindgen_test_configure};

wasm_bindgen_test_configure!(run_in_browser);

#[wasm_bindgen_test]
fn runs_in_a_page() {
    let document = web_sys::window().and_then(|window| window.document());
    assert!(document.is_some_and(|document| document.body().is_some()));
}
