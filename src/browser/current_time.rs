//! The current time, reported while the page is visible.
//!
//! A page left open for a day must not show the night before as tonight, and one that follows the
//! clock must not lag behind the phone's. So the clock is read when the page becomes visible, and
//! every ten seconds while it is; a hidden page reads nothing.

use std::cell::RefCell;
use std::rc::Rc;

use chrono::{DateTime, Utc};
use gloo_events::EventListener;
use gloo_timers::callback::Interval;
use web_sys::{Document, VisibilityState};

use crate::browser::time_zone;

/// Time between two readings, ms: what a minute that is shown may be late.
const INTERVAL_MS: u32 = 10_000;

/// The subscription; dropping it ends it.
pub struct CurrentTime {
    _readings: Rc<RefCell<Option<Interval>>>,
    _seen: Option<EventListener>,
}

/// Reports the time whenever the page becomes visible, and every ten seconds while it is; not at
/// once.
pub fn listen(read: impl Fn(DateTime<Utc>) + 'static) -> CurrentTime {
    let read: Rc<dyn Fn(DateTime<Utc>)> = Rc::new(read);
    let readings = Rc::new(RefCell::new(None));
    let document = web_sys::window().and_then(|window| window.document());
    if document.as_ref().is_some_and(in_view) {
        *readings.borrow_mut() = Some(at_intervals(read.clone()));
    }
    let seen = document.map(|document| {
        let readings = readings.clone();
        EventListener::new(&document.clone(), "visibilitychange", move |_| {
            // replacing the interval drops and so cancels it
            *readings.borrow_mut() = in_view(&document).then(|| {
                read(time_zone::now());
                at_intervals(read.clone())
            });
        })
    });
    CurrentTime {
        _readings: readings,
        _seen: seen,
    }
}

fn in_view(document: &Document) -> bool {
    document.visibility_state() == VisibilityState::Visible
}

fn at_intervals(read: Rc<dyn Fn(DateTime<Utc>)>) -> Interval {
    Interval::new(INTERVAL_MS, move || read(time_zone::now()))
}
