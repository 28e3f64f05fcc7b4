//! A stepper: a value between two large buttons that repeat while held.

use gloo_timers::callback::Timeout;
use web_sys::{Element, PointerEvent};
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
            vec![("aria-label", format!("{name}: {value}"))],
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

#[derive(Properties)]
struct RepeaterProps {
    name: AttrValue,
    sign: &'static str,
    action: Action,
    send: Send,
}

/// Never the same: what the button means changes with the value beside it, and
/// drawing it again costs less than comparing every action the page knows.
impl PartialEq for RepeaterProps {
    fn eq(&self, _: &Self) -> bool {
        false
    }
}

/// A button that acts when pressed and again and again while held.
#[derive(Default)]
struct Repeater {
    /// What is waited for while the button is held; dropped, it never comes.
    waiting: Option<Timeout>,
}

/// What happens to the button.
enum Press {
    Down,
    Again,
    Up,
}

impl Component for Repeater {
    type Message = Press;
    type Properties = RepeaterProps;

    fn create(_: &Context<Self>) -> Self {
        Self::default()
    }

    fn update(&mut self, context: &Context<Self>, press: Press) -> bool {
        let wait_ms = match press {
            Press::Down => HOLD_MS,
            Press::Again => REPEAT_MS,
            Press::Up => {
                self.waiting = None;
                return false;
            }
        };
        // A repeat reports what the button means now, not when it was pressed.
        let RepeaterProps { action, send, .. } = context.props();
        send.emit(action.clone());
        let link = context.link().clone();
        self.waiting = Some(Timeout::new(wait_ms, move || {
            link.send_message(Press::Again)
        }));
        false
    }

    fn view(&self, context: &Context<Self>) -> Html {
        let RepeaterProps {
            name,
            sign,
            action,
            send,
        } = context.props();
        let link = context.link();
        // The pointer is captured, so that wherever it is let go or taken away the
        // button hears of it; a finger is captured by the browser in any case.
        let onpointerdown = link.batch_callback(|event: PointerEvent| {
            let first = event.button() == 0;
            if let Some(button) = event.target_dyn_into::<Element>()
                && first
            {
                let _ = button.set_pointer_capture(event.pointer_id());
            }
            first.then_some(Press::Down)
        });
        let release = link.callback(|_: PointerEvent| Press::Up);
        // A press with finger or mouse has acted already; keys and screen
        // readers send a click alone, and its count of presses is zero.
        let onclick = {
            let (send, action) = (send.clone(), action.clone());
            Callback::from(move |event: MouseEvent| {
                if event.detail() == 0 {
                    send.emit(action.clone());
                }
            })
        };
        html! {
            <button
                type="button"
                class="step"
                aria-label={name.clone()}
                {onpointerdown}
                onpointerup={release.clone()}
                onlostpointercapture={release}
                {onclick}
            >
                { say("span", &[("aria-hidden", "true")], *sign) }
            </button>
        }
    }
}
