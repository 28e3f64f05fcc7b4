//! Focus: why the hyperfocal distance is a trap for stars.

use yew::prelude::*;

use crate::camera::focus::Focus;
use crate::decimal::plain;
use crate::outing::plan::Outing;
use crate::outing::plan::bounds::FOCUS_M;
use crate::ui::state::action::Action;
use crate::ui::text::exposure;
use crate::ui::widgets::dispatch::Dispatch;
use crate::ui::widgets::element::{el, nothing, say};
use crate::ui::widgets::text_field::{TextField, text_field};
use crate::ui::widgets::toggle_group::{ToggleGroup, toggle_group};

/// The distance offered first, m.
const FIRST_DISTANCE_M: f64 = 10.0;

/// Three ways to focus, and what each does to a star.
pub fn focus_card(outing: &Outing, dispatch: &Dispatch) -> Html {
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
    let ways = ToggleGroup {
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
            let distance = TextField::digits(("focus-distance", "Distance", "m"), plain(metres));
            text_field(distance, read, dispatch)
        }
        Focus::Stars | Focus::Hyperfocal => nothing(),
    };
    el(
        "section",
        &[("class", "card"), ("aria-labelledby", "focus-title")],
        vec![
            say("h2", &[("id", "focus-title")], "Focus on"),
            toggle_group(&ways, dispatch),
            distance,
            say("p", &[("role", "status")], exposure::focus(outing)),
        ],
    )
}
