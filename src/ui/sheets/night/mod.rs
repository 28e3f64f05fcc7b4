//! The night asked for: its date, the ridge, the limits of a window, and the window for
//! a calendar.

pub mod limits_fields;

use crate::ui::state::document::night::NightEdit;
use crate::ui::state::routes::RouteAction;
use yew::prelude::*;

use crate::outing::night::local_time::{format_date, read_date};
use crate::outing::plan::Outing;
use crate::ui::sheets::night::limits_fields::{darkness_and_height, moon_choice};
use crate::ui::state::derived::selected_night::SelectedNight;
use crate::ui::state::routes::Sheet;
use crate::ui::text::framing;
use crate::ui::widgets::dialog::dialog;
use crate::ui::widgets::dispatch::{Dispatch, on_click};
use crate::ui::widgets::element::{button, say, text};
use crate::ui::widgets::text_field::{TextField, text_field};

/// The sheet.
pub fn night_sheet(outing: &Outing, shown: &SelectedNight, dispatch: &Dispatch) -> Html {
    let date = TextField::words(
        ("night", "Evening of (year-month-day)", ""),
        format_date(shown.night.date),
    );
    let dated =
        Callback::from(|text: String| read_date(&text).map(|value| NightEdit::Date(value).into()));
    let skyline = button(
        &[("class", "wide")],
        Vec::new(),
        on_click(dispatch, RouteAction::Open(Sheet::Skyline)),
        vec![text(framing::skyline(outing))],
    );
    let tonight = button(
        &[("class", "wide")],
        Vec::new(),
        on_click(dispatch, NightEdit::Tonight),
        vec![text("Tonight")],
    );
    let parts = vec![
        text_field(date, dated, dispatch),
        tonight,
        say("h3", &[], "Ridge"),
        skyline,
        darkness_and_height(&outing.limits, true, dispatch),
        say("h3", &[], "Moon"),
        moon_choice(&outing.limits, true, dispatch),
        say(
            "p",
            &[],
            "How bright the Moon makes the sky at the core: Krisciunas & Schaefer 1991, by their \
             own account good to 8 to 23 %; near moonrise and moonset an estimate.",
        ),
        crate::ui::screens::night::calendar_button::calendar_button(outing, shown, dispatch),
    ];
    dialog("Night", parts, dispatch)
}
