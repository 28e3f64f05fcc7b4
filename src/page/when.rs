//! When? – the night, its shot window, and the minute looked at.

use yew::prelude::*;

use super::band::band;
use super::care::care;
use super::element::{all, button, el, say, text};
use super::night_words as words;
use super::ridges::ridges;
use super::shown::Shown;
use super::state::{Action, Sheet};
use super::tap::{Send, tap};
use super::window_words;
use crate::outing::plan::Outing;

/// The screen.
pub fn when(outing: &Outing, shown: &Shown, send: &Send) -> Html {
    let line = |said: String, sheet: Sheet| {
        let opened = tap(send, Action::SheetOpened(sheet));
        button(&[("class", "line")], Vec::new(), opened, vec![text(said)])
    };
    let ridge = window_words::allowed(outing);
    all(vec![
        line(words::site(&outing.site), Sheet::Site),
        verdict(outing, shown),
        line(ridge, Sheet::Night),
        el(
            "section",
            &[("class", "night"), ("aria-label", "the night hour by hour")],
            vec![
                band(shown, outing, send),
                say(
                    "p",
                    &[("class", "legend")],
                    "Height runs to the right, time down. Hatched: light, the closer the \
                     lighter. Heavy line: the core over the ridge. Bar: the shot window.",
                ),
            ],
        ),
        care(),
    ])
}

/// The window: the largest thing on the screen.
fn verdict(outing: &Outing, shown: &Shown) -> Html {
    let night = words::night(shown.date);
    let night = if shown.tonight {
        format!("Tonight, {night}")
    } else {
        night
    };
    let (figure, under) = match shown.evening.best() {
        Some(window) => {
            let (start, end) = window_words::ends(shown, &window);
            (
                format!("{start}–{end}"),
                words::length(window.span.minutes()),
            )
        }
        None => ("no window".to_owned(), String::new()),
    };
    let parts = vec![
        ridges(),
        say("p", &[("class", "of-night")], night),
        el(
            "p",
            &[
                ("id", "answer"),
                ("class", "answer"),
                ("aria-live", "polite"),
            ],
            vec![
                say("span", &[("class", "figure hours")], figure),
                say("span", &[("class", "for")], under),
            ],
        ),
    ];
    el(
        "section",
        &[("class", "verdict"), ("aria-labelledby", "answer")],
        vec![
            el("div", &[("class", "figures")], parts),
            say(
                "p",
                &[("class", "sentence")],
                window_words::sentence(shown, outing),
            ),
            say("p", &[("class", "sentence clock")], words::clock(shown)),
        ],
    )
}
