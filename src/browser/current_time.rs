//! The current time, reported while the page is visible.
//!
//! A page left open for a day must not show the night before as tonight. So the clock is read when
//! the page becomes visible, and each minute while it is; a hidden page reads nothing.

use std::cell::RefCell;
use std::rc::Rc;

use chrono::{DateTime, Utc};
use gloo_events::EventListener;
use gloo_timers::callback::Interval;
use web_sys::{Document, VisibilityState};

use crate::browser::time_zone;

/// Time between two readings, ms.
const MINUTE_MS: u32 = 60_000;

/// The subscription; dropping it ends it.
pub struct CurrentTime {
    _minutes: Rc<RefCell<Option<Interval>>>,
    _seen: Option<EventListener>,
}

/// Reports the time whenever the page becomes visible, and each minute while it is; not at once.
pub fn listen(read: impl Fn(DateTime<Utc>) + 'static) -> CurrentTime {
    let read: Rc<dyn Fn(DateTime<Utc>)> = Rc::new(read);
    let minutes = Rc::new(RefCell::new(None));
    let document = web_sys::window().and_then(|window| window.document());
    if document.as_ref().is_some_and(in_view) {
        *minutes.borrow_mut() = Some(each_minute(read.clone()));
    }
    let seen = document.map(|document| {
        let minutes = minutes.clone();
        EventListener::new(&document.clone(), "visibilitychange", move |_| {
            // replacing the interval drops and so cancels it
            *minutes.borrow_mut() = in_view(&document).then(|| {
                read(time_zone::now());
                each_minute(read.clone())
            });
        })
    });
    CurrentTime {
        _minutes: minutes,
        _seen: seen,
    }
}

fn in_view(document: &Document) -> bool {
    document.visibility_state() == VisibilityState::Visible
}

fn each_minute(read: Rc<dyn Fn(DateTime<Utc>)>) -> Interval {
    Interval::new(MINUTE_MS, move || read(time_zone::now()))
}
