//! A stepper: a value between two large buttons that repeat while held.

use gloo_timers::callback::{Interval, Timeout};
use web_sys::PointerEvent;
use yew::prelude::*;

use super::element::{button, el_with, say, text};
use super::state::Action;
use super::tap::{Send, tap};

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
pub fn stepper(stepper: Stepper<'_>, send: &Send) -> Html {
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
            vec![("aria-label", format!("{name}: {value}, change it"))],
            tap(send, action),
            vec![text(value)],
        ),
        None => say("span", &[("class", "step-value")], value),
    };
    let parts = vec![
        repeater(format!("{name}: less"), "‹", less, send),
        middle,
        repeater(format!("{name}: more"), "›", more, send),
    ];
    let name = vec![("aria-label", name.to_owned())];
    el_with(
        "div",
        &[("class", "stepper"), ("role", "group")],
        name,
        parts,
    )
}

fn repeater(name: String, sign: &'static str, action: Action, send: &Send) -> Html {
    html! { <Repeater {name} {sign} {action} send={send.clone()} /> }
}

#[derive(Properties, PartialEq)]
struct RepeaterProps {
    name: AttrValue,
    sign: AttrValue,
    action: Action,
    send: Send,
}

/// What runs while a button is held; dropped, it stops.
enum Held {
    Waiting(#[allow(dead_code, reason = "held for its drop")] Timeout),
    Repeating(#[allow(dead_code, reason = "held for its drop")] Interval),
}

/// A button that acts when pressed and again and again while held.
#[component]
fn Repeater(props: &RepeaterProps) -> Html {
    let held = use_mut_ref(|| None::<Held>);
    // Repeats report what the button means now, not what it meant when pressed.
    let newest = use_mut_ref(|| props.action.clone());
    newest.replace(props.action.clone());

    let onpointerdown = {
        let (held, send) = (held.clone(), props.send.clone());
        Callback::from(move |event: PointerEvent| {
            if event.button() != 0 {
                return;
            }
            let step = {
                let (newest, send) = (newest.clone(), send.clone());
                move || {
                    // taken out first, since reporting may replace it
                    let action = newest.borrow().clone();
                    send.emit(action);
                }
            };
            step();
            let again = held.clone();
            let wait = Timeout::new(HOLD_MS, move || {
                again.replace(Some(Held::Repeating(Interval::new(REPEAT_MS, step))));
            });
            held.replace(Some(Held::Waiting(wait)));
        })
    };
    let release = Callback::from(move |_: PointerEvent| {
        held.replace(None);
    });
    // A press with finger or mouse has acted already; keys and screen readers
    // send a click alone, and its count of presses is zero.
    let onclick = {
        let (send, action) = (props.send.clone(), props.action.clone());
        Callback::from(move |event: MouseEvent| {
            if event.detail() == 0 {
                send.emit(action.clone());
            }
        })
    };
    let oncontextmenu = Callback::from(|event: MouseEvent| event.prevent_default());
    html! {
        <button
            type="button"
            class="step"
            aria-label={props.name.clone()}
            {onpointerdown}
            onpointerup={release.clone()}
            onpointercancel={release.clone()}
            onpointerleave={release}
            {onclick}
            {oncontextmenu}
        >
            <span aria-hidden="true">{ &props.sign }</span>
        </button>
    }
}
