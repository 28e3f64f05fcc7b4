//! Sightings from elsewhere: the map, the phone's sensors, a table, tiles of
//! heights.

use web_sys::{HtmlInputElement, HtmlTextAreaElement};
use yew::prelude::*;

use crate::angle::Angle;
use crate::browser::orientation::DeviceTilt;
use crate::browser::worker_client;
use crate::land::sighting::height_of_ridge;
use crate::outing::plan::bounds::{BEND, DISTANCE_M, RISE_M};
use crate::outing::plan::site::Site;
use crate::sky::almanac::SkyBody;
use crate::ui::sheets::skyline::{add_button, height_button};
use crate::ui::state::skyline::{SkylineAction, SkylineDraft};
use crate::ui::text::framing::compass_warning;
use crate::ui::text::units::{degrees, degrees_to};
use crate::ui::widgets::dispatch::{Dispatch, on_click};
use crate::ui::widgets::text_field::number_field;
use crate::ui::widgets::toggle_group::option;

/// The height of a ridge by its distance and how much higher it is.
pub fn from_map(draft: &SkylineDraft, dispatch: &Dispatch) -> Html {
    let distance = number_field(
        ("distance", "Distance of the ridge", "m"),
        draft.distance_m,
        DISTANCE_M,
        SkylineAction::Distance,
        dispatch,
    );
    let rise = number_field(
        ("rise", "Higher than the site by", "m"),
        draft.rise_m,
        RISE_M,
        SkylineAction::Rise,
        dispatch,
    );
    let bend = number_field(
        ("bend", "Bend of light along the ground, usually 0.13", ""),
        draft.bend,
        BEND,
        SkylineAction::Bend,
        dispatch,
    );
    let height = height_of_ridge(draft.rise_m, draft.distance_m, draft.bend);
    let action = SkylineAction::Height(height);
    html! {
        <details>
            <summary>{ "Height from a map" }</summary>
            { distance }
            { rise }
            { bend }
            { height_button(degrees_to(height, 2), action, dispatch) }
        </details>
    }
}

/// A sighting along the phone's long edge.
pub fn along_phone(draft: &SkylineDraft, dispatch: &Dispatch) -> Html {
    let onclick = on_click(dispatch, SkylineAction::Sense(!draft.sensing));
    let reading = match draft.tilt {
        _ if !draft.sensing => Html::default(),
        None => html! { <p>{ "Waiting for the phone's sensor." }</p> },
        Some(tilt) => phone_reading(draft, tilt, dispatch),
    };
    html! {
        <>
            <p>
                { "Look along the phone's long edge at the skyline, as along a ruler, and tap. Lay \
                   it on something level first and say so. A phone's compass errs by 10° and more \
                   near metal and magnets: point it at the core or the Moon and say so, never at \
                   the Sun." }
            </p>
            <button type="button" class="wide" {onclick}>
                { if draft.sensing { "Stop" } else { "Sight along the phone" } }
            </button>
            { reading }
        </>
    }
}

/// What the sensors read, what they can be set against, and the button that takes the
/// sighting or, without a compass, its height.
fn phone_reading(draft: &SkylineDraft, tilt: DeviceTilt, dispatch: &Dispatch) -> Html {
    let height = Angle::from_degrees(tilt.height_deg + draft.level_deg);
    let compass = match tilt.compass_deg {
        Some(bearing) => format!("compass {}", degrees_to(Angle::from_degrees(bearing), 0)),
        None => "no compass: type the bearing under Numbers".to_owned(),
    };
    // a compass set against the sky needs no field, and so no warning of a weak one
    let warning = compass_warning(draft.modelled)
        .filter(|_| tilt.compass_deg.is_some() && draft.turn_deg.is_none());
    html! {
        <>
            <p class="in-use">{ format!("{} up · {compass}", degrees(height)) }</p>
            if let Some(message) = warning {
                <p class="sentence">{ message }</p>
            }
            <div class="choice tall">{ references(tilt, dispatch) }</div>
            if let Some(sighting) = draft.along_phone() {
                { add_button("Take", sighting, dispatch) }
            } else {
                { height_button(degrees(height), SkylineAction::Height(height), dispatch) }
            }
        </>
    }
}

/// What the sensors can be set against: something level, and bodies of the sky for the
/// compass.
fn references(tilt: DeviceTilt, dispatch: &Dispatch) -> Html {
    const BODIES: [(SkyBody, &str); 3] = [
        (SkyBody::Subject, "It points at the core now"),
        (SkyBody::Moon, "It points at the Moon now"),
        (SkyBody::Sun, "Its shadow points away from the Sun now"),
    ];
    let reference =
        |word: &str, action: SkylineAction| option(word, "", false, on_click(dispatch, action));
    html! {
        <>
            { reference("It lies level now", SkylineAction::SetLevel) }
            if tilt.compass_deg.is_some() {
                { for BODIES.map(|(body, word)| reference(word, SkylineAction::PointedAt(body))) }
            }
        </>
    }
}

/// A table pasted or opened. `bend` is that of light along the ground.
pub fn from_table(site: &Site, bend: f64, dispatch: &Dispatch) -> Html {
    html! {
        <>
            <div class="field">
                <label for="table">{ "Rows of bearing and height, pasted" }</label>
                <textarea id="table" rows="6" onchange={read_pasted(dispatch)} />
            </div>
            { file_button("Open a table", site, bend, dispatch) }
        </>
    }
}

/// Tiles of heights opened. `bend` is that of light along the ground.
pub fn from_tiles(site: &Site, bend: f64, dispatch: &Dispatch) -> Html {
    html! {
        <>
            { file_button("Open elevation data", site, bend, dispatch) }
            <p class="after">{ FILES }</p>
        </>
    }
}

/// Reads either, by what is in the files.
fn file_button(word: &str, site: &Site, bend: f64, dispatch: &Dispatch) -> Html {
    html! {
        <div class="photo">
            <label class="wide" for="tiles">{ word }</label>
            <input
                id="tiles"
                type="file"
                multiple=true
                accept=".hgt,.tif,.tiff,.txt,.csv,.tsv,text/*"
                onchange={read_files(site.clone(), bend, dispatch)}
            />
        </div>
    }
}

/// Has the worker read a table that was pasted.
fn read_pasted(dispatch: &Dispatch) -> Callback<Event> {
    let dispatch = dispatch.clone();
    Callback::from(move |event: Event| {
        let area = event.target_dyn_into::<HtmlTextAreaElement>();
        let text = area.map(|area| area.value()).unwrap_or_default();
        if !text.trim().is_empty() {
            let dispatch = dispatch.clone();
            worker_client::table(text, move |survey| {
                dispatch.emit(SkylineAction::Read(survey).into());
            });
        }
    })
}

/// Has the worker read the files that were opened.
fn read_files(site: Site, bend: f64, dispatch: &Dispatch) -> Callback<Event> {
    let dispatch = dispatch.clone();
    Callback::from(move |event: Event| {
        let input = event.target_dyn_into::<HtmlInputElement>();
        let Some(files) = input.and_then(|input| input.files()) else {
            return;
        };
        dispatch.emit(SkylineAction::Reading.into());
        let dispatch = dispatch.clone();
        worker_client::skyline(&files, &site, bend, move |survey| {
            dispatch.emit(SkylineAction::Read(survey).into());
        });
    })
}

const FILES: &str = "SRTM .hgt tiles, or a GeoTIFF in latitude and longitude: the skyline out to 60 km \
                     is worked out on this phone and takes the place of the sightings. Trees and \
                     houses are not in elevation models.";
