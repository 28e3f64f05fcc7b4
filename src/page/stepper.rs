//! A stepper: a value between two large buttons that repeat while held.

use gloo_timers::callback::{Interval, Timeout};
use web_sys::PointerEvent;
use yew::prelude::*;

/// How long a button is held before it repeats, ms.
const HOLD_MS: u32 = 420;

/// Time between repeats, ms.
const REPEAT_MS: u32 = 110;

/// A value between two buttons. `onstep` is told true for up and false for
/// down; without `onvalue` the value cannot be tapped.
pub fn stepper(
    name: &str,
    value: &str,
    onstep: &Callback<bool>,
    onvalue: Option<&Callback<()>>,
) -> Html {
    let middle = match onvalue {
        Some(onvalue) => {
            let onclick = onvalue.reform(|_| ());
            html! {
                <button type="button" class="step-value" aria-label={format!("{name}: {value}, type it")} {onclick}>
                    { value }
                </button>
            }
        }
        None => html! { <span class="step-value">{ value }</span> },
    };
    html! {
        <div class="stepper" role="group" aria-label={name.to_owned()}>
            <Repeater name={format!("{name}: less")} sign="‹" onstep={onstep.reform(|()| false)} />
            { middle }
            <Repeater name={format!("{name}: more")} sign="›" onstep={onstep.reform(|()| true)} />
        </div>
    }
}

#[derive(Properties, PartialEq)]
struct RepeaterProps {
    name: AttrValue,
    sign: AttrValue,
    onstep: Callback<()>,
}

/// What is running while a button is held; dropped, it stops.
enum Held {
    Waiting(#[allow(dead_code, reason = "held for its drop")] Timeout),
    Repeating(#[allow(dead_code, reason = "held for its drop")] Interval),
}

/// A button that acts when pressed and again and again while held.
#[component]
fn Repeater(props: &RepeaterProps) -> Html {
    let held = use_mut_ref(|| None::<Held>);
    // Repeats must report to the newest callback, not to the one of the press.
    let newest = use_mut_ref(|| props.onstep.clone());
    newest.replace(props.onstep.clone());

    let onpointerdown = {
        let (held, newest) = (held.clone(), newest.clone());
        move |event: PointerEvent| {
            if event.button() != 0 {
                return;
            }
            newest.borrow().emit(());
            let (again, newest) = (held.clone(), newest.clone());
            let wait = Timeout::new(HOLD_MS, move || {
                let repeat = Interval::new(REPEAT_MS, move || newest.borrow().emit(()));
                again.replace(Some(Held::Repeating(repeat)));
            });
            held.replace(Some(Held::Waiting(wait)));
        }
    };
    let release = move |_: PointerEvent| {
        held.replace(None);
    };
    // A press with finger or mouse has acted already; keys and screen readers
    // send a click alone, and its count of presses is zero.
    let onclick = {
        let onstep = props.onstep.clone();
        move |event: MouseEvent| {
            if event.detail() == 0 {
                onstep.emit(());
            }
        }
    };
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
            oncontextmenu={|event: MouseEvent| event.prevent_default()}
        >
            <span aria-hidden="true">{ &props.sign }</span>
        </button>
    }
}
