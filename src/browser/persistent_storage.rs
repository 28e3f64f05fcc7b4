//! Whether the browser may delete what is stored here.
//!
//! Browsers delete what a page stored when the phone's storage runs short, and some when the page
//! was not opened for a week, unless they are asked not to or the page is on the home screen.
//!
//! Source: WHATWG, *Storage Standard*, section 5 (`persist`, `persisted`).

use gloo_events::EventListener;
use js_sys::{Function, Promise, Reflect};
use wasm_bindgen::{JsCast, JsValue};
use wasm_bindgen_futures::{JsFuture, spawn_local};

/// What is known of how long the browser keeps what is stored.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Keeping {
    /// Until it is deleted by hand, or nothing is known.
    #[default]
    Lasting,
    /// Until the phone's storage runs short.
    UntilShort,
    /// Until the page has not been opened for seven days.
    ///
    /// Source: J. Wilander, *Full Third-Party Cookie Blocking and More*, `WebKit` 2020.
    SevenDays,
}

/// Finds out how long things are kept, without asking for more.
pub fn find_out(found: impl FnOnce(Keeping) + 'static) {
    answer("persisted", found);
}

/// Asks the browser to keep things for good; some ask the photographer in turn.
pub fn request(found: impl FnOnce(Keeping) + 'static) {
    answer("persist", found);
}

/// The same at the first tap, for what was kept before anything was tapped: nobody is to be asked
/// about a page that they have yet to see.
pub fn request_at_first_tap(found: impl FnOnce(Keeping) + 'static) -> Option<EventListener> {
    let window = web_sys::window()?;
    Some(EventListener::once(&window, "click", move |_| {
        request(found);
    }))
}

fn answer(method: &'static str, found: impl FnOnce(Keeping) + 'static) {
    if installed() {
        return;
    }
    spawn_local(async move {
        let promise = navigator_property("storage").and_then(|storage| call(&storage, method, &[]));
        let lasting = match promise.and_then(|promise| promise.dyn_into::<Promise>().ok()) {
            Some(promise) => JsFuture::from(promise).await.ok(),
            None => None,
        };
        let short_lived = || match navigator_property("standalone") {
            // only where pages are deleted after a week
            Some(_) => Keeping::SevenDays,
            None => Keeping::UntilShort,
        };
        match lasting.and_then(|lasting| lasting.as_bool()) {
            Some(true) => found(Keeping::Lasting),
            _ => found(short_lived()),
        }
    });
}

/// Whether the page was opened from the home screen, where it is kept.
fn installed() -> bool {
    let query = "(display-mode: standalone)".into();
    let query = web_sys::window().and_then(|window| call(&window, "matchMedia", &[query]));
    let matches = query.and_then(|query| Reflect::get(&query, &"matches".into()).ok());
    matches.is_some_and(|matches| matches.is_truthy())
        || navigator_property("standalone").is_some_and(|value| value.is_truthy())
}

/// A property that not every browser has.
fn navigator_property(name: &str) -> Option<JsValue> {
    let navigator = web_sys::window()?.navigator();
    let value = Reflect::get(&navigator, &name.into()).ok()?;
    (!value.is_undefined()).then_some(value)
}

/// Calls a method that not every browser has.
fn call(object: &JsValue, method: &str, arguments: &[JsValue]) -> Option<JsValue> {
    let method = Reflect::get(object, &method.into()).ok()?;
    let method: Function = method.dyn_into().ok()?;
    method.apply(object, &arguments.iter().collect()).ok()
}
