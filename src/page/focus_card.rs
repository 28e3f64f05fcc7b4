//! Focus: why the hyperfocal distance is a trap for stars.

use yew::prelude::*;

use super::choice::{Choice, choice};
use super::element::{el, nothing, say};
use super::field::{Field, field};
use super::state::Action;
use super::tap::Send;
use super::words;
use crate::camera::focus::Focus;
use crate::decimal::plain;
use crate::outing::bounds::FOCUS_M;
use crate::outing::plan::Outing;

/// The distance offered first, m.
const FIRST_DISTANCE_M: f64 = 10.0;

/// Three ways to focus, and what each does to a star.
pub fn focus_card(outing: &Outing, send: &Send) -> Html {
    let chosen = match outing.focus {
        Focus::Stars => 0,
        Focus::Hyperfocal => 1,
        Focus::At(_) => 2,
    };
    // tapped again, it keeps what was typed
    let distance = match outing.focus {
        Focus::At(_) => outing.focus,
        _ => Focus::At(FIRST_DISTANCE_M),
    };
    let ways = Choice {
        name: "focus on",
        options: &[
            ("stars", "", Action::FocusChosen(Focus::Stars)),
            ("hyperfocal", "", Action::FocusChosen(Focus::Hyperfocal)),
            ("distance", "", Action::FocusChosen(distance)),
        ],
        chosen: Some(chosen),
        tall: false,
    };
    let distance = match outing.focus {
        Focus::At(metres) => {
            let read = Callback::from(|text: String| {
                let metres = FOCUS_M.read(&text)?;
                Ok(Action::FocusChosen(Focus::At(metres)))
            });
            let distance = Field::digits(("focus-distance", "Distance", "m"), plain(metres));
            field(distance, read, send)
        }
        Focus::Stars | Focus::Hyperfocal => nothing(),
    };
    el(
        "section",
        &[("class", "card"), ("aria-labelledby", "focus-title")],
        vec![
            say("h2", &[("id", "focus-title")], "Focus on"),
            choice(&ways, send),
            distance,
            say("p", &[("role", "status")], words::focus(outing)),
        ],
    )
}
