//! The offline copy of the page, kept by the service worker.
//!
//! A new version is fetched whole in the background and waits until the photographer says so; two
//! versions never mix. Where the copy could not be made, it is tried again: after half a minute and
//! ever longer waits, when the phone is online again, and when the page is shown again.

use std::cell::{Cell, RefCell};
use std::rc::Rc;

use gloo_events::EventListener;
use gloo_timers::callback::Timeout;
use js_sys::Reflect;
use wasm_bindgen::{JsCast, JsValue};
use wasm_bindgen_futures::{JsFuture, spawn_local};
use web_sys::{
    MessageEvent, ServiceWorker, ServiceWorkerContainer, ServiceWorkerRegistration,
    ServiceWorkerState, VisibilityState,
};

use super::{page_file, storage, time_zone};

/// The script that keeps the copy.
const SCRIPT: &str = "sw.js";

/// The element that names the version.
const VERSION: &str = "version";

/// Messages to the script, which has the same words.
const TAKE_OVER: &str = "take-over";
const IS_COPY_WHOLE: &str = "copy";
const STARTED: &str = "started ";

/// Where the page's front notes the versions that did not start; see `index.html`.
const TRIED: &str = "tarnlight.tried";

/// The first wait before the copy is tried again, ms, and the longest: each is twice the one before.
const FIRST_WAIT_MS: u32 = 30_000;
const LONGEST_WAIT_MS: u32 = 1_800_000;

/// How long after the last time a page that is shown again looks for a new version, ms: an hour.
const UPDATE_AGE_MS: i64 = 3_600_000;

/// State of the offline copy.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub enum CopyStatus {
    /// It is being made or checked.
    #[default]
    InProgress,
    /// It is complete: the page opens without a signal.
    Complete,
    /// It could not be made.
    Failed(Failure),
    /// The browser supports none for this page.
    Unsupported,
}

/// Why the copy could not be made.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Failure {
    /// The phone's storage is full.
    Full,
    /// The server answered with something else in place of this file.
    WrongFile(String),
    /// The connection failed.
    Connection,
}

/// What is reported to the page.
pub enum Report {
    /// How the copy stands.
    Copy(CopyStatus),
    /// A new version waits.
    NewVersion,
}

impl CopyStatus {
    /// Reads the script's message on the copy.
    fn read(words: &str) -> Option<Self> {
        let said = words.strip_prefix("copy ")?;
        match said {
            "whole" => Some(Self::Complete),
            "full" => Some(Self::Failed(Failure::Full)),
            "cut" => Some(Self::Failed(Failure::Connection)),
            _ => {
                let file = said.strip_prefix("wrong ")?;
                Some(Self::Failed(Failure::WrongFile(file.to_owned())))
            }
        }
    }
}

/// The browser's service workers; `None` where the page is not served securely.
fn container() -> Option<ServiceWorkerContainer> {
    let navigator = web_sys::window()?.navigator();
    let there = Reflect::get(&navigator, &"serviceWorker".into());
    there
        .is_ok_and(|value| !value.is_undefined())
        .then(|| navigator.service_worker())
}

/// Whether another version had to be given up for this one, since it did not start. Asked once.
pub fn another_did_not_start() -> bool {
    let Some(tried) = storage::tab_get(TRIED) else {
        return false;
    };
    storage::tab_remove(TRIED);
    let own = page_file::address(VERSION).unwrap_or_default();
    tried.split_whitespace().any(|version| version != own)
}

/// Keeps the copy, as long as the page lives.
struct OfflineCopy {
    container: ServiceWorkerContainer,
    report: Box<dyn Fn(Report)>,
    copy: RefCell<CopyStatus>,
    wait_ms: Cell<u32>,
    /// The next try.
    retry: RefCell<Option<Timeout>>,
    /// When a new version was looked for last.
    updated_ms: Cell<i64>,
}

/// Starts to keep the copy, and reports how it stands and each new version that waits.
pub fn start(report: impl Fn(Report) + 'static) {
    let Some(container) = container() else {
        report(Report::Copy(CopyStatus::Unsupported));
        return;
    };
    let offline_copy = Rc::new(OfflineCopy {
        container,
        report: Box::new(report),
        copy: RefCell::default(),
        wait_ms: Cell::new(FIRST_WAIT_MS),
        retry: RefCell::default(),
        updated_ms: Cell::new(now_ms()),
    });
    offline_copy.listen();
    offline_copy.make();
}

impl OfflineCopy {
    /// Listens as long as the page lives.
    fn listen(self: &Rc<Self>) {
        let offline_copy = self.clone();
        EventListener::new(&self.container, "message", move |event| {
            let words = event
                .dyn_ref()
                .and_then(|event: &MessageEvent| event.data().as_string());
            if let Some(copy) = words.and_then(|words| CopyStatus::read(&words)) {
                offline_copy.set_status(copy);
            }
        })
        .forget();
        let Some(window) = web_sys::window() else {
            return;
        };
        let offline_copy = self.clone();
        EventListener::new(&window, "online", move |_| offline_copy.try_again()).forget();
        if let Some(document) = window.document() {
            let offline_copy = self.clone();
            EventListener::new(&document.clone(), "visibilitychange", move |_| {
                if document.visibility_state() == VisibilityState::Visible {
                    offline_copy.shown();
                }
            })
            .forget();
        }
    }

