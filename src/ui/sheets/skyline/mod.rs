//! The skyline: the line pulled by a thumb, and every other way to sightings under a key.

mod fields;
mod picture;
mod sources;
mod thumb;

use yew::prelude::*;

use crate::angle::Angle;
use crate::land::ridge::Sighting;
use crate::ui::sheets::skyline::fields::numbers;
use crate::ui::sheets::skyline::picture::picture;
use crate::ui::sheets::skyline::sources::{along_phone, from_table, from_tiles};
use crate::ui::state::State;
use crate::ui::state::derived::Derived;
use crate::ui::state::document::ridge::RidgeEdit;
use crate::ui::state::skyline::{PullAction, SkylineAction, WayIn};
use crate::ui::text::exposure::skyline_height;
use crate::ui::text::night::bearing;
use crate::ui::text::units::{degrees, degrees_to};
use crate::ui::widgets::aria::aria_bool;
use crate::ui::widgets::dialog::keyed_dialog;
use crate::ui::widgets::dispatch::{Dispatch, on_click};
use crate::ui::widgets::row::row;
use crate::ui::widgets::stepper::{Stepper, stepper};

/// Bearings for each px across the strip, as a phone held upright shows 82 of them.
const PX_PER_DEG: f64 = 4.4;

/// The ways in: id, word, way.
const WAYS_IN: [(&str, &str, WayIn); 4] = [
    ("skyline-numbers", "Enter", WayIn::Numbers),
    ("skyline-table", "List", WayIn::Table),
    ("skyline-tile", "Terrain", WayIn::Tile),
    ("skyline-tilt", "By phone", WayIn::Tilt),
];

/// The part of the horizon on the strip, and the bearing looked at.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Strip {
    /// The bearing in its middle.
    middle: Angle,
    /// Degrees from end to end.
    span_deg: f64,
    /// The bearing looked at.
    at: Angle,
}

impl Strip {
    fn new(state: &State) -> Self {
        let pull = state.skyline.pull;
        let meridian = || state.outing().pointing().highest.bearing;
        let middle = pull.middle.unwrap_or_else(meridian);
        Self {
            middle,
            span_deg: (state.layout.sheet().width / PX_PER_DEG).min(360.0),
            at: pull.at.unwrap_or(middle),
        }
    }

    /// The bearing looked at moves by degrees to the right.
    fn turned(&self, right_deg: f64) -> SkylineAction {
        let to = Angle::from_degrees((self.at.degrees() + right_deg).rem_euclid(360.0));
        SkylineAction::Pull(PullAction::Turn(to, (self.middle, self.span_deg)))
    }

    /// The line there moves by tenths of a degree.
    fn raised(&self, tenths: f64) -> SkylineAction {
        SkylineAction::Pull(PullAction::Raise(self.at, tenths))
    }

    /// The strip moves to the right, or left.
    fn panned(&self, right: bool) -> SkylineAction {
        SkylineAction::Pull(PullAction::Pan(right, (self.middle, self.span_deg)))
    }
}

/// The sheet.
pub fn skyline_sheet(state: &State, derived: &Derived, dispatch: &Dispatch) -> Html {
    let (site, draft) = (&state.outing().site, &state.skyline);
    let strip = Strip::new(state);
    let content = match draft.way_in {
        None => picture(state, derived, &strip, dispatch),
        Some(WayIn::Numbers) => numbers(site, draft, dispatch),
        Some(WayIn::Table) => from_table(site, draft.bend, dispatch),
        Some(WayIn::Tile) => from_tiles(site, draft.bend, dispatch),
        Some(WayIn::Tilt) => along_phone(draft, dispatch),
    };
    let body = html! {
        <>
            <p role="status" class="told">{ draft.message.clone().unwrap_or_default() }</p>
            { content }
        </>
    };
    let height = site.ridge.height(strip.at);
    let bearing_stepper = Stepper {
        name: "bearing",
        value: degrees_to(strip.at, 0),
        caption: "bearing",
        less: strip.turned(-1.0).into(),
        more: strip.turned(1.0).into(),
        value_tapped: None,
    };
    let height_stepper = Stepper {
        name: "height",
        value: degrees(height),
        caption: "height",
        less: strip.raised(-1.0).into(),
        more: strip.raised(1.0).into(),
        value_tapped: None,
    };
    let way_in = |(id, word, way): (&'static str, &'static str, WayIn)| {
        let onclick = on_click(dispatch, SkylineAction::Unfold(way));
        let pressed = aria_bool(draft.way_in == Some(way));
        html! { <button {id} type="button" aria-pressed={pressed} {onclick}>{ word }</button> }
    };
    let keys = html! {
        <>
            <div class="row">
                { stepper(bearing_stepper, dispatch) }
                { stepper(height_stepper, dispatch) }
            </div>
            <div class="row ways-in">{ for WAYS_IN.map(way_in) }</div>
        </>
    };
    keyed_dialog("Skyline", body, keys, dispatch)
}

/// The keys over the ground of the picture: to the left, away with the sighting, to the right.
fn ground_keys(state: &State, strip: &Strip, dispatch: &Dispatch) -> Html {
    let place = state.outing().site.ridge.sighting_at(strip.at);
    let remove = on_click(dispatch, RidgeEdit::Remove(place.unwrap_or(usize::MAX)));
    let pan = |id: &'static str, label: &'static str, sign: &'static str, right: bool| {
        let onclick = on_click(dispatch, strip.panned(right));
        html! { <button {id} type="button" aria-label={label} {onclick}>{ sign }</button> }
    };
    let keys = [
        pan("skyline-left", "strip to the left", "‹", false),
        html! {
            <button
                id="skyline-remove"
                type="button"
                disabled={place.is_none()}
                onclick={remove}
            >
                { "Remove" }
            </button>
        },
        pan("skyline-right", "strip to the right", "›", true),
    ];
    html! { <div class="ground-keys">{ row(keys) }</div> }
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
            { format!("Use {height} as the height") }
        </button>
    }
}
