//! The bundled gazetteer, fetched when a town is first searched for.

use std::cell::OnceCell;

use wasm_bindgen::JsCast;
use wasm_bindgen_futures::{JsFuture, spawn_local};
use web_sys::Response;

use super::page_file;
use crate::outing::gazetteer::Gazetteer;

/// The element that names the file.
const NAME: &str = "places";

thread_local! {
    static PLACES: OnceCell<Gazetteer> = const { OnceCell::new() };
}

/// Calls a function with the gazetteer, if it is loaded.
pub fn with_gazetteer<T>(question: impl FnOnce(&Gazetteer) -> T) -> Option<T> {
    PLACES.with(|places| places.get().map(question))
}

/// Loads the gazetteer and reports success or an error message. It stays loaded.
pub fn open(done: impl FnOnce(Result<(), String>) + 'static) {
    if with_gazetteer(|_| ()).is_some() {
        done(Ok(()));
        return;
    }
    spawn_local(async move {
        let opened = match fetch().await.as_deref().map(Gazetteer::read) {
            Some(Ok(places)) => {
                // if another load finished first, its result stays
                let _ = PLACES.with(|cell| cell.set(places));
                Ok(())
            }
            Some(Err(why)) => Err(why.to_string()),
            None => Err("the list of towns could not be opened; type the place instead".to_owned()),
        };
        done(opened);
    });
}

async fn fetch() -> Option<String> {
    let window = web_sys::window()?;
    let file = page_file::address(NAME)?;
    let response = JsFuture::from(window.fetch_with_str(&file)).await.ok()?;
    let response: Response = response.dyn_into().ok()?;
    if !response.ok() {
        return None;
    }
    JsFuture::from(response.text().ok()?)
        .await
        .ok()?
        .as_string()
}
