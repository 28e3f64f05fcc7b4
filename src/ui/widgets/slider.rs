//! A drawing with a cursor that a thumb, a tap or keys move along it.

use std::rc::Rc;

use wasm_bindgen::JsCast;
use web_sys::{Element, KeyboardEvent, PointerEvent};
use yew::html::{onkeydown, onpointerdown, onpointermove};
use yew::prelude::*;
use yew::virtual_dom::VTag;

use crate::decimal::fixed;
use crate::ui::state::action::Action;
use crate::ui::widgets::dispatch::Dispatch;
use crate::ui::widgets::element::{Changing, Fixed};

/// What a slider is and reports.
pub struct Slider {
    /// The class it is found by, and what about it never changes.
    pub fixed: &'static [Fixed],
    /// The rest.
    pub changing: Vec<Changing>,
    /// Whether its cursor moves down the drawing, not to the right.
    pub down: bool,
    /// Shares of the drawing's length at which the scale begins and ends.
    pub ends: (f64, f64),
    /// What it means to point at a share of the scale, 0 to 1.
    pub pointed: Rc<dyn Fn(f64) -> Action>,
    /// What a key means, by its name.
    pub keyed: Rc<Keyed>,
}

/// What a key means, if anything.
type Keyed = dyn Fn(&str) -> Option<Action>;

/// A drawing of a size in its own units that can be gripped.
pub fn slider(slider: Slider, size: (f64, f64), drawn: Vec<Html>, dispatch: &Dispatch) -> Html {
    let Slider {
        fixed: about,
        changing,
        down,
        ends,
        pointed,
        keyed,
    } = slider;
    let mut tag = VTag::new("svg");
    tag.add_attribute("role", "slider");
    tag.add_attribute("tabindex", "0");
    for (key, value) in about {
        tag.add_attribute(key, *value);
    }
    for (key, value) in changing {
        tag.add_attribute(key, value);
    }
    let view = format!("0 0 {} {}", fixed(size.0, 0), fixed(size.1, 0));
    tag.add_attribute("viewBox", view);
    tag.add_children(drawn);
    let moved = |always: bool| {
        let (dispatch, pointed) = (dispatch.clone(), pointed.clone());
        Callback::from(move |event: PointerEvent| {
            // a pointer that only passes over holds nothing
            if (always || event.buttons() != 0)
                && let Some(along) = along(&event, down, ends)
            {
                dispatch.emit(pointed(along));
            }
        })
    };
    let pressed = {
        let dispatch = dispatch.clone();
        Callback::from(move |event: KeyboardEvent| {
            if let Some(action) = keyed(&event.key()) {
                event.prevent_default();
                dispatch.emit(action);
            }
        })
    };
    tag.add_listener(Rc::new(onpointerdown::Wrapper::new(moved(true))));
    tag.add_listener(Rc::new(onpointermove::Wrapper::new(moved(false))));
    tag.add_listener(Rc::new(onkeydown::Wrapper::new(pressed)));
    tag.into()
}

/// The share of the scale under the pointer.
fn along(event: &PointerEvent, down: bool, ends: (f64, f64)) -> Option<f64> {
    let target: Element = event.target()?.dyn_into().ok()?;
    let drawing = target.closest("[role=slider]").ok()??;
    // a mouse that slides off keeps hold, as a finger does by itself
    let _ = drawing.set_pointer_capture(event.pointer_id());
    let bounds = drawing.get_bounding_client_rect();
    let share = if down {
        (f64::from(event.client_y()) - bounds.top()) / bounds.height()
    } else {
        (f64::from(event.client_x()) - bounds.left()) / bounds.width()
    };
    let along = (share - ends.0) / (ends.1 - ends.0);
    along.is_finite().then(|| along.clamp(0.0, 1.0))
}
