//! When? – the night, its shot window, and the minute looked at.

pub mod band;
pub mod calendar_button;
pub mod controls;
pub mod timeline_slider;

use crate::ui::state::routes::RouteAction;
use yew::prelude::*;

use crate::outing::plan::Outing;
use crate::ui::screens::night::band::band;
use crate::ui::state::derived::selected_night::SelectedNight;
use crate::ui::state::routes::Sheet;
use crate::ui::text::night as words;
use crate::ui::text::windows;
use crate::ui::widgets::dispatch::{Dispatch, on_click};
use crate::ui::widgets::element::{all, button, el, say, text};
use crate::ui::widgets::ridge_ornament::ridge_ornament;
use crate::ui::widgets::safety_note::safety_note;

/// The screen.
pub fn night_screen(outing: &Outing, shown: &SelectedNight, dispatch: &Dispatch) -> Html {
    let line = |message: String, sheet: Sheet| {
        let opened = on_click(dispatch, RouteAction::Open(sheet));
        button(
            &[("class", "line")],
            Vec::new(),
            opened,
            vec![text(message)],
        )
    };
    let ridge = windows::allowed(outing);
    all(vec![
        line(words::site(&outing.site), Sheet::Site),
        verdict(outing, shown),
        line(ridge, Sheet::Night),
        el(
            "section",
            &[("class", "night"), ("aria-label", "the night hour by hour")],
            vec![
                band(shown, outing, dispatch),
                say(
                    "p",
                    &[("class", "legend")],
                    "Height runs to the right, time down. Hatched: light, the closer the \
                     lighter. Heavy line: the core over the ridge. Bar: the shot window.",
                ),
            ],
        ),
        safety_note(),
    ])
}

/// The window: the largest thing on the screen.
fn verdict(outing: &Outing, shown: &SelectedNight) -> Html {
    let night = words::night(shown.night.date);
    let night = if shown.night.tonight {
        format!("Tonight, {night}")
    } else {
        night
    };
    let (figure, under) = match shown.night.evening.best() {
        Some(window) => {
            let (start, end) = windows::ends(shown, &window);
            (
                format!("{start}–{end}"),
                words::length(window.span.minutes()),
            )
        }
        None => ("no window".to_owned(), String::new()),
    };
    let parts = vec![
        ridge_ornament(),
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
                windows::sentence(shown, outing),
            ),
            say("p", &[("class", "sentence clock")], words::clock(shown)),
        ],
    )
}
