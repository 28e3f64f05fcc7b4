//! The skyline: its sightings, and every way to make them.

mod fields;
mod profile;
mod sources;

use yew::prelude::*;

use crate::land::ridge::{RidgeLine, Sighting};
use crate::ui::sheets::skyline::fields::{all_round, typed_sighting};
use crate::ui::sheets::skyline::profile::profile;
use crate::ui::sheets::skyline::sources::{along_phone, from_files, from_map};
use crate::ui::state::State;
use crate::ui::state::document::ridge::RidgeEdit;
use crate::ui::state::skyline::SkylineAction;
use crate::ui::text::exposure::skyline_height;
use crate::ui::text::night::bearing;
use crate::ui::widgets::dialog::dialog;
use crate::ui::widgets::dispatch::{Dispatch, on_click};

/// More sightings than this are counted, not listed.
const LISTED: usize = 40;

/// The sheet.
pub fn skyline_sheet(state: &State, dispatch: &Dispatch) -> Html {
    let (site, draft) = (&state.outing().site, &state.skyline);
    let content = html! {
        <>
            { profile(&site.ridge) }
            <p role="status" class="after">{ draft.message.clone().unwrap_or_default() }</p>
            { sightings(&site.ridge, dispatch) }
            { typed_sighting(draft, dispatch) }
            { all_round(site, dispatch) }
            { from_map(draft, dispatch) }
            { along_phone(draft, dispatch) }
            { from_files(site, draft.bend, dispatch) }
        </>
    };
    dialog("Skyline", vec![content], dispatch)
}

/// The sightings in use, with buttons that remove them.
fn sightings(ridge: &RidgeLine, dispatch: &Dispatch) -> Html {
    const NONE: &str = "No sighting yet. Where nobody has looked the skyline is taken to be flat.";
    let sightings = ridge.sightings();
    if sightings.is_empty() {
        return html! { <p>{ NONE }</p> };
    }
    let row = |(place, sighting): (usize, &Sighting)| {
        let message = format!(
            "{} · {}",
            bearing(sighting.bearing),
            skyline_height(sighting.height)
        );
        let onclick = on_click(dispatch, RidgeEdit::Remove(place));
        html! {
            <li>
                <span class="held">{ message.clone() }</span>
                <button type="button" aria-label={format!("remove {message}")} {onclick}>
                    { "Remove" }
                </button>
            </li>
        }
    };
    let clear = on_click(dispatch, RidgeEdit::Clear);
    html! {
        <>
            if sightings.len() > LISTED {
                <p>{ format!("{} sightings are in use.", sightings.len()) }</p>
            } else {
                <ul class="kits">{ for sightings.iter().enumerate().map(row) }</ul>
            }
            <button type="button" class="wide" onclick={clear}>{ "Remove all sightings" }</button>
        </>
    }
}

/// A button that adds a sighting.
fn add_button(word: &str, sighting: Sighting, dispatch: &Dispatch) -> Html {
    let label = format!(
        "{word}: {}, {}",
        bearing(sighting.bearing),
        skyline_height(sighting.height)
    );
    let onclick = on_click(dispatch, RidgeEdit::Add(sighting));
    html! { <button type="button" class="wide" {onclick}>{ label }</button> }
}

/// A button that takes over a height found otherwise, written as `height`.
fn height_button(height: String, action: SkylineAction, dispatch: &Dispatch) -> Html {
    let onclick = on_click(dispatch, action);
    html! {
        <button type="button" class="wide" {onclick}>
            { format!("Use {height} as the height above") }
        </button>
    }
}
