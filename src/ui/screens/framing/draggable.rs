//! Holds the view through the lens: a thumb drags the sky, arrows turn the
//! camera.

use crate::ui::state::document::framing::FramingEdit;
use std::cell::Cell;
use std::rc::Rc;

use chrono::NaiveDate;
use wasm_bindgen::JsCast;
use web_sys::{Element, KeyboardEvent, PointerEvent};
use yew::html::{onkeydown, onpointerdown, onpointermove};
use yew::prelude::*;
use yew::virtual_dom::VTag;

use crate::angle::Angle;
use crate::camera::frame::Frame;
use crate::ui::state::action::Action;
use crate::ui::widgets::dispatch::Dispatch;

/// What the drawing stands for.
#[derive(Clone, Copy)]
pub struct DragTarget {
    /// The night and minute it is drawn for.
    pub at: (NaiveDate, u16),
    /// Where the camera points.
    pub frame: Frame,
    /// Degrees of sky across the drawing, at its middle.
    pub across_deg: f64,
}

thread_local! {
    /// Where the pointer was seen last, while it is held down.
    static LAST: Cell<Option<(f64, f64)>> = const { Cell::new(None) };
}

/// Makes a drawing one can grip.
pub fn draggable(mut tag: VTag, pointed: DragTarget, dispatch: &Dispatch) -> Html {
    let moved = |down: bool| {
        let dispatch = dispatch.clone();
        Callback::from(move |event: PointerEvent| drag(pointed, &event, down, &dispatch))
    };
    let keyed = {
        let dispatch = dispatch.clone();
        Callback::from(move |event: KeyboardEvent| key(pointed, &event, &dispatch))
    };
    tag.add_listener(Rc::new(onpointerdown::Wrapper::new(moved(true))));
    tag.add_listener(Rc::new(onpointermove::Wrapper::new(moved(false))));
    tag.add_listener(Rc::new(onkeydown::Wrapper::new(keyed)));
    tag.into()
}

impl DragTarget {
    /// The camera turned by so many degrees to the right and up.
    pub fn turned(&self, right_deg: f64, up_deg: f64) -> Action {
        let frame = Frame {
            bearing: Angle::from_degrees(
                (self.frame.bearing.degrees() + right_deg).rem_euclid(360.0),
            ),
            tilt: Angle::from_degrees((self.frame.tilt.degrees() + up_deg).clamp(-90.0, 90.0)),
            ..self.frame
        };
        FramingEdit::Point(self.at.0, self.at.1, frame).into()
    }
}

/// The sky goes with the finger.
fn drag(pointed: DragTarget, event: &PointerEvent, down: bool, dispatch: &Dispatch) {
    let here = (f64::from(event.client_x()), f64::from(event.client_y()));
    let held = event.buttons() != 0;
    let last = LAST.replace(held.then_some(here));
    let target = event
        .target()
        .and_then(|target| target.dyn_into::<Element>().ok());
    let drawing = target.and_then(|target| target.closest(".lens").ok()?);
    if down && let Some(drawing) = &drawing {
        // a mouse that slides off keeps hold, as a finger does by itself
        let _ = drawing.set_pointer_capture(event.pointer_id());
    }
    if down || !held {
        return;
    }
    let (Some(last), Some(drawing)) = (last, drawing) else {
        return;
    };
    let a_px = pointed.across_deg / drawing.get_bounding_client_rect().width();
    let (right, up) = ((last.0 - here.0) * a_px, (here.1 - last.1) * a_px);
    // near the zenith a turn moves the sky by little
    let level = pointed.frame.tilt.cos().max(0.1);
    if right != 0.0 || up != 0.0 {
        dispatch.emit(pointed.turned(right / level, up));
    }
}

/// Arrows turn the camera by a degree, with the shift key by ten.
fn key(pointed: DragTarget, event: &KeyboardEvent, dispatch: &Dispatch) {
    let by = if event.shift_key() { 10.0 } else { 1.0 };
    let (right, up) = match event.key().as_str() {
        "ArrowLeft" => (-by, 0.0),
        "ArrowRight" => (by, 0.0),
        "ArrowUp" => (0.0, by),
        "ArrowDown" => (0.0, -by),
        _ => return,
    };
    event.prevent_default();
    dispatch.emit(pointed.turned(right, up));
}
