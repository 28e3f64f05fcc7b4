//! The offline copy of the page, kept by the service worker.
//!
//! A new version is fetched whole in the background and waits until the
//! photographer says so; two versions never mix.

use std::rc::Rc;

use gloo_events::EventListener;
use wasm_bindgen::JsCast;
use wasm_bindgen_futures::{JsFuture, spawn_local};
use web_sys::{
    ServiceWorker, ServiceWorkerContainer, ServiceWorkerRegistration, ServiceWorkerState,
};

/// The script that keeps the copy.
const SCRIPT: &str = "sw.js";

/// What tells a waiting version to take over; the script knows it too.
const TAKE_OVER: &str = "take-over";

/// The browser's keeper of service workers; none where the page is not served
/// securely.
fn container() -> Option<ServiceWorkerContainer> {
    let navigator = web_sys::window()?.navigator();
    let there = js_sys::Reflect::get(&navigator, &"serviceWorker".into());
    there
        .is_ok_and(|value| !value.is_undefined())
        .then(|| navigator.service_worker())
}

/// Starts keeping the copy, and reports each new version that waits.
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
        // what registering gives, by its standard
        let registration: ServiceWorkerRegistration = registered.unchecked_into();
        if registration.waiting().is_some() && container.controller().is_some() {
            waiting();
        }
        report_updates(registration, waiting);
    });
}

/// Reports when a new version has been fetched. Listens as long as the page
/// lives.
fn report_updates(registration: ServiceWorkerRegistration, waiting: Rc<impl Fn() + 'static>) {
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

/// Lets the waiting version take over and opens the page again under it.
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
        // the browser may still list it as installing; it then does not wait at all
        let next = registration.waiting().or_else(|| registration.installing());
        match next {
            // a worker that cannot be told takes over when the page is next opened
            Some(worker) => drop(worker.post_message(&TAKE_OVER.into())),
            // another page has let it take over already
            None => reload(),
        }
    });
}

fn reload() {
    if let Some(window) = web_sys::window() {
        // a browser that will not reload now does so when the page is next opened
        let _ = window.location().reload();
    }
}
