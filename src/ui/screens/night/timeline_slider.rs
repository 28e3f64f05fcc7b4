//! The night's timeline as a slider: a thumb, a tap or keys choose the minute.

use std::rc::Rc;

use yew::prelude::*;

use crate::outing::plan::NIGHT_MIN;
use crate::sky::spans::Span;
use crate::ui::state::derived::selected_night::{SelectedNight, days_of, minute_of};
use crate::ui::state::document::night::NightEdit;
use crate::ui::text::night as words;
use crate::ui::widgets::dispatch::Dispatch;
use crate::ui::widgets::slider::{Slider, slider};

/// A slider over a span of the night; `ends` are the shares of the drawing's
/// height at which the span begins and ends.
pub fn timeline_slider(
    selected: &SelectedNight,
    span: Span,
    ends: (f64, f64),
    size: (f64, f64),
    drawn: Vec<Html>,
    dispatch: &Dispatch,
) -> Html {
    let (date, minute) = (selected.night.date, selected.minute);
    let message = format!(
        "{}: {}; {}",
        words::time(selected.local(days_of(minute))),
        words::core_now(selected),
        words::moon_now(selected)
    );
    let timeline = Slider {
        class: "band",
        label: "time of night",
        bounds: ("0", "1439"),
        value: minute.to_string(),
        value_text: message,
        vertical: true,
        ends,
        pointed: Rc::new(move |along| {
            let at = span.start + along * (span.end - span.start);
            NightEdit::Minute(date, minute_of(at)).into()
        }),
        keyed: Rc::new(move |key| {
            Some(NightEdit::Minute(date, after_key(key, minute, span)?).into())
        }),
    };
    slider(timeline, size, drawn, dispatch)
}

/// Arrows move by a minute, page keys by an hour, Home and End to the ends.
fn after_key(key: &str, minute: u16, span: Span) -> Option<u16> {
    let to = |minutes: i32| {
        let minute = i32::from(minute) + minutes;
        minute.clamp(0, i32::from(NIGHT_MIN) - 1) as u16
    };
    Some(match key {
        "ArrowDown" | "ArrowRight" => to(1),
        "ArrowUp" | "ArrowLeft" => to(-1),
        "PageDown" => to(60),
        "PageUp" => to(-60),
        "Home" => minute_of(span.start),
        "End" => minute_of(span.end),
        _ => return None,
    })
}
