//! A picture that another program handed over to the page on the home screen.
//!
//! The service worker takes it in, keeps it and opens the page with a mark in the address; the page
//! fetches it from there once.

use std::cell::Cell;

use js_sys::Array;
use wasm_bindgen::JsCast;
use wasm_bindgen_futures::{JsFuture, spawn_local};
use web_sys::{Blob, File, FilePropertyBag, Response};

use super::url_hash;

/// The picture's address, relative to the page; the service worker knows it too.
const PICTURE: &str = "shared-picture";

/// The mark in the address.
const MARK: &str = "?shared-picture";

thread_local! {
    /// Whether there is a picture to fetch.
    static WAITS: Cell<bool> = const { Cell::new(false) };
}

/// Whether the page was opened for a picture. The address then no longer says so, so that a reload
/// asks for none.
pub fn arrived() -> bool {
    let Some(window) = web_sys::window() else {
        return false;
    };
    let marked = window
        .location()
        .search()
        .is_ok_and(|search| search == MARK);
    if marked {
        url_hash::clear();
        WAITS.set(true);
    }
    marked
}

/// Takes the picture, where there is one.
pub fn take(taken: impl FnOnce(File) + 'static) {
    if !WAITS.replace(false) {
        return;
    }
    spawn_local(async move {
        if let Some(file) = fetch().await {
            taken(file);
        }
    });
}

async fn fetch() -> Option<File> {
    let window = web_sys::window()?;
    let response = JsFuture::from(window.fetch_with_str(PICTURE)).await.ok()?;
    let response: Response = response.dyn_into().ok()?;
    if !response.ok() {
        return None;
    }
    let blob = JsFuture::from(response.blob().ok()?).await.ok()?;
    let blob: Blob = blob.dyn_into().ok()?;
    let options = FilePropertyBag::new();
    options.set_type(&blob.type_());
    File::new_with_blob_sequence_and_options(&Array::of1(&blob), PICTURE, &options).ok()
}
