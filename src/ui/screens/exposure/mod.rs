//! How long? – the shutter time, what it leaves, and why.

pub mod controls;
mod focus_card;
mod headline;
mod loupes;
mod notes;
mod pictures;
mod pool;
mod rule_bars;
mod rules_table;
mod shutter_rule;

use yew::prelude::*;

use crate::ui::deferred;
use crate::ui::screens::ScreenParts;
use crate::ui::screens::exposure::controls::{exposure_drawer, f_number, focal_length};
use crate::ui::screens::exposure::headline::headline;
use crate::ui::screens::exposure::loupes::loupes;
pub use crate::ui::screens::exposure::loupes::star;
use crate::ui::screens::exposure::notes::notes;
pub use crate::ui::screens::exposure::pictures::Pictures;
use crate::ui::screens::exposure::pool::sharp_pool;
use crate::ui::screens::exposure::rule_bars::rule_bars;
use crate::ui::screens::exposure::shutter_rule::shutter_rule;
use crate::ui::state::State;
use crate::ui::state::derived::Derived;
use crate::ui::state::routes::{RouteAction, Sheet};
use crate::ui::text::exposure;
use crate::ui::widgets::dispatch::{Dispatch, on_click};

/// The screen: headline and loupes at once, the rest with the deferred part of the program.
pub fn exposure_screen(state: &State, derived: &Derived, dispatch: &Dispatch) -> ScreenParts {
    let outing = state.outing();
    let (answer, trial) = (derived.answer(state), derived.trial(state));
    let plan = derived.shot_plan(state);
    let sensor = answer.view.sensor;
    let aspect_ratio = sensor.width_mm / sensor.height_mm;
    let pictures = Pictures::new(state.layout, aspect_ratio, state.measured_stars.is_some());
    let loupes = loupes(
        &derived.star_images(state),
        &answer,
        trial.shutter,
        state.measured_stars.as_deref(),
        pictures.loupe,
        state.display.theme,
    );
    let rest = if state.deferred_loaded {
        deferred::exposure_rest(state, derived, &pictures, dispatch)
    } else {
        ExposureRest::default()
    };
    let class = classes!(
        "how-long",
        pictures.beside.then_some("beside"),
        pictures.loupes_beside.then_some("loupes-beside"),
        if aspect_ratio < 1.0 {
            "upright"
        } else {
            "level"
        }
    );
    ScreenParts {
        title: "How long?",
        headline: headline(state, derived, (&answer, &plan), dispatch),
        picture: html! {
            <div {class}>
                { loupes }
                { rest.pool }
                { rest.bars }
                <div class="rule-place">{ rest.rule }</div>
            </div>
        },
        below: html! {
            <div class="focus-line">
                <p class="fact quiet">{ exposure::focus_short(outing) }</p>
                { rest.frame_key }
            </div>
        },
        keys: Some([focal_length(outing, dispatch), f_number(outing, dispatch)]),
        drawer: rest.drawer,
        folded: rest.notes,
        ..ScreenParts::default()
    }
}

/// What of the screen the first answer does not need.
#[derive(Default)]
pub struct ExposureRest {
    pool: Html,
    bars: Html,
    rule: Html,
    drawer: Html,
    notes: Html,
    frame_key: Html,
}

impl ExposureRest {
    /// For this state.
    pub fn new(state: &State, derived: &Derived, pictures: &Pictures, dispatch: &Dispatch) -> Self {
        let (answer, trial) = (derived.answer(state), derived.trial(state));
        let rule = |width| shutter_rule(state.outing(), &answer, width);
        let in_picture = pictures.shutter_rule.map(rule);
        let column = state.layout.column_width();
        let notes = || {
            let in_notes = in_picture.is_none().then(|| rule(column));
            notes(state, (&answer, &trial), in_notes, dispatch)
        };
        let notes = state.folded_due().then(notes).unwrap_or_default();
        let drawer = || exposure_drawer(state, &derived.shot_plan(state), &trial, dispatch);
        Self {
            pool: sharp_pool(state, derived, &answer, trial.shutter, pictures.pool),
            bars: rule_bars(&answer, pictures.bars),
            rule: in_picture.unwrap_or_default(),
            drawer: state.shows_drawer().then(drawer).unwrap_or_default(),
            notes,
            frame_key: frame_key(dispatch),
        }
    }
}

/// Leads from the stars as they will be to those of a picture.
fn frame_key(dispatch: &Dispatch) -> Html {
    let onclick = on_click(dispatch, RouteAction::Open(Sheet::TestFrame));
    html! { <button id="frame-key" type="button" {onclick}>{ "Test frame" }</button> }
}
