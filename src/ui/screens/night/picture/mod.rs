//! The night as a slit picture: each column is the sky above the subject's own bearing at that
//! minute, over the skyline there; time runs to the right, altitude up.
//!
//! The picture itself is drawn once a night. Over it lies a slider with all that moves with the
//! minute: plumb line, core and readout.

mod cursor;
mod drawing;
mod labels;
mod scale;

use std::rc::Rc;

use yew::prelude::*;

use crate::outing::plan::NIGHT_MIN;
use crate::sky::spans::Span;
use crate::ui::layout::{LayoutKind, Size};
use crate::ui::state::State;
use crate::ui::state::derived::Derived;
use crate::ui::state::derived::selected_night::{SelectedNight, days_of, minute_of};
use crate::ui::state::document::night::NightEdit;
use crate::ui::text::night as words;
use crate::ui::widgets::dispatch::Dispatch;
use crate::ui::widgets::sky_canvas::SkyCanvas;
use crate::ui::widgets::slider::{Slider, slider};
use cursor::cursor;
use drawing::NightDrawing;
use labels::{ground_marks, moon_marks};
use scale::NightScale;

/// The picture, of this size on the screen.
pub fn night_picture(state: &State, derived: &Derived, size: Size, dispatch: &Dispatch) -> Html {
    let outing = state.outing();
    let (selected, band) = (derived.night(state), derived.night_band(state));
    let scale = NightScale::new(band.span, band.top_deg, size);
    let sky = derived.night_sky(state, band.span, band.top_deg, scale.sky_size());
    let along_band = derived.horizon(state).1.along_band;
    // on a phone on its side the headline lies over the picture's upper left corner
    let under_words = state.layout.kind() == LayoutKind::Side;
    let moving = cursor(&selected, &scale, along_band, under_words);
    html! {
        <div class="night-picture">
            <SkyCanvas image={sky} size={scale.sky_size()} theme={state.display.theme} />
            <NightDrawing
                night={selected.night.clone()}
                ground={ground_marks(&selected, outing)}
                moons={moon_marks(&selected, &scale)}
                {band}
                {size}
            />
            { timeline(&selected, &scale, moving, dispatch) }
        </div>
    }
}

/// The slider over the picture: a thumb, a tap or keys choose the minute.
fn timeline(
    selected: &SelectedNight,
    scale: &NightScale,
    moving: Vec<Html>,
    dispatch: &Dispatch,
) -> Html {
    let (date, minute, span) = (selected.night.date, selected.minute, scale.span);
    let message = format!(
        "{}: {}; {}",
        words::time(selected.local(days_of(minute))),
        words::core_now(selected),
        words::moon_now(selected)
    );
    let timeline = Slider {
        class: "drawing timeline",
        label: "time of night",
        bounds: ("0", "1439"),
        value: minute.to_string(),
        value_text: message,
        ends: (0.0, 1.0),
        pointed: Rc::new(move |along| {
            let at = span.start + along * (span.end - span.start);
            NightEdit::Minute(date, minute_of(at)).into()
        }),
        keyed: Rc::new(move |key| {
            Some(NightEdit::Minute(date, after_key(key, minute, span)?).into())
        }),
    };
    slider(
        timeline,
        (scale.size.width, scale.size.height),
        moving,
        dispatch,
    )
}

/// Arrows along the line move by a minute, up and down by ten, page keys by an hour, Home and End
/// to the ends.
fn after_key(key: &str, minute: u16, span: Span) -> Option<u16> {
    let to = |minutes: i32| {
        let minute = i32::from(minute) + minutes;
        minute.clamp(0, i32::from(NIGHT_MIN) - 1) as u16
    };
    Some(match key {
        "ArrowRight" => to(1),
        "ArrowLeft" => to(-1),
        "ArrowUp" => to(10),
        "ArrowDown" => to(-10),
        "PageUp" => to(60),
        "PageDown" => to(-60),
        "Home" => minute_of(span.start),
        "End" => minute_of(span.end),
        _ => return None,
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn keys_stay_within_the_night() {
        let span = Span {
            start: 0.25,
            end: 0.75,
        };
        for (key, minute, want) in [
            ("ArrowRight", 720, Some(721)),
            ("ArrowDown", 720, Some(710)),
            ("PageUp", 1400, Some(1439)),
            ("ArrowLeft", 0, Some(0)),
            ("Home", 720, Some(360)),
            ("End", 720, Some(1080)),
            ("a", 720, None),
        ] {
            assert_eq!(after_key(key, minute, span), want, "{key}");
        }
    }
}
