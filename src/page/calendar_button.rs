//! The shot window as a file for the phone's calendar.

use yew::prelude::*;

use super::element::{button, nothing, text};
use super::night_words as words;
use super::shown::Shown;
use super::state::{Action, Notice};
use super::tap::Send;
use super::window_words;
use super::words::kit;
use crate::device::{clock, hand_over};
use crate::outing::calendar::{Event, calendar_file};
use crate::outing::plan::Outing;

/// The button; nothing where there is no window.
pub fn calendar_button(outing: &Outing, shown: &Shown, send: &Send) -> Html {
    let Some(window) = shown.evening.best() else {
        return nothing();
    };
    let at = |days: f64| shown.evening.start.plus_days(days).instant();
    let event = Event {
        title: format!("Core, {}", window_words::allowed_short(outing)),
        description: vec![
            window_words::sentence(shown, outing),
            words::clock(shown),
            kit(&outing.kit, outing.f_number),
        ],
        location: words::site(&outing.site),
        latitude: outing.site.latitude,
        longitude: outing.site.longitude,
        start: at(window.span.start),
        end: at(window.span.end),
        stamp: clock::now(),
    };
    let send = send.clone();
    let tapped = Callback::from(move |_| {
        let event = Event {
            stamp: clock::now(),
            ..event.clone()
        };
        let file = calendar_file(&event);
        let told = send.clone();
        hand_over::text("shot-window.ics", "text/calendar", &file, move |sentence| {
            told.emit(Action::Noticed(Notice::Said(sentence)));
        });
    });
    button(
        &[("class", "wide after")],
        Vec::new(),
        tapped,
        vec![text("Put the window into a calendar")],
    )
}
