//! The shot window: the largest thing on the screen.

use yew::prelude::*;

use crate::outing::plan::Outing;
use crate::ui::state::derived::selected_night::SelectedNight;
use crate::ui::text::night as words;
use crate::ui::text::windows;
use crate::ui::widgets::element::{el, say};
use crate::ui::widgets::ridge_ornament::ridge_ornament;

/// The headline.
pub fn headline(outing: &Outing, selected: &SelectedNight) -> Html {
    let night = words::night(selected.night.date);
    let night = if selected.night.tonight {
        format!("Tonight, {night}")
    } else {
        night
    };
    let (figure, under) = match selected.night.evening.best() {
        Some(window) => {
            let (start, end) = windows::ends(selected, &window);
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
                windows::sentence(selected, outing),
            ),
            say("p", &[("class", "sentence clock")], words::clock(selected)),
        ],
    )
}
