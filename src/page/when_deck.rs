//! The thumb's row under When?: the minute looked at, the night, the season.

use chrono::{Days, NaiveDate};
use yew::prelude::*;

use super::element::{button, el, say, text};
use super::night_words as words;
use super::shown::{Shown, days_of};
use super::state::{Action, Sheet};
use super::stepper::{Stepper, stepper};
use super::tap::{Send, tap};
use crate::outing::plan::NIGHT_MIN;

/// Values at the cursor, steppers of one minute and ten, and the nights.
pub fn when_inputs(shown: &Shown, send: &Send) -> Vec<Html> {
    let to = |minutes: i32| {
        let minute = i32::from(shown.minute) + minutes;
        let minute = minute.clamp(0, i32::from(NIGHT_MIN) - 1) as u16;
        Action::LookedAt(shown.date, minute)
    };
    let by = |name, value: &str, minutes: i32| Stepper {
        name,
        value: value.to_owned(),
        less: to(-minutes),
        more: to(minutes),
        value_tapped: None,
    };
    let night = |date: Option<NaiveDate>| Action::NightChosen(date.unwrap_or(shown.date));
    let nights = Stepper {
        name: "night",
        value: words::night_short(shown.date),
        less: night(shown.date.checked_sub_days(Days::new(1))),
        more: night(shown.date.checked_add_days(Days::new(1))),
        value_tapped: Some(Action::SheetOpened(Sheet::Night)),
    };
    let plain = |word: &'static str, action| {
        button(
            &[("class", "word")],
            Vec::new(),
            tap(send, action),
            vec![text(word)],
        )
    };
    let at = shown.local(days_of(shown.minute));
    let said = format!("{} · {}", words::time(at), words::core_now(shown));
    let more = format!("{} · {}", words::moon_now(shown), words::sky_now(shown));
    vec![
        el(
            "p",
            &[("class", "readout"), ("role", "status")],
            vec![say("strong", &[], said), text(" "), say("span", &[], more)],
        ),
        stepper(by("ten minutes", "10 min", 10), send),
        stepper(by("one minute", "1 min", 1), send),
        stepper(nights, send),
        el(
            "div",
            &[("class", "pair")],
            vec![
                plain("Now", Action::NowTapped),
                plain("Season", Action::SheetOpened(Sheet::Season)),
            ],
        ),
    ]
}
