//! Lists to tick: packing, arriving, the first frame, leaving.

use yew::prelude::*;

use super::card_words as words;
use super::element::{all, button, el, nothing, said, say, text};
use super::field::{Field, Read, optional_field};
use super::sheet::sheet;
use super::state::{Action, State};
use super::tap::{Send, tap};
use crate::decimal::plain;
use crate::outing::bounds::{Bounds, CELSIUS, HUMIDITY};
use crate::outing::checklist::{ARRIVING, LISTS, List, bit};
use crate::outing::plan::Weather;

/// The sheet.
pub fn lists_sheet(state: &State, send: &Send) -> Html {
    let mut parts = Vec::with_capacity(LISTS.len());
    for (place, held) in LISTS.iter().enumerate() {
        parts.push(list(held, state, send));
        if place == ARRIVING {
            parts.push(air(state, send));
        }
    }
    sheet("Lists", parts, send)
}

fn list(list: &List, state: &State, send: &Send) -> Html {
    let ticks = state.kept.ticks;
    let (mut rows, mut ticked) = (Vec::new(), 0);
    for line in list.lines(&state.kept.outing) {
        let checked = ticks & bit(line.id) != 0;
        ticked += usize::from(checked);
        let row = button(
            &[("role", "checkbox")],
            vec![("aria-checked", said(checked).to_owned())],
            tap(send, Action::Ticked(line.id, !checked)),
            vec![text(line.said)],
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
            tap(send, Action::TicksCleared(list.bits())),
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
fn air(state: &State, send: &Send) -> Html {
    let known = state.kept.outing.weather;
    let typed = known.map_or(state.draft.air, |weather| {
        [Some(weather.celsius), Some(weather.humidity_percent)]
    });
    let part = |place: usize, id, label, bounds: Bounds| {
        // a pad of digits has no minus
        let shown = Field::words(
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
        optional_field(shown, String::new(), read, send)
    };
    let fields = vec![
        part(0, "celsius", "Temperature", CELSIUS),
        part(1, "humidity", "Humidity", HUMIDITY),
    ];
    let told = known.map_or_else(
        || "Type both, as a pocket meter or the car tells them, to learn of dew.".to_owned(),
        words::dew,
    );
    all(vec![
        el("div", &[("class", "pair after")], fields),
        say("p", &[("role", "status")], told),
    ])
}
