//! Lists to tick: packing, arriving, the first frame, leaving.

use yew::prelude::*;

use crate::decimal::plain;
use crate::outing::field::checklist::{ARRIVING, LISTS, Line, List, bit};
use crate::outing::plan::bounds::{CELSIUS, HUMIDITY};
use crate::ui::state::State;
use crate::ui::state::action::Action;
use crate::ui::state::document::lists::ListsEdit;
use crate::ui::state::weather::WeatherDraft;
use crate::ui::text::field_card as words;
use crate::ui::widgets::aria::aria_bool;
use crate::ui::widgets::dialog::dialog;
use crate::ui::widgets::dispatch::{Dispatch, on_click};
use crate::ui::widgets::text_field::{About, Read, TextField, optional_text_field};

const UNKNOWN_AIR: &str = "Type both, as a pocket meter or the car tells them, to learn of dew.";

/// The sheet.
pub fn checklists_sheet(state: &State, dispatch: &Dispatch) -> Html {
    let part = |(place, list): (usize, &List)| {
        html! {
            <>
                { checklist(list, state, dispatch) }
                if place == ARRIVING {
                    { air(state, dispatch) }
                }
            </>
        }
    };
    dialog(
        "Lists",
        LISTS.iter().enumerate().map(part).collect(),
        dispatch,
    )
}

/// A list, with how many of its lines are ticked.
fn checklist(list: &List, state: &State, dispatch: &Dispatch) -> Html {
    let ticks = state.document().ticks;
    let lines = list.lines(state.outing());
    let is_ticked = |line: &Line| ticks & bit(line.id) != 0;
    let ticked = lines.iter().filter(|line| is_ticked(line)).count();
    let count = words::count(ticked, lines.len());
    let row = |line: &Line| {
        let checked = is_ticked(line);
        let onclick = on_click(dispatch, ListsEdit::Tick(line.id, !checked));
        html! {
            <li>
                <button
                    type="button"
                    role="checkbox"
                    aria-checked={aria_bool(checked)}
                    {onclick}
                >
                    { line.message }
                </button>
            </li>
        }
    };
    let onclear = on_click(dispatch, ListsEdit::ClearTicks(list.bits()));
    html! {
        <>
            <h3 class="list-head">
                { list.name }
                <span role="status">{ count }</span>
            </h3>
            <ul class="ticks">{ for lines.iter().map(row) }</ul>
            if ticks & list.bits() != 0 {
                <button type="button" class="wide" onclick={onclear}>{ "Clear all ticks" }</button>
            }
        </>
    }
}

/// Temperature, humidity and what they mean for the glass.
fn air(state: &State, dispatch: &Dispatch) -> Html {
    let known = state.outing().weather;
    let typed = known.map_or(state.weather, |weather| WeatherDraft {
        celsius: Some(weather.celsius),
        humidity_percent: Some(weather.humidity_percent),
    });
    let celsius: Read = Callback::from(move |text: String| {
        let celsius = CELSIUS.read_if_any(&text)?;
        Ok(Action::Weather(WeatherDraft { celsius, ..typed }))
    });
    let humidity: Read = Callback::from(move |text: String| {
        let humidity_percent = HUMIDITY.read_if_any(&text)?;
        Ok(Action::Weather(WeatherDraft {
            humidity_percent,
            ..typed
        }))
    });
    let field = |about: About, value: Option<f64>, read: Read| {
        // the phone's pad of digits has no minus sign
        let field = TextField::words(about, value.map(plain).unwrap_or_default());
        optional_text_field(field, String::new(), read, dispatch)
    };
    let message = known.map_or_else(|| UNKNOWN_AIR.to_owned(), words::dew);
    let celsius_about = ("celsius", "Temperature", CELSIUS.unit);
    let humidity_about = ("humidity", "Humidity", HUMIDITY.unit);
    html! {
        <>
            <div class="pair after">
                { field(celsius_about, typed.celsius, celsius) }
                { field(humidity_about, typed.humidity_percent, humidity) }
            </div>
            <p role="status">{ message }</p>
        </>
    }
}
