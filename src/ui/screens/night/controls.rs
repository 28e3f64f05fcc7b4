//! The controls of When?: the minute looked at, the night, what it is planned about.

use chrono::Days;
use yew::prelude::*;

use crate::outing::plan::NIGHT_MIN;
use crate::ui::sheets::night::limits_fields::least_height;
use crate::ui::state::State;
use crate::ui::state::action::Action;
use crate::ui::state::derived::selected_night::{SelectedNight, days_of};
use crate::ui::state::document::night::NightEdit;
use crate::ui::state::routes::{RouteAction, Sheet};
use crate::ui::text::night as words;
use crate::ui::text::subject::capitalised;
use crate::ui::widgets::dispatch::Dispatch;
use crate::ui::widgets::row::{row, value_key};
use crate::ui::widgets::stepper::{Stepper, stepper};

/// The minute looked at, ten minutes a step.
pub fn time_stepper(selected: &SelectedNight, dispatch: &Dispatch) -> Html {
    let caption = if selected.live { "now" } else { "time" };
    minutes(selected, ("time", 10, caption), dispatch)
}

fn minutes(
    selected: &SelectedNight,
    (name, step, caption): (&str, i32, &'static str),
    dispatch: &Dispatch,
) -> Html {
    let time = Stepper {
        name,
        value: words::time(selected.local(days_of(selected.minute))),
        caption,
        less: minutes_later(selected, -step),
        more: minutes_later(selected, step),
        value_tapped: None,
    };
    stepper(time, dispatch)
}

/// The minute looked at, so many later, within the night.
pub fn minutes_later(selected: &SelectedNight, minutes: i32) -> Action {
    let minute = i32::from(selected.minute) + minutes;
    let minute = minute.clamp(0, i32::from(NIGHT_MIN) - 1) as u16;
    NightEdit::Minute(selected.night.date, minute).into()
}

/// The night.
pub fn night_stepper(selected: &SelectedNight, dispatch: &Dispatch) -> Html {
    nights(selected, ("night", 1, "night"), dispatch)
}

/// A stepper of the night by so many; `caption` stands under it.
pub fn nights(
    selected: &SelectedNight,
    (name, step, caption): (&str, u64, &'static str),
    dispatch: &Dispatch,
) -> Html {
    let date = selected.night.date;
    let to = |date: Option<_>| NightEdit::Date(date.unwrap_or(selected.night.date)).into();
    let nights = Stepper {
        name,
        value: words::evening(date),
        caption,
        less: to(date.checked_sub_days(Days::new(step))),
        more: to(date.checked_add_days(Days::new(step))),
        value_tapped: Some(RouteAction::Open(Sheet::Night).into()),
    };
    stepper(nights, dispatch)
}

/// The rest of the inputs.
pub fn night_drawer(state: &State, selected: &SelectedNight, dispatch: &Dispatch) -> Html {
    let outing = state.outing();
    let subject = capitalised(outing.subject);
    let site = if outing.site.is_set() {
        let name = &outing.site.name;
        if name.is_empty() { "set" } else { name }.to_owned()
    } else {
        "none".to_owned()
    };
    html! {
        <div class="inputs">
            { row([
                nights(selected, ("week", 7, "by week"), dispatch),
                minutes(selected, ("one minute", 1, "by minute"), dispatch),
            ]) }
            { row([
                least_height(&outing.limits, dispatch),
                value_key(
                    "subject",
                    (subject, "subject"),
                    RouteAction::Open(Sheet::Night),
                    dispatch,
                ),
            ]) }
            { value_key("site", (site, "site"), RouteAction::Open(Sheet::Site), dispatch) }
        </div>
    }
}
