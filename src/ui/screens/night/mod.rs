//! When? – the night, its shot window, and the minute looked at.

pub mod calendar_button;
pub mod controls;
mod headline;
pub mod help;
mod limits;
pub mod picture;

use yew::prelude::*;

use crate::outing::plan::Outing;
use crate::ui::layout::{Layout, LayoutKind, Size};
use crate::ui::screens::ScreenParts;
use crate::ui::screens::framing::picture::frame_picture;
use crate::ui::screens::night::controls::{night_drawer, night_stepper, time_stepper};
use crate::ui::screens::night::headline::headline;
use crate::ui::screens::night::help::ways;
use crate::ui::screens::night::limits::limits;
use crate::ui::screens::night::picture::night_picture;
use crate::ui::sheets::season::cards::best_nights;
use crate::ui::sheets::season::strips::season_strips;
use crate::ui::state::State;
use crate::ui::state::derived::Derived;
use crate::ui::text::night as words;
use crate::ui::text::windows;
use crate::ui::widgets::dispatch::Dispatch;

/// Headline and limits on an upright phone, and what of the picture is kept on a low one, px.
const PHONE_WORDS_PX: f64 = 279.0;
const LOW_WORDS_PX: f64 = 167.0;

/// What the keys under the reason of a night without a window take more than a window's facts do, px.
const WAYS_PX: f64 = 36.0;

/// Lowest screen that has room for the keys under the limits, px.
const KEYS_FROM_PX: f64 = 500.0;

/// Between two pictures, px.
const GAP_PX: f64 = 8.0;

/// Height of a year of nights at its best, px, and the most of a stage that it takes.
const SEASON_PX: f64 = 470.0;
const SEASON_SHARE: f64 = 0.52;

/// Height over width of a night at its best.
const NIGHT_SHAPE: f64 = 0.9;

/// The screen.
pub fn night_screen(state: &State, derived: &Derived, dispatch: &Dispatch) -> ScreenParts {
    let outing = state.outing();
    let selected = derived.night(state);
    let notes = || {
        html! {
            <details>
                <summary>{ "The night in words" }</summary>
                <p>{ windows::sentence(&selected, outing) }</p>
                <p>{ words::sky_now(&selected) }</p>
                <p>{ words::clock(&selected) }</p>
                <p>{ windows::EQUIVALENT }</p>
            </details>
        }
    };
    let drawer = || night_drawer(state, &selected, dispatch);
    ScreenParts {
        title: "When?",
        headline: headline(state, derived, &selected, dispatch),
        picture: pictures(state, derived, dispatch),
        below: html! {
            <>
                { limits(outing, &selected, state.layout, dispatch) }
                { best_beside_season(state, derived, dispatch) }
            </>
        },
        keys: Some([
            night_stepper(&selected, dispatch),
            time_stepper(&selected, dispatch),
        ]),
        drawer: state.shows_drawer().then(drawer).unwrap_or_default(),
        folded: state.folded_due().then(notes).unwrap_or_default(),
        ..ScreenParts::default()
    }
}

/// The best nights to come, where the season stands on the screen.
fn best_beside_season(state: &State, derived: &Derived, dispatch: &Dispatch) -> Html {
    let shown = state.layout.has_column();
    let best = || best_nights(state, derived, dispatch);
    shown.then(best).unwrap_or_default()
}

/// The night; where there is room the season under it, and at a desk the frame beside them.
fn pictures(state: &State, derived: &Derived, dispatch: &Dispatch) -> Html {
    let layout = state.layout;
    let stage = layout.stage();
    if !layout.has_column() {
        let has_ways = !ways(state, derived, 1).is_empty();
        return night_picture(state, derived, phone_size(layout, has_ways), dispatch);
    }
    let frame = layout.is_desk().then(|| frame_size(stage, state.outing()));
    let width = frame.map_or(stage.width, |frame| stage.width - frame.width - GAP_PX);
    let frame = frame.map_or_else(Html::default, |size| {
        html! { <div class="beside">{ frame_picture(state, derived, dispatch, size) }</div> }
    });
    html! {
        <div class="night-and-frame">
            { night_and_season(state, derived, Size { width, ..stage }, dispatch) }
            { frame }
        </div>
    }
}

/// The night with the year under it.
pub fn night_and_season(state: &State, derived: &Derived, size: Size, dispatch: &Dispatch) -> Html {
    let season = Size {
        height: (size.height * SEASON_SHARE)
            .min(SEASON_PX.max(size.height - size.width * NIGHT_SHAPE)),
        ..size
    };
    let night = Size {
        height: size.height - season.height - GAP_PX,
        ..size
    };
    html! {
        <div class="night-and-season">
            { night_picture(state, derived, night, dispatch) }
            { season_strips(state, derived, season, dispatch) }
        </div>
    }
}

/// The night on a phone: what headline and limits leave of the screen.
fn phone_size(layout: Layout, has_ways: bool) -> Size {
    let stage = layout.stage();
    let height = match layout.kind() {
        LayoutKind::Side => stage.height,
        _ if stage.height >= KEYS_FROM_PX => {
            let ways_px = if has_ways { WAYS_PX } else { 0.0 };
            stage.height - PHONE_WORDS_PX - ways_px
        }
        _ => stage.height - LOW_WORDS_PX,
    };
    Size {
        height: height.clamp(220.0, 460.0),
        ..stage
    }
}

/// The frame at a desk: as high as the stage, or up to half as wide.
fn frame_size(stage: Size, outing: &Outing) -> Size {
    let view = outing.view();
    Size {
        width: stage.width * 0.48,
        height: stage.height,
    }
    .fitted(view.sensor.width_mm / view.sensor.height_mm)
}
