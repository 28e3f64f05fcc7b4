//! The controls of When?: the minute looked at, the night, the season.

use chrono::{Days, NaiveDate};
use yew::prelude::*;

use crate::outing::plan::NIGHT_MIN;
use crate::ui::state::action::Action;
use crate::ui::state::derived::selected_night::{SelectedNight, days_of};
use crate::ui::state::document::night::NightEdit;
use crate::ui::state::routes::{RouteAction, Sheet};
use crate::ui::text::night as words;
use crate::ui::widgets::dispatch::Dispatch;
use crate::ui::widgets::row::{key, row};
use crate::ui::widgets::stepper::{Stepper, stepper};

/// The minute looked at, ten minutes a step.
pub fn time_stepper(selected: &SelectedNight, dispatch: &Dispatch) -> Html {
    minutes(selected, ("time", 10, "time"), dispatch)
}

fn minutes(
    selected: &SelectedNight,
    (name, step, caption): (&str, i32, &'static str),
    dispatch: &Dispatch,
) -> Html {
    let after = |minutes: i32| {
        let minute = i32::from(selected.minute) + minutes;
        let minute = minute.clamp(0, i32::from(NIGHT_MIN) - 1) as u16;
        NightEdit::Minute(selected.night.date, minute).into()
    };
    let time = Stepper {
        name,
        value: words::time(selected.local(days_of(selected.minute))),
        caption,
        less: after(-step),
        more: after(step),
        value_tapped: None,
    };
    stepper(time, dispatch)
}

/// The night.
pub fn night_stepper(selected: &SelectedNight, dispatch: &Dispatch) -> Html {
    let night =
        |date: Option<NaiveDate>| NightEdit::Date(date.unwrap_or(selected.night.date)).into();
    let nights = Stepper {
        name: "night",
        value: words::night_short(selected.night.date),
        caption: "night",
        less: night(selected.night.date.checked_sub_days(Days::new(1))),
        more: night(selected.night.date.checked_add_days(Days::new(1))),
        value_tapped: Some(RouteAction::Open(Sheet::Night).into()),
    };
    stepper(nights, dispatch)
}

/// The rest of the inputs.
pub fn night_drawer(selected: &SelectedNight, dispatch: &Dispatch) -> Html {
    html! {
        <>
            { minutes(selected, ("one minute", 1, "by the minute"), dispatch) }
            { row([
                key("now", "Now", Action::LookAtNow, dispatch),
                key("open-season", "Season", RouteAction::Open(Sheet::Season), dispatch),
            ]) }
        </>
    }
}
