//! Reading a small text file chosen by the user.

use wasm_bindgen_futures::{JsFuture, spawn_local};
use web_sys::File;

use crate::outing::share::file::{MOST_BYTES, TOO_LARGE};

/// Reads a file as text, or reports an error message. Invalid UTF-8 becomes U+FFFD, which no parser
/// here accepts.
pub fn open(file: &File, done: impl FnOnce(Result<String, String>) + 'static) {
    if file.size() > MOST_BYTES as f64 {
        done(Err(TOO_LARGE.to_owned()));
        return;
    }
    let text = file.text();
    spawn_local(async move {
        let text = JsFuture::from(text).await.ok();
        let text = text.and_then(|text| text.as_string());
        done(text.ok_or_else(|| "the phone could not open this file".to_owned()));
    });
}
