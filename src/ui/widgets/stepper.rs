//! A stepper: a value between two large buttons that repeat while held.

use std::cell::Cell;
use std::rc::Rc;

use gloo_timers::callback::Timeout;
use wasm_bindgen::JsCast;
use web_sys::{Element, HtmlElement, PointerEvent};
use yew::html::{onclick, onlostpointercapture, onpointerdown, onpointerup};
use yew::prelude::*;
use yew::virtual_dom::VTag;

use crate::ui::state::action::Action;
use crate::ui::widgets::dispatch::{Dispatch, on_click};
use crate::ui::widgets::element::{button, el_with, say, text};

/// How long a button is held before it repeats, ms.
const HOLD_MS: u32 = 420;

/// Time between repeats, ms.
const REPEAT_MS: u32 = 110;

/// What a stepper shows and reports.
pub struct Stepper<'a> {
    /// What is stepped, for a screen reader.
    pub name: &'a str,
    /// The value as shown.
    pub value: String,
    /// A step down.
    pub less: Action,
    /// A step up.
    pub more: Action,
    /// A tap on the value; without it the value is plain text.
    pub value_tapped: Option<Action>,
}

/// A value between two buttons.
pub fn stepper(stepper: Stepper<'_>, dispatch: &Dispatch) -> Html {
    let Stepper {
        name,
        value,
        less,
        more,
        value_tapped,
    } = stepper;
    let middle = match value_tapped {
        Some(action) => button(
            &[("class", "step-value")],
            vec![("aria-label", format!("{name}: {value}"))],
            on_click(dispatch, action),
            vec![text(value)],
        ),
        None => say("span", &[("class", "step-value")], value),
    };
    let parts = vec![
        repeater(format!("{name}: less"), "‹", less, dispatch),
        middle,
        repeater(format!("{name}: more"), "›", more, dispatch),
    ];
    let name = vec![("aria-label", name.to_owned())];
    el_with(
        "div",
        &[("class", "stepper"), ("role", "group")],
        name,
        parts,
    )
}

thread_local! {
    /// What is waited for while a button is held; dropped, it never comes. A thumb holds
    /// one button at a time.
    static HELD: Cell<Option<Timeout>> = const { Cell::new(None) };
}

/// A button that acts when pressed and again and again while held.
fn repeater(name: String, sign: &'static str, action: Action, dispatch: &Dispatch) -> Html {
    let pressed = {
        let (dispatch, action) = (dispatch.clone(), action.clone());
        Callback::from(move |event: PointerEvent| {
            if event.button() != 0 {
                return;
            }
            // The pointer is captured, so that wherever it is let go or taken away the
            // button hears of it; a finger is captured by the browser in any case.
            let target = event.target_dyn_into::<Element>();
            let button = target.and_then(|target| target.closest("button").ok()?);
            if let Some(button) = button {
                let _ = button.set_pointer_capture(event.pointer_id());
                if let Ok(button) = button.dyn_into() {
                    press_again(button, HOLD_MS);
                }
            }
            dispatch.emit(action.clone());
        })
    };
    // A press with finger or mouse has acted already; keys, screen readers and a button
    // that is held send a click alone, and its count of presses is zero.
    let clicked = {
        let dispatch = dispatch.clone();
        Callback::from(move |event: MouseEvent| {
            if event.detail() == 0 {
                dispatch.emit(action.clone());
            }
        })
    };
    let released = Callback::from(|_: PointerEvent| HELD.set(None));
    let mut tag = VTag::new("button");
    tag.add_attribute("type", "button");
    tag.add_attribute("class", "step");
    tag.add_attribute("aria-label", name);
    tag.add_listener(Rc::new(onpointerdown::Wrapper::new(pressed)));
    tag.add_listener(Rc::new(onpointerup::Wrapper::new(released.clone())));
    tag.add_listener(Rc::new(onlostpointercapture::Wrapper::new(released)));
    tag.add_listener(Rc::new(onclick::Wrapper::new(clicked)));
    tag.add_child(say("span", &[("aria-hidden", "true")], sign));
    tag.into()
}

/// Clicks a button after a while, and goes on while it is held. A click means what the
/// button means then, not what it meant when it was pressed.
fn press_again(button: HtmlElement, wait_ms: u32) {
    HELD.set(Some(Timeout::new(wait_ms, move || {
        // one that was taken away hears nothing of being let go
        if button.is_connected() {
            button.click();
            press_again(button, REPEAT_MS);
        }
    })));
}
