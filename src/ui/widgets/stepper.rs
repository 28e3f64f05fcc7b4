//! A stepper: a value between two large buttons that repeat while held.

use gloo_timers::callback::Timeout;
use wasm_bindgen::JsCast;
use web_sys::{Element, HtmlInputElement, PointerEvent};
use yew::prelude::*;

use crate::browser::page_load;
use crate::ui::state::action::Action;
use crate::ui::widgets::dispatch::{Dispatch, on_click};
use crate::ui::widgets::symbol::{Symbol, symbol};

/// How long a button is held before it repeats, ms.
const HOLD_MS: u32 = 420;

/// Time between repeats, ms.
const REPEAT_MS: u32 = 110;

/// The longest delay of a repeat that still counts, ms. On a busy page the release may wait behind the timer.
const LATE_MS: f64 = 100.0;

/// A finger that is let go no further from where it came down has tapped, px.
const TAP_PX: u32 = 16;

/// Values of more characters than this are set smaller.
const LONG: usize = 6;

/// What a stepper shows and reports.
pub struct Stepper<'a> {
    /// What is stepped, for a screen reader.
    pub name: &'a str,
    /// The value as shown.
    pub value: String,
    /// A small word under it.
    pub caption: &'a str,
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
        caption,
        less,
        more,
        value_tapped,
    } = stepper;
    let repeat_button = |direction: &str, up: bool, action: Action| {
        let label = format!("{name}: {direction}");
        let onstep = dispatch.reform(move |()| action.clone());
        html! { <RepeatButton {label} {up} {onstep} /> }
    };
    let long = (value.chars().count() > LONG).then_some("long");
    let words = html! {
        <>
            <span class={classes!("step-word", long)}>{ value.clone() }</span>
            <span class="step-caption">{ caption }</span>
        </>
    };
    let middle = match value_tapped {
        Some(action) => html! {
            <button
                type="button"
                class="step-value"
                aria-label={format!("{name}: {value}")}
                onclick={on_click(dispatch, action)}
            >
                { words }
            </button>
        },
        None => html! { <span class="step-value">{ words }</span> },
    };
    html! {
        <div class="stepper" role="group" aria-label={name.to_owned()}>
            { repeat_button("less", false, less) }
            { middle }
            { repeat_button("more", true, more) }
        </div>
    }
}

/// What a key is called and does.
#[derive(Properties, PartialEq)]
pub struct RepeatButtonProps {
    /// What it does, for a screen reader.
    pub label: AttrValue,
    /// Whether it is the one with a plus.
    pub up: bool,
    /// A step is due.
    pub onstep: Callback<()>,
}

/// A button that acts when pressed and again and again while held. A finger may be about to scroll, so
/// its press acts when it is let go, or once it was held.
///
/// Each step emits the `onstep` that is in force when the step is due: the step before it may
/// have changed what the next one is.
pub struct RepeatButton {
    /// The next repeat while the button is held; dropping it cancels the repeat.
    repeat: Option<Timeout>,
    /// When that is due, on the page's clock, ms.
    due_ms: f64,
    /// Where a finger's press that has not acted yet began, px.
    waits: Option<(i32, i32)>,
}

/// What happens to the button.
pub enum RepeatButtonMessage {
    /// It is pressed: by a finger, at this place in px, or otherwise.
    Pressed(Option<(i32, i32)>),
    /// A step is due.
    Step,
    /// It is still held.
    RepeatDue,
    /// It is let go, at this place.
    Lifted((i32, i32)),
    /// The press has ended in any way: what was not done by then is not meant.
    Ended,
}

impl RepeatButton {
    fn repeat_after(&mut self, wait_ms: u32, context: &Context<Self>) {
        self.due_ms = page_load::age_ms() + f64::from(wait_ms);
        let link = context.link().clone();
        self.repeat = Some(Timeout::new(wait_ms, move || {
            link.send_message(RepeatButtonMessage::RepeatDue);
        }));
    }
}

impl Component for RepeatButton {
    type Message = RepeatButtonMessage;
    type Properties = RepeatButtonProps;

    fn create(_: &Context<Self>) -> Self {
        Self {
            repeat: None,
            due_ms: 0.0,
            waits: None,
        }
    }

    fn update(&mut self, context: &Context<Self>, message: RepeatButtonMessage) -> bool {
        match message {
            RepeatButtonMessage::Pressed(finger) => {
                self.repeat_after(HOLD_MS, context);
                self.waits = finger;
                if finger.is_none() {
                    step_soon(context);
                }
            }
            RepeatButtonMessage::Step => context.props().onstep.emit(()),
            RepeatButtonMessage::RepeatDue => {
                self.waits = None;
                if page_load::age_ms() - self.due_ms < LATE_MS {
                    context.props().onstep.emit(());
                }
                self.repeat_after(REPEAT_MS, context);
            }
            RepeatButtonMessage::Lifted(at) => {
                self.repeat = None;
                let near = |from: (i32, i32)| {
                    let way = (at.0.abs_diff(from.0), at.1.abs_diff(from.1));
                    way.0.max(way.1) <= TAP_PX
                };
                if self.waits.take().is_some_and(near) {
                    step_soon(context);
                }
            }
            RepeatButtonMessage::Ended => {
                self.repeat = None;
                self.waits = None;
            }
        }
        false
    }

    fn view(&self, context: &Context<Self>) -> Html {
        let RepeatButtonProps { label, up, .. } = context.props();
        let link = context.link();
        let onpointerdown = link.batch_callback(|event: PointerEvent| {
            (event.button() == 0).then(|| {
                capture(&event);
                let by_finger = event.pointer_type() == "touch";
                RepeatButtonMessage::Pressed(by_finger.then(|| place_of(&event)))
            })
        });
        let lifted =
            link.callback(|event: PointerEvent| RepeatButtonMessage::Lifted(place_of(&event)));
        // a scroll that began here cancels the press
        let ended = link.callback(|_: PointerEvent| RepeatButtonMessage::Ended);
        // A press with finger or mouse has acted already; keys and screen readers send a click
        // alone, and its count of presses is zero.
        let onclick = link.batch_callback(|event: MouseEvent| {
            (event.detail() == 0).then_some(RepeatButtonMessage::Step)
        });
        html! {
            <button
                type="button"
                class="step"
                aria-label={label.clone()}
                {onpointerdown}
                onpointerup={lifted}
                onpointercancel={ended.clone()}
                onlostpointercapture={ended}
                {onclick}
            >
                { symbol(if *up { Symbol::Plus } else { Symbol::Minus }) }
            </button>
        }
    }
}

fn place_of(event: &PointerEvent) -> (i32, i32) {
    (event.client_x(), event.client_y())
}

/// A step after the messages that wait already, and after the drawing they lead to: a value committed by
/// this press is the one stepped from.
fn step_soon(context: &Context<RepeatButton>) {
    context
        .link()
        .send_future(async { RepeatButtonMessage::Step });
}

/// Directs the pointer's further events to the pressed button, so that it is notified of the
/// release wherever that happens, and takes the focus from a text field, which commits then.
fn capture(event: &PointerEvent) {
    let target = event.target_dyn_into::<Element>();
    let Some(button) = target.and_then(|target| target.closest("button").ok()?) else {
        return;
    };
    // a finger is captured by the browser in any case
    let _ = button.set_pointer_capture(event.pointer_id());
    let focused = button
        .owner_document()
        .and_then(|document| document.active_element());
    if let Some(field) = focused.and_then(|element| element.dyn_into::<HtmlInputElement>().ok()) {
        let _ = field.blur();
    }
}
