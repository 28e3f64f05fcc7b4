//! Focus: why the hyperfocal distance is a trap for stars.

use yew::prelude::*;

use super::choice::{Choice, choice};
use super::field::Field;
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
    let ways = Choice {
        name: "focus on",
        options: &[
            ("stars", "", Action::FocusChosen(Focus::Stars)),
            ("hyperfocal", "", Action::FocusChosen(Focus::Hyperfocal)),
            (
                "distance",
                "",
                Action::FocusChosen(Focus::At(FIRST_DISTANCE_M)),
            ),
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
            html! {
                <Field
                    id="focus-distance"
                    label="Distance"
                    unit="m"
                    value={plain(metres)}
                    {read}
                    send={send.clone()}
                />
            }
        }
        Focus::Stars | Focus::Hyperfocal => html! {},
    };
    html! {
        <section class="card" aria-labelledby="focus-title">
            <h2 id="focus-title">{ "Focus on" }</h2>
            { choice(&ways, send) }
            { distance }
            <p role="status">{ words::focus(outing) }</p>
        </section>
    }
}
