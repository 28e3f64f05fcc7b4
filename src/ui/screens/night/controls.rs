//! The controls of When?: the minute looked at, the night, the season.

use chrono::{Days, NaiveDate};
use yew::prelude::*;

use crate::outing::plan::NIGHT_MIN;
use crate::ui::state::action::Action;
use crate::ui::state::derived::selected_night::{SelectedNight, days_of};
use crate::ui::state::document::night::NightEdit;
use crate::ui::state::routes::{RouteAction, Sheet};
use crate::ui::text::night as words;
use crate::ui::widgets::dispatch::{Dispatch, on_click};
use crate::ui::widgets::stepper::{Stepper, stepper};

/// Values at the cursor, steppers of one minute and ten, and the nights.
pub fn night_controls(selected: &SelectedNight, dispatch: &Dispatch) -> Html {
    let after = |minutes: i32| {
        let minute = i32::from(selected.minute) + minutes;
        let minute = minute.clamp(0, i32::from(NIGHT_MIN) - 1) as u16;
        NightEdit::Minute(selected.night.date, minute).into()
    };
    let by = |name, value: &str, minutes: i32| Stepper {
        name,
        value: value.to_owned(),
        less: after(-minutes),
        more: after(minutes),
        value_tapped: None,
    };
    let night =
        |date: Option<NaiveDate>| NightEdit::Date(date.unwrap_or(selected.night.date)).into();
    let nights = Stepper {
        name: "night",
        value: words::night_short(selected.night.date),
        less: night(selected.night.date.checked_sub_days(Days::new(1))),
        more: night(selected.night.date.checked_add_days(Days::new(1))),
        value_tapped: Some(RouteAction::Open(Sheet::Night).into()),
    };
    let button = |word: &'static str, action: Action| {
        let onclick = on_click(dispatch, action);
        html! { <button class="word" type="button" {onclick}>{ word }</button> }
    };
    let at = selected.local(days_of(selected.minute));
    let core = format!("{} · {}", words::time(at), words::core_now(selected));
    let sky = format!(
        "{} · {}",
        words::moon_now(selected),
        words::sky_now(selected)
    );
    html! {
        <>
            <p class="readout" role="status">
                <strong>{ core }</strong>
                { " " }
                <span>{ sky }</span>
            </p>
            { stepper(by("ten minutes", "10 min", 10), dispatch) }
            { stepper(by("one minute", "1 min", 1), dispatch) }
            { stepper(nights, dispatch) }
            <div class="pair">
                { button("Now", Action::LookAtNow) }
                { button("Season", RouteAction::Open(Sheet::Season).into()) }
            </div>
        </>
    }
}
