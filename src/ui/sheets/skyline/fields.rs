//! Sightings as numbers: typed in, listed, and the height where nobody has looked.

use yew::prelude::*;

use crate::angle::Angle;
use crate::decimal::{fixed, plain};
use crate::land::ridge::{RidgeLine, Sighting};
use crate::land::sighting::{BEND, dip};
use crate::outing::plan::bounds::{BEARING, DECLINATION, RIDGE, SIGHTED};
use crate::outing::plan::site::Site;
use crate::ui::sheets::skyline::add_button;
use crate::ui::sheets::skyline::sources::from_map;
use crate::ui::state::document::ridge::RidgeEdit;
use crate::ui::state::skyline::{SkylineAction, SkylineDraft};
use crate::ui::text::exposure::skyline_height;
use crate::ui::text::framing::compass_warning;
use crate::ui::text::night::bearing;
use crate::ui::text::units::degrees_to;
use crate::ui::widgets::dispatch::{Dispatch, on_click};
use crate::ui::widgets::text_field::{Read, TextField, number_field, text_field};
use crate::ui::widgets::toggle_group::{ToggleGroup, toggle_group};

/// A smaller dip of the horizon is not mentioned, degrees: half of the last digit shown.
const LEAST_DIP_DEG: f64 = 0.05;

/// More sightings than this are counted, not listed.
const LISTED: usize = 40;

/// Sightings typed, and those in use.
pub fn numbers(site: &Site, draft: &SkylineDraft, dispatch: &Dispatch) -> Html {
    html! {
        <>
            { typed_sighting(draft, dispatch) }
            { sightings(&site.ridge, dispatch) }
            { all_round(site, dispatch) }
            { from_map(draft, dispatch) }
        </>
    }
}

/// The sightings in use, with buttons that remove them.
fn sightings(ridge: &RidgeLine, dispatch: &Dispatch) -> Html {
    let sightings = ridge.sightings();
    if sightings.is_empty() {
        return Html::default();
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
            <h3>{ "Sightings" }</h3>
            if sightings.len() > LISTED {
                <p>{ format!("{} sightings are in use.", sightings.len()) }</p>
            } else {
                <ul class="kits">{ for sightings.iter().enumerate().map(row) }</ul>
            }
            <button type="button" class="wide" onclick={clear}>{ "Remove all sightings" }</button>
        </>
    }
}

/// Bearing and height typed, and the button that adds them.
fn typed_sighting(draft: &SkylineDraft, dispatch: &Dispatch) -> Html {
    let bearing = number_field(
        ("bearing", "Bearing", "°"),
        draft.bearing.degrees(),
        BEARING,
        |degrees| SkylineAction::Bearing(Angle::from_degrees(degrees)),
        dispatch,
    );
    let north = ToggleGroup {
        name: "bearings from",
        options: &[
            ("true north", "", SkylineAction::Magnetic(false).into()),
            ("compass north", "", SkylineAction::Magnetic(true).into()),
        ],
        chosen: Some(usize::from(draft.magnetic)),
        tall: false,
    };
    let height = number_field(
        ("sighted", "Height", "°"),
        draft.height.degrees(),
        SIGHTED,
        |degrees| SkylineAction::Height(Angle::from_degrees(degrees)),
        dispatch,
    );
    html! {
        <>
            { bearing }
            { toggle_group(&north, dispatch) }
            if draft.magnetic {
                { declination_field(draft, dispatch) }
                if let Some(message) = compass_warning(draft.modelled) {
                    <p class="sentence">{ message }</p>
                }
            }
            { height }
            { add_button("Add", draft.typed(), dispatch) }
        </>
    }
}

fn declination_field(draft: &SkylineDraft, dispatch: &Dispatch) -> Html {
    let tenths = (draft.declination().degrees() * 10.0).round();
    number_field(
        (
            "declination",
            "Declination, east positive (World Magnetic Model 2025, or typed)",
            "°",
        ),
        tenths / 10.0,
        DECLINATION,
        |degrees| SkylineAction::Declination(Angle::from_degrees(degrees)),
        dispatch,
    )
}

/// The height where nobody has looked.
fn all_round(site: &Site, dispatch: &Dispatch) -> Html {
    let level = site.ridge.all_round();
    let field = TextField::words(
        ("ridge", "Height where not measured", "°"),
        plain(level.degrees()),
    )
    .stepped(RIDGE);
    let read: Read = Callback::from(|typed: String| {
        RIDGE
            .read_angle(&typed)
            .map(|level| RidgeEdit::Level(level).into())
    });
    html! {
        <>
            <h3>{ "All round" }</h3>
            { text_field(field, read, dispatch) }
            { dip_button(site.height_m, dispatch) }
        </>
    }
}

/// The dip of the horizon as the height where nobody has looked, for a site well above the
/// sea.
fn dip_button(height_m: f64, dispatch: &Dispatch) -> Html {
    let dip_deg = dip(height_m, BEND).degrees();
    if dip_deg < LEAST_DIP_DEG {
        return Html::default();
    }
    // to the hundredths in which a skyline is written
    let level = Angle::from_degrees((dip_deg * -100.0).round() / 100.0);
    let onclick = on_click(dispatch, RidgeEdit::Level(level));
    let note = format!(
        "From {} m the edge of a sea, or of a plain at sea level, lies so far below level (a round \
         Earth, light bent by 0.13 of its curve). Land that stands higher hides it: sight that.",
        fixed(height_m, 0)
    );
    html! {
        <>
            <button type="button" class="wide" id="dip" {onclick}>
                { format!("Over a plain from here: {}", degrees_to(level, 1)) }
            </button>
            <p>{ note }</p>
        </>
    }
}
