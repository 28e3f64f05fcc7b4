//! Focus: why the hyperfocal distance is a trap for stars.

use yew::prelude::*;

use crate::camera::focus::Focus;
use crate::decimal::plain;
use crate::outing::plan::Outing;
use crate::outing::plan::bounds::FOCUS_M;
use crate::ui::state::document::exposure::ExposureEdit;
use crate::ui::text::exposure;
use crate::ui::widgets::dispatch::Dispatch;
use crate::ui::widgets::text_field::{TextField, text_field};
use crate::ui::widgets::toggle_group::{ToggleGroup, toggle_group};

/// The distance offered first, m.
const FIRST_DISTANCE_M: f64 = 10.0;

/// Three places to focus on, and what each does to a star.
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
    let focus = ToggleGroup {
        name: "focus on",
        options: &[
            ("stars", "", ExposureEdit::Focus(Focus::Stars).into()),
            (
                "hyperfocal",
                "",
                ExposureEdit::Focus(Focus::Hyperfocal).into(),
            ),
            ("distance", "", ExposureEdit::Focus(distance).into()),
        ],
        chosen: Some(chosen),
        tall: false,
    };
    let distance = match outing.focus {
        Focus::At(metres) => Some(distance_field(metres, dispatch)),
        Focus::Stars | Focus::Hyperfocal => None,
    };
    html! {
        <>
            { toggle_group(&focus, dispatch) }
            <div>{ distance.unwrap_or_default() }</div>
            <p role="status">{ exposure::focus(outing) }</p>
        </>
    }
}

fn distance_field(metres: f64, dispatch: &Dispatch) -> Html {
    let read = Callback::from(|text: String| {
        let metres = FOCUS_M.read(&text)?;
        Ok(ExposureEdit::Focus(Focus::At(metres)).into())
    });
    let distance = TextField::digits(("focus-distance", "Distance", "m"), plain(metres));
    text_field(distance, read, dispatch)
}
