//! A file the photographer opens. It is read here and goes nowhere.

use wasm_bindgen_futures::{JsFuture, spawn_local};
use web_sys::File;

/// A larger file is refused: it would fill a phone's memory, bytes.
const LARGEST: f64 = 300e6;

/// Reads a file and reports its bytes, or a sentence.
pub fn read(file: File, done: impl FnOnce(Result<Vec<u8>, String>) + 'static) {
    if file.size() > LARGEST {
        done(Err("this file is too large to open here".to_owned()));
        return;
    }
    spawn_local(async move {
        let buffer = JsFuture::from(file.array_buffer()).await;
        let bytes = buffer.map(|buffer| js_sys::Uint8Array::new(&buffer).to_vec());
        done(bytes.map_err(|_| "the phone could not open this file".to_owned()));
    });
}
