//! The night asked for: its date, the ridge, the limits of a window, and the window for
//! a calendar.

pub mod limits_fields;

use yew::prelude::*;

use crate::outing::night::local_time::{format_date, read_date};
use crate::outing::plan::Outing;
use crate::ui::screens::night::calendar_button::calendar_button;
use crate::ui::state::derived::selected_night::SelectedNight;
use crate::ui::state::document::night::NightEdit;
use crate::ui::state::routes::{RouteAction, Sheet};
use crate::ui::text::framing;
use crate::ui::widgets::dialog::dialog;
use crate::ui::widgets::dispatch::{Dispatch, on_click};
use crate::ui::widgets::text_field::{Read, TextField, text_field};
use limits_fields::{darkness_and_height, moon_choice};

const MOONLIGHT_ACCURACY: &str = "How bright the Moon makes the sky at the subject: Krisciunas & \
                                  Schaefer 1991, by their own account good to 8 to 23 %; near \
                                  moonrise and moonset an estimate.";

/// The sheet.
pub fn night_sheet(outing: &Outing, selected: &SelectedNight, dispatch: &Dispatch) -> Html {
    let ontonight = on_click(dispatch, NightEdit::Tonight);
    let onskyline = on_click(dispatch, RouteAction::Open(Sheet::Skyline));
    let content = html! {
        <>
            { date_field(selected, dispatch) }
            <button type="button" class="wide" onclick={ontonight}>{ "Tonight" }</button>
            <h3>{ "Ridge" }</h3>
            <button type="button" class="wide" onclick={onskyline}>
                { framing::skyline(outing) }
            </button>
            { darkness_and_height(&outing.limits, true, dispatch) }
            <h3>{ "Moon" }</h3>
            { moon_choice(&outing.limits, true, dispatch) }
            <p>{ MOONLIGHT_ACCURACY }</p>
            { calendar_button(outing, selected, dispatch) }
        </>
    };
    dialog("Night", vec![content], dispatch)
}

fn date_field(selected: &SelectedNight, dispatch: &Dispatch) -> Html {
    let field = TextField::words(
        ("night", "Evening of (year-month-day)", ""),
        format_date(selected.night.date),
    );
    let read: Read =
        Callback::from(|text: String| read_date(&text).map(|date| NightEdit::Date(date).into()));
    text_field(field, read, dispatch)
}
