//! The season: twelve months of nights as strips, the best nights to come above them.

pub mod cards;
pub mod strips;
mod year;

use chrono::Days;
use yew::prelude::*;

use crate::browser::time_zone;
use crate::browser::time_zone::BrowserTimeZones;
use crate::ui::layout::Size;
use crate::ui::screens::night::calendar_button::share_calendar;
use crate::ui::state::State;
use crate::ui::state::derived::Derived;
use crate::ui::state::derived::kept_nights::WindowCalendar;
use crate::ui::state::document::lists::ListsEdit;
use crate::ui::state::document::night::NightEdit;
use crate::ui::state::notices::{Notice, NoticesAction};
use crate::ui::state::views::SeasonAction;
use crate::ui::text::night as words;
use crate::ui::text::season;
use crate::ui::text::windows;
use crate::ui::widgets::aria::aria_bool;
use crate::ui::widgets::dialog::keyed_dialog;
use crate::ui::widgets::dispatch::{Dispatch, on_click};
use crate::ui::widgets::stepper::{Stepper, stepper};
use crate::ui::widgets::symbol::{Symbol, symbol};
use cards::best_nights;
use strips::season_strips;

/// Head and keys of the sheet, and the best nights, px.
const HEAD_AND_KEYS_PX: f64 = 145.0;
const BEST_PX: f64 = 136.0;

/// Least height of the strips, px: a finger tells days, and moons can be seen.
const LEAST_PX: f64 = 360.0;

/// The sheet.
pub fn season_sheet(state: &State, derived: &Derived, dispatch: &Dispatch) -> Html {
    let sheet = state.layout.sheet();
    let size = Size {
        height: (sheet.height - HEAD_AND_KEYS_PX - BEST_PX).max(LEAST_PX),
        ..sheet
    };
    let body = html! {
        <>
            { best_nights(state, derived, dispatch) }
            <div class="bleed">{ season_strips(state, derived, size, dispatch) }</div>
            { kept_calendar(state, dispatch) }
            <details>
                <summary>{ "Legend" }</summary>
                <p>{ LEGEND }</p>
                <p>{ windows::EQUIVALENT }</p>
            </details>
        </>
    };
    keyed_dialog("Season", body, keys(state, derived, dispatch), dispatch)
}

const LEGEND: &str = "A cell a night, filled by its usable time; a full one is the year's longest. \
                      Dim: usable with any Moon; bright: within the limits chosen. Caps: the best \
                      nights to come. The notch: tonight.";

/// The night by the day, whether it is kept, and the way to it.
fn keys(state: &State, derived: &Derived, dispatch: &Dispatch) -> Html {
    let selected = derived.night(state);
    let date = selected.night.date;
    let to = |date: Option<_>| NightEdit::Date(date.unwrap_or(selected.night.date)).into();
    let minutes = selected.night.evening.usable.minutes();
    let usable = if minutes > 0.0 {
        words::length_short(minutes as u32)
    } else {
        "no window".to_owned()
    };
    let nights = Stepper {
        name: "night",
        value: words::evening(date),
        caption: &usable,
        less: to(date.checked_sub_days(Days::new(1))),
        more: to(date.checked_add_days(Days::new(1))),
        value_tapped: None,
    };
    let kept = state.document().kept_nights.contains(&date);
    let keep = if kept {
        ListsEdit::DropNight(date)
    } else {
        ListsEdit::KeepNight(date)
    };
    html! {
        <div class="row season-keys">
            { stepper(nights, dispatch) }
            <div class="kept-or-opened">
                <button
                    id="keep-night"
                    type="button"
                    class="keep"
                    aria-pressed={aria_bool(kept)}
                    disabled={!kept && !state.can_keep_night()}
                    onclick={on_click(dispatch, keep)}
                >
                    { symbol(Symbol::Pennant) }
                    <span>{ if kept { "Kept" } else { "Keep" } }</span>
                </button>
                <button
                    id="open-night"
                    type="button"
                    class="chief"
                    onclick={on_click(dispatch, SeasonAction::Pick(date))}
                >
                    { "Open night" }
                </button>
            </div>
        </div>
    }
}

/// The windows of the kept nights as one file; nothing while none is kept.
fn kept_calendar(state: &State, dispatch: &Dispatch) -> Html {
    let dates = state.document().kept_nights.clone();
    if dates.is_empty() {
        return Html::default();
    }
    let word = format!("Add kept nights to calendar ({})", dates.len());
    let (outing, dispatch) = (state.outing().clone(), dispatch.clone());
    let onclick = Callback::from(move |_| {
        let calendar = WindowCalendar::new(&outing, &dates, time_zone::now(), &BrowserTimeZones);
        if calendar.nights > 0 {
            share_calendar("kept-nights.ics", &calendar.file, &dispatch);
        }
        if calendar.left_out > 0 {
            let message = season::left_out(calendar.left_out);
            dispatch.emit(NoticesAction::Show(Notice::Message(message)).into());
        }
    });
    html! { <button id="kept-to-calendar" class="wide" type="button" {onclick}>{ word }</button> }
}
