//! Holds the band: a thumb, a tap or keys move the cursor along it.

use std::rc::Rc;

use chrono::NaiveDate;
use wasm_bindgen::JsCast;
use web_sys::{Element, KeyboardEvent, PointerEvent};
use yew::html::{onkeydown, onpointerdown, onpointermove};
use yew::prelude::*;
use yew::virtual_dom::VTag;

use super::night_words as words;
use super::shown::{Shown, days_of, minute_of};
use super::state::Action;
use super::tap::Send;
use crate::decimal::fixed;
use crate::outing::plan::NIGHT_MIN;
use crate::sky::spans::Span;

/// What the drawing stands for.
#[derive(Clone, Copy)]
struct Held {
    date: NaiveDate,
    minute: u16,
    span: Span,
    /// Shares of the drawing's height at which the stretch begins and ends.
    ends: (f64, f64),
}

/// A drawing of a stretch of the night, `ends` of its height being the
/// stretch's, that can be gripped.
pub fn grip(
    shown: &Shown,
    span: Span,
    ends: (f64, f64),
    size: (f64, f64),
    drawn: Vec<Html>,
    send: &Send,
) -> Html {
    let held = Held {
        date: shown.date,
        minute: shown.minute,
        span,
        ends,
    };
    let said = format!(
        "{}: {}; {}",
        words::time(shown.local(days_of(shown.minute))),
        words::core_now(shown),
        words::moon_now(shown)
    );
    let mut tag = VTag::new("svg");
    for (key, value) in [
        ("class", "band"),
        ("role", "slider"),
        ("tabindex", "0"),
        ("aria-label", "time of night"),
        ("aria-orientation", "vertical"),
        ("aria-valuemin", "0"),
        ("aria-valuemax", "1439"),
    ] {
        tag.add_attribute(key, value);
    }
    tag.add_attribute("aria-valuenow", shown.minute.to_string());
    tag.add_attribute("aria-valuetext", said);
    tag.add_attribute(
        "viewBox",
        format!("0 0 {} {}", fixed(size.0, 0), fixed(size.1, 0)),
    );
    tag.add_children(drawn);
    let pointed = |always: bool| {
        let send = send.clone();
        Callback::from(move |event: PointerEvent| {
            // a pointer that only passes over holds nothing
            if always || event.buttons() != 0 {
                look(held, &event, &send);
            }
        })
    };
    let keyed = {
        let send = send.clone();
        Callback::from(move |event: KeyboardEvent| key(held, &event, &send))
    };
    tag.add_listener(Rc::new(onpointerdown::Wrapper::new(pointed(true))));
    tag.add_listener(Rc::new(onpointermove::Wrapper::new(pointed(false))));
    tag.add_listener(Rc::new(onkeydown::Wrapper::new(keyed)));
    tag.into()
}

/// Looks at the minute under the pointer.
fn look(held: Held, event: &PointerEvent, send: &Send) {
    let target = event
        .target()
        .and_then(|target| target.dyn_into::<Element>().ok());
    let drawing = target.and_then(|target| target.closest(".band").ok()?);
    let Some(drawing) = drawing else {
        return;
    };
    // a mouse that slides off keeps hold, as a finger does by itself
    let _ = drawing.set_pointer_capture(event.pointer_id());
    let bounds = drawing.get_bounding_client_rect();
    let share = (f64::from(event.client_y()) - bounds.top()) / bounds.height();
    let along = (share - held.ends.0) / (held.ends.1 - held.ends.0);
    if along.is_finite() {
        let Span { start, end } = held.span;
        let at = start + along.clamp(0.0, 1.0) * (end - start);
        send.emit(Action::LookedAt(held.date, minute_of(at)));
    }
}

/// Arrows move by a minute, pages by an hour, Home and End to the ends.
fn key(held: Held, event: &KeyboardEvent, send: &Send) {
    let to = |minutes: i32| {
        let minute = i32::from(held.minute) + minutes;
        minute.clamp(0, i32::from(NIGHT_MIN) - 1) as u16
    };
    let minute = match event.key().as_str() {
        "ArrowDown" | "ArrowRight" => to(1),
        "ArrowUp" | "ArrowLeft" => to(-1),
        "PageDown" => to(60),
        "PageUp" => to(-60),
        "Home" => minute_of(held.span.start),
        "End" => minute_of(held.span.end),
        _ => return,
    };
    event.prevent_default();
    send.emit(Action::LookedAt(held.date, minute));
}
