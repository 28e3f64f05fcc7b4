//! Where the core stands: the largest thing on the screen; beside it what this frame allows.

use yew::prelude::*;

use crate::outing::exposure::Answer;
use crate::ui::state::derived::selected_night::SelectedNight;
use crate::ui::text::exposure;
use crate::ui::text::framing as words;
use crate::ui::widgets::element::{el, say, text};

/// The headline.
pub fn headline(answer: &Answer, selected: &SelectedNight) -> Html {
    let (bearing, under) = words::core(selected);
    let (mark, unit) = exposure::dial(answer.dial());
    let parts = vec![
        say("p", &[("class", "of-night")], words::moment(selected)),
        el(
            "p",
            &[
                ("id", "answer"),
                ("class", "answer"),
                ("aria-live", "polite"),
            ],
            vec![
                say("span", &[("class", "figure hours")], bearing),
                say("span", &[("class", "for")], under),
            ],
        ),
        el(
            "p",
            &[("class", "beside")],
            vec![
                el(
                    "span",
                    &[("class", "figure")],
                    vec![text(mark), say("small", &[], unit)],
                ),
                say("span", &[("class", "for")], "clean time"),
            ],
        ),
    ];
    el(
        "section",
        &[("class", "verdict"), ("aria-labelledby", "answer")],
        vec![
            el("div", &[("class", "figures low")], parts),
            say("p", &[("class", "sentence")], words::sentence(selected)),
        ],
    )
}
