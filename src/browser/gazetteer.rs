//! The bundled places of the world, opened when somebody looks for a town.

use std::cell::OnceCell;

use wasm_bindgen::JsCast;
use wasm_bindgen_futures::{JsFuture, spawn_local};
use web_sys::Response;

use crate::outing::gazetteer::Gazetteer;

/// The file, beside the page and in its offline copy.
const FILE: &str = "places.txt";

thread_local! {
    static PLACES: OnceCell<Gazetteer> = const { OnceCell::new() };
}

/// Asks the places something, if they are open.
pub fn ask<T>(question: impl FnOnce(&Gazetteer) -> T) -> Option<T> {
    PLACES.with(|places| places.get().map(question))
}

/// Opens the places and reports when they are there, or a sentence. What is
/// open stays so.
pub fn open(done: impl FnOnce(Result<(), String>) + 'static) {
    if ask(|_| ()).is_some() {
        done(Ok(()));
        return;
    }
    spawn_local(async move {
        let opened = match fetched().await.as_deref().map(Gazetteer::read) {
            Some(Ok(places)) => {
                // a second opening finds the first one's
                let _ = PLACES.with(|held| held.set(places));
                Ok(())
            }
            Some(Err(why)) => Err(why.to_string()),
            None => Err("the list of towns could not be opened; type the place instead".to_owned()),
        };
        done(opened);
    });
}

async fn fetched() -> Option<String> {
    let window = web_sys::window()?;
    let response = JsFuture::from(window.fetch_with_str(FILE)).await.ok()?;
    let response: Response = response.dyn_into().ok()?;
    if !response.ok() {
        return None;
    }
    JsFuture::from(response.text().ok()?)
        .await
        .ok()?
        .as_string()
}
