//! The thumb's row under When?: the minute looked at, the night, the season.

use crate::ui::state::document::night::NightEdit;
use crate::ui::state::routes::RouteAction;
use chrono::{Days, NaiveDate};
use yew::prelude::*;

use crate::outing::plan::NIGHT_MIN;
use crate::ui::state::action::Action;
use crate::ui::state::derived::selected_night::{SelectedNight, days_of};
use crate::ui::state::routes::Sheet;
use crate::ui::text::night as words;
use crate::ui::widgets::dispatch::{Dispatch, on_click};
use crate::ui::widgets::element::{all, button, el, say, text};
use crate::ui::widgets::stepper::{Stepper, stepper};

/// Values at the cursor, steppers of one minute and ten, and the nights.
pub fn night_controls(shown: &SelectedNight, dispatch: &Dispatch) -> Html {
    let to = |minutes: i32| {
        let minute = i32::from(shown.minute) + minutes;
        let minute = minute.clamp(0, i32::from(NIGHT_MIN) - 1) as u16;
        NightEdit::Minute(shown.night.date, minute).into()
    };
    let by = |name, value: &str, minutes: i32| Stepper {
        name,
        value: value.to_owned(),
        less: to(-minutes),
        more: to(minutes),
        value_tapped: None,
    };
    let night = |date: Option<NaiveDate>| NightEdit::Date(date.unwrap_or(shown.night.date)).into();
    let nights = Stepper {
        name: "night",
        value: words::night_short(shown.night.date),
        less: night(shown.night.date.checked_sub_days(Days::new(1))),
        more: night(shown.night.date.checked_add_days(Days::new(1))),
        value_tapped: Some(RouteAction::Open(Sheet::Night).into()),
    };
    let plain = |word: &'static str, action| {
        button(
            &[("class", "word")],
            Vec::new(),
            on_click(dispatch, action),
            vec![text(word)],
        )
    };
    let at = shown.local(days_of(shown.minute));
    let message = format!("{} · {}", words::time(at), words::core_now(shown));
    let more = format!("{} · {}", words::moon_now(shown), words::sky_now(shown));
    all(vec![
        el(
            "p",
            &[("class", "readout"), ("role", "status")],
            vec![
                say("strong", &[], message),
                text(" "),
                say("span", &[], more),
            ],
        ),
        stepper(by("ten minutes", "10 min", 10), dispatch),
        stepper(by("one minute", "1 min", 1), dispatch),
        stepper(nights, dispatch),
        el(
            "div",
            &[("class", "pair")],
            vec![
                plain("Now", Action::LookAtNow),
                plain("Season", RouteAction::Open(Sheet::Season).into()),
            ],
        ),
    ])
}
