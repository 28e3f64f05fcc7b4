//! Lists to tick: packing, arriving, the first frame, leaving.

use yew::prelude::*;

use crate::decimal::plain;
use crate::outing::field::checklist::{ARRIVING, LISTS, List, bit};
use crate::outing::plan::Weather;
use crate::outing::plan::bounds::{Bounds, CELSIUS, HUMIDITY};
use crate::ui::state::State;
use crate::ui::state::action::Action;
use crate::ui::text::field_card as words;
use crate::ui::widgets::dialog::dialog;
use crate::ui::widgets::dispatch::{Dispatch, on_click};
use crate::ui::widgets::element::{all, aria_bool, button, el, nothing, say, text};
use crate::ui::widgets::text_field::{Read, TextField, optional_text_field};

/// The sheet.
pub fn checklists_sheet(state: &State, dispatch: &Dispatch) -> Html {
    let mut parts = Vec::with_capacity(LISTS.len());
    for (place, held) in LISTS.iter().enumerate() {
        parts.push(list(held, state, dispatch));
        if place == ARRIVING {
            parts.push(air(state, dispatch));
        }
    }
    dialog("Lists", parts, dispatch)
}

fn list(list: &List, state: &State, dispatch: &Dispatch) -> Html {
    let ticks = state.kept.ticks;
    let (mut rows, mut ticked) = (Vec::new(), 0);
    for line in list.lines(&state.kept.outing) {
        let checked = ticks & bit(line.id) != 0;
        ticked += usize::from(checked);
        let row = button(
            &[("role", "checkbox")],
            vec![("aria-checked", aria_bool(checked).to_owned())],
            on_click(dispatch, Action::Ticked(line.id, !checked)),
            vec![text(line.message)],
        );
        rows.push(el("li", &[], vec![row]));
    }
    let count = words::count(ticked, rows.len());
    let head = vec![text(list.name), say("span", &[("role", "status")], count)];
    let clear = if ticks & list.bits() == 0 {
        nothing()
    } else {
        button(
            &[("class", "wide")],
            Vec::new(),
            on_click(dispatch, Action::TicksCleared(list.bits())),
            vec![text("Clear all ticks")],
        )
    };
    all(vec![
        el("h3", &[("class", "list-head")], head),
        el("ul", &[("class", "ticks")], rows),
        clear,
    ])
}

/// Temperature, humidity and what they mean for the glass.
fn air(state: &State, dispatch: &Dispatch) -> Html {
    let known = state.kept.outing.weather;
    let typed = known.map_or(state.draft.air, |weather| {
        [Some(weather.celsius), Some(weather.humidity_percent)]
    });
    let part = |place: usize, id, label, bounds: Bounds| {
        // a pad of digits has no minus
        let shown = TextField::words(
            (id, label, bounds.unit),
            typed[place].map(plain).unwrap_or_default(),
        );
        let read: Read = Callback::from(move |text: String| {
            let mut typed = typed;
            typed[place] = bounds.read_if_any(&text)?;
            Ok(match typed {
                [Some(celsius), Some(humidity_percent)] => Action::WeatherTyped(Some(Weather {
                    celsius,
                    humidity_percent,
                })),
                half => Action::AirTyped(half),
            })
        });
        optional_text_field(shown, String::new(), read, dispatch)
    };
    let fields = vec![
        part(0, "celsius", "Temperature", CELSIUS),
        part(1, "humidity", "Humidity", HUMIDITY),
    ];
    let message = known.map_or_else(
        || "Type both, as a pocket meter or the car tells them, to learn of dew.".to_owned(),
        words::dew,
    );
    all(vec![
        el("div", &[("class", "pair after")], fields),
        say("p", &[("role", "status")], message),
    ])
}
