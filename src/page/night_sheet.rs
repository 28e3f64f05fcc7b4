//! The night asked for: its date, the ridge, the Moon put up with, and the
//! window for a calendar.

use yew::prelude::*;

use super::choice::{Choice, choice};
use super::element::{button, say, text};
use super::field::{Field, field};
use super::night_words as words;
use super::sheet::sheet;
use super::shown::Shown;
use super::state::{Action, Sheet};
use super::tap::{Send, tap};
use super::where_words;
use crate::outing::clock::{read_date, written_date};
use crate::outing::plan::{MoonLimit, Outing};

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
    let limits = [MoonLimit::Any, MoonLimit::Harmless, MoonLimit::None];
    let told = limits.map(words::moon_limit);
    let option = |place: usize| {
        let (word, line) = &told[place];
        (*word, line.as_str(), Action::MoonLimitChosen(limits[place]))
    };
    let moons = Choice {
        name: "Moon put up with",
        options: &[option(0), option(1), option(2)],
        chosen: limits.iter().position(|limit| *limit == outing.moon),
        tall: true,
    };
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
        say("h3", &[], "Moon"),
        choice(&moons, send),
        say(
            "p",
            &[],
            "Moon cost: how many magnitudes it brightens the sky at the core (Krisciunas & \
             Schaefer 1991, by their own account good to 8 to 23 %).",
        ),
        super::calendar_button::calendar_button(outing, shown, send),
    ];
    sheet("Night", parts, send)
}
