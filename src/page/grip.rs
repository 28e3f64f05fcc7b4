//! Holds the band: a thumb, a tap or keys move the cursor along it.

use chrono::NaiveDate;
use web_sys::{Element, KeyboardEvent, PointerEvent};
use yew::prelude::*;

use super::element::all;
use super::night_words as words;
use super::shown::{Shown, days_of, minute_of};
use super::state::Action;
use super::tap::Send;
use crate::decimal::fixed;
use crate::outing::plan::NIGHT_MIN;
use crate::sky::spans::Span;

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
    let minute = shown.minute;
    let said = format!(
        "{}: {}; {}",
        words::time(shown.local(days_of(minute))),
        words::core_now(shown),
        words::moon_now(shown)
    );
    let view_box = format!("0 0 {} {}", fixed(size.0, 0), fixed(size.1, 0));
    html! {
        <Grip date={shown.date} {minute} {span} {ends} {said} {view_box} send={send.clone()}>
            { all(drawn) }
        </Grip>
    }
}

#[derive(Properties, PartialEq)]
struct GripProps {
    date: NaiveDate,
    minute: u16,
    span: Span,
    ends: (f64, f64),
    said: AttrValue,
    view_box: AttrValue,
    send: Send,
    children: Html,
}

/// The drawing and whether it is held.
struct Grip {
    drawing: NodeRef,
    held: bool,
}

/// What happens to it.
enum Touch {
    Down(PointerEvent),
    Move(PointerEvent),
    Up,
    Key(KeyboardEvent),
}

impl Component for Grip {
    type Message = Touch;
    type Properties = GripProps;

    fn create(_: &Context<Self>) -> Self {
        Self {
            drawing: NodeRef::default(),
            held: false,
        }
    }

    fn update(&mut self, context: &Context<Self>, touch: Touch) -> bool {
        match touch {
            Touch::Down(event) => {
                self.held = true;
                if let Some(drawing) = self.drawing.cast::<Element>() {
                    // without it a thumb that slides off lets go
                    let _ = drawing.set_pointer_capture(event.pointer_id());
                }
                self.look(context, &event);
            }
            Touch::Move(event) if self.held => self.look(context, &event),
            Touch::Move(_) => {}
            Touch::Up => self.held = false,
            Touch::Key(event) => key(context.props(), &event),
        }
        false
    }

    fn view(&self, context: &Context<Self>) -> Html {
        let props = context.props();
        let link = context.link();
        html! {
            <svg
                ref={self.drawing.clone()}
                class="band"
                role="slider"
                tabindex="0"
                aria-label="time of night"
                aria-orientation="vertical"
                aria-valuemin="0"
                aria-valuemax="1439"
                aria-valuenow={props.minute.to_string()}
                aria-valuetext={props.said.clone()}
                viewBox={props.view_box.clone()}
                onpointerdown={link.callback(Touch::Down)}
                onpointermove={link.callback(Touch::Move)}
                onpointerup={link.callback(|_| Touch::Up)}
                onpointercancel={link.callback(|_| Touch::Up)}
                onkeydown={link.callback(Touch::Key)}
            >
                { props.children.clone() }
            </svg>
        }
    }
}

impl Grip {
    /// Looks at the minute under the pointer.
    fn look(&self, context: &Context<Self>, event: &PointerEvent) {
        let props = context.props();
        let Some(drawing) = self.drawing.cast::<Element>() else {
            return;
        };
        let bounds = drawing.get_bounding_client_rect();
        let share = (f64::from(event.client_y()) - bounds.top()) / bounds.height();
        let along = (share - props.ends.0) / (props.ends.1 - props.ends.0);
        if along.is_finite() {
            let Span { start, end } = props.span;
            let at = start + along.clamp(0.0, 1.0) * (end - start);
            props.send.emit(Action::LookedAt(props.date, minute_of(at)));
        }
    }
}

/// Arrows move by a minute, pages by an hour, Home and End to the ends.
fn key(props: &GripProps, event: &KeyboardEvent) {
    let to = |minutes: i32| {
        let minute = i32::from(props.minute) + minutes;
        minute.clamp(0, i32::from(NIGHT_MIN) - 1) as u16
    };
    let minute = match event.key().as_str() {
        "ArrowDown" | "ArrowRight" => to(1),
        "ArrowUp" | "ArrowLeft" => to(-1),
        "PageDown" => to(60),
        "PageUp" => to(-60),
        "Home" => minute_of(props.span.start),
        "End" => minute_of(props.span.end),
        _ => return,
    };
    event.prevent_default();
    props.send.emit(Action::LookedAt(props.date, minute));
}