    /// The page is looked at again.
    fn shown(self: &Rc<Self>) {
        self.try_again();
        let now_ms = now_ms();
        if now_ms - self.updated_ms.get() < UPDATE_AGE_MS {
            return;
        }
        self.updated_ms.set(now_ms);
        let offline_copy = self.clone();
        spawn_local(async move {
            if let Some(registration) = offline_copy.registration().await {
                // one that fails is tried again an hour later
                if let Ok(update) = registration.update() {
                    let _ = JsFuture::from(update).await;
                }
                post(registration.active(), IS_COPY_WHOLE);
            }
        });
    }

    /// Makes the copy unless it is there.
    fn try_again(self: &Rc<Self>) {
        if matches!(*self.copy.borrow(), CopyStatus::Failed(_)) {
            self.make();
        }
    }

    /// Reports the state of the copy, and schedules another try after a failure.
    fn set_status(self: &Rc<Self>, copy: CopyStatus) {
        if copy == CopyStatus::Complete {
            self.wait_ms.set(FIRST_WAIT_MS);
        }
        let retry = matches!(copy, CopyStatus::Failed(_)).then(|| {
            let wait_ms = self.wait_ms.get();
            self.wait_ms
                .set(wait_ms.saturating_mul(2).min(LONGEST_WAIT_MS));
            let offline_copy = self.clone();
            Timeout::new(wait_ms, move || offline_copy.make())
        });
        self.retry.replace(retry);
        self.copy.replace(copy.clone());
        (self.report)(Report::Copy(copy));
    }

    /// Has the copy made, or looked at where there is one.
    fn make(self: &Rc<Self>) {
        let offline_copy = self.clone();
        spawn_local(async move {
            offline_copy.set_status(CopyStatus::InProgress);
            match JsFuture::from(offline_copy.container.register(SCRIPT)).await {
                Ok(registered) if registered.is_undefined() => {
                    offline_copy.set_status(CopyStatus::Unsupported)
                }
                // what registering gives, by its standard
                Ok(registered) => offline_copy.registered(registered.unchecked_into()),
                Err(why) => offline_copy.set_status(registration_error(&why)),
            }
        });
    }

    fn registered(self: &Rc<Self>, registration: ServiceWorkerRegistration) {
        if registration.waiting().is_some() && self.container.controller().is_some() {
            (self.report)(Report::NewVersion);
        }
        if let Some(active) = registration.active() {
            let version = page_file::address(VERSION).unwrap_or_default();
            post(Some(active.clone()), &[STARTED, &version].concat());
            post(Some(active), IS_COPY_WHOLE);
        }
        // a version may be on its way already
        self.follow(registration.installing());
        self.follow(registration.waiting());
        let (offline_copy, found) = (self.clone(), registration.clone());
        EventListener::new(&registration, "updatefound", move |_| {
            offline_copy.follow(found.installing());
        })
        .forget();
    }

    /// Follows a version that is being fetched.
    fn follow(self: &Rc<Self>, worker: Option<ServiceWorker>) {
        let Some(worker) = worker else {
            return;
        };
        let offline_copy = self.clone();
        let coming = worker.clone();
        EventListener::new(&worker, "statechange", move |_| {
            let replaces = offline_copy.container.controller().is_some();
            match coming.state() {
                ServiceWorkerState::Installed if replaces => {
                    (offline_copy.report)(Report::NewVersion)
                }
                ServiceWorkerState::Activated => post(Some(coming.clone()), IS_COPY_WHOLE),
                // it has said why, unless the browser stopped it
                ServiceWorkerState::Redundant if !replaces => offline_copy.interrupted(),
                _ => {}
            }
        })
        .forget();
    }

    fn interrupted(self: &Rc<Self>) {
        let making = *self.copy.borrow() == CopyStatus::InProgress;
        if making {
            self.set_status(CopyStatus::Failed(Failure::Connection));
        }
    }

    async fn registration(&self) -> Option<ServiceWorkerRegistration> {
        let found = JsFuture::from(self.container.get_registration())
            .await
            .ok()?;
        (!found.is_undefined()).then(|| found.unchecked_into())
    }
}

/// Sends a worker a message; a failure is as an answer that does not come.
fn post(worker: Option<ServiceWorker>, words: &str) {
    if let Some(worker) = worker {
        let _ = worker.post_message(&words.into());
    }
}

/// Why a browser does not register the script.
fn registration_error(why: &JsValue) -> CopyStatus {
    let name = Reflect::get(why, &"name".into());
    let name = name.ok().and_then(|name| name.as_string());
    match name.as_deref() {
        // the script could not be fetched
        Some("TypeError" | "AbortError") => CopyStatus::Failed(Failure::Connection),
        Some("QuotaExceededError") => CopyStatus::Failed(Failure::Full),
        // it came as another type, as a sign-in page does
        Some("SecurityError")
            if web_sys::window().is_some_and(|window| storage_is_open(&window)) =>
        {
            CopyStatus::Failed(Failure::WrongFile(SCRIPT.to_owned()))
        }
        _ => CopyStatus::Unsupported,
    }
}

fn storage_is_open(window: &web_sys::Window) -> bool {
    window
        .local_storage()
        .is_ok_and(|storage| storage.is_some())
}

fn now_ms() -> i64 {
    time_zone::now().timestamp_millis()
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

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_words_of_the_script_are_read() {
        let wrong = CopyStatus::Failed(Failure::WrongFile("a b.css".to_owned()));
        let cases = [
            ("copy whole", Some(CopyStatus::Complete)),
            ("copy full", Some(CopyStatus::Failed(Failure::Full))),
            ("copy cut", Some(CopyStatus::Failed(Failure::Connection))),
            ("copy wrong a b.css", Some(wrong)),
            ("copy", None),
            ("copy half", None),
            ("start another", None),
        ];
        for (words, copy) in cases {
            assert_eq!(CopyStatus::read(words), copy, "{words}");
        }
    }
}
