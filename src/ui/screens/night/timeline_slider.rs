//! Holds the band: a thumb, a tap or keys move the cursor along it.

use crate::ui::state::document::night::NightEdit;
use std::rc::Rc;

use yew::prelude::*;

use crate::outing::plan::NIGHT_MIN;
use crate::sky::spans::Span;
use crate::ui::state::derived::selected_night::{SelectedNight, days_of, minute_of};
use crate::ui::text::night as words;
use crate::ui::widgets::dispatch::Dispatch;
use crate::ui::widgets::slider::{Slider, slider};

/// A drawing of a stretch of the night, `ends` of its height being the
/// stretch's, that can be gripped.
pub fn timeline_slider(
    shown: &SelectedNight,
    span: Span,
    ends: (f64, f64),
    size: (f64, f64),
    drawn: Vec<Html>,
    dispatch: &Dispatch,
) -> Html {
    let (date, minute) = (shown.night.date, shown.minute);
    let message = format!(
        "{}: {}; {}",
        words::time(shown.local(days_of(minute))),
        words::core_now(shown),
        words::moon_now(shown)
    );
    let held = Slider {
        fixed: &[
            ("class", "band"),
            ("aria-label", "time of night"),
            ("aria-orientation", "vertical"),
            ("aria-valuemin", "0"),
            ("aria-valuemax", "1439"),
        ],
        changing: vec![
            ("aria-valuenow", minute.to_string()),
            ("aria-valuetext", message),
        ],
        down: true,
        ends,
        pointed: Rc::new(move |along| {
            let at = span.start + along * (span.end - span.start);
            NightEdit::Minute(date, minute_of(at)).into()
        }),
        keyed: Rc::new(move |key| {
            Some(NightEdit::Minute(date, after_key(key, minute, span)?).into())
        }),
    };
    slider(held, size, drawn, dispatch)
}

/// Arrows move by a minute, pages by an hour, Home and End to the ends.
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
