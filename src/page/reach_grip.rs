//! Holds the reach chart: a thumb, a tap or keys move the lens along it.

use std::rc::Rc;

use wasm_bindgen::JsCast;
use web_sys::{Element, KeyboardEvent, PointerEvent};
use yew::html::{onkeydown, onpointerdown, onpointermove};
use yew::prelude::*;
use yew::virtual_dom::VTag;

use super::state::Action;
use super::tap::Send;
use crate::decimal::fixed;
use crate::outing::kit::next_focal_mm;
use crate::outing::reach::{LONGEST_MM, SHORTEST_MM};

/// What the drawing stands for.
#[derive(Clone, Copy)]
pub struct Held {
    /// The lens looked at, mm.
    pub tried_mm: f64,
    /// Shares of the drawing's width at which the focal lengths begin and end.
    pub ends: (f64, f64),
}

/// A drawing that can be gripped.
pub fn gripped(held: Held, size: (f64, f64), drawn: Vec<Html>, said: String, send: &Send) -> Html {
    let mut tag = VTag::new("svg");
    for (key, value) in [
        ("class", "reach"),
        ("role", "slider"),
        ("tabindex", "0"),
        ("aria-label", "lens looked at"),
        ("aria-valuemin", "10"),
        ("aria-valuemax", "600"),
    ] {
        tag.add_attribute(key, value);
    }
    tag.add_attribute("aria-valuenow", fixed(held.tried_mm, 0));
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

/// Looks at the lens under the pointer, to the whole millimetre.
fn look(held: Held, event: &PointerEvent, send: &Send) {
    let target = event
        .target()
        .and_then(|target| target.dyn_into::<Element>().ok());
    let drawing = target.and_then(|target| target.closest(".reach").ok()?);
    let Some(drawing) = drawing else {
        return;
    };
    // a mouse that slides off keeps hold, as a finger does by itself
    let _ = drawing.set_pointer_capture(event.pointer_id());
    let bounds = drawing.get_bounding_client_rect();
    let share = (f64::from(event.client_x()) - bounds.left()) / bounds.width();
    let along = (share - held.ends.0) / (held.ends.1 - held.ends.0);
    if along.is_finite() {
        let octaves = along.clamp(0.0, 1.0) * (LONGEST_MM / SHORTEST_MM).ln();
        let focal_mm = (SHORTEST_MM * octaves.exp()).round();
        send.emit(Action::LensTried(Some(focal_mm)));
    }
}

/// Arrows go through the usual lenses, Home and End to the ends.
fn key(held: Held, event: &KeyboardEvent, send: &Send) {
    let focal_mm = match event.key().as_str() {
        "ArrowRight" | "ArrowUp" => next_focal_mm(held.tried_mm, true),
        "ArrowLeft" | "ArrowDown" => next_focal_mm(held.tried_mm, false),
        "Home" => SHORTEST_MM,
        "End" => LONGEST_MM,
        _ => return,
    };
    event.prevent_default();
    send.emit(Action::LensTried(Some(focal_mm)));
}
