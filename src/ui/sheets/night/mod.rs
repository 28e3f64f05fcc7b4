//! The night asked for: its date, what it is planned about, the limits of a window, the ridge.

pub mod limits_fields;

use yew::prelude::*;

use crate::outing::night::local_time::{format_date, read_date};
use crate::ui::state::State;
use crate::ui::state::derived::Derived;
use crate::ui::state::derived::selected_night::SelectedNight;
use crate::ui::state::document::night::NightEdit;
use crate::ui::state::routes::{RouteAction, Sheet};
use crate::ui::text::{framing, windows};
use crate::ui::widgets::dialog::dialog;
use crate::ui::widgets::dispatch::{Dispatch, on_click};
use crate::ui::widgets::subject_choice::SubjectChoice;
use crate::ui::widgets::text_field::{Read, TextField, text_field};
use limits_fields::{darkness_and_height, moon_choice};

const MOONLIGHT_ACCURACY: &str = "How bright the Moon makes the sky at the subject: Krisciunas & \
                                  Schaefer 1991, by their own account good to 8 to 23 %; near \
                                  moonrise and moonset an estimate.";

/// The sheet.
pub fn night_sheet(state: &State, derived: &Derived, dispatch: &Dispatch) -> Html {
    let (outing, selected) = (state.outing(), derived.night(state));
    let content = html! {
        <>
            { date_field(&selected, dispatch) }
            <h3>{ "Subject" }</h3>
            <SubjectChoice
                chosen={outing.subject}
                offered={windows::subjects(&derived.subjects_up(state))}
                dispatch={dispatch.clone()}
            />
            { darkness_and_height(&outing.limits, true, dispatch) }
            <h3>{ "Moon" }</h3>
            { moon_choice(&outing.limits, true, dispatch) }
            <p>{ MOONLIGHT_ACCURACY }</p>
            <h3>{ "Ridge" }</h3>
            <button
                type="button"
                class="wide"
                onclick={on_click(dispatch, RouteAction::Open(Sheet::Skyline))}
            >
                { framing::skyline(outing) }
            </button>
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
