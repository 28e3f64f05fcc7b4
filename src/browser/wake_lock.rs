//! Keeping the screen on.
//!
//! Browsers release the lock when the page is hidden; it is requested again when the page becomes
//! visible.

use std::cell::RefCell;
use std::rc::Rc;

use gloo_events::EventListener;
use js_sys::{Function, Promise, Reflect};
use wasm_bindgen::{JsCast, JsValue};
use wasm_bindgen_futures::{JsFuture, spawn_local};
use web_sys::VisibilityState;

const CANNOT: &str =
    "this phone does not let a page keep the screen on; set it in the phone instead";

/// A lock that is held until it is dropped.
pub struct WakeLock {
    shared: Rc<RefCell<Slot>>,
    _back: Option<EventListener>,
}

/// The browser's lock, and whether it is still wanted.
struct Slot {
    wanted: bool,
    lock: Option<JsValue>,
}

/// Requests the lock; reports an error message when the browser denies it.
pub fn acquire(denied: impl Fn(String) + 'static) -> WakeLock {
    let shared = Rc::new(RefCell::new(Slot {
        wanted: true,
        lock: None,
    }));
    let denied = Rc::new(denied);
    request_lock(shared.clone(), denied.clone());
    let document = web_sys::window().and_then(|window| window.document());
    let back = document.map(|document| {
        let shared = shared.clone();
        EventListener::new(&document.clone(), "visibilitychange", move |_| {
            if document.visibility_state() == VisibilityState::Visible {
                request_lock(shared.clone(), denied.clone());
            }
        })
    });
    WakeLock {
        shared,
        _back: back,
    }
}

impl Drop for WakeLock {
    fn drop(&mut self) {
        let lock = {
            let mut slot = self.shared.borrow_mut();
            slot.wanted = false;
            slot.lock.take()
        };
        if let Some(lock) = lock {
            release(&lock);
        }
    }
}

fn request_lock(shared: Rc<RefCell<Slot>>, denied: Rc<impl Fn(String) + 'static>) {
    spawn_local(async move {
        match request().await {
            Some(lock) => {
                let mut slot = shared.borrow_mut();
                if slot.wanted {
                    slot.lock = Some(lock);
                } else {
                    release(&lock);
                }
            }
            None => denied(CANNOT.to_owned()),
        }
    });
}

/// `navigator.wakeLock.request("screen")`, where supported.
async fn request() -> Option<JsValue> {
    let navigator = web_sys::window()?.navigator();
    let locks = Reflect::get(&navigator, &"wakeLock".into()).ok()?;
    let request = Reflect::get(&locks, &"request".into()).ok()?;
    let request = request.dyn_into::<Function>().ok()?;
    let promise = request.call1(&locks, &"screen".into()).ok()?;
    // `request` returns a promise by its standard
    JsFuture::from(promise.unchecked_into::<Promise>())
        .await
        .ok()
}

fn release(lock: &JsValue) {
    let release = Reflect::get(lock, &"release".into()).ok();
    if let Some(release) = release.and_then(|release| release.dyn_into::<Function>().ok()) {
        // fails only for a lock that is released already
        let _ = release.call0(lock);
    }
}
