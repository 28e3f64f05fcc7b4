//! Lists to tick: packing, arriving, the first frame, leaving.

use crate::ui::state::document::lists::ListsEdit;
use crate::ui::state::weather::WeatherDraft;
use yew::prelude::*;

use crate::decimal::plain;
use crate::outing::field::checklist::{ARRIVING, LISTS, List, bit};
use crate::outing::plan::bounds::{CELSIUS, HUMIDITY};
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
    let ticks = state.document().ticks;
    let (mut rows, mut ticked) = (Vec::new(), 0);
    for line in list.lines(state.outing()) {
        let checked = ticks & bit(line.id) != 0;
        ticked += usize::from(checked);
        let row = button(
            &[("role", "checkbox")],
            vec![("aria-checked", aria_bool(checked).to_owned())],
            on_click(dispatch, ListsEdit::Tick(line.id, !checked)),
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
            on_click(dispatch, ListsEdit::ClearTicks(list.bits())),
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
    let known = state.outing().weather;
    let typed = known.map_or(state.weather, |weather| WeatherDraft {
        celsius: Some(weather.celsius),
        humidity_percent: Some(weather.humidity_percent),
    });
    let part = |about, value: Option<f64>, read: Read| {
        // a pad of digits has no minus
        let shown = TextField::words(about, value.map(plain).unwrap_or_default());
        optional_text_field(shown, String::new(), read, dispatch)
    };
    let fields = vec![
        part(
            ("celsius", "Temperature", CELSIUS.unit),
            typed.celsius,
            Callback::from(move |text: String| {
                let celsius = CELSIUS.read_if_any(&text)?;
                Ok(Action::Weather(WeatherDraft { celsius, ..typed }))
            }),
        ),
        part(
            ("humidity", "Humidity", HUMIDITY.unit),
            typed.humidity_percent,
            Callback::from(move |text: String| {
                let humidity_percent = HUMIDITY.read_if_any(&text)?;
                Ok(Action::Weather(WeatherDraft {
                    humidity_percent,
                    ..typed
                }))
            }),
        ),
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
