//! How long? – the shutter time, what it leaves, and why.

pub mod controls;
mod focus_card;
mod headline;
mod loupes;
mod notes;
mod pool;
mod rule_bars;
mod rules_table;
mod shutter_rule;

use yew::prelude::*;

use crate::ui::deferred;
use crate::ui::layout::{Layout, LayoutKind, Size};
use crate::ui::screens::ScreenParts;
use crate::ui::screens::exposure::controls::{exposure_drawer, f_number, focal_length};
use crate::ui::screens::exposure::headline::headline;
use crate::ui::screens::exposure::loupes::loupes;
pub use crate::ui::screens::exposure::loupes::star;
use crate::ui::screens::exposure::notes::notes;
use crate::ui::screens::exposure::pool::sharp_pool;
use crate::ui::screens::exposure::rule_bars::rule_bars;
use crate::ui::screens::exposure::shutter_rule::shutter_rule;
use crate::ui::state::State;
use crate::ui::state::derived::Derived;
use crate::ui::state::routes::{RouteAction, Sheet};
use crate::ui::text::exposure;
use crate::ui::widgets::dispatch::{Dispatch, on_click};

/// Margin beside pictures that do not bleed, and between them, px.
const MARGIN_PX: f64 = 16.0;
const BETWEEN_PX: f64 = 8.0;

/// What headline and loupes take of an upright phone, px.
const ABOVE_POOL_PX: f64 = 316.0;

/// Height of a loupe over its width.
const LOUPE_SHAPE: f64 = 0.75;

/// Least width for three loupes with their words, px.
const LOUPES_PX: f64 = 310.0;

/// Height of a bar with its words where there is room, and with the scale of all six, px.
const BAR_ROW_PX: f64 = 42.0;
const BARS_PX: f64 = 26.0 + 6.0 * BAR_ROW_PX;

/// At a desk: what the words under loupes take, the shutter rule, and the bars at most, px.
const CAPTION_PX: f64 = 60.0;
const CAPTION_LINE_PX: f64 = 24.0;
const RULE_PX: f64 = 140.0;
const ROOMY_PX: f64 = 26.0 + 6.0 * 72.0;

/// Sizes of the pictures, px.
pub struct Pictures {
    /// Whether the bars stand beside the pool, and the loupes under the settings.
    beside: bool,
    loupes_beside: bool,
    pool: Size,
    loupe: Size,
    bars: Size,
    /// Width of the shutter rule, where it is in the picture.
    shutter_rule: Option<f64>,
}

impl Pictures {
    /// For a frame of this width over height; words under loupes may be of a measured star, too.
    fn new(layout: Layout, aspect_ratio: f64, measured: bool) -> Self {
        let caption_px = CAPTION_PX + if measured { CAPTION_LINE_PX } else { 0.0 };
        let stage = layout.stage();
        let upright = aspect_ratio < 1.0;
        match layout.kind() {
            LayoutKind::Desk if upright => Self::at_desk_upright(stage, aspect_ratio, caption_px),
            LayoutKind::Desk => Self::at_desk(stage, aspect_ratio, caption_px),
            LayoutKind::Side => Self::aside(stage, aspect_ratio),
            kind if upright => {
                Self::in_column_upright(stage, aspect_ratio, kind == LayoutKind::Tablet)
            }
            kind => Self::in_column(stage, aspect_ratio, kind == LayoutKind::Tablet),
        }
    }

    fn at_desk_upright(stage: Size, aspect_ratio: f64, caption_px: f64) -> Self {
        let pool = fitted((stage.width * 0.5, stage.height), aspect_ratio);
        let width = stage.width - pool.width - 2.0 * MARGIN_PX;
        let loupe = loupe_size(width);
        let left = stage.height - loupe.height - caption_px - RULE_PX;
        Self {
            beside: true,
            loupes_beside: false,
            pool,
            loupe,
            bars: bars_size(width, left.min(ROOMY_PX)),
            shutter_rule: Some(width),
        }
    }

    /// Loupes stand under the pool, as wide as it.
    fn at_desk(stage: Size, aspect_ratio: f64, caption_px: f64) -> Self {
        let high = (stage.height - caption_px) / (1.0 / aspect_ratio + LOUPE_SHAPE / 3.0);
        let pool = fitted((high.min(stage.width * 0.66), stage.height), aspect_ratio);
        let width = stage.width - pool.width - 2.0 * MARGIN_PX;
        Self {
            beside: true,
            loupes_beside: false,
            pool,
            loupe: loupe_size(pool.width - MARGIN_PX),
            bars: bars_size(width, pool.height.min(ROOMY_PX)),
            shutter_rule: Some(width),
        }
    }

    /// Beside a level pool stand the settings.
    fn aside(stage: Size, aspect_ratio: f64) -> Self {
        let inner = stage.width - 2.0 * MARGIN_PX;
        let upright = aspect_ratio < 1.0;
        let beside = if upright {
            stage.width
        } else {
            inner - LOUPES_PX - MARGIN_PX
        };
        let pool = fitted((beside, stage.height), aspect_ratio);
        let left = inner - pool.width - MARGIN_PX;
        let loupes_beside = left >= LOUPES_PX;
        let bars_px = if upright {
            inner
        } else {
            pool.width - 2.0 * MARGIN_PX
        };
        Self {
            beside: false,
            loupes_beside,
            pool,
            loupe: loupe_size(if loupes_beside { left } else { inner }),
            bars: bars_size(bars_px, BARS_PX),
            shutter_rule: None,
        }
    }

    /// The bars stand beside an upright pool.
    fn in_column_upright(stage: Size, aspect_ratio: f64, tablet: bool) -> Self {
        let inner = stage.width - 2.0 * MARGIN_PX;
        let high = stage.height - ABOVE_POOL_PX;
        let room = if tablet {
            (inner * 0.66, stage.height)
        } else {
            (inner * 0.56, high.max(190.0))
        };
        let pool = fitted(room, aspect_ratio);
        Self {
            beside: true,
            loupes_beside: false,
            pool,
            loupe: loupe_size(if tablet { inner } else { inner + MARGIN_PX }),
            bars: bars_size(inner - pool.width - MARGIN_PX, pool.height),
            shutter_rule: tablet.then_some(inner),
        }
    }

    fn in_column(stage: Size, aspect_ratio: f64, tablet: bool) -> Self {
        let inner = stage.width - 2.0 * MARGIN_PX;
        Self {
            beside: false,
            loupes_beside: false,
            pool: fitted((stage.width, stage.height), aspect_ratio),
            loupe: loupe_size(if tablet { inner } else { inner + MARGIN_PX }),
            bars: bars_size(inner, BARS_PX),
            shutter_rule: tablet.then_some(inner),
        }
    }
}

/// The largest size of this width over height within a room.
fn fitted((width, height): (f64, f64), aspect_ratio: f64) -> Size {
    Size { width, height }.fitted(aspect_ratio)
}

/// One of three loupes over a width.
fn loupe_size(width: f64) -> Size {
    let width = ((width - 2.0 * BETWEEN_PX) / 3.0).floor();
    let height = (width * LOUPE_SHAPE).floor();
    Size { width, height }
}

fn bars_size(width: f64, height: f64) -> Size {
    Size {
        width,
        height: height.max(rule_bars::LEAST_PX),
    }
}

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
