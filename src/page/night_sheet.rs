//! The night asked for: its date, the ridge, the limits of a window, and the window for
//! a calendar.

use yew::prelude::*;

use super::element::{button, say, text};
use super::field::{Field, field};
use super::limits_fields::{darkness_and_height, moon_choice};
use super::sheet::sheet;
use super::shown::Shown;
use super::state::{Action, Sheet};
use super::tap::{Send, tap};
use super::where_words;
use crate::outing::clock::{read_date, written_date};
use crate::outing::plan::Outing;

/// The sheet.
pub fn night_sheet(outing: &Outing, shown: &Shown, send: &Send) -> Html {
    let date = Field::words(
        ("night", "Evening of (year-month-day)", ""),
        written_date(shown.date),
    );
    let dated = Callback::from(|text: String| read_date(&text).map(Action::NightChosen));
    let skyline = button(
        &[("class", "wide")],
        Vec::new(),
        tap(send, Action::SheetOpened(Sheet::Skyline)),
        vec![text(where_words::skyline(outing))],
    );
    let tonight = button(
        &[("class", "wide")],
        Vec::new(),
        tap(send, Action::TonightChosen),
        vec![text("Tonight")],
    );
    let parts = vec![
        field(date, dated, send),
        tonight,
        say("h3", &[], "Ridge"),
        skyline,
        darkness_and_height(&outing.limits, true, send),
        say("h3", &[], "Moon"),
        moon_choice(&outing.limits, true, send),
        say(
            "p",
            &[],
            "How bright the Moon makes the sky at the core: Krisciunas & Schaefer 1991, by their \
             own account good to 8 to 23 %; near moonrise and moonset an estimate.",
        ),
        super::calendar_button::calendar_button(outing, shown, send),
    ];
    sheet("Night", parts, send)
}
