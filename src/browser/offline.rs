//! The offline copy of the page, kept by the service worker.
//!
//! A new version is fetched completely in the background and waits until the photographer accepts
//! it; two versions never mix.

use std::rc::Rc;

use gloo_events::EventListener;
use wasm_bindgen::JsCast;
use wasm_bindgen_futures::{JsFuture, spawn_local};
use web_sys::{
    ServiceWorker, ServiceWorkerContainer, ServiceWorkerRegistration, ServiceWorkerState,
};

/// The script that keeps the copy.
const SCRIPT: &str = "sw.js";

/// The message that makes a waiting version take over; the script has it too.
const TAKE_OVER: &str = "take-over";

/// The browser's service worker container; `None` where the page is not served securely.
fn container() -> Option<ServiceWorkerContainer> {
    let navigator = web_sys::window()?.navigator();
    let there = js_sys::Reflect::get(&navigator, &"serviceWorker".into());
    there
        .is_ok_and(|value| !value.is_undefined())
        .then(|| navigator.service_worker())
}

/// Registers the service worker, and reports each new version that waits.
pub fn start(waiting: impl Fn() + 'static) {
    let Some(container) = container() else {
        return;
    };
    let waiting = Rc::new(waiting);
    spawn_local(async move {
        let Ok(registered) = JsFuture::from(container.register(SCRIPT)).await else {
            return;
        };
        if registered.is_undefined() {
            return;
        }
        // `register` resolves to this type by its standard
        let registration: ServiceWorkerRegistration = registered.unchecked_into();
        if registration.waiting().is_some() && container.controller().is_some() {
            waiting();
        }
        listen_for_updates(registration, waiting);
    });
}

/// Reports when a new version has been fetched, for as long as the page lives.
fn listen_for_updates(registration: ServiceWorkerRegistration, waiting: Rc<impl Fn() + 'static>) {
    let found = registration.clone();
    EventListener::new(&registration, "updatefound", move |_| {
        let Some(worker) = found.installing() else {
            return;
        };
        let waiting = waiting.clone();
        let coming: ServiceWorker = worker.clone();
        EventListener::new(&worker, "statechange", move |_| {
            let replaces = container().is_some_and(|container| container.controller().is_some());
            if coming.state() == ServiceWorkerState::Installed && replaces {
                waiting();
            }
        })
        .forget();
    })
    .forget();
}

/// Activates the waiting version and reloads the page.
pub fn take_over() {
    let Some(container) = container() else {
        return;
    };
    let listened = container.clone();
    EventListener::once(&listened, "controllerchange", |_| reload()).forget();
    spawn_local(async move {
        let Ok(found) = JsFuture::from(container.get_registration()).await else {
            return;
        };
        if found.is_undefined() {
            return;
        }
        let registration: ServiceWorkerRegistration = found.unchecked_into();
        match registration.waiting() {
            // without the message it takes over when the page is next opened
            Some(worker) => drop(worker.post_message(&TAKE_OVER.into())),
            // another page has already activated it
            None => reload(),
        }
    });
}

fn reload() {
    if let Some(window) = web_sys::window() {
        // if reloading fails, the new version shows when the page is next opened
        let _ = window.location().reload();
    }
}
