//! Focus: why the hyperfocal distance is a trap for stars.

use yew::prelude::*;

use super::choice::{Choice, choice};
use super::field::Field;
use super::state::Action;
use super::words;
use crate::camera::focus::Focus;
use crate::outing::bounds::FOCUS_M;
use crate::outing::form::plain;
use crate::outing::plan::Outing;

/// The distance offered first, m.
const FIRST_DISTANCE_M: f64 = 10.0;

/// Three ways to focus, and what each does to a star.
pub fn focus_card(outing: &Outing, send: &Callback<Action>) -> Html {
    let chosen = match outing.focus {
        Focus::Stars => 0,
        Focus::Hyperfocal => 1,
        Focus::At(_) => 2,
    };
    let ways = Choice {
        name: "focus on",
        options: &[("stars", ""), ("hyperfocal", ""), ("distance", "")],
        chosen: Some(chosen),
        tall: false,
    };
    let onchoose = send.reform(|place| {
        Action::FocusChosen(match place {
            0 => Focus::Stars,
            1 => Focus::Hyperfocal,
            _ => Focus::At(FIRST_DISTANCE_M),
        })
    });
    let read = {
        let send = send.clone();
        Callback::from(move |text: String| {
            FOCUS_M
                .read(&text)
                .map(|metres| send.emit(Action::FocusChosen(Focus::At(metres))))
        })
    };
    html! {
        <section class="card" aria-labelledby="focus-title">
            <h2 id="focus-title">{ "Focus on" }</h2>
            { choice(&ways, &onchoose) }
            if let Focus::At(metres) = outing.focus {
                <Field id="focus-distance" label="Distance" unit="m" value={plain(metres)} {read} />
            }
            <p role="status">{ words::focus(outing) }</p>
        </section>
    }
}
